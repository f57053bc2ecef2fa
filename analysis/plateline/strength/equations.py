"""The seven published equations that estimate a one-repetition maximum from one set.

Each is printed as load times a function of the repetitions to failure. Coefficients are the
variants named in the constants below; the multipliers of every equation at 1 to 30
repetitions stand in the tests.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import polars as pl

from plateline.errors import UnknownNameError

__all__ = ["EQUATIONS", "LARGEST_REPS", "Equation", "e1rm"]

LARGEST_REPS = 12.0
"""Repetitions to failure above which the kit shows no one-repetition maximum.

The sources give 10 as their limit. Measured on the bench press (Mitter et al., 14 people;
see tests/strength/test_equations.py) the mean absolute errors at 80 % (9 to 10 repetitions)
are 1 to 6 %, at 70 % (14 to 16) 3 to 23 %. Twelve is the outer end of "about 10 to 12".
"""

_POLE_GUARD = 36.9
"""Brzycki's and Lander's denominators reach zero at 37 to 38 repetitions."""


@dataclass(frozen=True)
class Equation:
    """One published equation.

    Attributes
    ----------
    name
        The author it is called by.
    multiplier
        Load times this (of the repetitions to failure) is the one-repetition maximum.
    source
        Where it was published, and the variant of its coefficients.
    """

    name: str
    multiplier: Callable[[Any], Any]
    source: str


def _thirtieth(reps: Any) -> Any:
    """Divide by 30, to the last bit the same in a column of one row and of many.

    Polars divides many rows by a number as a product with its reciprocal, and a single row
    truly; given once per row, the divisor divides.
    """
    return reps / (reps * 0 + 30) if isinstance(reps, pl.Expr) else reps / 30


def _exp(x: Any) -> Any:
    return x.exp() if isinstance(x, pl.Expr) else np.exp(x)


EQUATIONS: dict[str, Equation] = {
    equation.name: equation
    for equation in (
        Equation("epley", lambda r: 1 + _thirtieth(r), "Epley 1985, Poundage Chart; with 1/30"),
        Equation("brzycki", lambda r: 36 / (37 - r), "Brzycki 1993, JOPERD 64(1):88-90; 36/(37 - r)"),
        Equation("lander", lambda r: 100 / (101.3 - 2.67123 * r), "Lander 1985, NSCA Journal 6:60-61"),
        Equation("lombardi", lambda r: r**0.10, "Lombardi 1989, Beginning Weight Training"),
        Equation(
            "mayhew",
            lambda r: 100 / (52.2 + 41.9 * _exp(-0.055 * r)),
            "Mayhew et al. 1992, J Appl Sport Sci Res 6:200-206",
        ),
        Equation("oconner", lambda r: 1 + 0.025 * r, "O'Conner et al. 1989, Weight Training Today"),
        Equation(
            "wathen",
            lambda r: 100 / (48.8 + 53.8 * _exp(-0.075 * r)),
            "Wathen 1994, in Baechle (ed.), Essentials of Strength Training and Conditioning",
        ),
    )
}  # fmt: skip
"""The equations by name: epley, brzycki, lander, lombardi, mayhew, oconner, wathen."""


def e1rm(
    load_kg: Any, reps: Any, rir: Any = 0, equation: str = "epley", *, in_window_only: bool = False
) -> Any:
    """Estimate a one-repetition maximum (in the unit of `load_kg`) from one set.

    Repetitions to failure are ``reps + rir``. That substitution is common practice; no study
    that validates it was found, and lifters judge their reserve with an error of about one
    repetition (Halperin et al. 2022, Sports Med 52(2):377-390).

    Parameters
    ----------
    load_kg
        Load, with the body mass that is moved where there is any.
    reps, rir
        Repetitions done, and repetitions left in reserve.
    equation
        One of `EQUATIONS`.
    in_window_only
        Give nothing (NaN, or null in Polars) above `LARGEST_REPS` repetitions to failure.
        Where the equation has no value at all (36.9 and more for Brzycki and Lander, less
        than one) nothing is given in either case.

    Returns
    -------
    float, numpy.ndarray or polars.Expr
        Numbers give a number, arrays and series an array, Polars expressions an expression.

    Raises
    ------
    plateline.errors.UnknownNameError
        When there is no such equation.

    Notes
    -----
    All but Brzycki and Lombardi return more than the load for a single repetition to
    failure: they were fitted to sets of several. Above ten repetitions the equations part
    company: at 20 they range from 1.35 to 2.12 times the load.

    Examples
    --------
    >>> round(e1rm(100, 5), 2)
    116.67
    >>> round(e1rm(100, 8, rir=2, equation="brzycki"), 2)
    133.33
    """
    key = equation.lower().replace("'", "").replace(" ", "")
    if key not in EQUATIONS:
        raise UnknownNameError.among("equation", equation, EQUATIONS)
    multiplier = EQUATIONS[key].multiplier
    largest = LARGEST_REPS if in_window_only else _POLE_GUARD
    limited = in_window_only or key in {"brzycki", "lander"}
    if any(isinstance(value, pl.Expr) for value in (load_kg, reps, rir)):
        load, to_failure = _expression(load_kg), _expression(reps) + _expression(rir)
        valid = to_failure >= 1
        if limited:
            valid = valid & (to_failure <= largest)
        return pl.when(valid).then(load * multiplier(to_failure))
    to_failure = np.asarray(reps, dtype=float) + np.asarray(rir, dtype=float)
    valid = to_failure >= 1
    if limited:
        valid = valid & (to_failure <= largest)
    safe = np.where(valid, to_failure, 1.0)
    result = np.where(valid, np.asarray(load_kg, dtype=float) * multiplier(safe), np.nan)
    return float(result) if result.ndim == 0 else result


def _expression(value: Any) -> pl.Expr:
    """Read a Polars expression as it is, anything else as a literal."""
    return value if isinstance(value, pl.Expr) else pl.lit(value)
