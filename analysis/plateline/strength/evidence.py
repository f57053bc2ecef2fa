"""What each set says about strength, on the log scale, and how far it can be trusted.

A set of r repetitions to failure with a total load L says ``ln L + k d(r)``: the logarithm of
a one-repetition maximum on the population's rep curve of that kind of lift. `bend` is
``k d(r)`` itself, through which a person's own curve enters later.
"""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.strength.body_mass import body_mass_by_day
from plateline.strength.curves import BEND_REPS, STEEPNESS, curve_class, depth
from plateline.strength.door import beside_frame, sets_frame
from plateline.strength.equations import LARGEST_REPS
from plateline.strength.hard import HARD_SET_RIR, tiring
from plateline.words import CHECKINS, SetKind

__all__ = [
    "NOMINAL_MASS_KG",
    "UNLOGGED_RIR",
    "hand_count",
    "has_e1rm",
    "set_evidence",
    "true_rir",
]

OVERLOOKED_REPS = 0.3
RIR_STRETCH = 0.2
"""Reserve that lifters overlook: some, and more per repetition of reported reserve.

They stop earlier than they think: 0.4 repetitions at one and 0.9 at three in reserve in trained
people at the end of their sets (Refalo et al. 2024, read second-hand); pooled over predictions
of all kinds 0.95, 95 % CI 0.17 to 1.73 (Halperin et al. 2022, Sports Med 52(2):377-390). A
reported 1, 2 and 3 stand for 1.5, 2.7 and 3.9 repetitions. The constants shift every level
alike; no trend depends on them.
"""

STRETCH_LIMIT = 5.0
"""Reserves above this are guesses; nothing more is added to them."""

UNLOGGED_RIR = 2.0
"""Reserve of a hard set whose lifter never logs any: common practice, no source.

It moves the level of such a lift, never its slope.
"""

NOMINAL_MASS_KG = 75.0
"""Stands in for an unknown body mass where a lift is done without external load, or hung on it.

A trend can then still be seen; no kg are shown for such a lift. Where every set has an external
load and the lift is not a body-weight one (a lunge, say), that load alone is trended instead.
"""

TOTAL_SHARE = 0.6
"""A body-weight lift never done with less than this share of the nominal mass may be logged with
the body mass in its load: nothing is added there. Below, it hangs on the body: 10 kg on a belt are
a tenth more, not twice as much as 5 kg (common practice, no source)."""

# Errors of the repetitions to failure, as standard deviations in repetitions.
RIR_ERROR_NEAR = 0.6
"""Logged reserve close to failure (Refalo et al. 2024: absolute error 0.65 +/- 0.78)."""
RIR_ERROR_GROWTH = 0.3
"""More per repetition of reserve beyond 2 (Hackett et al. 2017, J Strength Cond Res
31(8):2162-2168: about 1 at 0 to 5 from failure, more than 2 at 7 to 10)."""
RIR_ERROR_FAR = 0.15
"""Times the square of the reserve beyond `HARD_SET_RIR`: such sets say next to nothing."""
RIR_ERROR_HIGH_REPS = 0.12
"""More per repetition above 12 (Halperin et al. 2022: errors rise steeply there)."""
RIR_ERROR_UNLOGGED = 1.2
"""Reserve that was not logged: common practice, no source."""
GAP_SD_PCT = 3.5
"""Two sets of a lift a few days apart differ by about this much for other reasons: the errors
above, twice, and a day's variation."""
GAP_REPS, GAP_PRIOR_REPS = 1.0, 1.0
"""How many more repetitions such a lifter leaves in the other sets, before looking, and the
doubt about it: at least one more than what still was worth a note."""
GAP_DAYS = 10
GAP_PAIRS = 8
"""Fewer pairs come of a lifter who took up or gave up writing the reserve: no sign of hard sets
alone."""
NOTED_RIR = 2.0
"""A client who hardly ever notes more than this may be noting hard sets alone."""
GAP_CAP_PCT = 12.0
ROUNDING_ERROR = 12**-0.5
"""Whole repetitions: a uniform error of one repetition."""
BETWEEN_SETS_PCT = 1.5
"""What is left when repetitions and reserve are known, % of the load; about two thirds of
the 2.1 % by which a measured squat maximum varies between days (Banyard et al. 2017)."""


