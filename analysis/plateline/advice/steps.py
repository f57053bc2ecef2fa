"""Loads that can really be put on: rounding to a client's own steps."""

from __future__ import annotations

from typing import overload

import polars as pl

from plateline.words import KG_PER_LB

__all__ = ["round_to_step"]


@overload
def round_to_step(
    load_kg: float, step_kg: float, *, unit: str = ..., down: bool = ...
) -> float: ...


@overload
def round_to_step(
    load_kg: pl.Expr, step_kg: pl.Expr | float, *, unit: pl.Expr | str = ..., down: bool = ...
) -> pl.Expr: ...


def round_to_step(
    load_kg: float | pl.Expr,
    step_kg: float | pl.Expr,
    *,
    unit: str | pl.Expr = "kg",
    down: bool = True,
) -> float | pl.Expr:
    """Round a load to the steps in which it can be changed, in the client's own unit.

    Parameters
    ----------
    load_kg
        Load in kg, a number or a Polars expression.
    step_kg
        The step in kg (plates for a barbell, the stack of a machine, the rack of dumbbells).
    unit
        `kg` or `lb`. For `lb` the step is first rounded to whole half pounds, so that a step
        noted as 2.27 kg is 5 lb and the result is a round number of pounds.
    down
        Round down, the careful way; else to the nearest step.

    Returns
    -------
    float or polars.Expr
        The load in the client's unit (pounds for `lb`), a whole number of steps; never
        below zero steps for a positive load. Null or NaN where the step is not above 0.

    Examples
    --------
    >>> round_to_step(83.9, 2.5)
    82.5
    >>> round_to_step(83.9, 2.2679, unit="lb")
    180.0
    """
    if isinstance(load_kg, pl.Expr):
        step = step_kg if isinstance(step_kg, pl.Expr) else pl.lit(step_kg)
        pounds = (unit if isinstance(unit, pl.Expr) else pl.lit(unit)) == "lb"
        return _rounded(load_kg, step, pounds.fill_null(False), down)
    frame = pl.select(
        _rounded(
            pl.lit(load_kg, pl.Float64), pl.lit(step_kg, pl.Float64), pl.lit(unit == "lb"), down
        )
    )
    value = frame.item()
    return float("nan") if value is None else value


def _rounded(load_kg: pl.Expr, step_kg: pl.Expr, pounds: pl.Expr, down: bool) -> pl.Expr:
    load = pl.when(pounds).then(load_kg / KG_PER_LB).otherwise(load_kg)
    half_pounds = (step_kg / KG_PER_LB * 2).round() / 2
    step = pl.when(pounds).then(half_pounds).otherwise(step_kg)
    steps = load / step
    # A load that is a whole number of steps but for floating point stays what it is.
    whole = (steps + 1e-6).floor() if down else (steps + 0.5 + 1e-9).floor()
    return pl.when(step > 0).then(whole * step)
