"""`plateline study` as people call it."""

from __future__ import annotations

import contextlib
import io
from dataclasses import dataclass
from pathlib import Path

import polars as pl
import pytest
from tests.study import groups

from plateline.cli.root import main
from plateline.study.effects import EFFECTS
from plateline.study.simulate import write_log

LIFTERS = 24
OWN_WORDS = ("Zweibr", "Ottokar", "hauling", "elbow", "wedding", "Quark", "vault.csv")


@dataclass(frozen=True)
class Done:
    """How a call of the command ended."""

    status: int
    out: str
    err: str


def run(*arguments: object) -> Done:
    """Call the command as the console script does, in this process."""
    out, err = io.StringIO(), io.StringIO()
    with (
        pytest.MonkeyPatch.context() as patch,
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        patch.setattr("sys.argv", ["plateline", "study", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            main()
    return Done(int(str(ended.value.code)), out.getvalue(), err.getvalue())


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log whose ids, exercises, notes and file names are somebody's own words."""
    made = groups.cohort(0.2, -0.2, lifters=LIFTERS)
    folder = tmp_path_factory.mktemp("study") / "Zweibrücken club"
    folder.mkdir()
    log = folder / "vault.csv"
    write_log(made.sets, log)
    sets = pl.read_csv(log, infer_schema=False)
    own = pl.format("Ottokar {}", "client")
    sets.with_columns(
        client=own,
        note=pl.lit("elbow hurts since the wedding"),
        exercise=pl.col("exercise").replace({sets["exercise"][0]: "Ottokar's hauling for Quark"}),
    ).write_csv(log)
    made.clients.select("training_age_years", client=own, name=own).write_csv(folder / "who.csv")
    return folder


@pytest.mark.slow
def test_files_of_a_pseudonymous_study(club: Path, tmp_path: Path) -> None:
    """Every file is there, and nothing of the original text in any of them."""
    key = tmp_path / "key"
    key.write_bytes(b"a key of more than sixteen bytes")
    out = tmp_path / "out"
    done = run(
        club / "vault.csv", "--clients", club / "who.csv", "--out", out, "--pseudonymous", "--key", key
    )  # fmt: skip
    assert (done.status, done.err) == (0, "")
    assert f"{LIFTERS} lifters" in done.out
    assert {path.name for path in out.iterdir()} == {
        "effects.csv", "blocks.csv", "study.html", "study.ipynb"
    }  # fmt: skip
    for path in out.iterdir():
        text = path.read_text("utf-8").casefold()
        assert not [word for word in (*OWN_WORDS, str(tmp_path)) if word.casefold() in text]
    effects = pl.read_csv(out / "effects.csv")
    assert effects.columns == list(EFFECTS)
    assert effects["model"][0] == "within lifters"
    blocks = pl.read_csv(out / "blocks.csv", try_parse_dates=True)
    assert blocks["client"].str.contains("^p-[0-9a-f]{12}$").all()
    assert blocks["start"].min() < groups.cohort(0.2, -0.2, lifters=LIFTERS).sets["date"].min()  # type: ignore[operator]
    page = (out / "study.html").read_text("utf-8")
    assert "Rep zones compared" in page
    assert "chose their rep ranges themselves" in page
    assert "&lt;" not in page.split("<script")[0].replace("&lt;/", "")


@pytest.mark.parametrize(
    ("log", "words", "status", "said"),
    [
        ("vault.csv", ["--key", "key"], 2, "--key is for --pseudonymous; give both, or neither."),
        ("vault.csv", ["--blocks", "plan"], 2, "need a plan file"),
        ("none.csv", [], 2, "none.csv"),
        ("small.csv", [], 1, "at least 4 blocks"),
    ],
)
def test_refusals_are_one_sentence_and_write_nothing(
    club: Path, tmp_path: Path, log: str, words: list[str], status: int, said: str
) -> None:
    (club / "small.csv").write_text(
        "client,date,exercise,load,reps\nA,2026-01-05,Squat,100,5\n", "utf-8"
    )
    done = run(club / log, "--out", tmp_path / "out", *words)
    assert done.status == status
    assert said in done.err
    assert len(done.err.strip().splitlines()) == 1
    assert not (tmp_path / "out").exists()
