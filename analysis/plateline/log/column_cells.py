"""Columns that no header names, found by what their cells show."""

from __future__ import annotations

import re

from plateline.log.cells import SHOWS, Cells, shows_sets
from plateline.log.column_places import Columns, SetPlaces
from plateline.log.headers import Header, read_header, says_done
from plateline.log.noted_lines import lifts_of
from plateline.log.people import can_name_person
from plateline.log.table import Table

__all__ = ["LOAD_BEHIND", "columns_from_cells"]


LOAD_BEHIND = re.compile(
    r"(?P<name>.*[^\W\d_].*?)[\s,:(@-]+(?P<load>\d+(?:[.,]\d+)? ?(?:kg|lbs?))\)?\s*$", re.IGNORECASE
)
"""A load behind the name of an exercise: `Squat 100 kg`."""

SHOWS_DONE = 0.3
"""Share of the cells of a column such as `Done` that must be sets; others say `as planned`."""

LIFT_VALUES = frozenset({"load", "reps", "rir", "rpe"})
"""What may stand behind the name of a lift in a header."""


def columns_from_cells(table: Table, columns: Columns, cells: Cells) -> None:
    """Where headers leave a gap, take columns whose cells show what they are."""
    has_sets = columns.has("notation") or columns.has("reps")
    _loads_behind_names(table, columns, cells)
    headers = table.headers
    unknown = [i for i, h in enumerate(headers) if h.text in columns.unknown]
    if not columns.has("exercise") and columns.has("date") and not has_sets:
        if _lift_pairs(table, columns, unknown):
            return
        lifts = [i for i in unknown if cells.of(i) and cells.share(i, shows_sets) >= SHOWS]
        for position in lifts:
            text = headers[position].text
            columns.sets.append(SetPlaces({"notation": position}, {"exercise": text}))
            columns.unknown.remove(text)
        if lifts:
            names = ", ".join(repr(headers[p].text) for p in lifts[:6])
            columns.said.append(f"{table.name}: the columns {names} are read as exercises.")
            return
        _whole_sessions(table, columns, cells)
        return
    if not has_sets:
        _sets_of_no_name(table, columns, [p for p in unknown if _shows(table, cells, p)])
    if has_sets and not columns.has("exercise"):
        _unnamed_exercise(table, columns, cells)
    if any("date" in s.fixed for s in columns.sets) and not columns.has("exercise"):
        used = {p for s in columns.sets for p in s.places.values()}
        first = next((i for i in range(len(headers)) if i not in used), None)
        if first is not None and (
            not headers[first].text or headers[first].text in columns.unknown
        ):
            columns.single["exercise"] = [first]
            if headers[first].text in columns.unknown:
                columns.unknown.remove(headers[first].text)
            columns.said.append(f"{table.name}: the first column is read as the exercise.")


def _shows(table: Table, cells: Cells, position: int) -> bool:
    """Say whether a column holds sets; one that says what was done may hold words as well."""
    least = SHOWS_DONE if says_done(table.headers[position].text) else SHOWS
    return cells.share(position, shows_sets) >= least


def _sets_of_no_name(table: Table, columns: Columns, places: list[int]) -> None:
    """Take columns of sets whose headers are not known: the sets of a row, or of several people."""
    texts = [table.headers[p].text for p in places]
    columns.unknown = [t for t in columns.unknown if t not in texts]
    if len(places) == 1:
        columns.single["notation"] = places
        columns.said.append(f"{table.name}: the column {texts[0]!r} is read as sets in short form.")
    elif places:
        shown = ", ".join(map(repr, texts[:6]))
        are_names = not columns.has("client") and all(map(can_name_person, texts))
        columns.sets.extend(
            SetPlaces({"notation": p}, {"client": t} if are_names else {})
            for p, t in zip(places, texts, strict=True)
        )
        what = "the clients whose sets stand below them" if are_names else "sets in short form"
        columns.said.append(f"{table.name}: the columns {shown} are read as {what}.")


