"""Read the short forms of the trade (`3x10@60`, `100x5`, `140kg 8,7,6`) into sets.

The grammar is `notation.lark`; NOTATION.md explains it to people. A parser built from the
grammar takes a cell apart; this module then says which number is a load, which a count of
reps and which a count of sets, and refuses what can be read two ways.
"""

from __future__ import annotations

import re
from dataclasses import replace

from plateline.log.notation_doubts import SURE_LOAD, USUAL_SETS
from plateline.log.notation_pieces import Piece, Quantity, taken_apart
from plateline.log.notation_sets import (
    LARGEST_RPE,
    NotedSet,
    is_sure_load,
    load_of,
    sets_of,
)
from plateline.log.notation_words import prepare
from plateline.log.numbers import plain, without_marks
from plateline.log.values import SetsRefused, Unreadable
from plateline.words import SetKind

__all__ = ["parse_sets", "shows_load_first"]

LONGEST_CELL = 500
"""Characters beyond which a cell is no list of sets of one exercise (20 sets take some 300)."""


_OPEN_COUNTED = re.compile(r"[x×] ?\d+ ?\+ ?[(:=] ?(\d+)(?: ?reps)? ?\)?(?![\d.,x×]| ?[x×])")
"""A set open upwards with what was done behind it: `105x5+ (9)`."""

_OPEN = re.compile(r"(?<![\d.,])\d+ ?\+(?= ?(?:$|[,;:()\]]))")


def shows_load_first(text: str) -> bool:
    """Say whether a cell shows that its writer puts the load first: `100x5`, not `3x10@60`."""
    found = re.match(
        r"\s*(\d+(?:[.,]\d+)?)\s*[x×*]\s*\d{1,3}(?![\d.]|\s*[x×*@]|\s*(?:kg|lb))", text
    )
    if not found:
        return False
    value = float(found.group(1).replace(",", "."))
    return value > SURE_LOAD or value % 1 != 0


def parse_sets(text: str, *, load_first: bool = False) -> list[NotedSet]:
    """Read every set that a cell notes.

    Parameters
    ----------
    text
        The cell.
    load_first
        Whether the file shows that `10x12` is load x reps (some first number is too large
        to count sets); else a first number up to 10 is refused, for it can count sets. One
        up to 5 is refused even then.

    Raises
    ------
    Unreadable
        When the cell is no short form, is a plan (`3x8-10@60`), or can be read two ways.
    """
    from lark.exceptions import LarkError

    if len(text) > LONGEST_CELL:
        raise Unreadable(f"{text[:40]!r}... is too long for the sets of one exercise.")
    shown = plain(text)
    if "+" in shown:
        shown = _OPEN_COUNTED.sub(r"x\1amrap", shown)
    if "+" in shown and (found := _OPEN.search(shown)):
        raise SetsRefused(
            f"{shown!r} says with {found.group().strip()!r} at least how many reps; write how many were done."
        )
    bare, cheer = without_marks(shown)
    if cheer:
        *first, last = parse_sets(bare, load_first=load_first)
        return [*first, replace(last, remark="; ".join(t for t in (last.remark, cheer) if t))]
    try:
        pieces = taken_apart(prepare(shown), shown)
    except LarkError:
        raise Unreadable(
            f"{shown!r} is not a short form; write it like 3x10@60, 100x5 or 140kg 8,7,6."
        ) from None
    return _fold(pieces, shown, load_first)


