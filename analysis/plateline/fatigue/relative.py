"""Relative strength: per kilogram of body mass, and by one openly published coefficient."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from typing import Any

import polars as pl

from plateline.errors import UnknownNameError
from plateline.fatigue.tables import RELATIVE_STRENGTH
from plateline.load.counting import over
from plateline.load.door import optional_frame, polars_frame
from plateline.load.facts import known_body_mass, lift_facts
from plateline.words import conform

__all__ = [
    "FEDERATION_POINTS",
    "SEXES",
    "TOTAL",
    "PointsFormula",
    "federation_points",
    "relative_strength",
]


@dataclass(frozen=True)
class PointsFormula:
    """``points = 100 x lifted / (a - b exp(-c x body mass))``, kilograms."""

    a: float
    b: float
    c: float

    def points(self, lifted_kg: float, body_mass_kg: float) -> float:
        """Return points of `lifted_kg` at `body_mass_kg`."""
        return 100 * lifted_kg / (self.a - self.b * exp(-self.c * body_mass_kg))


FEDERATION_POINTS: dict[tuple[str, str, str], PointsFormula] = {
    ("male", "classic", "total"): PointsFormula(1199.72839, 1025.18162, 0.00921),
    ("male", "equipped", "total"): PointsFormula(1236.25115, 1449.21864, 0.01644),
    ("female", "classic", "total"): PointsFormula(610.32796, 1045.59282, 0.03048),
    ("female", "equipped", "total"): PointsFormula(758.63878, 949.31382, 0.02435),
    ("male", "classic", "bench press"): PointsFormula(320.98041, 281.40258, 0.01008),
    ("male", "equipped", "bench press"): PointsFormula(381.22073, 733.79378, 0.02398),
    ("female", "classic", "bench press"): PointsFormula(142.40398, 442.52671, 0.04724),
    ("female", "equipped", "bench press"): PointsFormula(221.82209, 357.00377, 0.02937),
}
"""Coefficients of the International Powerlifting Federation, in force since 1 May 2020."""

TOTAL = "squat + bench press + deadlift"
"""The row of `relative_strength` that adds three lifts up."""
LIFTS = {
    "squat": ("Back squat", "Low-bar squat"),
    "bench press": ("Bench press",),
    "deadlift": ("Deadlift", "Sumo deadlift"),
}
"""The catalogue's entries that stand for the three lifts of powerlifting."""

LAST_DAYS = 84
"""A total adds lifts of the same twelve weeks; an older best is another person's strength."""


def federation_points(
    lifted_kg: float, body_mass_kg: float, sex: str, *, event: str = "total", gear: str = "classic"
) -> float:
    """Return points of the International Powerlifting Federation's formula.

    Parameters
    ----------
    lifted_kg
        Total (or bench press) in kg.
    body_mass_kg
        Body mass in kg.
    sex
        `male` or `female`.
    event
        `total` or `bench press`; the formula is published for no other lift.
    gear
        `classic` or `equipped`.

    Raises
    ------
    plateline.errors.UnknownNameError
        When there is no such formula.
    """
    key = (sex, gear, event)
    if key not in FEDERATION_POINTS:
        raise UnknownNameError.among(
            "points formula", ", ".join(key), [", ".join(k) for k in FEDERATION_POINTS]
        )
    return FEDERATION_POINTS[key].points(lifted_kg, body_mass_kg)