def _loads_behind_names(table: Table, columns: Columns, cells: Cells) -> None:
    """See whether loads stand behind names and nowhere else: `Squat 100 kg` beside reps."""
    lifts = columns.single.get("exercise")
    if (
        not lifts
        or columns.has("load")
        or cells.share(lifts[0], lambda t: bool(LOAD_BEHIND.match(t))) < SHOWS
    ):
        return
    places = [*columns.single.get("reps", []), *columns.single.get("notation", [])]
    places += [s.places[c] for s in columns.sets for c in ("reps", "notation") if c in s.places]
    if any(cells.share(p, shows_sets) > 0 for p in places):
        return
    columns.loads_behind_names = True
    columns.said.append(
        f"{table.name}: loads are read from behind the exercises, as in {cells.of(lifts[0])[0]!r}."
    )


def _unnamed_exercise(table: Table, columns: Columns, cells: Cells) -> None:
    """Take the one column without a header whose cells are words, in rows that hold sets."""
    reps = columns.single.get("reps") or columns.single.get("notation") or []
    blank = [i for i, h in enumerate(table.headers) if not h.text]
    words = [
        i for i in blank
        if cells.of(i) and cells.share(i, lambda t: bool(re.search(r"[^\W\d_]{2}", t))) == 1
    ]  # fmt: skip
    if len(words) != 1 or not reps:
        return
    named = [r for r in table.rows if words[0] < len(r.cells) and r.cells[words[0]].strip()]
    done = [r for r in named if reps[0] < len(r.cells) and r.cells[reps[0]].strip()]
    if len(done) >= SHOWS * len(named):
        columns.single["exercise"] = [words[0]]
        columns.said.append(
            f"{table.name}: the column without a header (column {words[0] + 1}) is read as the exercise."
        )


def _lift_pairs(table: Table, columns: Columns, unknown: list[int]) -> bool:
    """Take columns named by lift and value side by side: `Squat kg, Squat reps, Bench kg, ...`."""
    lifts: dict[str, SetPlaces] = {}
    for position in unknown:
        text = table.headers[position].text
        found = re.fullmatch(r"(.*[^\W\d_]{2}.*?)[\s:/_-]+\(?([^\W\d_.#]+)\.?\)?", text)
        value = read_header(found.group(2)) if found else Header(text)
        if found and value.column in LIFT_VALUES:
            name = found.group(1).strip(" -:/")
            lift = lifts.setdefault(name, SetPlaces({}, {"exercise": name}))
            lift.places.setdefault(value.column, position)
            if value.unit:
                columns.units[position] = value.unit
    whole = [lift for lift in lifts.values() if {"load", "reps"} <= lift.places.keys()]
    if not whole or len(whole) < len(lifts):
        return False
    columns.sets.extend(whole)
    used = {table.headers[p].text for lift in whole for p in lift.places.values()}
    columns.unknown = [text for text in columns.unknown if text not in used]
    names = ", ".join(repr(lift.fixed["exercise"]) for lift in whole[:6])
    columns.said.append(f"{table.name}: the columns of {names} are read as exercises.")
    return True


def _whole_sessions(table: Table, columns: Columns, cells: Cells) -> None:
    """Take a column whose cells hold whole sessions: `Squat 100x5; Bench 80x8`."""
    for position, header in enumerate(table.headers):
        if position in columns.single["date"] or not cells.of(position):
            continue
        if cells.share(position, lambda t: lifts_of(t) is not None) < SHOWS:
            continue
        for column in [c for c, places in columns.single.items() if position in places]:
            del columns.single[column]
        columns.single["lifts"] = [position]
        columns.unknown = [t for t in columns.unknown if t != header.text]
        columns.said.append(
            f"{table.name}: the column {header.text!r} is read as exercises with their sets."
        )
        return
