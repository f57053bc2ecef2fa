"""Lines of a note that hold no sets: a day behind other words, a weekday alone, a title."""

from __future__ import annotations

import re

from plateline.log.dates import date_within, looks_like_date, names_weekday, written

__all__ = [
    "PLAN_WORD",
    "date_in_title",
    "is_remark_on_sets",
    "is_title",
    "is_weekday",
    "tells_sets_in_words",
]

PLAN_WORD = (
    r"(?:week|wk|woche|kw|day|tag|block|phase|semaine|jour|séance|semana|día|dia|sesión|settimana|giorno|"
    r"session|workout|training|einheit|te|cycle|zyklus|meso\w*|treino|sessão|allenamento|entreno)"
    r"\.? *#?\d{1,2}\b"
)
"""A part of the plan with its number: `Week 3`, `Tag 2`."""

_PARTS = re.compile(r"\s+[-–—]\s+|\s*[|:;()\[\]]\s*|,\s+|\s+@\s+")
_HOLDS_SETS = re.compile(r"\d\s*[x×*]\s*\d|@\s*\d|\d\s*(?:kg|lbs?)\b", re.IGNORECASE)
_OTHER_DAY = re.compile(
    r"\b(?:printed|updated|exported|created|gedruckt|stand|exportiert|imprimé|next|last|since|until|till|"
    r"bis|seit|ab|nächste\w*|letzte\w*|depuis|jusqu|prochain\w*|hasta|desde|próxim\w*|fino|from|starting|"
    r"commencing|begins?|beginnt|ends?|endet|born|geb\w*|goals?|ziele?|compared|vs|like|wie|pr|pb|record|"
    r"rekord|comp|competition|wettkampf|meet|test|booked|due|since|week of|woche vom|semaine du|"
    r"semana del?|settimana del)\b",
    re.IGNORECASE,
)
"""Words beside a date that is not the day of the sets below it."""
_WEEK_OF = re.compile(
    r"(?:week|woche|semaine|semana|settimana)\s+(?:of|from|starting|commencing|beginning|vom|ab|du|del?|da)\b",
    re.IGNORECASE,
)

MOST_TITLE_WORDS = 8
"""Words of a line beyond which it tells something and heads nothing."""

_NUMBER_WORDS = re.compile(
    r"\b(?:one|two|three|four|five|six|eight|ten|twelve|fifteen|twenty|hundred|"
    r"zwei|drei|vier|fünf|sechs|acht|zehn|zwölf|fünfzehn|zwanzig|hundert|"
    r"deux|trois|quatre|cinq|huit|dix|douze|quinze|vingt|cent|"
    r"dos|tres|cuatro|cinco|ocho|diez|doce|quince|veinte|cien|"
    r"due|tre|quattro|cinque|otto|dieci|dodici|quindici|venti|cento|"
    r"dois|duas|três|quatro|oito|dez|doze|quinze|vinte|cem)\b",
    re.IGNORECASE,
)
_SET_WORDS = re.compile(
    r"\b(?:sets?|reps?|repetitions?|sätze?|satz|wdh|wiederholungen|séries?|répétitions?|series|"
    r"repeticiones|serie|ripetizioni|repetições|kilos?|pounds)\b",
    re.IGNORECASE,
)


def date_in_title(line: str) -> tuple[str, str]:
    """Split a heading into the day that it names and its other words; ("", line) where none.

    The whole line must be a heading: no sets, no number but the date's and those of parts of
    the plan, and no word that makes the date another day's (`next test on 3 March`).
    """
    if len(line.split()) > MOST_TITLE_WORDS or _HOLDS_SETS.search(line) or _OTHER_DAY.search(line):
        return "", line
    parts = [p.strip() for p in _PARTS.split(line) if p.strip()]
    day = next((p for p in parts if looks_like_date(p)), None) or date_within(line)
    if day is None or day not in line:
        return "", line
    start = line.index(day)
    words = " ".join(f"{line[:start]} {line[start + len(day) :]}".split())
    rest = words.strip(" -–—:,;|()[]")
    if re.search(r"\d", re.sub(PLAN_WORD, "", rest, flags=re.IGNORECASE)):
        return "", line
    return day, rest


def is_weekday(line: str, *, heads: bool = False) -> bool:
    """Say whether a line names a day of the week and not which one: `Wednesday`, `Mi - Beine`.

    Words may follow: `Monday push`, and more at the head of a paragraph (`heads`).
    """
    words = line.split()
    is_day = names_weekday(line) or (
        len(words) <= (4 if heads else 3) and len(words[0]) > 4 and names_weekday(words[0])
        and not re.search(r"\d", line)
    )  # fmt: skip
    return is_day and written(line).reason is not None


def is_title(line: str) -> bool:
    """Say whether a line only names a year, or the week that the days below belong to."""
    if _HOLDS_SETS.search(line) or len(line.split()) > MOST_TITLE_WORDS:
        return False
    week = _WEEK_OF.match(line)
    if week:
        return date_within(line) is not None or not re.search(r"\d", line[week.end() :])
    return bool(re.fullmatch(r"[^\d]*\b20\d\d\b[^\d]*(?:\b20\d\d\b)?[^\d]*", line))


_REMARKS = re.compile(
    r"(?:felt|feel\w*|tired|sore|was|were|too|very|slept|ouch|hurts?|pain|super|really|"
    r"ging|gefühlt|fühlte?|müde|zu|sehr|war|schmerz\w*|trop|très|fatiguée?|demasiado|muy|cansad[oa]|"
    r"troppo|molto|stanc[oa]|muito)\b|.*\b\d{1,2} ?/ ?10\b|.*\b(?:set|satz|série|serie) \d",
    re.IGNORECASE,
)


def is_remark_on_sets(line: str) -> bool:
    """Say whether a line tells how sets went: `felt heavy`, `knee 3/10`; it names no exercise."""
    return bool(_REMARKS.match(line))


def tells_sets_in_words(line: str) -> bool:
    """Say whether a line without a digit tells sets all the same: `three sets of five`."""
    return bool(_NUMBER_WORDS.search(line) and _SET_WORDS.search(line))
