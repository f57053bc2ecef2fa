"""Sets of a short form that can be read two ways, though every number has its place."""

from __future__ import annotations

from plateline.log.notation_pieces import Quantity
from plateline.log.value_reps import MANY_SETS
from plateline.log.values import SetsRefused

__all__ = ["SURE_LOAD", "USUAL_SETS", "check_many_sets", "check_times_body", "check_unit_place"]

USUAL_SETS = 10
"""In `10x12` a first number up to this can count sets; the file must show that it is a load."""

SURE_LOAD = 30.0
"""In `100x5` a first number above this is a load: nobody does so many sets or writes so many
reps before the load without a unit."""


def check_many_sets(reps: Quantity, count: int, shown: str) -> None:
    """Refuse `60kg 12x3`: so many sets of so few can be three sets of twelve, reps first."""
    if count >= MANY_SETS and reps.is_bare and reps.values[0] < count:
        raise SetsRefused(
            f"{shown!r} can be {count} sets of {reps.text} or {reps.text} sets of {count}; write it like "
            f"{reps.text}x{count}@60."
        )


def check_times_body(load: Quantity, reps: Quantity, position: int, count: int, shown: str) -> None:
    """Refuse `3xBW`: a small number before body mass can count reps, sets or body masses."""
    if load.kind != "body" or load.values[0] or position == 0 or count > 1 or not reps.is_bare:
        return
    if reps.values[0] <= USUAL_SETS / 2:
        n = f"{reps.values[0]:g}"
        raise SetsRefused(
            f"{shown!r} can be {n} reps, {n} sets or {n} times body mass; write it like BWx{n}, "
            f"{n}x8@BW, or the load in kg."
        )


def check_unit_place(load: Quantity, reps: Quantity, position: int, shown: str) -> None:
    """Refuse `225x5 lb`: the unit stands behind what can only be the reps (not so in `2x40x35kg`)."""
    count = max(reps.values, default=0.0)
    if position == 1 and load.kind == "number" and reps.kind == "number" and count > SURE_LOAD:
        value = load.values[0]
        if value < count:
            raise SetsRefused(
                f"{shown!r} has its unit behind the reps; write it behind the load: "
                f"{count:g}{load.unit} x {value:g}."
            )
