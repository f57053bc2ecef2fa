"""What could stand in for a lift."""

from __future__ import annotations

import polars as pl
import pytest

from plateline.advice import SUBSTITUTES, substitutes
from plateline.advice.substitutes import MOST_SUBSTITUTES
from plateline.exercises import load_catalogue


def of(frames, lift: str, sets: pl.DataFrame | None = None, **beside) -> pl.DataFrame:
    sets = frames.sets(lift) if sets is None else sets
    lifts = pl.DataFrame({"client": ["a"], "exercise": [lift]})
    return substitutes(lifts, sets=sets, **beside)


def test_the_table_has_its_schema_and_is_short(frames):
    table = of(frames, "Bench press")
    assert dict(table.schema) == SUBSTITUTES
    assert table.height == MOST_SUBSTITUTES
    assert table["rank"].to_list() == list(range(1, MOST_SUBSTITUTES + 1))


def test_same_movement_and_main_muscle_always(frames):
    catalogue = {r["exercise"]: r for r in load_catalogue().iter_rows(named=True)}
    for lift in ("Bench press", "Back squat", "Lat pulldown", "Lying leg curl", "Hip thrust"):
        for name in of(frames, lift)["catalogue"]:
            assert catalogue[name]["pattern"] == catalogue[lift]["pattern"]
            assert catalogue[name]["direct"][0] == catalogue[lift]["direct"][0]
            assert name != lift


def test_same_position_comes_first(frames):
    table = of(frames, "Lateral raise")
    assert table["same_position"].to_list() == sorted(table["same_position"], reverse=True)


def test_equipment_that_is_not_there_is_left_out(frames):
    table = of(frames, "Back squat", clients=frames.clients(equipment=["dumbbell", "machine"]))
    assert set(table["equipment"]) <= {"dumbbell", "machine", "body-weight"}


def test_a_client_without_equipment_listed_has_all_of_it(frames):
    every = of(frames, "Back squat")
    assert every.equals(of(frames, "Back squat", clients=frames.clients(equipment=[])))
    assert every.equals(of(frames, "Back squat", clients=frames.clients(client="z")))


@pytest.mark.parametrize(
    ("written", "kinds"),
    [
        (["Dumbbells", "MACHINES"], {"dumbbell", "machine", "body-weight"}),
        (["bodyweight"], {"body-weight"}),
        (["full gym"], {"dumbbell", "machine"}),
    ],
)
def test_equipment_may_be_written_as_people_do(frames, written, kinds):
    table = of(frames, "Bench press", clients=frames.clients(equipment=written))
    assert set(table["equipment"]) <= kinds
    assert table["substitute"].null_count() == 0


def test_what_was_felt_well_comes_first_under_the_clients_own_name(frames):
    sets = pl.concat([frames.sets(), frames.sets("Smith bench", weeks=range(3, 5), feel=5.0)]).sort(
        "date"
    )
    first = of(frames, "Bench press", sets).row(0, named=True)
    assert first["substitute"] == "Smith bench"
    assert first["catalogue"] == "Smith machine bench press"
    assert (first["feel"], first["feel_ratings"]) == (5.0, 16)


def test_what_was_felt_little_is_not_proposed(frames):
    before = of(frames, "Bench press")["catalogue"].to_list()
    sets = pl.concat(
        [frames.sets(), frames.sets("Dumbbell bench press", weeks=range(3, 5), feel=1.5)]
    ).sort("date")
    after = of(frames, "Bench press", sets)["catalogue"].to_list()
    assert "Dumbbell bench press" in before
    assert "Dumbbell bench press" not in after


def test_loaded_lifts_come_before_body_weight_ones(frames):
    table = of(frames, "Bench press")
    assert "Push-up" not in table["catalogue"].to_list()[:3]


def test_a_variant_has_the_substitutes_of_its_entry(frames):
    plain, paused = of(frames, "Bench press"), of(frames, "Paused bench press")
    assert paused["catalogue"].to_list() == plain["catalogue"].to_list()


@pytest.mark.parametrize(
    ("lift", "reason"),
    [("Strange contraption", "not in the catalogue"), ("Dead hang", "nothing with the same")],
)
def test_where_there_is_none_a_reason_stands(frames, lift, reason):
    row = of(frames, lift).row(0, named=True)
    assert row["substitute"] is None
    assert row["reason"].startswith(reason)


def test_no_lifts_no_rows(frames):
    lifts = pl.DataFrame(schema={"client": pl.String, "exercise": pl.String})
    assert substitutes(lifts, sets=frames.sets()).is_empty()
