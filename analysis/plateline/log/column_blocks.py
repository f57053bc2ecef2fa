"""Tables side by side: `Date, Exercise, kg, reps, Date, Exercise, kg, reps`, each row a set of each.

All columns from one repeated header to the next are one block. What stands above the blocks
names a day, a week of the plan, or whose table each is.
"""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise

from plateline.errors import MissingColumnError
from plateline.log.column_places import Columns, SetPlaces
from plateline.log.dates import date_within
from plateline.log.headers import Header, read_header
from plateline.log.people import are_people, can_name_person
from plateline.log.table import Table

__all__ = ["exercises_side_by_side"]

KEYS = ("client", "date", "session", "exercise")
"""Columns that a block may have of its own, besides those of its sets."""


def exercises_side_by_side(
    table: Table, columns: Columns, taken: set[int], set_columns: tuple[str, ...]
) -> None:
    """Take rows that hold several exercises: `Exercise, kg, reps, Exercise, kg, reps`.

    All columns up to the next block are its own; those that repeat among them are its sets.

    Parameters
    ----------
    table
        The table.
    columns
        Its columns, to which the sets of every block are added.
    taken
        Positions that are settled already; those of the blocks are added.
    set_columns
        What a set may have.

    Raises
    ------
    MissingColumnError
        When words above the blocks can be clients as well as parts of the training.
    """
    kinds = {
        i: column for i, h in enumerate(table.headers)
        if i not in taken and (column := _key(h)) is not None
    }  # fmt: skip
    counted = Counter(kinds.values())
    number = counted["exercise"]
    if number < 2:
        return
    repeated = {i: k for i, k in kinds.items() if counted[k] == number}
    starts = [i for i, k in repeated.items() if k == next(iter(repeated.values()))]
    blocks: list[list[SetPlaces]] = []
    for start, end in pairwise([*starts, len(table.headers)]):
        own = {k: i for i, k in repeated.items() if start <= i < end}
        groups: dict[int, SetPlaces] = {}
        seen: Counter[str] = Counter()
        for position in range(start, end):
            column = table.headers[position].column
            if position in taken or position in kinds or column not in set_columns:
                continue
            seen[column] += 1
            group = groups.setdefault(seen[column], SetPlaces(dict(own)))
            group.places[column] = position
        blocks.append(list(groups.values()))
    is_whole = all(
        any("notation" in g.places or {"load", "reps"} <= g.places.keys() for g in groups)
        for groups in blocks
    )
    if not is_whole:
        return
    for start, block in zip(starts, blocks, strict=True):
        if re.fullmatch(r"[A-Da-d] ?[1-4]", table.headers[start].text.strip()):
            for group in block:
                group.fixed["place"] = table.headers[start].text.strip().replace(" ", "")
    fixed = _labels(table, starts, blocks)
    for block, said in zip(blocks, fixed, strict=True):
        for group in block:
            group.fixed.update(said)
            taken.update(group.places.values())
            columns.sets.append(group)
    columns.said.append(
        f"{table.name}: each row holds {number} exercises side by side, each with its own sets."
    )
    if clients := [repr(f["client"]) for f in fixed if "client" in f]:
        columns.said.append(
            f"{table.name}: the tables side by side are of the clients {', '.join(clients)}, as the line above "
            "them says."
        )


def _key(header: Header) -> str | None:
    """Return which of a block's own columns a header is."""
    if header.is_exercise:
        return "exercise"
    is_sure = header.column == "date" or len(header.columns) == 1
    return header.column if header.column in KEYS and is_sure else None


def _labels(table: Table, starts: list[int], blocks: list[list[SetPlaces]]) -> list[dict[str, str]]:
    """Return what the line above the header says of each block."""
    nothing: list[dict[str, str]] = [{} for _ in blocks]
    line = table.above[-1] if table.above and table.header_row is not None else None
    if line is None or line.line != table.header_line - 1:
        return nothing
    filled = [(i, c.strip()) for i, c in enumerate(line.cells) if c.strip()]
    ends = [*starts[1:], len(table.headers)]
    labels = [
        [text for i, text in filled if start <= i < end]
        for start, end in zip(starts, ends, strict=True)
    ]
    if any(len(each) != 1 for each in labels):
        return nothing
    texts = [each[0] for each in labels]
    if all(date_within(t) for t in texts) and not any("date" in b[0].places for b in blocks):
        return [{"date": date_within(t) or t} for t in texts]
    named = [re.fullmatch(r"([^:]{2,30}):\s*(.+)", t) for t in texts]
    if all(n and "client" in read_header(n.group(1)).columns for n in named):
        return [{"client": n.group(2).strip()} for n in named if n]
    if len(set(texts)) < len(texts) or not all(map(can_name_person, texts)):
        return nothing
    if are_people({t: _work(table, b[0]) for t, b in zip(texts, blocks, strict=True)}):
        return [{"client": t} for t in texts]
    shown = " and ".join(map(repr, texts[:2]))
    raise MissingColumnError(
        f"{table.name} has tables side by side below {shown}, which can be clients or parts of the training. "
        "Write 'Client: ' before each name if they are clients, or leave that line out if they are not."
    )


def _work(table: Table, block: SetPlaces) -> set[tuple[str, str]]:
    """Return the (date, exercise) of the rows of a block."""
    places = [block.places.get(k, -1) for k in ("date", "exercise")]
    rows = (
        tuple(r.cells[p].strip() if 0 <= p < len(r.cells) else "" for p in places)
        for r in table.rows
    )
    return {(day, lift) for day, lift in rows if lift}
