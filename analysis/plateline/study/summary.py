"""What the study found, in plain sentences that cannot be taken for advice."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import polars as pl

from plateline.study.effects import WITHIN
from plateline.study.study import Study

__all__ = ["adjusted", "caveats", "method", "smallest_visible", "summary"]

FEW_LIFTERS = 30
"""With fewer people than this the page opens with a warning (common practice, no source)."""

SEEN = 0.05
"""Level of the adjusted p below which a difference is said to be seen."""


def adjusted(study: Study) -> pl.DataFrame:
    """Return the primary model's zone contrasts with `p_holm` and `seen`.

    Holm's step-down procedure over the contrasts (Holm 1979, Scand J Stat 6:65-70).
    """
    rows = _primary_contrasts(study)
    # an unknown p counts as a comparison that found nothing
    p = rows["p"].fill_null(1.0).fill_nan(1.0).to_numpy()
    order = np.argsort(p, kind="stable")
    stepped = np.maximum.accumulate((len(p) - np.arange(len(p))) * p[order])
    holm = np.empty(len(p))
    holm[order] = np.minimum(stepped, 1.0)
    return rows.with_columns(p_holm=pl.Series(holm)).with_columns(
        seen=(pl.col("p_holm") < SEEN) & pl.col("low").is_finite()
    )


def _primary_contrasts(study: Study) -> pl.DataFrame:
    return study.effects.filter(
        pl.col("model") == study.facts["primary"], pl.col("term") == "rep zone"
    )


def summary(study: Study) -> list[str]:
    """Return the findings as sentences, the most important first."""
    f = study.facts
    sentences = [
        f"{_n(f['used_lifters'], 'lifter')} with {_n(f['used_blocks'], 'block')} of training could "
        f"be used, out of {_n(f['lifters'], 'lifter')} and {_n(f['sets'], 'set')} in the log."
    ]
    if f["used_lifters"] < FEW_LIFTERS:
        sentences.append(
            f"That is too few people to answer such a question: intervals from {f['used_lifters']} "
            "lifters are rough guesses, and what follows is about them and nobody else."
        )
    rows = adjusted(study)
    if rows.is_empty():
        return [
            *sentences,
            "Nothing can be said about rep ranges: the blocks do not differ in rep zone.",
        ]
    sentences += [_finding(row, f["primary"]) for row in rows.iter_rows(named=True)]
    if (visible := smallest_visible(study)) is not None:
        sentences.append(
            f"A true difference smaller than about {visible:.2f} % a week between neighbouring "
            "zones would have gone unseen here in one study out of five, or more."
        )
    sentences += [said for row in study.differences.iter_rows(named=True) if (said := _spread(row))]
    sentences.append(
        "These lifters chose their rep ranges themselves. The figures say how rates of progress "
        "and rep ranges went together in this log; they do not say what another range would "
        "have brought any of them."
    )
    return sentences


def _finding(row: dict[str, Any], primary: str) -> str:
    longer, shorter = row["contrast"].split(" against ")
    of = " of the same lifters" if primary == WITHIN else ", training age and the rest being equal"
    if not _known(row["low"]):
        return f"{longer} and {shorter} cannot be compared here: too few lifters trained in both."
    ends = f"95 % interval {_signed(row['low'])} to {_signed(row['high'])} % a week"
    if row["seen"]:
        more = "more" if row["effect_pct_week"] > 0 else "less"
        return (
            f"Blocks of {longer} went with {abs(row['effect_pct_week']):.2f} % a week {more} "
            f"progress than blocks of {shorter}{of} ({ends})."
        )
    return (
        f"Between blocks of {longer} and of {shorter}{of} no difference in progress could be "
        f"told from chance ({ends})."
    )


def _spread(row: dict[str, Any]) -> str:
    if not _known(row["predict_low"]):
        return ""
    return (
        f"From person to person: for a new lifter like these, the difference between "
        f"{row['contrast'].replace(' against ', ' and ')} is expected between "
        f"{_signed(row['predict_low'])} and {_signed(row['predict_high'])} % a week "
        f"(95 % prediction interval, from {_n(row['n_lifters'], 'lifter')} with both)."
    )


def smallest_visible(study: Study) -> float | None:
    """Return the difference that a study like this one sees four times in five, % a week.

    2.8 standard errors of the best-measured contrast: 1.96 for the level of 5 %, 0.84 for
    the power of 80 %.
    """
    rows = _primary_contrasts(study)
    widths = (rows["high"] - rows["low"]).drop_nulls().drop_nans() if rows.height else []
    return 2.8 * float(min(widths)) / 3.92 if len(widths) else None


def caveats(study: Study) -> list[str]:
    """Return what may bend the answer, each with what was done about it or not."""
    f = study.facts
    age = f["training_age_share"]
    naive = "The naive comparison in the table shows what happens without that."
    return [
        "Choice: nobody was assigned a rep range. Whatever differs between people and stays the "
        "same (training age, talent, sex) falls out of the comparison within lifters; what "
        "changes in a person along with the rep range (diet, sleep, a new plan) does not. " + naive,
        (
            f"Training age is known for {100 * age:.0f} % of lifters and adjusted for (a spline) "
            "wherever people are compared with each other."
            if age
            else "Training age is not known for anyone (the clients file would say), so comparisons "
            "between people are not adjusted for it; read the one within lifters."
        ),
        "Regression to the mean: reps are part of how strength is measured. The first sessions of "
        "a block tell only its rep zone, the later ones only its rate, so a good or bad day cannot "
        "count for both."
        if f["by"] != "plan"
        else "Regression to the mean: the rep zone of a block is what the plan asked for, not what "
        "was done, so a good or bad day cannot move it.",
        f"Reps in reserve are logged by {100 * f['rir_share']:.0f} % of lifters. Where they are "
        "not, reps to failure are reps and a constant; a habit that drifts would look like "
        "progress. The sensitivity table has the loggers alone.",
        f"Survival: {100 * f['still_logging_share']:.0f} % of lifters were still logging in the "
        "last four weeks. Those who stop may be those who stall; the sensitivity table has the "
        "two groups apart where both are there.",
        "Scale: reps are turned into strength by a rate learnt from these lifters' own sets, zone "
        "by zone, since a published equation that is wrong for long sets would favour or "
        "handicap them. The sensitivity table has the equations.",
        "Many comparisons: p values in the first table are adjusted (Holm); those in effects.csv "
        "and in all other tables are not.",
    ]


def method(study: Study) -> list[str]:
    """Return how it was done, in sentences."""
    by = {
        "rep range": "ends where the rep range changed, or after 26 weeks",
        "plan": "is a block of the plan",
        "weeks": "is a fixed number of weeks",
    }[study.facts["by"]]
    return [
        f"Unit of analysis: a block of one lift of one lifter. A block {by}; it counts with six "
        "sessions over three weeks or more after its first three sessions.",
        "Exposure: the rep zone (median reps of the day's heaviest sets), reps to failure, reps in "
        "reserve at the start, hard sets and sessions a week.",
        "Outcome: the slope of log strength over the block, % a week, with its standard error "
        "(robust against stray days, widened for serial correlation).",
        "Models: two-stage random effects (Paule and Mandel) with errors clustered by lifter, "
        "within lifters, within lifts, between lifters and over all; the mean of lifters' own "
        "contrasts; a mixed model by restricted likelihood on up to 300 lifters; a restricted "
        "cubic spline in reps.",
    ]


def _n(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


def _signed(value: float) -> str:
    text = f"{abs(value):.2f}"
    return f"−{text}" if value < 0 and text != "0.00" else text


def _known(value: float | None) -> bool:
    return value is not None and math.isfinite(value)
