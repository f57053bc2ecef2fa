"""What the study found, in plain sentences that cannot be taken for advice."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import polars as pl

from plateline.study.design import FEWEST_LIFTERS, compared_zones
from plateline.study.effects import WITHIN, codes
from plateline.study.pooling import pool
from plateline.study.study import Study
from plateline.study.zones import ZONES

__all__ = ["adjusted", "caveats", "method", "smallest_visible", "summary"]

FEW_LIFTERS = 30
"""With fewer people than this the page opens with a warning (common practice, no source)."""

METHOD_ERROR_PCT_WEEK = 0.02
"""Largest mean error of a contrast within lifters in cohorts of 800 simulated lifters, rep ranges
chosen by training age or by past progress, rounded up (0.013; 0.017 where training age is not
known)."""

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
    """Return the findings as sentences: what was asked of whom, what came out, what it is not."""
    f = study.facts
    sentences = [
        "Did the rate of progress of a lift go with the rep range it was trained in? Looked at "
        f"here: {_n(f['used_blocks'], 'block')} of training of {_n(f['used_lifters'], 'lifter')}, "
        f"out of {_n(f['lifters'], 'lifter')} and {_n(f['sets'], 'set')} in the log.",
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
            f"Nothing can be said about rep ranges: no two rep zones have {FEWEST_LIFTERS} lifters "
            "each who kept to them for a block.",
        ]
    sentences += _left_out(study.blocks)
    sentences += [_finding(row, f["primary"]) for row in rows.iter_rows(named=True)]
    sentences.append(_usual_rate(study))
    if (visible := smallest_visible(study)) is not None:
        sentences.append(
            f"A true difference smaller than about {visible:.2f} % a week would have gone unseen "
            "here in one study out of five, or more: where none was seen, there may be one."
            if visible > METHOD_ERROR_PCT_WEEK
            else "With so many lifters the intervals are narrower than what the method itself can "
            f"be off by, up to {METHOD_ERROR_PCT_WEEK:g} % a week."
        )
    sentences.append(_spread(study))
    sentences.append(
        "These lifters chose their rep ranges themselves. The figures say how rates of progress "
        "and rep ranges went together in this log; they do not say what another range would "
        "have brought any of them."
    )
    return [sentence for sentence in sentences if sentence]


def _left_out(blocks: pl.DataFrame) -> list[str]:
    """Say which zones too few lifters trained in."""
    kept = compared_zones(blocks)
    return [
        f"Blocks of {zone} are left out of every comparison: fewer than {FEWEST_LIFTERS} lifters "
        "kept to them for a block."
        for zone in ZONES
        if zone not in kept and (blocks["zone"] == zone).any()
    ]


def _finding(row: dict[str, Any], primary: str) -> str:
    longer, shorter = row["contrast"].split(" against ")
    own = "the same lifters' blocks" if primary == WITHIN else "comparable lifters' blocks"
    if not _known(row["low"]):
        return f"{longer} and {shorter} cannot be compared here: too few lifters trained in both."
    ends = f"95 % interval {_signed(row['low'])} to {_signed(row['high'])}"
    if row["seen"] and abs(row["effect_pct_week"]) <= METHOD_ERROR_PCT_WEEK:
        return (
            f"Between blocks of {longer} and {own} of {shorter} the difference in progress was no "
            f"larger than what the method itself can be off by ({ends} % a week)."
        )
    if row["seen"]:
        more = "more" if row["effect_pct_week"] > 0 else "less"
        return (
            f"Blocks of {longer} went with {abs(row['effect_pct_week']):.2f} % a week {more} "
            f"progress than {own} of {shorter} ({ends})."
        )
    alone = row["low"] > 0 or row["high"] < 0
    but = ", which leaves out 0 only when looked at alone, not among all comparisons" * alone
    return (
        f"Between blocks of {longer} and {own} of {shorter} no difference in progress could be "
        f"told from chance ({ends} % a week{but})."
    )


def _usual_rate(study: Study) -> str:
    """Say how fast these lifters progressed, against which a difference is large or small."""
    blocks = study.blocks
    if blocks.is_empty():
        return ""
    fit = pool(
        blocks["slope_pct_week"].to_numpy(), blocks["se_pct_week"].to_numpy(),
        np.ones((blocks.height, 1)), codes(blocks, ["client"]),
    )  # fmt: skip
    mean, low, high, _ = fit.contrast(np.ones(1))
    ends = f" (95 % interval {_signed(low)} to {_signed(high)})" if _known(low) else ""
    return f"To compare: over all blocks, strength changed by {_signed(mean)} % a week{ends}."


def _spread(study: Study) -> str:
    """Say how far one more lifter may be from the mean, for the contrast that says most."""
    rows = study.differences.filter(pl.col("predict_low").is_finite())
    if rows.is_empty():
        return ""
    row = rows.sort(pl.col("predict_high") - pl.col("predict_low"), descending=True).row(
        0, named=True
    )
    longer, shorter = row["contrast"].split(" against ")
    return (
        f"One person can be far from the mean: for a new lifter like these, the difference of "
        f"{longer} from {shorter} is expected between {_signed(row['predict_low'])} and "
        f"{_signed(row['predict_high'])} % a week (95 % prediction interval, from "
        f"{_n(row['n_lifters'], 'lifter')} with both)."
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
    """Return what may bend the answer, each with what was done about it or not.

    Each begins with its name and a colon, as the sentences of `method` do.
    """
    f = study.facts
    age = f["training_age_share"]
    return [
        "Choice: nobody was assigned a rep range. Whatever differs between people and stays the "
        "same (talent, sex, most of training age) falls out of the comparison within lifters. What "
        "changes in a person along with the rep range (diet, sleep, a new plan, an injury) does not. "
        "Nor is a habit of moving just the slow lifts to another range undone: in simulated cohorts "
        "it moved “within lifters” by 0.01 % a week and “within lifts” by 0.05.",
        (
            f"Training age: known for {100 * age:.0f} % of lifters and adjusted for (a spline) "
            "wherever people are compared with each other."
            if age
            else "Training age: not known for anyone (the clients file would say), so comparisons "
            "between people are not adjusted for it; read the one within lifters."
        ),
        "Regression to the mean: reps are part of how strength is measured, and what was high by "
        "chance comes down again. The first sessions of a block tell only its rep zone, the later "
        "ones only its rate, so a good or bad day cannot count for both."
        if f["by"] != "plan"
        else "Regression to the mean: the rep zone of a block is what the plan asked for, not what "
        "was done, so a good or bad day cannot move it.",
        f"Reps in reserve: logged by {100 * f['rir_share']:.0f} % of lifters. Where they are "
        "not, reps to failure are reps and a constant, and a habit that drifts would look like "
        "progress. “Other choices” has those who log them alone.",
        _survival(f["still_logging_share"]),
        "Scale: reps are turned into strength by a rate learnt from these lifters' own sets, zone "
        "by zone, since a published equation that is wrong for long sets would favour or "
        "handicap them. “Other choices” has the published equations.",
        "Many comparisons: p values in the first table are adjusted for their number (Holm); all "
        "intervals and the p values in effects.csv are for one comparison at a time, and one in "
        "twenty of those misses by chance.",
        "Large cohorts: an interval holds chance alone. In simulated cohorts without any effect the "
        f"method itself was off by up to {METHOD_ERROR_PCT_WEEK:g} % a week within lifters, which "
        "no number of lifters makes smaller: differences of that size mean nothing, however narrow "
        "their intervals.",
        "Other people: whoever keeps a log for months is not everybody. Nothing here is about "
        "people who do not, and nothing about muscle size, pain or health.",
    ]


def _survival(still_logging_share: float | None) -> str:
    if still_logging_share is None:
        return "Survival: those who stop logging may be those who stall; this log does not tell."
    if still_logging_share > 0.995:
        return (
            "Survival: nearly all of these lifters were still logging in the last four weeks. "
            "Those who stop may be those who stall, and are hardly seen here."
        )
    return (
        f"Survival: {100 * still_logging_share:.0f} % of lifters were still logging in the last "
        "four weeks. Those who stop may be those who stall; “Other choices” has the two groups "
        "apart where both are there."
    )


def method(study: Study) -> list[str]:
    """Return how it was done, in sentences."""
    by = {
        "rep range": "ends where the rep range changed, or after 26 weeks",
        "plan": "is a block of the plan",
        "weeks": "is a fixed number of weeks",
    }[study.facts["by"]]
    predicted = (
        ""
        if study.facts["by"] == "plan"
        else " The zone of a whole block is predicted from its first three sessions (an instrument)."
    )
    return [
        f"Unit of analysis: a block of one lift of one lifter. A block {by}; it counts with six "
        "sessions over three weeks or more after its first three sessions.",
        "Exposure: the rep zone of a block (median reps of the day's heaviest sets: 1-5, 6-12, "
        "13-20, over 20), beside it reps in reserve, hard sets and sessions a week.",
        "Outcome: the slope of log strength over the block, % a week, with its standard error "
        "(robust against stray days, widened for serial correlation).",
        "Two stages: the slopes of all blocks enter a random-effects regression, weighted by their "
        "errors and the scatter of true rates (Paule and Mandel). Errors are clustered by lifter "
        f"(the jackknife up to a thousand lifters).{predicted} Adjusted for: exercise, weeks since the lift was "
        "first logged (by training age, where known), effort, sets and frequency.",
        "Models: “within lifters” sweeps out every lifter's own rate, “within lifts” every lift's; "
        "“all blocks” keeps everything and adjusts for training age; “between lifters” compares "
        "people's means; “lifters' own contrasts” averages one difference per person; the mixed "
        "model has random effects of lifters and their lifts, by restricted likelihood, on up to "
        "300 lifters. The curve is a restricted cubic spline in the logarithm of reps.",
    ]


def _n(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


def _signed(value: float) -> str:
    text = f"{abs(value):.2f}"
    return f"−{text}" if value < 0 and text != "0.00" else text


def _known(value: float | None) -> bool:
    return value is not None and math.isfinite(value)
