"""Dates as people write them, in six languages, each taken apart as far as the cell alone allows."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from plateline.log.numbers import plain

__all__ = [
    "EARLIEST",
    "FORMATS",
    "MONTHS",
    "DateOrder",
    "Written",
    "date_within",
    "full_year",
    "looks_like_date",
    "month_in",
    "names_weekday",
    "with_year",
    "written",
    "year_alone",
]

DateOrder = Literal["dmy", "mdy", "ymd"]

EARLIEST = dt.date(1950, 1, 1)
"""Training logs are not older than this; an earlier date is a slip or a spreadsheet's zero."""

SPREADSHEET_EPOCH = dt.date(1899, 12, 30)
"""Day 0 of spreadsheet serial dates from March 1900 on (ISO/IEC 29500-1, 1900 date base)."""

FORMATS = "2026-03-25, 25/03/2026 or 25 March 2026"

_MONTHS = (
    "jan january januar janvier enero ene gennaio gen janeiro jaenner janner",
    "feb february februar feber fevrier fev febrero febbraio fevereiro fevr",
    "mar march marz maerz mrz mars marzo marco",
    "apr april avril avr abril abr aprile",
    "may mai mayo maggio mag maio",
    "jun june juni juin junio giugno giu junho",
    "jul july juli juillet juil julio luglio lug julho",
    "aug august aout agosto ago",
    "sep sept september septembre septiembre settembre set setembro",
    "oct october oktober okt octobre octubre ottobre ott outubro out",
    "nov november novembre noviembre novembro",
    "dec december dezember dez decembre diciembre dic dicembre dezembro",
)

MONTHS = {word: i for i, words in enumerate(_MONTHS, 1) for word in words.split()}

_WEEKDAYS = (
    "mon monday mo montag lun lundi lunes lunedi seg segunda segunda-feira",
    "tue tues tuesday di dienstag mar mardi martes martedi ter terca terca-feira",
    "wed weds wednesday mi mittwoch mer mercredi miercoles mie mercoledi qua quarta quarta-feira",
    "thu thur thurs thursday do donnerstag jeu jeudi jueves jue giovedi gio qui quinta quinta-feira",
    "fri friday fr freitag ven vendredi viernes vie venerdi sex sexta sexta-feira",
    "sat saturday sa samstag sonnabend sam samedi sabado sab sabato",
    "sun sunday so sonntag dim dimanche domingo dom domenica",
)

WEEKDAYS = {word: i for i, words in enumerate(_WEEKDAYS) for word in words.split()}

_TIME = re.compile(
    r"(?:^|[ t,]+(?:[-–|] +)?)(?:(?:at|um|a|le|alle|às|as) )?(\d{1,2})[:.h](\d{2})(?:[:.](\d{2})(?:[.,]\d+)?)?"
    r" ?(am|pm|a\.m\.|p\.m\.|uhr|h)?(?: ?(z|(?:(?:utc|gmt) ?)?[+-]\d{1,2}(?::?\d{2})?(?: ?\[[\w/]+\])?|utc|gmt|[a-z]{2,3}t))?$"
)

_NUMERIC = re.compile(r"(\d{1,4}) ?([-/.,_ ]) ?(\d{1,2}) ?\2 ?(\d{1,4})\.?")

_NO_YEAR = re.compile(r"(\d{1,2}) ?([-/.]) ?(\d{1,2})\.?")


@dataclass(frozen=True, slots=True)
class Written:
    """A date as it is written: read already (`day`), or three numbers whose order is open."""

    day: dt.date | None = None
    time_s: int | None = None
    parts: tuple[int, int, int] | None = None
    separator: str = ""
    weekday: int | None = None
    without_year: tuple[int, int] | None = None
    reason: str | None = None


def _fold(text: str) -> str:
    folded = unicodedata.normalize("NFKD", plain(text).casefold())
    return "".join(c for c in folded if not unicodedata.combining(c))


_SET_LABEL = re.compile(r"set\.? ?#?\d{1,2}(?:[.:]|$|(?= ))", re.IGNORECASE)
"""`Set 1` counts sets; the month of that name in three languages stands behind its day."""


def looks_like_date(text: str) -> bool:
    """Say whether a cell reads as a date (a lone number does not, serial or not)."""
    text = text.strip()
    if _SET_LABEL.match(text):
        return False
    if (
        len(text) > 60
        or not any(c.isdecimal() for c in text)
        or re.fullmatch(r"[\d.,]+", plain(text))
    ):
        bare = re.fullmatch(
            r"\d{1,2}\.\d{1,2}\.(?:\d{2}|\d{4})?|\d{4}\.\d{1,2}\.\d{1,2}|(?:19|20)\d{6}", text
        )
        if not bare:
            return False
    found = written(text)
    if found.without_year is not None:
        return bool(re.search(r"[a-z]", _fold(text))) or text.rstrip().endswith(".")
    return found.reason is None


