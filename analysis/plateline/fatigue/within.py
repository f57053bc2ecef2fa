"""Fatigue within a session: reps lost from set to set, and the back-off set against the top set."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.fatigue.tables import BACK_OFF_RATIO, DROP_OFF
from plateline.load.bouts import bouts_of
from plateline.load.counting import from_exact, worked_side
from plateline.load.door import polars_frame
from plateline.load.supersets import rows_with_supersets
from plateline.strength import reps_at_share, share_of_max
from plateline.strength.curves import CURVE_SD, STEEPNESS, curve_class, depth
from plateline.words import SetKind, conform

__all__ = ["back_off_ratio", "drop_off"]

SET_KEYS = ["client", "date", "session", "exercise", "side"]
SESSION_KEYS = ["client", "date", "session", "exercise"]

CURVE_ERROR_SD = 0.2
"""Standard deviation of ln k (the steepness of a rep curve) told by one top and back-off set.

An error of one repetition in each of two sets of about 10 and 18 reps to failure is 0.035 on
the log scale of load, where the sets are 0.18 apart; one rep is the published size of the error
in judging the reserve (Halperin et al. 2022, Sports Med 52(2):377-390)."""


def drop_off(sets: Any) -> pl.DataFrame:
    """Return how many reps were lost over the sets of a lift at one load.

    Sets without warm-ups, drop sets and back-off sets of one session, lift, side and load, in
    the order done; rounds of a superset are sets like any other, and the superset is named.

    ``drop_off = 1 - mean(R2..Rn) / R1``: 0 when all sets equal the first, 0.3 when the later
    ones have on average 30 % fewer reps. Three sets to failure of a knee extension at 80 % lost
    0.29 with three minutes of rest and 0.52 with one (9.4, 7.0, 6.4 and 10.8, 5.6, 4.8 reps;
    Rev Bras Med Esporte 2007;13(5)): so the rest must stand beside the number.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).

    Returns
    -------
    polars.DataFrame
        One row per session, lift, side and load. With one set, or no reps in the first,
        `drop_off` is null with a reason. `rir_change` is RIR of the last set less that of the
        first: a drop-off with a falling RIR is smaller than the fatigue behind it.

    Notes
    -----
    It says little where sets stop at a planned number of reps: 10, 10, 10 at 4, 2 and 0 RIR
    has no drop-off and much fatigue; `rir_change` shows it.
    """
    kinds = [SetKind.DROP.value, SetKind.BACK_OFF.value]
    rows = (
        rows_with_supersets(sets)
        .filter(~pl.col("set_kind").cast(pl.String).is_in(kinds), pl.col("reps").is_not_null())
        .with_columns(side=worked_side())
    )
    reps = pl.col("reps").cast(pl.Int64)
    first, last = reps.first(), reps.last()
    several = pl.len() > 1
    table = (
        rows.group_by(*SET_KEYS, "load_kg", maintain_order=True)
        .agg(
            superset=pl.col("superset").drop_nulls().first(),
            sets=pl.len().cast(pl.Int64),
            reps=pl.col("reps"),
            first_reps=first,
            last_reps=last,
            drop_off=pl.when(several & (first > 0)).then(1 - reps.slice(1).mean() / first),
            drop_off_to_last=pl.when(several & (first > 0)).then(1 - last / first),
            reps_lost_per_set=pl.when(several).then((first - last) / (pl.len() - 1)),
            median_rest_s=pl.col("rest_s").slice(1).median(),
            rir_change=pl.when(several).then(pl.col("rir").last() - pl.col("rir").first()),
        )
        .with_columns(
            reason=pl.when(pl.col("sets") == 1)
            .then(pl.lit("one set at this load"))
            .when(pl.col("first_reps") == 0)
            .then(pl.lit("no reps in the first set"))
        )
    )
    return conform(table.sort(*SET_KEYS, "load_kg", nulls_last=True), DROP_OFF)


def back_off_ratio(
    sets: Any, *, catalogue: Any = None, checkins: Any = None, steepness: Any = None
) -> pl.DataFrame:
    """Return back-off reps against those that the top set and the rep curve predict; 1 = as expected.

    The top set (by its kind, else the heaviest set of a session with a lighter later one of
    more reps) and its reps to failure give the day's one-repetition maximum on a rep curve; the
    curve gives the reps to failure that the back-off load allows.

    ``back_off_ratio = (reps + RIR of the back-off set) / expected_reps``. The expectation is the
    person's: the steepness of the lift's curve is learned from the top and back-off sets of the
    lift's earlier sessions and drawn towards the population's while they are few (between-person
    SD of ln k 0.22, `CURVE_ERROR_SD` a session). So it holds the fatigue that the top set always
    leaves, and 1.0 means as usual. ``population_ratio`` holds the set against the curve of many
    people, each set done fresh; it is usually below 1.

    Parameters
    ----------
    sets
        SETS frame (Polars eager or lazy, pandas, Arrow).
    catalogue, checkins
        CATALOGUE and CHECKINS, for the kind of lift and the body mass that is moved.
    steepness
        Rep curves known otherwise: a frame `client, exercise, steepness`, taken as they are.

    Returns
    -------
    polars.DataFrame
        One row per session and lift with a top and a back-off set; `curve` says whose curve
        was used. Without RIR both sets are taken as ending at failure, and the reason says so.

    Notes
    -----
    One session says little (standard deviation 9 % in simulated lifters in whom nothing changes).
    The geometric mean of a month lies more than a tenth off 1 in one to four of a hundred such
    months; in the first month of a log with a session a week, before the person's curve is known,
    in sixteen.
    """
    top, back_off = _pairs(rows_with_supersets(sets))
    bouts = bouts_of(sets, catalogue=catalogue, checkins=checkins)
    body = bouts.frame.select(
        pl.col("client", "session", "exercise").cast(pl.String), "date", "body_ug", "hands"
    )
    kinds = bouts.facts.select(
        pl.col("exercise").cast(pl.String), kind=curve_class(pl.col("equipment"))
    )
    joined = (
        top.join(back_off, on=SESSION_KEYS, nulls_equal=True)
        .join(body, on=SESSION_KEYS, how="left", nulls_equal=True)
        .join(kinds, on="exercise", how="left")
    )
    return conform(_with_ratio(_with_curve(joined, steepness)), BACK_OFF_RATIO)


def _pairs(rows: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Return the top sets and the first back-off set after each."""
    kind = pl.col("set_kind").cast(pl.String)
    rows = rows.filter(kind != SetKind.DROP.value, pl.col("reps") > 0).with_columns(
        _place=pl.int_range(pl.len()).over(SESSION_KEYS),
        _kind=kind,
    )
    has = {
        name: (pl.col("_kind") == name).any().over(SESSION_KEYS)
        for name in (SetKind.TOP.value, SetKind.BACK_OFF.value)
    }
    heaviest = pl.col("load_kg") == pl.col("load_kg").max().over(SESSION_KEYS)
    is_top = (
        pl.when(has[SetKind.TOP.value])
        .then(pl.col("_kind") == SetKind.TOP.value)
        .otherwise(heaviest & (pl.col("_kind") != SetKind.BACK_OFF.value))
    )
    # The best of several top sets is the one to predict from.
    tops = (
        rows.filter(is_top)
        .sort(
            *SESSION_KEYS,
            "load_kg",
            "reps",
            "_place",
            nulls_last=True,
            descending=[False] * 4 + [True, True, False],
        )
        .unique(SESSION_KEYS, keep="first", maintain_order=True)
        .select(
            *SESSION_KEYS,
            top_load_kg="load_kg",
            top_reps=pl.col("reps").cast(pl.Int64),
            top_rir="rir",
            _top_place="_place",
        )
    )
    later = rows.join(tops, on=SESSION_KEYS, nulls_equal=True).filter(
        pl.col("_place") > pl.col("_top_place"), pl.col("load_kg") < pl.col("top_load_kg")
    )
    is_back_off = (
        pl.when((pl.col("_kind") == SetKind.BACK_OFF.value).any().over(SESSION_KEYS))
        .then(pl.col("_kind") == SetKind.BACK_OFF.value)
        .otherwise(pl.col("reps") > pl.col("top_reps"))
    )
    offs = (
        later.filter(is_back_off)
        .sort(*SESSION_KEYS, "_place", nulls_last=True)
        .unique(SESSION_KEYS, keep="first", maintain_order=True)
        .select(
            *SESSION_KEYS,
            back_off_load_kg="load_kg",
            back_off_reps=pl.col("reps").cast(pl.Int64),
            back_off_rir="rir",
        )
    )
    return tops.drop("_top_place"), offs


