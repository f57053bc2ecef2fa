"""The best e1RM of the load tables is the one that the strength room reports."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.load import weekly_load
from plateline.strength import lift_records
from plateline.study import simulate_lifters

from .rows import day, log, work


@pytest.fixture(scope="module")
def simulated():
    sets, _ = simulate_lifters(6, weeks=10, seed=4)
    return sets


@pytest.mark.parametrize("logged", ["every set", "some sets", "no set"])
def test_the_best_of_a_log_is_the_record(simulated, logged):
    place = pl.int_range(pl.len())
    kept = {"every set": place >= 0, "some sets": place % 3 == 0, "no set": place < 0}[logged]
    rir = pl.col("rir").fill_null(
        3.0
    )  # some above 2: a client who notes hard sets only is another case
    sets = simulated.with_columns(rir=pl.when(kept).then(rir))
    best = weekly_load(sets).group_by("client", "exercise").agg(pl.col("best_e1rm_kg").max())
    records = lift_records(sets).filter(pl.col("record") == "best e1RM")
    both = best.drop_nulls().join(records, on=["client", "exercise"], how="full", coalesce=True)
    assert both.height > 20
    assert both["best_e1rm_kg"].to_list() == pytest.approx(both["e1rm_kg"].to_list(), rel=1e-12)


def test_a_set_without_reserve_is_in_the_window_by_the_lifts_usual_one():
    # Usual: the median of 1, 2 and 3 is 2, which stands for 2 + 0.3 + 0.2 x 2 = 2.7 repetitions:
    # nine and 2.7 lie within twelve, ten and 2.7 do not. The estimate is from the reps alone.
    logged = [work("Back squat", 100, 5, rir=r, date=day(0)) for r in (1.0, 2.0, 3.0, 9.0)]
    later = [work("Back squat", 150, 9, date=day(7)), work("Back squat", 150, 10, date=day(7))]
    assert weekly_load(log(*logged, *later))["best_e1rm_kg"][1] == pytest.approx(150 * 1.3)


def test_drop_sets_warm_ups_and_doubtful_sets_tell_no_best():
    rows = [work("Back squat", 100, 5, set_kind=kind) for kind in ("drop", "warm-up")]
    rows.append(work("Back squat", 1000, 5, flag="ten times the usual load"))
    table = weekly_load(log(*rows))
    assert table["best_e1rm_kg"].to_list() == [None]