def date_within(text: str) -> str | None:
    """Return the date that a header is or holds: `03.03.2025`, `Week 1 (03/03/2025)`, `Mo, 3 March`."""
    if looks_like_date(text):
        return text
    inside = re.search(r"[(\[]([^()\[\]]{4,40})[)\]]", text)
    if inside and looks_like_date(inside.group(1)):
        return inside.group(1).strip()
    words = text.split() if len(text) <= MOST_DATED else []
    tails = (" ".join(words[start:]).strip(" ()[]:,-–") for start in range(1, len(words)))
    return next((t for t in tails if len(t) > 4 and looks_like_date(t)), None)


def names_weekday(text: str) -> bool:
    """Say whether a text is a weekday, alone or before the day of the month or a title."""
    found = re.fullmatch(
        r"([a-z]+(?:-feira)?)\.?(?:,? (?:the |der |le |el |il )?\d{1,2}(?:st|nd|rd|th|\.)?"
        r"|(?: ?[-:,/(]|,) ?[a-z][^\d]*)?",
        _fold(text).strip(),
    )
    return bool(found) and found.group(1) in WEEKDAYS


MOST_DATED = 60
"""Characters of a header that can hold a date."""


def written(text: str) -> Written:
    """Take a date apart as far as the cell alone allows."""
    folded = re.sub(r"(?<=\d) \([a-z ]+\)$", "", _fold(text).strip(" ,;:"))
    folded = re.sub(r"^[<\[](.*)[>\]]$", r"\1", folded)
    if not folded or len(folded) > 80:
        return Written(reason=f"{text[:40]!r} is not a date; write it like {FORMATS}.")
    time_s, rest = _split_time(folded)
    weekday, rest = _split_weekday(rest)
    rest = rest.strip(" ,.") if not _NO_YEAR.fullmatch(rest.strip(" ,")) else rest.strip(" ,")
    iso = re.fullmatch(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", rest) or re.fullmatch(
        r"((?:19|20)\d{2})(\d{2})(\d{2})", rest
    )
    if iso:
        year, month, day = map(int, iso.groups())
        return _exact(year, month, day, time_s, text)
    numeric = _NUMERIC.fullmatch(rest)
    if numeric and (len(numeric.group(4)) in (2, 4) or int(numeric.group(1)) > 31):
        parts = (int(numeric.group(1)), int(numeric.group(3)), int(numeric.group(4)))
        return Written(time_s=time_s, parts=parts, separator=numeric.group(2), weekday=weekday)
    named = _named_month(rest, time_s, text)
    if named is not None:
        return named
    serial = re.fullmatch(r"(\d{5})(?:[.,](\d+))?", rest)
    if serial and weekday is None:
        day = SPREADSHEET_EPOCH + dt.timedelta(days=int(serial.group(1)))
        share = float(f"0.{serial.group(2)}") if serial.group(2) else None
        return Written(day=day, time_s=None if share is None else round(share * 86400))
    if re.fullmatch(r"1\d{9}(?:\d{3})?", rest):
        seconds = int(rest[:10])
        moment = dt.datetime(1970, 1, 1) + dt.timedelta(seconds=seconds)
        return Written(day=moment.date(), time_s=seconds % 86400)
    week = re.fullmatch(r"(\d{4})-?w(\d{2})-?([1-7])", rest)
    if week:
        try:
            return Written(day=dt.date.fromisocalendar(*map(int, week.groups())), time_s=time_s)
        except ValueError:
            return Written(reason=f"{text!r} is a week that does not exist.")
    short = _NO_YEAR.fullmatch(rest)
    if short:
        return Written(without_year=(int(short.group(1)), int(short.group(3))), time_s=time_s,
                       separator=short.group(2), weekday=weekday)  # fmt: skip
    first = re.match(r"[a-z-]+", folded)
    if first and first.group() in WEEKDAYS and not re.search(r"[-/.]\d|\d[-/.]", rest):
        return Written(
            reason=f"{text[:40]!r} is not a date but a weekday; write it like {FORMATS}."
        )
    return Written(reason=f"{text[:40]!r} is not a date; write it like {FORMATS}.")