def _fold(pieces: list[Piece], shown: str, load_first: bool) -> list[NotedSet]:
    """Give every piece its load: its own, the one before it, or the `@` that closes a list."""
    sets: list[NotedSet] = []
    load: tuple[float, str | None] | None = None
    heads_list = unused = False
    waiting: list[int] = []
    surest = USUAL_SETS if not load_first else USUAL_SETS / 2
    surest = 0.0 if any(_shows_load_first(p) for p in pieces) else surest
    pieces = _join_trailing_loads(pieces)
    for position, piece in enumerate(pieces):
        following = pieces[position + 1] if position + 1 < len(pieces) else None
        if waiting and following is None and piece.before in (" ", "") and _is_one_load(piece):
            load = load_of(piece.chain[0])
            for index in waiting:
                sets[index] = replace(sets[index], load=load[0], unit=load[1])
            continue
        if piece.before in (">", "->") and len(piece.chain) == 1 and piece.chain[0].is_bare:
            raise SetsRefused(
                f"{shown!r} has a load or reps alone behind >; write it like 80x8>60x6."
            )
        if heads_list and unused and any(q.is_load for q in (*piece.chain, *piece.at)):
            raise SetsRefused(
                f"{shown!r} has a load without reps; write reps with each: 60x8, 70x8."
            )
        unused = False
        if _is_lone_load(piece, following, first=not sets and load is None):
            load, heads_list, unused = load_of(piece.chain[0]), True, True
            _check_lone_load(piece.chain[0], following, shown)
            continue
        lone = len(piece.chain) == 1
        if lone and piece.before == " " and sets and not piece.at and not heads_list:
            raise SetsRefused(
                f"{shown!r} can be read two ways; part sets with a comma, such as 60x10, 60x9."
            )
        known = load is not None and (lone or heads_list)
        noted, own = sets_of(piece, shown, surest, known_load=known)
        if own is not None and lone:
            for index in waiting:
                sets[index] = replace(sets[index], load=own[0], unit=own[1])
        if own is not None:
            noted = [replace(s, load=own[0], unit=own[1]) for s in noted]
            load, heads_list = (load, heads_list) if lone else (own, False)
            waiting = []
        elif load is not None:
            noted = [replace(s, load=load[0], unit=load[1]) for s in noted]
        elif lone:
            waiting.extend(range(len(sets), len(sets) + len(noted)))
        if piece.before in (">", "->") and _is_lighter(noted[0], sets[-1] if sets else None):
            noted = [replace(s, kind=s.kind or SetKind.DROP) for s in noted]
        sets.extend(noted)
    if not sets:
        raise SetsRefused(f"{shown!r} has a load but no reps; write it like 100x5.")
    return sets


def _shows_load_first(piece: Piece) -> bool:
    return len(piece.chain) == 2 and not piece.at and is_sure_load(piece.chain[0])


def _counts_sets(piece: Piece) -> bool:
    """Say whether a chain can be sets x reps: `3x10`, `5x8-10`."""
    first = piece.chain[0]
    return (
        len(piece.chain) == 2 and first.unit in (None, "sets") and first.kind == "number"
        and first.values[0] <= USUAL_SETS and first.values[0] % 1 == 0
    )  # fmt: skip


def _join_trailing_loads(pieces: list[Piece]) -> list[Piece]:
    """Read `3x10 60kg` and `3x10 60` as `3x10@60`."""
    joined: list[Piece] = []
    for position, piece in enumerate(pieces):
        last = joined[-1] if joined else None
        after = pieces[position + 1].before if position + 1 < len(pieces) else ";"
        quantity = piece.chain[0]
        is_trailing = (
            last is not None and len(piece.chain) == 1 and piece.before in (" ", "")
            and not piece.at and not last.at and _counts_sets(last) and after not in (" ", ":")
            and (quantity.is_load or (quantity.is_bare and quantity.values[0] > LARGEST_RPE))
        )  # fmt: skip
        if is_trailing and last is not None:
            last.at.append(quantity)
            last.rir = last.rir if piece.rir is None else piece.rir
        else:
            joined.append(piece)
    return joined


def _is_lighter(one: NotedSet, before: NotedSet | None) -> bool:
    """Say whether a set drops from the one before it: the second of `80x8 > 60x6`."""
    return bool(
        before and one.load is not None and before.load is not None and one.load < before.load
    )


def _is_one_load(piece: Piece) -> bool:
    """Say whether a piece is a load and nothing else: the `60kg` that closes `8,8,7 60kg`."""
    return len(piece.chain) == 1 and not piece.at and piece.chain[0].is_load


def _is_lone_load(piece: Piece, following: Piece | None, *, first: bool) -> bool:
    """Say whether a load stands alone before the reps it counts for: `140kg 8,7,6`, `140: 8, 7`."""
    if len(piece.chain) != 1 or piece.at or piece.rir is not None:
        return False
    quantity = piece.chain[0]
    if quantity.is_load:
        return True
    if not quantity.is_bare or following is None or not first:
        return False
    follows = following.chain[0]
    starts_reps = len(following.chain) == 1 or _counts_sets(following)
    return (
        starts_reps and not following.at and not follows.is_load
        and following.before in (" ", ":", "=")
    )  # fmt: skip


def _check_lone_load(load: Quantity, following: Piece | None, shown: str) -> None:
    """Refuse `5 7`: two small bare numbers can be load and reps, or two sets of reps."""
    if following is None or not load.is_bare:
        return
    counts = following.chain[0]
    if (
        len(following.chain) == 1
        and following.before == " "
        and load.values[0] <= max(counts.values, default=0.0)
    ):
        raise SetsRefused(f"{shown!r} can be read two ways; write it like 100x5 or 100kg 8,7.")