def true_rir(rir: Any) -> Any:
    """Return the reserve that is expected behind a reported one (numbers or an expression).

    Examples
    --------
    >>> round(true_rir(2.0), 2)
    2.7
    """
    if isinstance(rir, pl.Expr):
        return rir + OVERLOOKED_REPS + RIR_STRETCH * rir.clip(upper_bound=STRETCH_LIMIT)
    return rir + OVERLOOKED_REPS + RIR_STRETCH * min(rir, STRETCH_LIMIT)


def set_evidence(
    sets: Any, *, catalogue: pl.DataFrame | None = None, checkins: Any = None
) -> pl.DataFrame:
    """Return a row per set that says anything about strength.

    Warm-ups, drop sets and sets without repetitions say nothing; sets with more than
    `HARD_SET_RIR` in reserve say next to nothing (their variance grows with the reserve).

    Parameters
    ----------
    sets
        SETS, as a Polars, pandas or Arrow frame, in any order.
    catalogue
        CATALOGUE, for the share of body mass that a lift moves and its kind of rep curve;
        left out, the one that ships.
    checkins
        CHECKINS, for the body mass of the day (interpolated between check-ins).

    Returns
    -------
    polars.DataFrame
        The sets' own columns and `total_kg` (load with the body mass that is moved,
        `moved_kg`; of both hands where a pair is held beside it), `hands`, `mass_known`, `kind_of_curve`, `reps_to_failure` (with the reserve that is expected),
        `rir_used`, `rir_logged`, `bend`, `log_strength`, `error_sd` (log scale, one set) and
        `sets_before` (what was done of the lift before on that day, in sets that tire as much as
        one of eight repetitions with two in reserve), sorted by client, exercise, date and order.

    Raises
    ------
    plateline.errors.MissingColumnError
        When a needed column is missing.
    """
    return evidence_of(sets_frame(sets), catalogue, beside_frame(checkins, CHECKINS, "check-ins"))


def evidence_of(
    clean: pl.DataFrame, catalogue: pl.DataFrame | None, checkins: pl.DataFrame
) -> pl.DataFrame:
    """Return what `set_evidence` does, of frames that have come through the door already."""
    usable = (
        (pl.col("set_kind").is_null() | ~pl.col("set_kind").is_in([SetKind.WARM_UP, SetKind.DROP]))
        & (pl.col("reps") >= 1)
        & pl.col("load_kg").is_not_null()
        & pl.col("date").is_not_null()
    )
    frame = _with_total_load(clean.filter(usable), catalogue, checkins)
    steepness = pl.col("kind_of_curve").replace_strict(STEEPNESS, return_dtype=pl.Float64)
    per_rep = steepness / (BEND_REPS + pl.col("reps_to_failure"))
    day = ["client", "exercise", "date"]
    frame = frame.with_columns(rir_logged=pl.col("rir").is_not_null(), rir_used=_expected_rir())
    return (
        _with_learned_rir(frame, steepness)
        .with_columns(reps_to_failure=pl.col("reps") + pl.col("rir_used"))
        .with_columns(bend=steepness * depth(pl.col("reps_to_failure")))
        .with_columns(
            log_strength=pl.col("total_kg").log() + pl.col("bend"),
            error_sd=(
                (_error_reps() ** 2 + ROUNDING_ERROR**2) * per_rep**2
                + (BETWEEN_SETS_PCT / 100) ** 2
            ).sqrt(),
            sets_before=(tiring().cum_sum() - tiring()).over(day),
        )
    )


def has_e1rm() -> pl.Expr:
    """Say which rows of evidence an equation for the one-repetition maximum holds for."""
    return (pl.col("reps_to_failure") <= LARGEST_REPS) & pl.col("mass_known")