def _split_time(text: str) -> tuple[int | None, str]:
    text = re.sub(r"(?<=[\s,])(\d{1,2}) ?([ap]m)$", r"\1:00 \2", text)
    found = _TIME.search(text)
    if not found or found.start() == 0:
        return None, text
    if "." in found.group() and not re.search(r"\d", text[: found.start()]):
        return None, text  # the day behind its weekday: `Mo 09.02.26`
    hour, minute, second, half, _ = found.groups()
    h, m, s = int(hour), int(minute), int(second or 0)
    if half in ("pm", "p.m.") and h < 12:
        h += 12
    if half in ("am", "a.m.") and h == 12:
        h = 0
    if h > 23 or m > 59 or s > 59:
        return None, text
    return h * 3600 + m * 60 + s, text[: found.start()]


def _split_weekday(text: str) -> tuple[int | None, str]:
    first = re.match(r"\(?([a-z]+(?:-feira)?)\)?[.,]? +(?=.*\d)", text)
    if first and first.group(1) in WEEKDAYS:
        rest = text[first.end() :]
        # "Mar 2, 2026" is a month; "mar 03/02/2026" is a Tuesday.
        if first.group(1) not in MONTHS or re.search(r"[a-z]{3,}|\d[-/.]\d", rest):
            return WEEKDAYS[first.group(1)], rest
    last = re.search(r" \(?([a-z]+(?:-feira)?)\)?\.?$", text)
    if last and last.group(1) in WEEKDAYS and last.group(1) not in MONTHS:
        return WEEKDAYS[last.group(1)], text[: last.start()]
    return None, text


def _named_month(text: str, time_s: int | None, shown: str) -> Written | None:
    words = re.sub(r"(?<=\d)(?:st|nd|rd|th|er|º|o|a)\b", "", text)
    words = re.sub(r"\b(?:de|del|di|le|the|of|den|der|dem)\b", " ", words)
    tokens = re.findall(r"\d+|[a-z]+", words)
    names = [t for t in tokens if not t.isdecimal()]
    if len(names) != 1 or names[0] not in MONTHS:
        return None
    month = MONTHS[names[0]]
    numbers = [t for t in tokens if t.isdecimal()]
    if len(numbers) == 1 and len(numbers[0]) <= 2:
        return Written(without_year=(int(numbers[0]), -month), time_s=time_s)
    if len(numbers) != 2:
        return None
    first, second = numbers
    day, year = (second, first) if len(first) == 4 else (first, second)
    if len(day) > 2 or len(year) not in (2, 4):
        return None
    return _exact(int(year), month, int(day), time_s, shown)


def _exact(year: int, month: int, day: int, time_s: int | None, text: str) -> Written:
    try:
        return Written(day=dt.date(full_year(year), month, day), time_s=time_s)
    except ValueError:
        return Written(reason=f"{text!r} is a day that does not exist.")


def month_in(text: str) -> tuple[str, str] | None:
    """Return (year, month) where a title names a month and its year: `Februar 2025`, `Log Jan 2025`."""
    tokens = re.findall(r"\d+|[a-z]+", _fold(text)) if len(text) <= MOST_DATED else []
    months = {MONTHS[t] for t in tokens if t in MONTHS and len(t) > 2}
    numbers = [t for t in tokens if t.isdecimal()]
    if len(months) != 1 or len(numbers) != 1 or not re.fullmatch(r"20\d\d|19[5-9]\d", numbers[0]):
        return None
    return numbers[0], str(months.pop())


def year_alone(text: str) -> str | None:
    """Return the year that a line names and nothing else but a month: `2026`, `Januar 2026`."""
    found = re.fullmatch(
        r"[^\w]*(?:(?:year|jahr|annee|ano|anno|([a-z]{3,10})) )?(20\d\d)[^\w]*", _fold(text)
    )
    if not found or (found.group(1) and found.group(1) not in MONTHS):
        return None
    return found.group(2)


def with_year(text: str, year: str) -> str:
    """Return a date without a year with one, as it is written: `3.2.` of 2026 is `3.2.2026`."""
    found = written(text)
    if found.without_year is None:
        return text
    if found.without_year[1] < 0:
        return f"{text} {year}" if found.time_s is None else text
    sign = found.separator
    return re.sub(
        rf"(\d{{1,2}}) ?{re.escape(sign)} ?(\d{{1,2}})\.?(?!\d)",
        rf"\1{sign}\2{sign}{year}",
        text,
        count=1,
    )


def full_year(year: int) -> int:
    """Return a year of two digits as one of four."""
    if year >= 100:
        return year
    return 2000 + year if year < 70 else 1900 + year
