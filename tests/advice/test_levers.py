"""Which lever for which evidence, and in which order."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from plateline.advice import LEVERS, Caution, Evidence, Lever, levers
from plateline.errors import MissingColumnError
from plateline.fatigue.balance import HIGH_RATIO
from plateline.words import LIFT_STATUS_DETAIL


@pytest.fixture
def advise(frames):
    def run(status=None, sets=None, **beside):
        status = frames.status() if status is None else status
        sets = frames.sets() if sets is None else sets
        return levers(status, sets=sets, as_of=frames.as_of, **beside)

    return run


def named(table: pl.DataFrame) -> list[str]:
    return table.unique("rank", maintain_order=True)["lever"].to_list()


def row(table: pl.DataFrame, evidence: Evidence) -> dict:
    found = table.filter(evidence=evidence.value)
    assert found.height == 1, (evidence, table.select("lever", "evidence").rows())
    return found.row(0, named=True)


def easy_week(frames, ago: int = 3, per_week: int = 8) -> pl.DataFrame:
    """Twenty weeks with one easier week in them."""
    hard = [w for w in range(20) if w != ago]
    easy = frames.sets(weeks=range(ago, ago + 1), per_week=per_week // 2)
    return pl.concat([frames.sets(weeks=hard, per_week=per_week), easy]).sort("date")


def test_a_week_of_lighter_loads_was_an_easier_one_too(advise, frames):
    def log(load_kg: float, reps: int) -> pl.DataFrame:
        before = frames.sets(weeks=range(3, 20), reps=9)
        light = frames.sets(weeks=range(2, 3), load_kg=load_kg, reps=reps)
        return pl.concat([before, light, frames.sets(weeks=range(2), reps=9)]).sort("date")

    def easy_weeks_ago(table: pl.DataFrame) -> list[float]:
        return table.filter(evidence=Evidence.NO_EASY_WEEK.value)["value"].to_list()

    assert easy_weeks_ago(advise(sets=log(80, 9))) == [pytest.approx(19, abs=1)]
    assert easy_weeks_ago(advise(sets=log(60, 9))) == []
    # A lighter load for as many more repetitions is another rep range, and no rest.
    assert easy_weeks_ago(advise(sets=log(65, 18))) == [pytest.approx(19, abs=1)]


def test_a_new_lift_has_no_weeks_in_which_it_still_moved(advise, frames):
    sets = pl.concat(
        [
            frames.sets("Incline bench press", weeks=range(20), per_week=6),
            frames.sets(weeks=range(4), per_week=6),
        ]
    ).sort("date")
    table = advise(frames.status(since=frames.as_of - dt.timedelta(weeks=3)), sets=sets)
    assert Evidence.SETS_ABOVE_OWN.value not in table["evidence"].to_list()


def test_the_table_has_its_schema(advise):
    assert dict(advise().schema) == LEVERS


def test_a_lift_that_moves_is_left_alone(advise, frames):
    table = advise(frames.status(state="progressing", slope_pct_week=0.4))
    assert named(table) == ["leave alone"]
    assert row(table, Evidence.PROGRESSING)["value"] == 0.4


def test_even_when_its_owner_is_tired_and_loses_mass(advise, frames):
    ready = frames.readiness(is_high_fatigue=True, is_losing_mass=True, body_mass_pct_week=-1.0)
    table = advise(frames.status(state="progressing"), readiness=ready)
    assert named(table) == ["leave alone"]


def test_a_planned_light_week_is_waited_out(advise, frames):
    table = advise(frames.status(state="declining", context=["deload"]), easy_week(frames, ago=1))
    assert named(table) == ["wait"]
    assert row(table, Evidence.PLANNED_DELOAD)["value"] == 1


def test_a_deload_long_ago_explains_nothing(advise, frames):
    table = advise(frames.status(context=["deload"]), easy_week(frames, ago=6))
    assert "wait" not in named(table)


def test_after_a_layoff_one_waits(advise, frames):
    sets = pl.concat([frames.sets(weeks=range(2)), frames.sets(weeks=range(5, 20))]).sort("date")
    table = advise(frames.status(state="declining"), sets)
    assert named(table)[0] == "wait"
    assert row(table, Evidence.AFTER_LAYOFF)["value"] == 28


def test_losing_mass_comes_before_training_and_defers_to_licensed_practice(advise, frames):
    ready = frames.readiness(is_losing_mass=True, body_mass_pct_week=-0.9)
    table = advise(frames.status(state="declining"), readiness=ready)
    assert named(table)[0] == "food and sleep"
    first = row(table, Evidence.LOSING_FASTER)
    assert (first["value"], first["reference"]) == (pytest.approx(-0.9), -0.7)
    assert first["caution"] == Caution.DIET.value
    assert "fewer sets" in named(table)
    assert "more sets" not in named(table)
    assert "rep range" not in named(table)


def test_slow_loss_is_named_without_calling_it_fast(advise, frames):
    ready = frames.readiness(is_losing_mass=True, body_mass_pct_week=-0.4)
    table = advise(frames.status(state="declining"), readiness=ready)
    assert row(table, Evidence.LOSING_MASS)["reference"] is None


def test_what_holds_while_mass_is_meant_to_fall_is_left_alone(advise, frames):
    ready = frames.readiness(is_losing_mass=True, body_mass_pct_week=-0.6)
    meant = advise(readiness=ready, clients=frames.clients(phase="lose"))
    assert named(meant) == ["leave alone"]
    assert row(meant, Evidence.HELD_ON_DIET)["value"] == pytest.approx(-0.6)
    unmeant = advise(readiness=ready, clients=frames.clients(phase="hold"))
    assert named(unmeant)[0] == "food and sleep"


def test_the_rate_of_body_mass_is_the_latest_as_everywhere_on_the_page(advise, frames):
    weeks = [
        frames.readiness(is_losing_mass=True, body_mass_pct_week=rate).with_columns(
            pl.col("week").dt.offset_by(f"-{ago}w")
        )
        for ago, rate in ((1, -0.9), (0, -0.5))
    ]
    table = advise(frames.status(state="declining"), readiness=pl.concat(weeks))
    assert row(table, Evidence.LOSING_MASS)["value"] == pytest.approx(-0.5)


def test_a_loss_in_a_phase_of_gaining_is_said_once(advise, frames):
    ready = frames.readiness(is_losing_mass=True, body_mass_pct_week=-1.4, against_aim="other way")
    table = advise(
        frames.status(state="declining"), readiness=ready, clients=frames.clients(phase="gain")
    )
    said = table.filter(lever="food and sleep")["evidence"].to_list()
    assert said == [Evidence.LOSING_FASTER.value]


def test_a_phase_of_gaining_without_a_gain_is_named(advise, frames):
    ready = frames.readiness(body_mass_pct_week=0.0, against_aim="slower")
    table = advise(readiness=ready, clients=frames.clients(phase="gain"))
    assert named(table)[0] == "food and sleep"
    assert row(table, Evidence.NOT_GAINING)["caution"] == Caution.DIET.value
    gaining = advise(readiness=frames.readiness(), clients=frames.clients(phase="gain"))
    assert "food and sleep" not in named(gaining)


def test_what_falls_is_eased_before_it_is_changed(advise, frames):
    sets = easy_week(frames)
    assert named(advise(frames.status(state="declining"), sets))[0] == "back off"
    assert named(advise(frames.status(state="plateau"), sets))[0] != "back off"


def test_short_sleep_is_named(advise, frames):
    table = advise(readiness=frames.readiness(is_short_sleep=True, sleep_h=6.1))
    found = row(table, Evidence.SHORT_SLEEP)
    assert (found["value"], found["reference"]) == (pytest.approx(6.1), 7.0)


def test_load_ahead_of_performance_asks_for_an_easier_week(advise, frames):
    monday = frames.as_of - dt.timedelta(days=frames.as_of.weekday())
    performance = pl.DataFrame(
        {
            "client": ["a"],
            "exercise": ["Bench press"],
            "week": [monday],
            "performance_ratio": [HIGH_RATIO + 0.1],
        }
    )
    table = advise(sets=easy_week(frames), performance=performance)
    assert named(table)[0] == "back off"
    found = row(table, Evidence.LOAD_ABOVE_PERFORMANCE)
    assert (found["proposed_low"], found["proposed_high"], found["for_weeks"]) == (50, 60, 1)
    assert found["caution"] == Caution.PAIN.value


def test_in_balance_it_does_not(advise, frames):
    monday = frames.as_of - dt.timedelta(days=frames.as_of.weekday())
    performance = pl.DataFrame(
        {"client": ["a"], "exercise": ["Bench press"], "week": [monday], "performance_ratio": [1.0]}
    )
    assert "back off" not in named(advise(sets=easy_week(frames), performance=performance))


def test_rated_fatigue_and_failure_are_two_pieces_of_one_lever(advise, frames):
    ready = frames.readiness(is_high_fatigue=True, hooper_index=17.0)
    sets = easy_week(frames).with_columns(rir=pl.lit(0.0))
    table = advise(sets=sets, readiness=ready).filter(lever="back off")
    assert table["evidence"].to_list() == [
        Evidence.RATED_TIRED.value,
        Evidence.ALL_TO_FAILURE.value,
    ]
    assert table["point"].to_list() == [1, 2]
    assert table["rank"].n_unique() == 1


def test_no_easy_week_counts_first_only_when_the_other_lifts_are_stuck_too(advise, frames):
    others = [frames.status(exercise=f"Lift {i}", state="progressing") for i in range(3)]
    alone = advise(pl.concat([frames.status(), *others])).filter(exercise="Bench press")
    assert named(alone)[-1] == "back off"
    together = advise(
        pl.concat([frames.status(), *(o.with_columns(state=pl.lit("plateau")) for o in others)])
    )
    assert named(together.filter(exercise="Bench press"))[0] == "back off"


def test_sets_below_the_plan_come_before_sets_of_ones_own(advise, frames):
    table = advise(sets=easy_week(frames), plan=frames.plan({"sets": 12}))
    found = row(table, Evidence.SETS_BELOW_PLAN)
    assert (found["muscle"], found["value"], found["reference"]) == ("chest", 8, 12)
    assert (found["now_low"], found["proposed_low"], found["proposed_high"]) == (8, 9, 10)
    assert found["for_weeks"] == 6


def test_fewer_sets_than_while_it_moved(advise, frames):
    sets = pl.concat(
        [frames.sets(weeks=range(10), per_week=6), frames.sets(weeks=range(10, 24), per_week=12)]
    )
    found = row(advise(sets=sets.sort("date")), Evidence.SETS_BELOW_OWN)
    assert (found["lever"], found["value"], found["reference"]) == ("more sets", 6, 12)
    assert found["proposed_high"] <= 8


def test_more_sets_than_while_it_moved(advise, frames):
    sets = pl.concat(
        [frames.sets(weeks=range(10), per_week=15), frames.sets(weeks=range(10, 24), per_week=8)]
    )
    found = row(advise(sets=sets.sort("date")), Evidence.SETS_ABOVE_OWN)
    assert found["lever"] == "fewer sets"
    assert found["proposed_high"] < 15


def test_one_set_more_or_less_is_no_evidence(advise, frames):
    sets = pl.concat(
        [frames.sets(weeks=range(10), per_week=7), frames.sets(weeks=range(10, 24), per_week=6)]
    )
    assert not {"more sets", "fewer sets"} & set(named(advise(sets=sets.sort("date"))))


def test_two_lifts_of_one_muscle_do_not_ask_for_more_and_for_fewer_sets(advise, frames):
    parts = [(range(8), 10), (range(8, 21), 14), (range(21, 36), 6)]
    sets = pl.concat([frames.sets(weeks=weeks, per_week=n) for weeks, n in parts]).sort("date")
    since = {"Bench press": 8, "Incline bench press": 21}
    status = pl.concat(
        [
            frames.status(exercise=lift, since=frames.as_of - dt.timedelta(weeks=weeks))
            for lift, weeks in since.items()
        ]
    )
    for lift, lever in (("Bench press", "more sets"), ("Incline bench press", "fewer sets")):
        assert lever in named(advise(status.filter(exercise=lift), sets))
    both = advise(status, sets)
    assert not {"more sets", "fewer sets"} & set(both["lever"])


def test_very_many_and_very_few_sets(advise, frames):
    assert row(advise(sets=frames.sets(per_week=24)), Evidence.MANY_SETS)["lever"] == "fewer sets"
    assert row(advise(sets=frames.sets(per_week=3)), Evidence.FEW_SETS)["lever"] == "more sets"


def test_the_same_reps_for_long_suggest_another_range(advise, frames):
    found = row(advise(plan=frames.plan()), Evidence.SAME_REPS)
    assert (found["now_low"], found["now_high"]) == (8, 10)
    assert (found["proposed_low"], found["proposed_high"]) == (12, 15)
    assert found["caution"] == Caution.LOAD_JUMP.value


@pytest.mark.parametrize(
    ("reps", "low", "high"), [(4, 8, 10), (9, 12, 15), (13, 8, 10), (20, 10, 12)]
)
def test_the_other_range_is_another_one(advise, frames, reps, low, high):
    roles = pl.DataFrame({"client": ["a"], "exercise": ["Bench press"], "role": ["progression"]})
    found = row(advise(sets=frames.sets(reps=reps), roles=roles), Evidence.SAME_REPS)
    assert (found["proposed_low"], found["proposed_high"]) == (low, high)
    assert not low <= reps <= high


def test_a_range_that_was_changed_lately_is_given_time(advise, frames):
    sets = pl.concat(
        [frames.sets(weeks=range(3), reps=15), frames.sets(weeks=range(3, 20), reps=8)]
    )
    table = advise(sets=sets.sort("date"))
    assert "rep range" not in named(table)


def test_a_lift_that_is_felt_little_gets_a_variant_that_was_felt_well(advise, frames):
    sets = pl.concat(
        [
            frames.sets(feel=2.0),
            frames.sets("DB bench press", weeks=range(6, 8), feel=4.5, days_ago=2),
        ]
    ).sort("date")
    table = advise(sets=sets)
    found = row(table, Evidence.FELT_LITTLE)
    assert found["substitute"] == "DB bench press"
    assert found["substitute_feel"] == pytest.approx(4.5)
    assert row(table, Evidence.STUCK_LONG)["rank"] == found["rank"]


def test_a_variant_that_the_equipment_does_not_allow_is_not_proposed(advise, frames):
    table = advise(clients=frames.clients(equipment=["barbell"]))
    assert set(table["substitute"].drop_nulls()) <= {
        "Push-up", "Feet-elevated push-up", "Incline push-up", "Knee push-up", "Decline bench press",
        "Incline bench press",
    }  # fmt: skip


def test_without_anything_to_swap_to_there_is_no_variant_lever(advise, frames):
    status = frames.status(exercise="Strange contraption")
    table = advise(status, frames.sets("Strange contraption"))
    assert "variant" not in named(table)


def test_an_unclear_lift_is_logged_better_and_not_changed(advise, frames):
    status = frames.status(state="unclear", sessions_needed=3, since=None)
    sets = frames.sets(weeks=range(3), rir=None)
    table = advise(status, sets)
    assert named(table) == ["log better", "leave alone"]
    assert set(table.filter(lever="log better")["evidence"]) == {
        Evidence.FEW_SESSIONS.value,
        Evidence.NO_RIR.value,
    }
    assert row(table, Evidence.FEW_SESSIONS)["reference"] == 3


def test_missing_rir_is_named_last_for_a_stuck_lift(advise, frames):
    table = advise(sets=frames.sets(rir=None))
    assert named(table)[-1] == "log better"
    assert row(table, Evidence.NO_RIR)["value"] == 0


def test_accessory_lifts_are_not_chased(advise, frames):
    sets = frames.sets("Lateral raise", reps=18, load_kg=10)
    table = advise(frames.status(exercise="Lateral raise"), sets)
    assert not {"back off", "rep range"} & set(named(table))


@pytest.mark.parametrize("state", ["progressing", "plateau", "unclear"])
def test_accessory_lifts_that_are_felt_little_are_swapped_in_any_state(advise, frames, state):
    sets = frames.sets("Lateral raise", reps=18, load_kg=10, feel=1.8)
    table = advise(frames.status(exercise="Lateral raise", state=state), sets)
    assert named(table)[0] == "variant"
    assert row(table, Evidence.FELT_LITTLE)["substitute"] == "Machine lateral raise"


def test_a_progression_lift_that_moves_is_left_alone_even_if_felt_little(advise, frames):
    table = advise(frames.status(state="progressing"), frames.sets(feel=1.8))
    assert named(table) == ["leave alone"]


def test_a_stuck_lift_without_evidence_is_left_alone(advise, frames):
    parts = [
        frames.sets(weeks=range(w, w + 1), reps=9 if w % 2 else 18, per_week=3 if w == 4 else 8)
        for w in range(20)
    ]
    roles = pl.DataFrame({"client": ["a"], "exercise": ["Bench press"], "role": ["progression"]})
    since = frames.as_of - dt.timedelta(weeks=2)
    table = advise(frames.status(since=since), pl.concat(parts).sort("date"), roles=roles)
    assert named(table) == ["leave alone"]
    assert table["evidence"].to_list() == [Evidence.NO_CAUSE.value]


def test_rows_are_ordered_and_every_stuck_lift_has_one(advise, frames):
    status = pl.concat(
        [frames.status(client=c, exercise=e) for c in ("b", "a") for e in ("Squat", "Bench press")]
    )
    sets = pl.concat(
        [frames.sets(e, client=c) for c in ("a", "b") for e in ("Squat", "Bench press")]
    )
    table = advise(status, sets)
    assert table.equals(table.sort("client", "exercise", "rank", "point"))
    assert table.select("client", "exercise").unique().height == 4
    firsts = table.group_by("client", "exercise").agg(pl.col("rank").min())
    assert set(firsts["rank"]) == {1}


def test_a_client_alone_gets_the_same_as_among_others(advise, frames):
    status = pl.concat([frames.status(client=c) for c in "abc"])
    sets = pl.concat(
        [
            frames.sets(client="a"),
            frames.sets(client="b", per_week=3),
            frames.sets(client="c", feel=1.5),
        ]
    )
    together = advise(status, sets)
    for client in "abc":
        alone = advise(status.filter(client=client), sets.filter(client=client))
        assert alone.equals(together.filter(client=client))


def test_sets_after_the_day_are_not_looked_at(frames):
    sets = frames.sets()
    later = frames.sets(weeks=range(1), per_week=40, days_ago=-5)
    one = levers(frames.status(), sets=sets, as_of=frames.as_of)
    assert one.equals(levers(frames.status(), sets=pl.concat([sets, later]), as_of=frames.as_of))


def test_pandas_frames_are_taken(frames):
    status, sets = frames.status(), frames.sets()
    pandas_sets = sets.with_columns(pl.col("set_kind").cast(pl.String)).to_pandas()
    table = levers(status, sets=pandas_sets, as_of=frames.as_of)
    assert (
        table["lever"].to_list() == levers(status, sets=sets, as_of=frames.as_of)["lever"].to_list()
    )


def test_empty_frames_give_an_empty_table(frames):
    none = levers(frames.status().clear(), sets=frames.sets().clear())
    assert none.is_empty()
    assert dict(none.schema) == LEVERS


def test_a_status_without_its_columns_is_refused(frames):
    with pytest.raises(MissingColumnError, match="'since'"):
        levers(frames.status().drop("since"), sets=frames.sets())


def test_every_lever_but_logging_and_waiting_touching_the_body_has_a_caution():
    from plateline.advice.rules import RULES

    careful = {Lever.BACK_OFF, Lever.FOOD_AND_SLEEP, Lever.REP_RANGE, Lever.VARIANT}
    for rule in RULES:
        assert (rule.caution is not None) == (rule.lever in careful), rule.evidence


def test_the_frames_of_the_trend_room_fit(frames):
    from plateline.trend import lift_status

    sets = frames.sets()
    status = lift_status(sets, frames.as_of)
    assert set(LIFT_STATUS_DETAIL) <= set(status.columns)
    assert levers(status, sets=sets, as_of=frames.as_of).height >= 1


def test_few_sets_come_before_a_stale_rep_range(advise, frames):
    table = advise(sets=easy_week(frames, per_week=4), plan=frames.plan({"sets": 4}))
    assert named(table)[:2] == ["more sets", "rep range"]


def fading(frames, column: str, now: float, own: float) -> pl.DataFrame:
    """Give a session a week: the last four at one value, those before at another."""
    days = [frames.as_of - dt.timedelta(days=1 + 7 * ago) for ago in range(20)]
    return pl.DataFrame(
        {
            "client": "a",
            "exercise": "Bench press",
            "date": days,
            column: [now if ago < 4 else own for ago in range(20)],
        }
    )


def test_later_sets_that_fade_more_than_before_ask_for_fewer_sets(advise, frames):
    since = frames.status(since=frames.as_of - dt.timedelta(weeks=6))
    many = frames.sets(per_week=12)
    faded = advise(since, many, drop_off=fading(frames, "drop_off", 0.30, 0.10))
    found = row(faded, Evidence.REPS_FADE)
    assert (found["lever"], found["value"], found["reference"]) == (
        "fewer sets",
        pytest.approx(30),
        pytest.approx(10),
    )
    as_ever = advise(since, many, drop_off=fading(frames, "drop_off", 0.30, 0.29))
    assert Evidence.REPS_FADE not in as_ever["evidence"].to_list()
    few = advise(since, frames.sets(per_week=8), drop_off=fading(frames, "drop_off", 0.30, 0.10))
    assert Evidence.REPS_FADE not in few["evidence"].to_list()


def test_back_off_sets_that_fall_short_ask_for_fewer_sets(advise, frames):
    sets = frames.sets(per_week=12)
    found = row(
        advise(sets=sets, back_off=fading(frames, "back_off_ratio", 0.8, 1.0)),
        Evidence.BACK_OFF_FADES,
    )
    assert (found["lever"], found["value"]) == ("fewer sets", pytest.approx(0.8))
    held = advise(sets=sets, back_off=fading(frames, "back_off_ratio", 0.97, 1.0))
    assert Evidence.BACK_OFF_FADES not in held["evidence"].to_list()