def _expected_rir() -> pl.Expr:
    """Return the reserve to use: as logged, else as usual for this lift, else this client."""
    hard = pl.when(pl.col("rir") <= HARD_SET_RIR).then(pl.col("rir"))
    return true_rir(
        pl.coalesce(
            pl.col("rir"),
            hard.median().over("client", "exercise"),
            hard.median().over("client"),
            pl.lit(UNLOGGED_RIR),
        )
    )


def _with_learned_rir(frame: pl.DataFrame, steepness: pl.Expr) -> pl.DataFrame:
    """Correct the reserve of sets without one, for clients who log it on some sets only.

    Whoever notes the reserve of hard sets alone leaves more in the others than in those.
    Neighbouring sets of a lift, one with and one without, tell by how much: at equal strength
    the one that seems weaker had more in reserve. One correction a client, shrunk towards none.
    """
    lift = ["client", "exercise"]
    hard_only = pl.col("rir").quantile(0.95) <= NOTED_RIR
    some = frame.filter((hard_only & ~pl.col("rir_logged").all()).over("client"))
    if some.is_empty():
        return frame
    to_failure = pl.col("reps") + pl.col("rir_used")
    pairs = some.select(
        *lift, "date", logged="rir_logged",
        said=100 * (pl.col("total_kg").log() + steepness * depth(to_failure)),
        per_rep=100 * steepness / (BEND_REPS + to_failure),
    ).with_columns(
        pl.col("date", "logged", "said", "per_rep").shift(1).over(lift).name.suffix("_before")
    ).filter(
        (pl.col("logged") != pl.col("logged_before"))
        & (pl.col("date") - pl.col("date_before") <= pl.duration(days=GAP_DAYS))
    )  # fmt: skip
    weaker = pl.when("logged_before").then(1.0).otherwise(-1.0) * (
        pl.col("said_before") - pl.col("said")
    ).clip(-GAP_CAP_PCT, GAP_CAP_PCT)
    per_rep = pl.when("logged").then("per_rep_before").otherwise("per_rep")
    # Pairs that follow each other share a set: three count for about two.
    known = (GAP_SD_PCT / GAP_PRIOR_REPS) ** 2
    learned = pairs.group_by("client").agg(
        pairs=pl.len(),
        more_rir=((per_rep * weaker).sum() / 1.5 + known * GAP_REPS)
        / ((per_rep**2).sum() / 1.5 + known),
    )
    learned = learned.filter(pl.col("pairs") >= GAP_PAIRS).drop("pairs")
    found = frame.join(learned, on="client", how="left", maintain_order="left")
    more = pl.when("rir_logged").then(0.0).otherwise(pl.col("more_rir").fill_null(0.0))
    return found.with_columns((pl.col("rir_used") + more).clip(lower_bound=0.0)).drop("more_rir")


def _error_reps() -> pl.Expr:
    """Return the error of the repetitions to failure from the reserve, in repetitions."""
    rir = pl.col("rir").fill_null(UNLOGGED_RIR)
    return (
        pl.when("rir_logged").then(RIR_ERROR_NEAR).otherwise(RIR_ERROR_UNLOGGED)
        + RIR_ERROR_GROWTH * (rir - 2.0).clip(lower_bound=0.0)
        + RIR_ERROR_FAR * (rir - HARD_SET_RIR).clip(lower_bound=0.0) ** 2
        + RIR_ERROR_HIGH_REPS * (pl.col("reps_to_failure") - 12.0).clip(lower_bound=0.0)
    )


def _with_total_load(
    sets: pl.DataFrame, catalogue: pl.DataFrame | None, checkins: pl.DataFrame
) -> pl.DataFrame:
    """Add `total_kg`, `moved_kg` (the body mass in it), `mass_known`, `hands`, `kind_of_curve`."""
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
    lift = ["client", "exercise"]
    least = pl.col("load_kg").min().over(lift)
    bare = least <= 0  # some sets had no external load, or help
    hung = pl.col("on_body") & (least < TOTAL_SHARE * NOMINAL_MASS_KG * pl.col("body_mass_share"))
    nothing = (pl.col("load_kg").max().over(lift) <= 0) & (pl.col("body_mass_share") == 0)
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
    from plateline.exercises import annotate, load_catalogue

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
