"""Whether words above sets can only be the names of people: over parts of a note, tables, sheets.

A log that several people share may name them nowhere but in its headings. Such a word is taken
for a client only where the sets below the headings cannot all be one person's: the same
exercise on the same day below two of them, each with days of its own to come.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from plateline.log.dates import MONTHS, looks_like_date, names_weekday, written
from plateline.log.draft_types import Drafts
from plateline.log.headers import tidy
from plateline.log.kinds import is_kind_word
from plateline.log.note_titles import PLAN_WORD
from plateline.log.was_done import was_done

__all__ = [
    "are_people",
    "can_name_person",
    "give_clients",
    "names_session",
    "said_of_headings",
    "titles_log",
]

MOST_WORDS = 3
"""Words of a heading beyond which it is no name."""


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_SESSIONS = _words(
    "finisher hauptteil einstieg cooldown stretching mobility circuit zirkel tabata superset deload urlaub krank "
    "pause ruhetag rest sick holiday vacation travel test maladie repos vacances descanso vacaciones riposo ferie "
    "push pull legs leg upper lower full body fullbody arms arm back chest shoulders "
    "shoulder core abs gym home hotel outdoor strength cardio power main accessory "
    "accessories assistance lifts compound isolation morning evening monday am pm data log "
    "training workout workouts sheet table diary journal sets session sessions summary "
    "overview total notes progress export history raw gewichte oberkorper unterkorper "
    "ganzkorper beine bein rucken brust schultern schulter arme bauch rumpf drucken ziehen "
    "kraft ausdauer hauptubungen nebenubungen zubehor tabelle daten tagebuch "
    "trainingstagebuch trainingslog ubersicht notizen studio halle zuhause haut bas jambes "
    "dos pectoraux epaules bras abdos poussee tirage feuille donnees seance entrainement "
    "carnet torso pierna piernas espalda pecho hombros brazos empuje tiron hoja datos "
    "entrenamiento registro diario gambe schiena petto spalle braccia spinta trazione foglio "
    "dati allenamento scheda perna pernas costas peito ombros bracos empurrar puxar planilha "
    "folha dados treino ficha"
)
"""Words (without accents) of headings that name a part of the training or of the file."""


_LOG_WORDS = _words(
    "log logbook logs training trainings workout workouts diary journal plan tracker record "
    "records results trainingslog trainingsplan trainingskarte trainingstagebuch tagebuch "
    "protokoll trainingsprotokoll karte carnet cahier entrainement entrainements seances "
    "registro diario entrenamiento entrenamientos rutina allenamento allenamenti scheda "
    "treino treinos ficha"
)
"""Words (without accents) of titles that say what a file is."""


def titles_log(text: str) -> bool:
    """Say whether a heading says what the file is, or which part of the training, and no exercise."""
    words = tidy(text).split()
    return bool(words) and (
        any(w in _LOG_WORDS for w in words)
        or all(w in _SESSIONS or w in ("and", "und", "et", "y", "e") for w in words)
        or bool(re.fullmatch(rf"{PLAN_WORD}.*", text, re.IGNORECASE))
        or bool(re.search(r"(?<!\d)20\d\d(?!\d)", text))
    )


def names_session(text: str) -> bool:
    """Say whether a heading names a part of the training or of the file: `Push`, `Tabelle`, `B`."""
    words = tidy(text).split()
    return bool(words) and (
        any(w in _SESSIONS for w in words)
        or all(w in MONTHS for w in words)
        or (len(words) == 1 and len(words[0]) == 1)
        or bool(re.search(r"\d", text))
        or names_weekday(text)
        or is_kind_word(text)
        or was_done(text) is not None
    )


def can_name_person(text: str) -> bool:
    """Say whether a heading can be somebody's name: a few words, and none of the training's own."""
    words = text.split()
    return (
        0 < len(words) <= MOST_WORDS
        and bool(re.fullmatch(r"[^\W\d_][^\d:;=@/|]*", text))
        and text[0].isupper()
        and not names_session(text)
        and not looks_like_date(text)
    )


def said_of_headings(name: str, people: Sequence[str]) -> str:
    """Return the sentence about headings that were taken for people."""
    shown = ", ".join(map(repr, people))
    return f"{name}: the headings {shown} are read as clients, for their sets are of the same days."


def give_clients(drafts: Drafts, heads: Sequence[tuple[int, str]]) -> list[str]:
    """Give sets to the people whose names stand above them; return their names, none if they are none.

    Parameters
    ----------
    drafts
        The rows of a file.
    heads
        Where each heading stands (-1 for one above the first row), and what it says.
    """
    if len(heads) < 2 or any(d.shared.get("client") for d in drafts.rows):
        return []
    ends = [*(position for position, _ in heads[1:]), len(drafts.rows)]
    parts = [
        (who, drafts.rows[max(start, 0) : end])
        for (start, who), end in zip(heads, ends, strict=True)
    ]
    work: dict[str, set[tuple[str, str]]] = {who: set() for who, _ in parts}
    for who, rows in parts:
        for draft in rows:
            for own in draft.sets or ([] if draft.is_blank or draft.fault else [{}]):
                cell = {**draft.shared, **own}
                work[who].add((cell.get("date", ""), cell.get("exercise", "")))
    if not are_people(work):
        return []
    for who, rows in parts:
        for draft in rows:
            draft.shared["client"] = who
    return list(work)


def are_people(work: Mapping[str, Iterable[tuple[str, str]]]) -> bool:
    """Say whether headings must be people, by the (date, exercise) of the sets below each.

    One person does an exercise on a day once, and keeps the log in the order of days.
    """
    done = {name: set(pairs) for name, pairs in work.items()}
    if len(done) < 2 or not all(done.values()) or not all(map(can_name_person, done)):
        return False
    if len(set().union(*done.values())) < sum(map(len, done.values())):
        return True
    times: dict[str, list[tuple[tuple[int, ...], tuple[int, ...]]]] = {}
    for pairs in done.values():
        if days := [day for text, _ in pairs if (day := _about(text))]:
            for lift in {lift for _, lift in pairs}:
                times.setdefault(lift, []).append((min(days), max(days)))
    return any(map(_overlap, times.values()))


def _overlap(times: Iterable[tuple[tuple[int, ...], tuple[int, ...]]]) -> bool:
    """Say whether any two stretches of time, each from a day to a day, have days in common."""
    return any(before[1] >= after[0] for before, after in pairwise(sorted(times)))


def _about(text: str) -> tuple[int, ...] | None:
    """Return a date for comparing, day-first where its order is open."""
    found = written(text)
    day: dt.date | None = found.day
    if day is not None:
        return day.timetuple()[:3]
    if found.parts is not None:
        return found.parts[::-1] if found.parts[0] < found.parts[2] else found.parts
    return None
