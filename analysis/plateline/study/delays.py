"""How late a change is seen, and how often a change is seen that is none."""

from __future__ import annotations

import datetime as dt

import numpy as np
import polars as pl

from plateline.study.methods import Method
from plateline.study.simulate import SLOPE_DAYS, STATE_PCT_WEEK, Simulation
from plateline.words import State

__all__ = ["alarm_figures", "weekly_alarms"]

FIRST_WEEK = 8
"""Weeks of log before the first look; nobody can say anything earlier."""
TIME_TO_SEE_WEEKS = 8
"""A delay is measured for changes that leave at least this much log after them."""
ALARMS = (State.PLATEAU.value, State.DECLINING.value)


def weekly_alarms(simulated: Simulation, sets: pl.DataFrame, method: Method) -> np.ndarray:
    """Look at every lift at the end of every week; return alarms as (lift x week).

    An alarm is a call of plateau or declining; `unclear` is none. Lifts are in the order of
    the truth frame (client, exercise).
    """
    _, truth = simulated.frames()
    key = truth.select("client", "exercise")
    weeks = simulated.paths.trend.shape[1] // 7
    out = np.zeros((key.height, weeks), bool)
    for week in range(FIRST_WEEK, weeks + 1):
        as_of = simulated.first_day + dt.timedelta(days=7 * week - 1)
        seen = sets.filter(pl.col("date") <= as_of)
        calls = method.call(simulated, seen, as_of).select("client", "exercise", "state")
        state = key.join(calls, on=["client", "exercise"], how="left", maintain_order="left")
        out[:, week - 1] = state["state"].is_in(ALARMS).fill_null(value=False).to_numpy()
    return out


def alarm_figures(simulated: Simulation, alarms: np.ndarray) -> dict[str, float]:
    """Return `delay_weeks`, `detected_share` and `false_alarms_lift_year`.

    The delay is the median time from the true change of a lift that progressed to the first
    look with an alarm (a standing alarm counts as seen at once; one never seen counts as
    endless). A false alarm is an alarm that begins while the lift truly progresses; it is
    counted per year of truly progressing time under observation.
    """
    order = _truth_order(simulated)
    onset = simulated.paths.onset_day[order]
    rate = simulated.paths.rate_pct_week[order]
    weeks = alarms.shape[1]
    looks = np.arange(FIRST_WEEK, weeks + 1)
    ends = 7 * looks - 1
    rising = np.stack(
        [rate[:, end - SLOPE_DAYS + 1 : end + 1].mean(axis=1) > STATE_PCT_WEEK for end in ends], axis=1
    )  # fmt: skip
    alarm = alarms[:, looks - 1]
    begins = alarm & ~np.pad(alarm, ((0, 0), (1, 0)))[:, :-1]
    years = rising.sum() * 7 / 365.25
    false = float((begins & rising).sum() / years) if years else float("nan")
    stops = (
        (onset >= 7 * FIRST_WEEK)
        & (onset <= 7 * (weeks - TIME_TO_SEE_WEEKS))
        & (rate[:, 0] > STATE_PCT_WEEK)
        & (rate[:, -1] <= STATE_PCT_WEEK)
    )
    after = alarm[stops] & (ends[None, :] >= onset[stops][:, None])
    first = np.where(after.any(axis=1), ends[after.argmax(axis=1)], np.inf)
    delay = np.maximum(0, first - onset[stops]) / 7
    return {
        "delay_weeks": float(np.median(delay)) if len(delay) else float("nan"),
        "detected_share": float(np.isfinite(delay).mean()) if len(delay) else float("nan"),
        "false_alarms_lift_year": false,
    }


def _truth_order(simulated: Simulation) -> np.ndarray:
    """Places of the truth frame's rows in the simulator's arrays."""
    _, truth = simulated.frames()
    from plateline.study.lifters import LIFTS

    group = simulated.group
    made = pl.DataFrame(
        {
            "client": pl.Series(group.client).gather(group.lifter),
            "exercise": pl.Series([lift[0] for lift in LIFTS]).gather(group.kind),
        }
    ).with_row_index("place")
    joined = truth.select("client", "exercise").join(
        made, on=["client", "exercise"], how="left", maintain_order="left"
    )
    return joined["place"].to_numpy().astype(int)
