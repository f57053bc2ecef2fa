"""Results: computed for all at once, kept by client, the same for one as for many."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from plateline.errors import InputFileError, NoResultError, UnknownNameError
from plateline.exercises import Logbook
from plateline.report import (
    Results,
    client_report,
    compute_results,
    learn_shared,
    logbook_of,
)
from plateline.report.results import is_results_folder

from .odd_logs import logbook, steady

TWO_CLIENTS = steady("ann") + steady("bob", "Back squat")


def test_every_frame_has_a_client_column(demo_results: Results) -> None:
    for name, frame in demo_results.frames.items():
        assert frame.columns[0] == "client", name


def test_saved_results_come_back_as_they_were(demo_results: Results, tmp_path: Path) -> None:
    demo_results.save(tmp_path)
    assert is_results_folder(tmp_path)
    for client in demo_results.clients:
        back, mine = Results.load(tmp_path, client), demo_results.of(client)
        assert back.month == mine.month
        assert list(back.frames) == list(mine.frames)
        for name, frame in mine.frames.items():
            assert_frame_equal(back.frames[name], frame, check_column_order=True)


def test_a_saved_file_holds_nothing_of_another_client(
    demo_results: Results, tmp_path: Path
) -> None:
    demo_results.save(tmp_path)
    names = dict(demo_results.frames["clients"].select("client", "name").iter_rows())
    for client in demo_results.clients:
        for frame in Results.load(tmp_path, client).frames.values():
            text = (
                frame.lazy().select(pl.all().cast(pl.String, strict=False)).collect().write_csv()
                if not any(isinstance(t, pl.List) for t in frame.dtypes)
                else str(frame.to_dicts())
            )
            for other, name in names.items():
                if other != client:
                    assert name not in text
    stems = {path.stem for path in tmp_path.glob("*.parquet")}
    assert not stems & set(names)


def test_parts_give_to_the_bit_what_the_whole_gives(
    demo_logbook: Logbook, demo_results: Results
) -> None:
    month = demo_results.month
    shared = learn_shared(demo_logbook, month)
    alone, *others = demo_results.clients
    parts = [
        compute_results(logbook_of(demo_logbook, group), month, shared=shared)
        for group in (others, [alone])
    ]
    whole = Results.merged(parts, shared)
    assert whole.clients == demo_results.clients
    for name, frame in demo_results.frames.items():
        assert_frame_equal(whole.frames[name], frame, check_exact=True)


def test_what_comes_after_the_month_is_not_looked_at(demo_logbook: Logbook) -> None:
    few = logbook_of(demo_logbook, ["lucia", "teo"])
    until = few.sets.filter(pl.col("date") <= dt.date(2025, 12, 31))
    cut = Logbook(**{**vars(few), "sets": until})
    early, late = compute_results(cut, "2025-11"), compute_results(few, "2025-11")
    for name in ("lifts", "targets", "decisions", "records"):
        assert_frame_equal(early.frames[name], late.frames[name])


@pytest.fixture(scope="module")
def two_clients(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Logbook, Results]:
    folder = tmp_path_factory.mktemp("two") / "logbook"
    book = logbook(folder, TWO_CLIENTS)
    return folder, book, compute_results(book, "2026-03")


def test_the_order_of_the_log_does_not_matter(two_clients, tmp_path: Path) -> None:
    *_, one = two_clients
    other_order = TWO_CLIENTS[52:] + TWO_CLIENTS[:52]
    two = compute_results(logbook(tmp_path, other_order), "2026-03")
    lines = ["best_source_line"]
    assert_frame_equal(one.frames["lifts"].drop(lines), two.frames["lifts"].drop(lines))


def test_a_month_before_the_log_has_no_result(demo_logbook: Logbook) -> None:
    with pytest.raises(NoResultError, match="no set up to"):
        compute_results(demo_logbook, "2020-01")


def test_unknown_clients_and_folders_are_told_in_a_sentence(
    demo_results: Results, tmp_path: Path
) -> None:
    with pytest.raises(UnknownNameError, match="teo"):
        demo_results.of("tea")
    with pytest.raises(InputFileError, match="no saved results"):
        Results.load(tmp_path, "teo")
    demo_results.of("teo").save(tmp_path)
    with pytest.raises(UnknownNameError, match="no saved results of a client"):
        Results.load(tmp_path, "mara")


@pytest.mark.parametrize("client", ["../up", "a/b", "CON", "7", "", "ü🙂"])
def test_any_text_is_a_sound_client_id(client: str, tmp_path: Path) -> None:
    frames = {"clients": pl.DataFrame({"client": [client], "sets": [1]})}
    Results(dt.date(2026, 3, 1), frames).save(tmp_path / "kept")
    assert Results.load(tmp_path / "kept", client).clients == [client]
    assert [path.name for path in tmp_path.iterdir()] == ["kept"]


def test_a_report_can_be_had_from_files_results_and_saved_results(
    two_clients, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, book, results = two_clients
    kept = tmp_path / "kept"
    results.save(kept)
    computed = []

    def once(found: Logbook, month: object) -> Results:
        """Stand for computing again what was computed of the very same frames."""
        computed.append(month)
        for name, value in vars(book).items():
            if isinstance(value, pl.DataFrame):
                assert_frame_equal(getattr(found, name), value, check_exact=True)
        return results

    monkeypatch.setattr("plateline.report.source.compute_results", once)
    sources = (folder, str(folder), [folder], book, results, kept)
    said = {repr(client_report(source, "bob", "2026-03").opening()) for source in sources}
    assert len(said) == 1
    assert computed == [results.month] * 4