def _with_curve(pairs: pl.DataFrame, steepness: Any) -> pl.DataFrame:
    """Add the reps to failure of both sets, and the steepness of each lift's rep curve."""
    both = pl.col("top_rir").is_not_null() & pl.col("back_off_rir").is_not_null()
    body = from_exact(pl.col("body_ug"))
    top_total = pl.col("hands") * pl.col("top_load_kg") + body
    off_total = pl.col("hands") * pl.col("back_off_load_kg") + body
    given = pl.DataFrame(
        schema={"client": pl.String, "exercise": pl.String, "steepness": pl.Float64}
    )
    if steepness is not None:
        given = polars_frame(steepness, "rep curves").lazy().collect()
        given = given.select("client", "exercise", "steepness").drop_nulls()
    kind = pl.col("kind").fill_null("free")
    return (
        pairs.join(given, on=["client", "exercise"], how="left")
        .with_columns(
            rir_known=both,
            population=kind.replace_strict(STEEPNESS, return_dtype=pl.Float64),
            _top=pl.col("top_reps") + pl.when(both).then(pl.col("top_rir")).otherwise(0.0),
            _off=pl.col("back_off_reps")
            + pl.when(both).then(pl.col("back_off_rir")).otherwise(0.0),
            _lighter=pl.when((top_total > 0) & (off_total > 0)).then(off_total / top_total),
        )
        .with_columns(_told=_told_steepness())
        .sort("client", "exercise", "date", "session", nulls_last=True)
        .with_columns(_learned_steepness())
    )