def relative_strength(
    lift_sessions: Any, checkins: Any, clients: Any = None, *, catalogue: Any = None
) -> pl.DataFrame:
    """Return each lift's best e1RM per kg of body mass, and points where a formula is meant for it.

    Points are given for the bench press and for the total of squat, bench press and deadlift,
    which are what the federation's formula is published for, from estimated instead of judged
    lifts: they compare a client with their own earlier self, not with a competition.

    Parameters
    ----------
    lift_sessions
        LIFT_SESSIONS; the last 12 weeks of each client's log are used.
    checkins
        CHECKINS, for body mass (nearest within 28 days of the lift).
    clients
        CLIENTS, for the sex that the formula asks for.

    Returns
    -------
    polars.DataFrame
        One row per lift with its best e1RM of those weeks (the latest of equals), and one with
        `exercise` = `squat + bench press + deadlift` for clients who do all three; its body mass
        is that of the latest of them. What is not known is null with a reason.
    """
    sessions = (
        polars_frame(lift_sessions, "lift sessions")
        .lazy()
        .with_columns(pl.col("date").cast(pl.Date))
        .collect()
    )
    recent = pl.col("date") > pl.col("date").max().over("client").dt.offset_by(f"-{LAST_DAYS}d")
    best = (
        sessions.select("client", "exercise", "date", pl.col("e1rm_kg").cast(pl.Float64))
        .filter(recent)
        .sort(
            "client",
            "exercise",
            "e1rm_kg",
            "date",
            descending=[False, False, True, True],
            nulls_last=True,
        )
        .unique(["client", "exercise"], keep="first", maintain_order=True)
    )
    entries = lift_facts(best["exercise"], catalogue).select("exercise", "entry")
    stands_for = {entry: lift for lift, names in LIFTS.items() for entry in names}
    best = best.join(entries, on="exercise", how="left").with_columns(
        _lift=pl.col("entry").replace_strict(stands_for, default=None, return_dtype=pl.String)
    )
    sexes = optional_frame(clients, "clients").select("client", "sex").unique("client", keep="last")
    table = (
        pl.concat([best.drop("entry"), _totals(best)])
        .join(known_body_mass(best, checkins), on=["client", "date"], how="left")
        .join(sexes, on="client", how="left")
        .with_columns(
            sex=pl.col("sex").str.to_lowercase().str.strip_chars().replace(SEXES),
            per_body_mass=over(pl.col("e1rm_kg"), pl.col("body_mass_kg")),
            event=pl.when(pl.col("_lift") == "bench press")
            .then(pl.lit("bench press"))
            .when(pl.col("exercise") == TOTAL)
            .then(pl.lit("total")),
        )
    )
    return conform(
        table.with_columns(points=_points(), reason=_reason()).sort("client", "exercise"),
        RELATIVE_STRENGTH,
    )


SEXES = {"f": "female", "m": "male"}
"""The letters of CLIENTS, in the words of the formula."""


def _totals(best: pl.DataFrame) -> pl.DataFrame:
    """Add up the best squat, bench press and deadlift of clients who have all three."""
    return (
        best.drop_nulls(["_lift", "e1rm_kg"])
        .group_by("client", "_lift")
        .agg(pl.col("e1rm_kg").max(), pl.col("date").max())
        .group_by("client")
        .agg(pl.col("e1rm_kg").sum(), pl.col("date").max(), lifts=pl.len())
        .filter(pl.col("lifts") == len(LIFTS))
        .select(
            "client",
            exercise=pl.lit(TOTAL),
            date="date",
            e1rm_kg="e1rm_kg",
            _lift=pl.lit(None, pl.String),
        )
    )


def _points() -> pl.Expr:
    """Return points from the classic formulas, null where none is meant for the row."""
    mass, lifted = pl.col("body_mass_kg"), pl.col("e1rm_kg")
    return pl.coalesce(
        pl.when((pl.col("sex") == sex) & (pl.col("event") == event)).then(
            over(100 * lifted, formula.a - formula.b * (-formula.c * mass).exp())
        )
        for (sex, gear, event), formula in FEDERATION_POINTS.items()
        if gear == "classic"
    )


def _reason() -> pl.Expr:
    known = pl.col("sex").is_in(["male", "female"]).fill_null(False)
    return (
        pl.when(pl.col("e1rm_kg").is_null())
        .then(pl.lit("no e1RM: no set of 1-12 reps to failure in the last 12 weeks"))
        .when(pl.col("body_mass_kg").is_null())
        .then(pl.lit("no body mass within 28 days"))
        .when(pl.col("event").is_null())
        .then(pl.lit("no points formula is meant for this lift"))
        .when(~known)
        .then(pl.lit("the points formula asks for a sex, male or female"))
    )
