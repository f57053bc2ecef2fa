"""Wide logs: which columns belong to one set, one kind of set, one exercise or one day."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

from plateline.log.cells import SHOWS, Cells, shows_sets
from plateline.log.column_blocks import exercises_side_by_side
from plateline.log.column_places import Columns, SetPlaces
from plateline.log.dates import date_within
from plateline.log.headers import Header, read_header, says_done, tidy
from plateline.log.kinds import kind_of_word
from plateline.log.table import Table
from plateline.words import SetKind

__all__ = ["SET_COLUMNS", "wide_places"]

SET_COLUMNS = (
    "load", "reps", "rir", "rpe", "notation", "set_count", "set_kind", "rest_s", "feel", "note", "side",
)  # fmt: skip
"""Columns that a wide log repeats for every set."""


def wide_places(table: Table, columns: Columns, taken: set[int], cells: Cells) -> None:
    """Take the columns that stand side by side for several sets, and add them to `columns`."""
    headers = table.headers
    _planned_beside_done(table, columns, taken)
    exercises_side_by_side(table, columns, taken, SET_COLUMNS)
    _kinds_side_by_side(table, columns, taken, cells)
    _repeat_numbers(table, taken)
    wide: dict[int, SetPlaces] = {}
    groups: dict[str, SetPlaces] = {}
    days: list[SetPlaces] = []
    for position, header in enumerate(headers):
        if position in taken:
            continue
        if header.number is not None and header.column in SET_COLUMNS:
            wide.setdefault(header.number, SetPlaces({})).places.setdefault(header.column, position)
            taken.add(position)
        elif (
            header.text.isdecimal()
            and len(header.text) <= 2
            and cells.share(position, shows_sets) >= SHOWS
        ):
            wide.setdefault(int(header.text), SetPlaces({})).places.setdefault("notation", position)
            taken.add(position)
        elif header.rest and header.column in (*SET_COLUMNS, "date"):
            group = groups.setdefault(header.rest, SetPlaces({}, _meant_by(header.rest)))
            group.places.setdefault(header.column, position)
            taken.add(position)
        elif header.column is None and header.text and (day := date_within(header.text)):
            days.append(SetPlaces({"notation": position}, {"date": day}))
    if len(days) > 1:
        taken.update(d.places["notation"] for d in days)
        columns.sets.extend(days)
    for number in sorted(wide):
        _count_of_sets(wide[number], cells)
        columns.sets.append(wide[number])
    columns.sets.extend(groups.values())


def _planned_beside_done(table: Table, columns: Columns, taken: set[int]) -> None:
    """Leave out `Reps` where `Actual reps` stand beside them: they were the plan."""
    for column in ("load", "reps", "set_count", "rir", "rpe"):
        places = [
            (i, h) for i, h in enumerate(table.headers)
            if i not in taken and h.column == column and h.number is None and not h.rest
        ]  # fmt: skip
        done = [i for i, h in places if says_done(h.text)]
        if len(done) != 1 or len(places) < 2:
            continue
        plans = [(i, h.text) for i, h in places if i not in done]
        taken.update(i for i, _ in plans)
        columns.ignored.extend(text for _, text in plans)
        names = ", ".join(repr(text) for _, text in plans[:5])
        columns.said.append(
            f"{table.name}: {names} is left out as the plan, for {table.headers[done[0]].text!r} says what was "
            "done."
        )


def _meant_by(label: str) -> dict[str, str]:
    """Say what a label above several columns names: a day, a kind of set, or an exercise."""
    if (day := date_within(label)) or re.fullmatch(r"\d{1,2}[./-]\d{1,2}\.?", label):
        return {"date": day or label}
    if _kind(label) is not None:
        return {"set_kind": label}
    return {"exercise": label}


def _kind(words: str) -> SetKind | None:
    """Return the kind that words name, if it is one that columns are named after."""
    kind = kind_of_word(words)
    return None if kind is SetKind.WORKING and not tidy(words).startswith("work") else kind


def _kinds_side_by_side(table: Table, columns: Columns, taken: set[int], cells: Cells) -> None:
    """Take columns named by kinds of set: `Top set, Back-off 1`, `Top kg, Top reps, Back-off kg`."""
    groups: dict[str, SetPlaces] = {}
    units: dict[int, str] = {}
    for position, header in enumerate(table.headers):
        if position in taken or header.rest or header.column == "notation":
            continue
        words = tidy(header.text).split()
        for end in range(len(words), 0, -1):
            label = " ".join(words[:end])
            if _kind(label) is None:
                continue
            rest = words[end:]
            number = rest.pop(0) if rest and rest[0].isdecimal() else ""
            value = read_header(" ".join(rest)) if rest else Header(header.text, ("notation",))
            if value.column == "notation" and cells.share(position, _looks_like_sets) < SHOWS:
                break
            if value.column in SET_COLUMNS:
                group = groups.setdefault(f"{label} {number}", SetPlaces({}, {"set_kind": label}))
                group.places.setdefault(value.column, position)
                units |= {position: value.unit} if value.unit else {}
            break
    whole = [
        g for g in groups.values()
        if "notation" in g.places or {"load", "reps"} <= g.places.keys()
    ]  # fmt: skip
    if not whole:
        return
    used = {p for g in whole for p in g.places.values()}
    taken |= used
    columns.units |= {p: u for p, u in units.items() if p in used}
    columns.sets.extend(whole)
    names = ", ".join(repr(table.headers[p].text) for p in sorted(used)[:6])
    columns.said.append(
        f"{table.name}: the columns {names} are read as sets of the kind they name."
    )


def _looks_like_sets(text: str) -> bool:
    """Say whether a cell of a column named after a kind holds sets, such as cannot be read too."""
    return bool(re.search(r"\d\s*[x×@*]\s*\d", text)) or shows_sets(text)


def _count_of_sets(one: SetPlaces, cells: Cells) -> None:
    """Read `Sets 1` beside `Reps 1` as how many sets those are, not as a set written out."""
    position = one.places.get("notation")
    if position is not None and "reps" in one.places:
        whole = cells.share(position, lambda t: bool(re.fullmatch(r"\d{1,2}", t)))
        if whole >= SHOWS:
            one.places["set_count"] = one.places.pop("notation")


def _repeat_numbers(table: Table, taken: set[int]) -> None:
    """Count columns that repeat without a number: `kg, reps, kg, reps`."""
    free = [(i, h) for i, h in enumerate(table.headers) if i not in taken]
    plain = Counter(h.column for _, h in free if h.number is None and not h.rest)
    repeats = plain["reps"] > 1 or plain["notation"] > 1
    if not repeats:
        return
    seen: Counter[str] = Counter()
    for position, header in free:
        column = header.column
        if (
            column in SET_COLUMNS
            and header.number is None
            and not header.rest
            and plain[column] > 1
        ):
            seen[column] += 1
            table.headers[position] = replace(header, number=seen[column])