def _told_steepness() -> pl.Expr:
    """Return ln(k / population's k) that one pair of sets tells; null where it tells nothing."""
    apart = depth(pl.col("_off")) - depth(pl.col("_top"))
    k = -pl.col("_lighter").log() / apart
    return pl.when((apart > 0) & (k > 0)).then((k / pl.col("population")).log())


def _learned_steepness() -> list[pl.Expr]:
    """Return the steepness known before each session, and a word on where it comes from."""
    lift = ["client", "exercise"]
    told = pl.col("_told")
    earlier = told.fill_null(0.0).cum_sum().shift(1, fill_value=0.0).over(lift)
    count = told.is_not_null().cum_sum().shift(1, fill_value=0).over(lift)
    shift = earlier / (count + (CURVE_ERROR_SD / CURVE_SD) ** 2)
    return [
        pl.coalesce("steepness", pl.col("population") * shift.exp()).alias("steepness"),
        pl.when(pl.col("steepness").is_not_null())
        .then(pl.lit("given"))
        .when(count > 0)
        .then(pl.format("own, {} earlier sessions", count))
        .otherwise(pl.format("population, {}", pl.col("kind").fill_null("free")))
        .alias("curve"),
    ]


def _with_ratio(pairs: pl.DataFrame) -> pl.DataFrame:
    done = pl.col("_off")
    return (
        pairs.with_columns(
            expected_reps=_expected(pairs, "steepness"), _fresh=_expected(pairs, "population")
        )
        .with_columns(
            back_off_ratio=done / pl.col("expected_reps"),
            population_ratio=done / pl.col("_fresh"),
            reason=pl.when(pl.col("body_ug").is_null())
            .then(pl.lit("no body mass within 28 days"))
            .when(pl.col("_lighter").is_null())
            .then(pl.lit("nothing is moved in one of the sets"))
            .when(~pl.col("rir_known"))
            .then(pl.lit("no RIR logged: both sets taken as ending at failure")),
        )
        .sort(SESSION_KEYS, nulls_last=True)
    )


def _expected(pairs: pl.DataFrame, steepness: str) -> pl.Series:
    """Return the reps to failure that the back-off load allows on the curve of `steepness`."""
    k: Any = pairs[steepness].to_numpy()
    share = share_of_max(pairs["_top"].to_numpy(), k) * pairs["_lighter"].fill_null(1.0).to_numpy()
    reps = pl.Series(reps_at_share(share, k), dtype=pl.Float64)
    return reps.zip_with(
        pairs["_lighter"].is_not_null(), pl.repeat(None, len(reps), dtype=pl.Float64, eager=True)
    )
