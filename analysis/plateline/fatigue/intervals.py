"""The 90 % point of Student's t as an expression, for intervals inside a query."""

from __future__ import annotations

import polars as pl

__all__ = ["t_90"]

_NORMAL = 1.6448536269514722
_TWO_DEGREES = 0.9 * 2**0.5 / (1 - 0.9**2) ** 0.5
_ONE_DEGREE = 6.313751514675043


def t_90(degrees: pl.Expr) -> pl.Expr:
    """Return the two-sided 90 % point of Student's t (0.95 quantile).

    Exact for one and two degrees of freedom; from three on the expansion about the normal
    quantile to the third order (Abramowitz & Stegun 1964, 26.7.5), within 0.01 of the exact one.
    Null where there are no degrees of freedom.
    """
    z, n = _NORMAL, degrees.cast(pl.Float64)
    g1 = (z**3 + z) / 4
    g2 = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    g3 = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    g4 = (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160
    return (
        pl.when(degrees < 1)
        .then(None)
        .when(degrees < 2)
        .then(_ONE_DEGREE)
        .when(degrees < 3)
        .then(_TWO_DEGREES)
        .otherwise(z + g1 / n + g2 / n**2 + g3 / n**3 + g4 / n**4)
    )
