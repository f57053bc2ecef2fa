"""The load that a set moves: that of both hands, and of the body where the lift moves it."""

from __future__ import annotations

import polars as pl

from plateline.exercises import annotate, load_catalogue
from plateline.strength.body_mass import body_mass_by_day
from plateline.strength.curves import curve_class
from plateline.words import LIFT

__all__ = ["NOMINAL_MASS_KG", "hand_count", "with_total_load"]

NOMINAL_MASS_KG = 75.0
"""Stands in for an unknown body mass where a lift is done without external load, or hung on it.

A trend can then still be seen; no kg are shown for such a lift. Where every set has an external
load and the lift is not a body-weight one (a lunge, say), that load alone is trended instead.
"""

TOTAL_SHARE = 0.6
"""A body-weight lift never done with less than this share of the nominal mass may be logged with
the body mass in its load: nothing is added there. Below, it hangs on the body: 10 kg on a belt are
a tenth more, not twice as much as 5 kg (common practice, no source)."""


def with_total_load(
    sets: pl.DataFrame, catalogue: pl.DataFrame | None, checkins: pl.DataFrame
) -> pl.DataFrame:
    """Add the load that is moved; sets that move none are left out.

    Parameters
    ----------
    sets
        With `client, exercise, date, load_kg`.
    catalogue
        CATALOGUE; the one that ships where None.
    checkins
        With `client, date, body_mass_kg`.

    Returns
    -------
    polars.DataFrame
        The sets with `total_kg`, `moved_kg` (the body mass in it), `mass_known`, `hands` and
        `kind_of_curve`.
    """
    about = _about_exercises(sets["exercise"].unique().sort(), catalogue)
    frame = sets.join(about, on="exercise", how="left", maintain_order="left").with_columns(
        pl.col("body_mass_share").fill_null(0.0),
        pl.col("kind_of_curve").fill_null("free"),
        pl.col("on_body").fill_null(value=False),
        # Without body mass the load of one hand stands for both, as it is logged.
        hands=pl.when(pl.col("body_mass_share") > 0).then("hands").otherwise(1).fill_null(1),
    )
    mass = _mass_of_the_day(frame, checkins)
    frame = frame.join(mass, on=["client", "date"], how="left", maintain_order="left")
    least = pl.col("load_kg").min().over(LIFT)
    bare = least <= 0  # some sets had no external load, or help
    hung = pl.col("on_body") & (least < TOTAL_SHARE * NOMINAL_MASS_KG * pl.col("body_mass_share"))
    nothing = (pl.col("load_kg").max().over(LIFT) <= 0) & (pl.col("body_mass_share") == 0)
    share = pl.when(nothing).then(1.0).otherwise(pl.col("body_mass_share"))
    stand_in = pl.when(bare | hung).then(NOMINAL_MASS_KG).otherwise(0.0)
    mass_kg = pl.coalesce(pl.when(~nothing).then(pl.col("body_mass_kg")), stand_in)
    return (
        frame.with_columns(
            mass_known=(pl.col("body_mass_kg").is_not_null() | (pl.col("body_mass_share") == 0))
            & ~nothing,
            moved_kg=share * mass_kg,
        )
        .with_columns(total_kg=pl.col("hands") * pl.col("load_kg") + pl.col("moved_kg"))
        .drop("body_mass_share", "body_mass_kg", "on_body")
        .filter(pl.col("total_kg") > 0)
    )


def _about_exercises(names: pl.Series, catalogue: pl.DataFrame | None) -> pl.DataFrame:
    """Return what the catalogue says of the exercises that are in the sets, one row each.

    `exercise, body_mass_share, kind_of_curve, hands, on_body` (done with the body alone).
    """
    known = load_catalogue() if catalogue is None else catalogue
    return (
        annotate(names, known)
        .select(
            "exercise",
            "body_mass_share",
            kind_of_curve=curve_class(pl.col("equipment")),
            hands=hand_count(),
            on_body=pl.col("equipment") == "body-weight",
        )
        .unique("exercise", keep="first", maintain_order=True)
    )


def hand_count() -> pl.Expr:
    """Count the loads of the logged size that are moved at once, from the catalogue's columns.

    Two for dumbbells and kettlebells, which are logged by what one hand holds, unless the
    laterality says `one-hand`; else one.
    """
    pair = pl.col("equipment").is_in(["dumbbell", "kettlebell"])
    pair &= ~pl.col("laterality").str.contains("one-hand", literal=True).fill_null(value=False)
    return pl.when(pair.fill_null(value=False)).then(2).otherwise(1)


def _mass_of_the_day(frame: pl.DataFrame, checkins: pl.DataFrame) -> pl.DataFrame:
    """Return `client, date, body_mass_kg` for the days on which body mass is part of the load.

    A weighing is carried however far: a trend with holes would be worse than one about a stale
    body mass.
    """
    days = frame.filter(pl.col("body_mass_share") > 0).select("client", "date")
    return body_mass_by_day(days, checkins)
