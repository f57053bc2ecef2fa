"""The steps in which a client changes the load of a lift, as the log shows them."""

from __future__ import annotations

import polars as pl

from plateline.advice import round_to_step
from plateline.words import KG_PER_LB, SetKind, State

__all__ = ["lift_steps", "rounded_levers", "rounded_loads"]

# Fewer distinct loads than this say nothing about the steps between them.
_LOADS_NEEDED = 3

# Where neither the log, the clients file nor the catalogue knows: the smallest usual pair of
# plates on a barbell, in each unit (common practice, no source).
_USUAL_STEP_KG = 2.5


BEYOND_TREND = 1.15
"""How far above its interval a load that was held may stay, of a lift that moves: beginners climb
faster than any trend follows; further up a slip in the log is likelier (common practice, no
source)."""


SIMILAR_REPS = 2
"""A set of so many repetitions more is still one for the same range."""


def lift_steps(
    sets: pl.DataFrame, clients: pl.DataFrame, catalogue_steps: pl.DataFrame
) -> pl.DataFrame:
    """Return the step of each lift: `client, exercise, step_kg, unit`.

    The log comes first: a lower quartile of the gaps between the loads that were used, in
    the client's unit, where at least three different loads were. Then, for dumbbells, the
    catalogue's; else the clients file's `load_step_kg`, the catalogue's, or 2.5 kg. Steps of
    the catalogue, which are metric, become 2.5, 5 or 10 lb for those who lift in pounds.

    Parameters
    ----------
    sets
        SETS.
    clients
        `client, unit, load_step_kg`.
    catalogue_steps
        `exercise, equipment, load_step_kg` for the labels of the log.
    """
    pounds = pl.col("unit") == "lb"
    per_kg = pl.when(pounds).then(1 / KG_PER_LB).otherwise(1.0)
    in_pounds = (pl.col("catalogue_step") / KG_PER_LB / 2.5).round().clip(lower_bound=1) * 2.5
    listed = pl.when(pounds).then(in_pounds * KG_PER_LB).otherwise(pl.col("catalogue_step"))
    by_hand = pl.when(pl.col("equipment") == "dumbbell").then(listed)
    loads = (
        sets.filter(pl.col("load_kg") > 0, pl.col("set_kind") != SetKind.WARM_UP.value)
        .join(clients.select("client", "unit"), on="client", how="left")
        .select("client", "exercise", "unit", load=(pl.col("load_kg") * per_kg * 4).round() / 4)
        .unique()
        .sort("client", "exercise", "load")
        .with_columns(gap=pl.col("load").diff().over("client", "exercise"))
    )
    seen = loads.group_by("client", "exercise", maintain_order=True).agg(
        pl.when(pl.len() >= _LOADS_NEEDED).then(pl.col("gap").quantile(0.25, "lower")).alias("gap"),
        pl.col("unit").first(),
    )
    return (
        seen.join(clients.select("client", client_step="load_step_kg"), on="client", how="left")
        .join(
            catalogue_steps.select("exercise", "equipment", catalogue_step="load_step_kg").unique(
                "exercise"
            ),
            on="exercise",
            how="left",
        )
        .select(
            "client",
            "exercise",
            step_kg=pl.coalesce(
                pl.col("gap") / per_kg, by_hand, "client_step", listed, pl.lit(_USUAL_STEP_KG)
            ),
            unit=pl.col("unit").fill_null("kg"),
        )
    )


def rounded_loads(targets: pl.DataFrame, steps: pl.DataFrame) -> pl.DataFrame:
    """Add the loads rounded to the client's steps, in the client's unit.

    Where the last set has no reserve written down, what it left is a guess: the load goes up by
    one step at most. Everything goes to the nearest step, but the target goes down where the nearest step
    would lie above its interval, and stays at the load that was `held` last where that lies
    within it (or, of a lift that moves, not far above): a set that was done as prescribed is no
    reason to take load off. A lift that does not move gets no more than last time until its rep
    range is full. Adds
    `unit, step_kg, load, low, high, later`.
    """
    step, unit = pl.col("step_kg"), pl.col("unit")
    nearest = round_to_step(pl.col("load_kg"), step, unit=unit, down=False)
    per_kg = pl.when(unit == "lb").then(1 / KG_PER_LB).otherwise(1.0)
    down = round_to_step(pl.col("load_kg"), step, unit=unit)
    careful = pl.when(nearest > pl.col("load_high") * per_kg).then(down).otherwise(nearest)
    # Loads are written down in quarters of a unit at most.
    last = (pl.col("last_load_kg") * per_kg * 4).round() / 4
    blind = pl.col("last_rir").is_null() & (pl.col("last_reps") <= pl.col("reps") + SIMILAR_REPS)
    careful = (
        pl.when(blind & (careful > last))
        .then(pl.min_horizontal(careful, last + step * per_kg))
        .otherwise(careful)
    )
    high = round_to_step(pl.col("load_high"), step, unit=unit, down=False)
    low = round_to_step(pl.col("load_low"), step, unit=unit, down=False)
    moving = pl.col("state") == State.PROGRESSING
    reach = pl.when(moving).then(BEYOND_TREND).otherwise(1.0)
    held = pl.col("held") & (last > careful) & (last <= high * reach)
    # What does not move is not loaded more than last time before the range is full.
    stuck = pl.col("state").is_in([State.PLATEAU, State.DECLINING])
    full = pl.col("last_reps") >= pl.col("reps_high")
    waits = stuck & ~full & (last < careful) & (last >= low)
    stays = held | waits.fill_null(value=False)
    return targets.join(
        steps, on=["client", "exercise"], how="left", maintain_order="left"
    ).with_columns(
        # Two kinds of set of one prescription get one load.
        load=pl.when(stays)
        .then(last)
        .otherwise(careful)
        .max()
        .over("client", "exercise", "reps_low", "reps_high", "rir"),
        low=low,
        high=high,
        later=round_to_step(pl.col("later_kg"), step, unit=unit, down=False),
    )


def rounded_levers(
    levers: pl.DataFrame, tried: pl.DataFrame, targets: pl.DataFrame, steps: pl.DataFrame
) -> pl.DataFrame:
    """Add to the levers the load to try them with: `try_load`, `try_reps`, in the client's unit.

    Rounded down, since a new rep range or lift is begun lighter than the numbers allow; null
    where the log does not know the lift.

    Parameters
    ----------
    levers
        The advice room's levers.
    tried
        From `lever_prescriptions`.
    targets
        TARGETS for them, `exercise` being the lift that would be done.
    steps
        From `lift_steps`.
    """
    known = targets.unique(["client", "exercise", "reps", "rir"], keep="first")
    loads = (
        tried.join(
            known,
            left_on=["client", "tried", "reps", "rir"],
            right_on=["client", "exercise", "reps", "rir"],
            how="left",
        )
        .join(steps, left_on=["client", "tried"], right_on=["client", "exercise"], how="left")
        .select(
            "client",
            "exercise",
            "lever",
            try_load=round_to_step(pl.col("load_kg"), pl.col("step_kg"), unit=pl.col("unit")),
            try_unit="unit",
            try_reps="reps",
        )
    )
    return levers.join(loads, on=["client", "exercise", "lever"], how="left", maintain_order="left")
