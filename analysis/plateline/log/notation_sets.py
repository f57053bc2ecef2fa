"""Which number of a chain is a load, which counts reps and which counts sets."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plateline.log.notation_doubts import (
    SURE_LOAD,
    USUAL_SETS,
    check_many_sets,
    check_times_body,
    check_unit_place,
)
from plateline.log.notation_pieces import Piece, Quantity
from plateline.log.value_effort import RPES, read_effort
from plateline.log.value_reps import MOST_REPS
from plateline.log.values import MOST_COUNTED_SETS, SetsRefused
from plateline.words import SetKind

__all__ = [
    "LARGEST_RPE",
    "NotedSet",
    "is_sure_load",
    "load_of",
    "sets_of",
]


MOST_SETS = 20
"""Sets of one exercise in one form such as 3x10@60: a first number above it is a load."""

HIGH_REPS = 20
"""In `12x50` a second number above this can be the load of 12 reps."""

LARGEST_RPE = RPES[1]
"""In `100x5@8` a number up to this can be an effort; above it, it is a load."""


@dataclass(frozen=True, slots=True)
class NotedSet:
    """One set of a short form. `load` is None where the cell gives none; `unit` kg, lb or None."""

    reps: int
    load: float | None = None
    unit: str | None = None
    rir: float | None = None
    kind: SetKind | None = None
    side: str | None = None
    flag: str | None = None
    remark: str | None = None


def is_sure_load(quantity: Quantity) -> bool:
    """Say whether a bare number can only be a load: it is large, or has a fraction."""
    value = quantity.values[0] if quantity.values else 0.0
    return quantity.is_bare and (value > SURE_LOAD or value % 1 != 0)


def load_of(quantity: Quantity) -> tuple[float, str | None]:
    """Return the load that a quantity gives, with its unit (None where it has none)."""
    unit = quantity.unit if quantity.unit in ("kg", "lb") else None
    return quantity.values[0], unit


def sets_of(
    piece: Piece, shown: str, most_sets: float, *, known_load: bool
) -> tuple[list[NotedSet], tuple[float, str | None] | None]:
    """Return the sets of one chain and the load it gives itself."""
    chain = list(piece.chain)
    if chain[0].kind == "hold" and chain[0].text.endswith("s"):
        raise SetsRefused(
            f"{shown!r} can begin with seconds, or with a pair of {chain[0].text}; only sets with repetitions "
            f"are read, so write the load with its unit, such as {chain[0].text[:-1]}lb."
        )
    if any(q.kind == "hold" for q in chain):
        raise SetsRefused(f"{shown!r} holds a time; only sets with repetitions are read.")
    for quantity in chain:
        if quantity.kind == "range":
            low, high = quantity.values
            raise SetsRefused(
                f"{shown!r} is a plan (from {low:g} to {high:g}), not a set that was done; write the "
                "reps done."
            )
    load, rir = _at(piece, shown, known_load=known_load)
    count = 1
    for place in (0, -1):
        if count == 1 and len(chain) > 1 and chain[place].unit == "sets":
            count = _whole_number(chain.pop(place), shown)
    typed = [i for i, q in enumerate(chain) if q.is_load]
    if len(typed) > 1 or (typed and load is not None):
        raise SetsRefused(f"{shown!r} gives two loads for one set; part sets with a comma.")
    if typed:
        given = chain.pop(typed[0])
        load = load_of(given)
        reps, count = _around(chain, typed[0], count, shown)
        check_times_body(given, reps, typed[0], count, shown)
        check_unit_place(given, reps, typed[0], shown)
    elif load is not None or known_load:
        reps, count = _around(chain, len(chain), count, shown)
        if load is None:
            check_many_sets(reps, count, shown)
    elif len(chain) == 1:
        reps = chain[0]
    elif len(chain) == 2:
        first, reps = chain
        if not first.is_bare:
            raise SetsRefused(f"{shown!r} is not a short form; write it like 3x10@60.")
        has_effort = piece.rir is not None
        _check_first_load(first, reps, 0.0 if count > 1 else most_sets, shown, has_effort)
        load = load_of(first)
    elif len(chain) == 3 and count == 1:
        load, reps, count = _three(chain, shown)
    else:
        raise SetsRefused(f"{shown!r} has too many numbers in a row; write it like 3x10@60.")
    noted = _with_reps(reps, shown) * count
    rir = piece.rir if piece.rir is not None else rir
    if rir is None and piece.kind is None and piece.remark is None and piece.side is None:
        return noted, load
    return [
        replace(
            s, rir=rir, kind=piece.kind, remark=piece.remark or s.remark, side=s.side or piece.side
        )
        for s in noted
    ], load


def _check_first_load(
    first: Quantity, reps: Quantity, most_sets: float, shown: str, has_effort: bool
) -> None:
    """Refuse `AxB` where A can as well count sets, or be the reps of a load B."""
    value, count = first.values[0], max(reps.values, default=0.0)
    if not most_sets or is_sure_load(first):
        return
    if reps.kind == "range":
        _with_reps(reps, shown)
    if value <= most_sets and count > SURE_LOAD:
        raise SetsRefused(
            f"{shown!r} has {count:g} where reps stand; write the load first, {count:g}x{value:g}, or "
            f"give it a unit, {value:g}x{count:g}kg."
        )
    if value <= most_sets and has_effort:
        raise SetsRefused(
            f"{shown!r} has no load, or no count of sets; write it like {value:g}x{reps.text}@60 RPE8."
        )
    if value <= most_sets:
        raise SetsRefused(
            f"{shown!r} can be {value:g} sets or a load of {value:g}; write it like "
            f"{value:g}x{reps.text}@60, or with a unit: {value:g}kg x {reps.text}."
        )
    if most_sets == USUAL_SETS and count > HIGH_REPS and count > value:
        raise SetsRefused(
            f"{shown!r} can be a load of {value:g} or {value:g} reps; write it with a unit: "
            f"{value:g}kg x {reps.text}, or {value:g}x{reps.text}kg."
        )


def _at(
    piece: Piece, shown: str, *, known_load: bool
) -> tuple[tuple[float, str | None] | None, float | None]:
    """Say what stands after `@`: a load (`3x10@60`), or an RPE (`100x5@8`)."""
    load: tuple[float, str | None] | None = None
    rir: float | None = None
    chain = piece.chain
    first_is_load = len(chain) == 2 and chain[0].is_bare and chain[0].values[0] > MOST_SETS
    first_is_load = first_is_load or any(q.is_load for q in chain) or len(chain) == 3
    for quantity in piece.at:
        if quantity.kind == "range" and not quantity.is_load:
            low, high = quantity.values
            if high <= LARGEST_RPE and rir is None:
                rir = LARGEST_RPE - (low + high) / 2
                continue
            raise SetsRefused(f"{shown!r} is a plan (a range of loads), not a set that was done.")
        if quantity.kind not in ("number", "signed", "body"):
            raise SetsRefused(f"{shown!r} has no load or RPE after @; write it like 3x10@60.")
        value = quantity.values[0]
        if not quantity.is_bare or value > LARGEST_RPE:
            if first_is_load or load is not None:
                raise SetsRefused(f"{shown!r} gives two loads for one set; write it like 3x10@60.")
            load = load_of(quantity)
        elif rir is not None:
            raise SetsRefused(f"{shown!r} gives two RPE for one set; part sets with a comma.")
        elif first_is_load or load is not None or known_load:
            rir = read_effort(quantity.text, "rpe")
        else:
            raise SetsRefused(
                f"{shown!r} has {value:g} after @, which can be a load or an RPE; write "
                f"{value:g}kg or RPE{value:g}."
            )
    return load, rir


def _around(chain: list[Quantity], position: int, count: int, shown: str) -> tuple[Quantity, int]:
    """Read what stands around a known load: sets x reps before it, reps x sets after it."""
    if len(chain) == 1:
        return chain[0], count
    if position == 0 and len(chain) > 2 and count == 1 and all(q.is_bare for q in chain):
        values = tuple(q.values[0] for q in chain)
        return Quantity("list", values, None, shown), 1
    if len(chain) != 2 or count > 1:
        raise SetsRefused(f"{shown!r} is not a short form; write it like 3x10@60.")
    first, second = chain
    if position == 0:
        return _reps_and_sets(first, second, shown)
    if position == 1 and first.is_bare and first.values[0] == 2:
        raise SetsRefused(
            f"{shown!r} can be a pair of dumbbells or two sets; write 30kg x 10 (per hand) or "
            "2x10@30kg."
        )
    return second, _whole_number(first, shown)


def _reps_and_sets(first: Quantity, second: Quantity, shown: str) -> tuple[Quantity, int]:
    """Part the two numbers after a load: people write reps x sets and sets x reps."""
    if first.unit == "reps" or second.unit == "sets":
        return first, _whole_number(second, shown)
    if second.unit == "reps" or first.unit == "sets":
        return second, _whole_number(first, shown)
    a, b = max(first.values, default=0.0), max(second.values, default=0.0)
    if a > USUAL_SETS >= b or a == b:
        return first, _whole_number(second, shown)
    if b > USUAL_SETS >= a:
        return second, _whole_number(first, shown)
    raise SetsRefused(
        f"{shown!r} can be {a:g} sets of {b:g} or {b:g} sets of {a:g}; write it like {b:g}x{a:g}@60."
    )


def _three(chain: list[Quantity], shown: str) -> tuple[tuple[float, str | None], Quantity, int]:
    """Read three bare numbers: sets x reps x load, or load x reps x sets."""
    first, middle, last = chain
    if not first.is_bare or not last.is_bare:
        raise SetsRefused(f"{shown!r} is not a short form; write it like 3x10@60.")
    a, c = first.values[0], last.values[0]
    if a == c or (a <= MOST_SETS < c) or (c % 1 and not a % 1):
        return load_of(last), middle, _whole_number(first, shown)
    if c <= MOST_SETS < a or (a % 1 and not c % 1):
        reps, count = _reps_and_sets(middle, last, shown)
        return load_of(first), reps, count
    raise SetsRefused(
        f"{shown!r} can be sets x reps x load or load x reps x sets; write it like "
        f"{a:g}x{middle.text}@{c:g}kg."
    )


def _whole_number(quantity: Quantity, shown: str) -> int:
    if quantity.kind == "range":
        raise SetsRefused(f"{shown!r} is a plan (a range of sets), not a set that was done.")
    if (
        quantity.kind != "number"
        or quantity.values[0] % 1
        or not 1 <= quantity.values[0] <= MOST_COUNTED_SETS
    ):
        raise SetsRefused(
            f"{shown!r} has no count of sets from 1 to {MOST_COUNTED_SETS}; write it like 3x10@60."
        )
    return int(quantity.values[0])


def _with_reps(quantity: Quantity, shown: str) -> list[NotedSet]:
    if quantity.kind == "range":
        raise SetsRefused(
            f"{shown!r} is a plan (reps from {quantity.values[0]:g} to {quantity.values[1]:g}), "
            "not a set that was done; write the reps done."
        )
    if quantity.is_load or quantity.unit == "sets" or not quantity.values:
        raise SetsRefused(f"{shown!r} has no reps; write it like 3x10@60.")
    if any(v % 1 for v in quantity.values):
        raise SetsRefused(f"{shown!r} has a part of a rep; count whole reps.")
    counts = [int(v) for v in quantity.values]
    if min(counts) < 1:
        raise SetsRefused(f"{shown!r} has a set without a repetition.")
    if max(counts) > MOST_REPS:
        raise SetsRefused(f"{shown!r} has more than {MOST_REPS} reps in a set; correct it.")
    if quantity.kind == "sides":
        return [NotedSet(min(counts), side=quantity.text.replace(" ", ""))]
    if quantity.kind == "cluster":
        return [NotedSet(sum(counts), flag="cluster", remark=f"cluster {quantity.text}")]
    return [NotedSet(count) for count in counts]
