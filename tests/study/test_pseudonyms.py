from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from plateline.errors import InputFileError
from plateline.exercises import read_logbook
from plateline.study.portions import gather
from plateline.study.pseudonyms import pseudonymous, read_key

KEY = b"sixteen bytes or more of secret"
PEOPLE = ("Wilhelmina Quark", "Ottokar Blume")
OWN_WORDS = ("Wilhelmina", "Quark", "Ottokar", "Blume", "elbow", "Tuesday crew", "Grandma's curl",
             "garage", "wedding", "SupersetZ", "Block Zebra", "fitter for", "hauling", "coccyx")  # fmt: skip
EXERCISES = (
    "Bench Press", "bench press (garage)", "bench press machine", "Grandma's curl",
    "Quark hauling for Wilhelmina", "Wilhelmina Quark's lunge, see elbow note",
)  # fmt: skip


def written(folder: Path) -> Path:
    """Write a logbook full of words that must not be found again."""
    folder.mkdir()
    rows = ["client,date,session,exercise,set_order,set_kind,superset,load,unit,reps,rir,note"]
    first = dt.date(2025, 9, 1)
    for person in PEOPLE:
        for exercise in EXERCISES:
            for i in range(20):
                day = first + dt.timedelta(days=4 * i)
                rows += [
                    f'{person},{day},Tuesday crew,"{exercise}",{s},working,SupersetZ,'
                    f'{60 + 2.5 * (i // 3)},kg,{8 + i % 3},2,"elbow hurts after the wedding"'
                    for s in (1, 2)
                ]
    (folder / "log.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    (folder / "clients.csv").write_text(
        "client,name,sex,birth_year,goal,training_age_years\n"
        + "".join(f"{p},{p} the Great,f,1980,fitter for the wedding,3\n" for p in PEOPLE),
        encoding="utf-8",
    )
    (folder / "checkins.csv").write_text(
        "client,date,body_mass,unit,note\n"
        + "".join(f"{p},2025-09-02,70,kg,slept in the garage\n" for p in PEOPLE),
        encoding="utf-8",
    )
    (folder / "plan.csv").write_text(
        "client,block,start,weeks,session,exercise,role,sets,reps_low,reps_high\n"
        + "".join(
            f"{p},Block Zebra,2025-09-01,20,Tuesday crew,Bench Press,progression,3,8,12\n"
            for p in PEOPLE
        ),
        encoding="utf-8",
    )
    (folder / "exercises.csv").write_text(
        "exercise,aliases,pattern,equipment,direct,body_mass_share,substitutes\n"
        "Quark hauling for Wilhelmina,Ottokar's pull,garage walk,garage sled,coccyx,0.5,wedding march\n"
        "Bench Press,Blume press,,,coccyx,,Grandma's curl\n",
        encoding="utf-8",
    )
    return folder


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory):
    return read_logbook(written(tmp_path_factory.mktemp("own") / "Quark club"))


def everything(logbook) -> str:
    """Return all text that the logbook's frames hold."""
    frames = (
        logbook.sets, logbook.clients, logbook.checkins, logbook.plan, logbook.names,
        logbook.rejected, logbook.catalogue,
    )  # fmt: skip
    text = [frame.write_json() for frame in frames]
    return "\n".join([*text, json.dumps(logbook.account), str(logbook.inputs)])


def test_nothing_of_the_original_text_remains(book) -> None:
    before = everything(book)
    assert all(word in before for word in OWN_WORDS)
    after = everything(pseudonymous(book, KEY))
    for word in OWN_WORDS:
        assert word.casefold() not in after.casefold()
    assert "2025-09-01" not in after
    assert "1980" not in after


def test_weekdays_and_distances_are_kept(book) -> None:
    hidden = pseudonymous(book, KEY)
    for person in PEOPLE:
        mine = book.sets.filter(pl.col("client") == person)["date"].unique().sort()
        found = [
            frame["date"].unique().sort()
            for _, frame in hidden.sets.group_by("client")
            if (frame["date"].unique().sort() - mine.min()).len() == mine.len()
        ]
        assert any(f.diff().equals(mine.diff()) for f in found)
        assert all(f.dt.weekday().equals(mine.dt.weekday()) for f in found)
        assert all(f.min() != mine.min() for f in found)
    # plan and check-ins move with the log
    gap = book.plan["start"].min() - book.sets["date"].min()  # type: ignore[operator]
    joined = hidden.plan.group_by("client").agg(pl.col("start").min()).join(
        hidden.sets.group_by("client").agg(pl.col("date").min()), on="client"
    )  # fmt: skip
    assert (joined["start"] - joined["date"]).to_list() == [gap] * 2


def test_same_key_same_names_other_key_others(book) -> None:
    one, again = pseudonymous(book, KEY), pseudonymous(book, KEY)
    other = pseudonymous(book, b"another key of sixteen bytes")
    assert one.sets.equals(again.sets)
    assert not set(one.sets["client"]) & set(other.sets["client"])


def test_variants_stay_two_lifts_and_every_block_keeps_its_rate(book) -> None:
    """Machines have rep curves of their own and body mass counts: both outlive the names."""
    hidden = pseudonymous(book, KEY)
    assert hidden.sets["exercise"].n_unique() == len(EXERCISES)
    assert hidden.sets.height == book.sets.height
    exact = ["kind_of_curve", "zone", "reps", "rir", "hard_sets_week", "slope_load", "rest_load"]
    plain, masked = (
        gather([b.sets], catalogue=b.catalogue, checkins=b.checkins).moments.select(exact).sort(exact)
        for b in (book, hidden)
    )  # fmt: skip
    assert plain["kind_of_curve"].to_list().count("machine") == 2 * len(PEOPLE)
    assert_frame_equal(plain, masked)


def test_keys_are_checked(tmp_path: Path) -> None:
    assert read_key(None) != read_key(None)
    short = tmp_path / "key"
    short.write_bytes(b"short")
    with pytest.raises(InputFileError, match="holds 5 bytes"):
        read_key(short)
    with pytest.raises(InputFileError, match="cannot be read"):
        read_key(tmp_path / "none")
    short.write_bytes(KEY + b"\n")
    assert read_key(short) == KEY
