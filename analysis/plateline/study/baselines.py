"""What the kit's lift states are measured against: four plain ways to call a plateau.

All four see the best estimated one-repetition maximum of each session (Epley 1985,
load x (1 + (reps + RIR)/30), RIR taken as 0 where it is not logged), as a coach with a
spreadsheet would.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
import polars as pl

from plateline.errors import NoResultError
from plateline.study.equivalence import two_one_sided_tests
from plateline.trend.assumptions import THRESHOLD_PCT_WEEK
from plateline.words import SetKind, State

__all__ = [
    "CALLS",
    "change_point_search",
    "equivalence_eight_weeks",
    "no_new_best",
    "regression_eight_weeks",
    "session_bests",
]

CALLS = {
    "client": pl.String,
    "exercise": pl.String,
    "score": pl.Float64,
    "p_progressing": pl.Float64,
    "p_declining": pl.Float64,
    "state": pl.String,
    "since": pl.Date,
}
"""What every method returns, one row per lift: `score` ranks lifts from stuck to progressing."""

RULE_DAYS = 21
REGRESSION_DAYS = 56
SIGNIFICANCE = 0.05
MIN_SEGMENT = 5
"""Least number of sessions in a segment of the change-point search."""


def session_bests(sets: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Return the best Epley e1RM of each lift and day: `client, exercise, date, e1rm_kg`."""
    return (
        sets.filter(pl.col("date") <= as_of, pl.col("set_kind") != SetKind.WARM_UP.value)
        .with_columns(
            e1rm_kg=pl.col("load_kg") * (1 + (pl.col("reps") + pl.col("rir").fill_null(0)) / 30)
        )
        .group_by("client", "exercise", "date")
        .agg(pl.col("e1rm_kg").max())
        .sort("client", "exercise", "date")
    )


