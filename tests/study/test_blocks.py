from __future__ import annotations

import datetime as dt

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from plateline.errors import UsageError
from plateline.study.blocks import (
    BLOCK_MOMENTS,
    EXPOSURE_SESSIONS,
    block_moments,
    split_blocks,
)
from plateline.study.portions import gather, portions
from plateline.study.rep_sessions import study_sessions
from plateline.study.zones import ZONES, zone_of
from plateline.words import PLAN, SETS, conform

from . import groups

FIRST = dt.date(2026, 1, 5)


def log(days: list[tuple[int, float, int, float | None]], exercise: str = "Squat") -> pl.DataFrame:
    """Return SETS of one lift: (day, kg, reps, RIR)."""
    rows = [
        {
            "client": "A", "exercise": exercise, "date": FIRST + dt.timedelta(days=day),
            "set_order": 1, "set_kind": "working", "load_kg": kg, "reps": reps, "rir": rir,
        }
        for day, kg, reps, rir in days
    ]  # fmt: skip
    frame = pl.DataFrame(rows, infer_schema_length=None)
    return conform(
        frame.with_columns(pl.lit(None).alias(n) for n in SETS if n not in frame.columns), SETS
    )


HEAVY_THEN_LONG = [(4 * i, 100 + 2.5 * (i // 3), 4 + i % 3, 1.0) for i in range(15)] + [
    (60 + 4 * i, 80 + 2.5 * (i // 4), 13 + i % 3, 1.0) for i in range(15)
]


def test_zones_at_their_edges() -> None:
    reps = pl.DataFrame({"reps": [1.0, 5.5, 5.6, 12.5, 12.6, 20.5, 21.0, None]})
    assert reps.select(zone_of(pl.col("reps"))).to_series().to_list() == [
        ZONES[0], ZONES[0], ZONES[1], ZONES[1], ZONES[2], ZONES[2], ZONES[3], None,
    ]  # fmt: skip


def test_a_change_of_rep_range_begins_a_block() -> None:
    split = split_blocks(study_sessions(log(HEAVY_THEN_LONG)))
    starts = split.group_by("block", maintain_order=True).agg(pl.col("date").first())
    assert starts["date"].to_list() == [FIRST, FIRST + dt.timedelta(days=60)]
    blocks = block_moments(split)
    assert blocks["zone"].to_list() == ["1-5 reps", "13-20 reps"]
    assert blocks["sessions"].to_list() == [15 - EXPOSURE_SESSIONS] * 2


def test_fewer_reps_with_the_same_load_is_no_change() -> None:
    tired = [(4 * i, 100.0, 8, 1.0) for i in range(15)] + [
        (60 + 4 * i, 100.0, 5, 1.0) for i in range(15)
    ]
    assert split_blocks(study_sessions(log(tired)))["block"].n_unique() == 1


def test_a_light_week_is_no_change_and_no_loss() -> None:
    days = [(4 * i, 100 + 0.5 * i, 8, 1.0) for i in range(24)]
    plain = block_moments(split_blocks(study_sessions(log(days))))
    eased = [(d, 80.0, 8, 6.0) if 40 <= d < 48 else (d, kg, r, rir) for d, kg, r, rir in days]
    with_rest = study_sessions(log(eased))
    assert with_rest["light"].sum() == 2
    blocks = block_moments(split_blocks(with_rest))
    assert blocks.height == 1
    assert blocks["slope_load"].item() == pytest.approx(plain["slope_load"].item(), rel=0.02)


def test_the_rate_of_a_straight_line_is_exact() -> None:
    """Load growing by 0.7 % a week at the same reps: the slope of log load is just that."""
    days = [(4 * i, 100 * 1.007 ** (4 * i / 7), 8, 1.0) for i in range(20)]
    block = block_moments(split_blocks(study_sessions(log(days)))).row(0, named=True)
    import math

    assert block["slope_load"] == pytest.approx(math.log(1.007), rel=1e-9)
    assert block["slope_depth"] == pytest.approx(0.0, abs=1e-12)
    assert block["sessions_week"] == pytest.approx(7 / 4)
    assert block["hard_sets_week"] == pytest.approx(7 / 4)


def test_a_typing_error_hardly_moves_the_rate() -> None:
    days = [(4 * i, 100 + 0.5 * i, 8, 1.0) for i in range(24)]
    clean = block_moments(split_blocks(study_sessions(log(days))))
    typo = [(d, kg * 10, r, rir) if d == 60 else (d, kg, r, rir) for d, kg, r, rir in days]
    dirty = block_moments(split_blocks(study_sessions(log(typo))))
    assert dirty["slope_load"].item() == pytest.approx(clean["slope_load"].item(), rel=0.02)


def test_exposure_and_outcome_share_no_session() -> None:
    """A wild start changes the zone it tells, and nothing of the rate."""
    days = [(4 * i, 100 + 0.5 * i, 8, 1.0) for i in range(20)]
    wild = [
        (d, kg, 14 if i < EXPOSURE_SESSIONS else r, rir) for i, (d, kg, r, rir) in enumerate(days)
    ]
    calm, stirred = (block_moments(split_blocks(study_sessions(log(d)))) for d in (days, wild))
    assert stirred["start_zone"].item() == "13-20 reps"
    assert stirred["zone"].item() == calm["zone"].item() == "6-12 reps"
    assert stirred["slope_load"].item() == pytest.approx(calm["slope_load"].item())


def test_blocks_by_weeks_and_by_plan() -> None:
    sessions = study_sessions(log(HEAVY_THEN_LONG))
    by_weeks = split_blocks(sessions, "weeks", weeks=6.0)
    assert by_weeks["block"].n_unique() == 3
    rows = [
        {"client": "A", "exercise": "Squat", "start": FIRST, "weeks": 8, "reps_low": 4, "reps_high": 6},
        {"client": "A", "exercise": "Squat", "start": FIRST + dt.timedelta(days=60), "weeks": 20,
         "reps_low": 12, "reps_high": 15},
    ]  # fmt: skip
    frame = pl.DataFrame(rows)
    plan = conform(
        frame.with_columns(pl.lit(None).alias(n) for n in PLAN if n not in frame.columns), PLAN
    )
    planned = split_blocks(sessions, "plan", plan=plan)
    assert planned.height == 14 + 15  # the day after the first block's end is in no block
    blocks = block_moments(planned)
    assert blocks["reps"].to_list() == [5.0, 13.5]
    assert blocks["start_zone"].to_list() == blocks["zone"].to_list() == ["1-5 reps", "13-20 reps"]


def test_years_are_cut() -> None:
    days = [(7 * i, 100.0 + i % 2, 8, 1.0) for i in range(80)]
    blocks = split_blocks(study_sessions(log(days)))
    assert blocks["block"].n_unique() == 4  # 80 weeks in pieces of 26


def test_refusals_are_sentences() -> None:
    sessions = study_sessions(log(HEAVY_THEN_LONG))
    with pytest.raises(UsageError, match="need a plan file"):
        split_blocks(sessions, "plan")
    with pytest.raises(UsageError, match="1 weeks is too short"):
        split_blocks(sessions, "weeks", weeks=1)


def test_portions_do_not_change_the_result() -> None:
    made = groups.cohort(lifters=24)
    whole = gather([made.sets])
    cut = gather(portions(made.sets, size=1_000))
    assert len(list(portions(made.sets, size=1_000))) > 5
    key = ["client", "exercise", "block"]
    assert_frame_equal(whole.moments.sort(key), cut.moments.sort(key))
    assert_frame_equal(whole.naive, cut.naive, check_row_order=False)
    assert whole.counts == cut.counts
    assert dict(whole.moments.schema) == BLOCK_MOMENTS


def test_order_of_rows_does_not_matter() -> None:
    sets = groups.cohort(lifters=24).sets
    shuffled = sets.sample(fraction=1.0, shuffle=True, seed=3).sort("client", maintain_order=True)
    key = ["client", "exercise", "block"]
    one, other = (gather([frame]).moments.sort(key) for frame in (sets, shuffled))
    assert_frame_equal(one, other)
