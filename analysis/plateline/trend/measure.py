"""From sets to one measurement a lift and day, with its errors, in arrays for all lifts.

Everything is in % (100 times the natural logarithm), so a slope is % a week and a standard
deviation is a coefficient of variation.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

from plateline.strength.arrays import Flags, Floats, Whole
from plateline.strength.curves import CURVE_SD, STEEPNESS
from plateline.strength.hard import first_hard, is_hard
from plateline.trend.assumptions import FATIGUE_SD_PCT, SHARED_SET_ERROR, TAIL_FREEDOM
from plateline.trend.counted import Counted, counted_sets

__all__ = ["Days", "Lifts", "measure"]


DAY_FIELDS = ("load_kg", "reps", "rir", "source_file", "source_line")


@dataclass(frozen=True)
class Lifts:
    """What is known of each lift before its trend is looked at; one entry a lift.

    Attributes
    ----------
    frame
        `client, exercise, usual_reps, kind_of_curve, mass_known, rir_share, moved_kg, hands`,
        sorted by client and exercise.
    client
        Number of the client.
    usual_bend
        Log distance (%) of the usual repetitions to failure from a single one.
    steepness
        Of the rep curve of its kind.
    curve_mean, curve_var
        The person's own correction of the curve: what a day says falls by `curve_mean` % for
        each % that the load is lighter than the usual share of strength. 0 is the population's
        curve; c is a curve that is steeper by c / (1 - c).
    """

    frame: pl.DataFrame
    client: Whole
    usual_bend: Floats
    steepness: Floats
    curve_mean: Floats
    curve_var: Floats

    @property
    def steeper(self) -> Floats:
        """By how much a person's own curve is steeper than the population's (0.1: a tenth)."""
        return self.curve_mean / (1 - self.curve_mean)

    @property
    def count(self) -> int:
        """Number of lifts."""
        return self.frame.height


@dataclass(frozen=True)
class Days:
    """One entry a lift and day, sorted by lift and day.

    Attributes
    ----------
    frame
        `date` and the fields of the first hard set of that day, for display.
    lift, day
        Number of the lift; day number (days since 1970).
    y
        What the day says about strength (%), on the population's curve, fresh.
    log_load, bend
        Weighted means of 100 ln load of the day, and of the log distance (%) of its repetitions
        to failure from a single one.
    error_var
        Variance of `y` from repetitions and reserve alone.
    first_reps
        Repetitions of the first hard set.
    logged
        Share of the sets whose reserve is known.
    hard
        Whether any set was hard, as far as is known.
    left_out
        Mistyped sets of that day, which do not count.
    """

    frame: pl.DataFrame
    lift: Whole
    day: Floats
    y: Floats
    log_load: Floats
    bend: Floats
    error_var: Floats
    first_reps: Floats
    logged: Floats
    hard: Flags
    left_out: Whole

    def take(self, sessions: Whole, lift: Whole) -> Days:
        """Return some entries, as entries of other lifts."""
        each = (
            "day", "y", "log_load", "bend", "error_var", "first_reps", "logged", "hard", "left_out",
        )  # fmt: skip
        values = {name: getattr(self, name)[sessions] for name in each}
        return Days(frame=self.frame[sessions], lift=lift, **values)


def measure(evidence: pl.DataFrame) -> tuple[Lifts, Days]:
    """Collapse the sets of each day, and learn each lift's rep curve within its days.

    Parameters
    ----------
    evidence
        From `plateline.strength.set_evidence`, in its order.
    """
    sets = counted_sets(evidence)
    hard = sets.frame.select(is_hard()).to_series().to_numpy()
    lead = first_hard(sets.first, hard)
    lift_frame = _lifts(sets, lead)
    first = sets.first

    def total(values: Floats) -> Floats:
        return np.add.reduceat(values, first)

    w = 1 / _calmed(sets)
    sw, number = total(w), total(np.ones_like(w))
    days = Days(
        frame=sets.frame.select("date", *DAY_FIELDS)[lead],
        lift=sets.lift[first],
        day=sets.day[first].astype(float),
        y=total(w * sets.y) / sw,
        log_load=total(w * sets.log_load) / sw,
        bend=100 * total(w * sets.frame["bend"].to_numpy()) / sw,
        error_var=(SHARED_SET_ERROR * number + 1 - SHARED_SET_ERROR) / sw,
        first_reps=sets.frame["reps"].to_numpy()[lead].astype(float),
        logged=total(sets.frame["rir_logged"].to_numpy().astype(float)) / number,
        hard=hard[lead],
        left_out=sets.left_out,
    )
    curve_mean, curve_var = _own_curves(sets, np.where(hard, w, 0.0))
    steepness = lift_frame["kind_of_curve"].replace_strict(STEEPNESS, return_dtype=pl.Float64)
    lifts = Lifts(
        frame=lift_frame.drop("usual_bend"),
        client=lift_frame["client"].rank("dense").to_numpy().astype(np.int64) - 1,
        usual_bend=100 * lift_frame["usual_bend"].to_numpy(),
        steepness=steepness.to_numpy(),
        curve_mean=curve_mean,
        curve_var=curve_var,
    )
    return lifts, days


def _calmed(sets: Counted) -> Floats:
    """Return the variances, larger where a set does not fit the rest of its day."""
    first = sets.first
    sizes = np.diff(np.r_[first, len(sets.y)])
    total = np.add.reduceat(1 / sets.var, first)

    def away(values: Floats) -> Floats:
        return values - np.repeat(np.add.reduceat(values / sets.var, first) / total, sizes)

    z2 = away(sets.y) ** 2 / (sets.var + (CURVE_SD * away(sets.log_load)) ** 2)
    return sets.var * np.maximum((TAIL_FREEDOM + z2) / (TAIL_FREEDOM + 1), 1.0)


def _lifts(sets: Counted, lead: Whole) -> pl.DataFrame:
    """Return the lifts, in the order of client and exercise."""
    leads = np.zeros(len(sets.y), dtype=bool)
    leads[lead] = True
    return (
        sets.frame.with_columns(leads=pl.Series(leads))
        .group_by("client", "exercise", maintain_order=True)
        .agg(
            usual_reps=pl.col("reps_to_failure").filter("leads").median(),
            usual_bend=pl.col("bend").filter("leads").median(),
            kind_of_curve=pl.col("kind_of_curve").first(),
            mass_known=pl.col("mass_known").all(),
            rir_share=pl.col("rir_logged").mean(),
            moved_kg=pl.col("moved_kg").last(),
            hands=pl.col("hands").first(),
        )
    )


def _own_curves(sets: Counted, weight: Floats) -> tuple[Floats, Floats]:
    """Learn each lift's rep curve from the sets within its days: mean and variance.

    Only hard sets have a weight. A reserve far from failure is misjudged each day alike, and
    would pass for a rep curve.
    """
    first, y, log_load, index = sets.first, sets.y, sets.log_load, sets.index

    def total(values: Floats) -> Floats:
        return np.add.reduceat(weight * values, first)

    known = np.add.reduceat(weight, first)
    known = np.where(known > 0, known, 1.0)
    per_lift = np.flatnonzero(np.r_[True, np.diff(sets.lift[first]) != 0])

    def within(left: Floats, right: Floats) -> Floats:
        apart = total(left * right) - total(left) * total(right) / known
        return np.add.reduceat(apart, per_lift)

    # Between the sets of one day: y = const + curve * log_load - fatigue * index.
    return _shrunk_curve(within(log_load, log_load), within(log_load, y), within(index, index))


def _shrunk_curve(sxx: Floats, sxy: Floats, sii: Floats) -> tuple[Floats, Floats]:
    """Shrink each lift's within-day slope towards 0, the population's curve.

    Unknown fatigue from set to set limits what such sets teach, however many there are.
    """
    taught = sxx > 1e-9
    safe = np.where(taught, sxx, 1.0)
    own_var = 1 / safe + FATIGUE_SD_PCT**2 * sii / safe
    share = np.where(taught, CURVE_SD**2 / (CURVE_SD**2 + own_var), 0.0)
    return share * sxy / safe, (1 - share) * CURVE_SD**2