def no_new_best(sets: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Rule of thumb: a plateau is no new best e1RM for 21 days.

    The probability is 0 or 1, for a rule knows no doubt; `score` is the days since the best
    (fewer is better), so its ROC is that of the rule at every number of days.
    """
    bests = session_bests(sets, as_of)
    return (
        bests.group_by("client", "exercise", maintain_order=True)
        .agg(since=pl.col("date").get(pl.col("e1rm_kg").arg_max()))
        .with_columns(days=(pl.lit(as_of) - pl.col("since")).dt.total_days())
        .select(
            "client",
            "exercise",
            score=-pl.col("days").cast(pl.Float64),
            p_progressing=(pl.col("days") <= RULE_DAYS).cast(pl.Float64),
            p_declining=pl.lit(0.0),
            state=pl.when(pl.col("days") <= RULE_DAYS)
            .then(pl.lit(State.PROGRESSING.value))
            .otherwise(pl.lit(State.PLATEAU.value)),
            since=pl.when(pl.col("days") > RULE_DAYS).then("since"),
        )
    )


def regression_eight_weeks(sets: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Least-squares slope of log e1RM over the last eight weeks, with its t test.

    Progressing (declining) where the slope is significantly above (below) zero at 5 %, two
    sided; the probability is one less the one-sided p value. It says nothing of an onset.
    """
    return _calls(*_t_test(_recent_lines(sets, as_of)))


def equivalence_eight_weeks(sets: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Do what the regression does, but call a plateau only where the slope is shown to be small.

    Two one-sided tests at 5 % against the smallest slope that counts as progress or decline
    (`plateline.trend.assumptions`); where neither test decides, the lift is unclear.
    """
    lines = _recent_lines(sets, as_of)
    shown = two_one_sided_tests(
        lines.slope, lines.error, np.maximum(lines.sessions - 2, 1),
        -THRESHOLD_PCT_WEEK, THRESHOLD_PCT_WEEK,
    )  # fmt: skip
    small = pl.Series(shown.p < SIGNIFICANCE).fill_null(value=False)
    calls = _calls(*_t_test(lines)).with_columns(small=small)
    undecided = pl.when("small").then(pl.lit(State.PLATEAU)).otherwise(pl.lit(State.UNCLEAR))
    return calls.with_columns(
        state=pl.when(pl.col("state") == State.PLATEAU).then(undecided).otherwise("state")
    ).drop("small")


@dataclass(frozen=True)
class _Lines:
    """Least-squares lines, one a lift: slope and its error in % a week, NaN where unknown."""

    lifts: pl.DataFrame
    sessions: np.ndarray
    slope: np.ndarray
    error: np.ndarray


def _recent_lines(sets: pl.DataFrame, as_of: dt.date) -> _Lines:
    """Fit a line to the log e1RM of each lift's last eight weeks."""
    recent = session_bests(sets, as_of).filter(
        pl.col("date") > as_of - dt.timedelta(days=REGRESSION_DAYS)
    )
    x = (pl.col("date") - pl.lit(as_of)).dt.total_days() / 7.0
    y = 100 * pl.col("e1rm_kg").log()
    lines = (
        recent.with_columns(x=x, y=y)
        .group_by("client", "exercise", maintain_order=True)
        .agg(
            n=pl.len(),
            sxx=((pl.col("x") - pl.col("x").mean()) ** 2).sum(),
            sxy=((pl.col("x") - pl.col("x").mean()) * pl.col("y")).sum(),
            syy=((pl.col("y") - pl.col("y").mean()) ** 2).sum(),
        )
    )
    n, sxx, sxy, syy = (lines[name].to_numpy().astype(float) for name in ("n", "sxx", "sxy", "syy"))
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = sxy / sxx
        error = np.sqrt(np.maximum(syy - slope * sxy, 1e-12) / (n - 2) / sxx)
    return _Lines(lines, n, slope, np.where(n > 2, error, np.nan))


def _t_test(lines: _Lines) -> tuple[pl.DataFrame, np.ndarray, np.ndarray]:
    """Return the lifts, the t ratio of the slope and its distribution function."""
    from scipy.stats import t as student

    ratio = lines.slope / lines.error
    return lines.lifts, ratio, np.asarray(student.cdf(ratio, np.maximum(lines.sessions - 2, 1)))


def change_point_search(sets: pl.DataFrame, as_of: dt.date) -> pl.DataFrame:
    """Piecewise-linear change points by a general-purpose library, then the last piece's slope.

    The `ruptures` package (Truong, Oudre and Vayatis 2020, Signal Processing 167:107299)
    finds none, one or two change points with its continuous piecewise-linear cost; their
    number is chosen by the Bayesian information criterion; the state is the t test of the
    last piece.

    Raises
    ------
    NoResultError
        When the library is not installed: it belongs to the test group.
    """
    try:
        import ruptures
    except ImportError as absent:
        raise NoResultError(
            "The change-point baseline needs the package ruptures; "
            "install the test group, or leave that baseline out."
        ) from absent
    from scipy.stats import t as student

    rows = []
    bests = session_bests(sets, as_of)
    for (client, exercise), lift in bests.group_by("client", "exercise", maintain_order=True):
        y = 100 * np.log(lift["e1rm_kg"].to_numpy())
        start = _last_piece(ruptures, y)
        days = lift["date"]
        weeks = (days - as_of).dt.total_days().to_numpy() / 7.0
        ratio, df = _t_ratio(weeks[start:], y[start:])
        since = days[int(start)] if start else None
        rows.append((client, exercise, ratio, float(student.cdf(ratio, df)), since))
    frame = pl.DataFrame(
        rows,
        schema={"client": pl.String, "exercise": pl.String, "t": pl.Float64, "above": pl.Float64, "since": pl.Date},
        orient="row",
    )  # fmt: skip
    return _calls(frame, frame["t"].to_numpy(), frame["above"].to_numpy())


def _last_piece(ruptures, y: np.ndarray) -> int:
    """Return where the last piece begins, the number of pieces chosen by BIC."""
    n = len(y)
    best, start = np.inf, 0
    if n < 2 * MIN_SEGMENT:
        return 0
    search = ruptures.Dynp(model="clinear", min_size=MIN_SEGMENT, jump=1).fit(y)
    for changes in range(min(3, n // MIN_SEGMENT)):
        ends = search.predict(n_bkps=changes) if changes else [n]
        knots = np.array([0, *ends[:-1]])
        ramp = np.maximum(np.arange(n)[:, None] - knots, 0)
        design = np.column_stack([np.ones(n), ramp])
        left = y - design @ np.linalg.lstsq(design, y, rcond=None)[0]
        bic = n * np.log(max(left @ left / n, 1e-12)) + (2 + 2 * changes) * np.log(n)
        if bic < best:
            best, start = bic, int(knots[-1])
    return start


def _t_ratio(x: np.ndarray, y: np.ndarray) -> tuple[float, int]:
    n = len(x)
    if n < 3:
        return 0.0, 1
    centred = x - x.mean()
    sxx = centred @ centred
    slope = centred @ y / sxx
    left = y - y.mean() - slope * centred
    return float(slope / np.sqrt(max(left @ left, 1e-12) / (n - 2) / sxx)), n - 2


def _calls(lifts: pl.DataFrame, ratio: np.ndarray, above: np.ndarray) -> pl.DataFrame:
    above = np.where(np.isfinite(above), above, 0.5)
    state = np.select(
        [above > 1 - SIGNIFICANCE / 2, above < SIGNIFICANCE / 2],
        [State.PROGRESSING.value, State.DECLINING.value],
        State.PLATEAU.value,
    )
    frame = lifts.select("client", "exercise").with_columns(
        score=pl.Series(np.where(np.isfinite(ratio), ratio, 0.0)),
        p_progressing=pl.Series(above),
        p_declining=pl.Series(1 - above),
        state=pl.Series(state),
        since=lifts["since"] if "since" in lifts.columns else pl.lit(None, pl.Date),
    )
    return frame.select(pl.col(name).cast(dtype) for name, dtype in CALLS.items())
