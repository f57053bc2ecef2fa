"""The scientist's page: each method gives what one notebook cell shows."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.errors import NoResultError, OutputError
from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import MINUS, interval, number, share
from plateline.report.tables import Column, table

if TYPE_CHECKING:
    from plateline.charts import Figure
    from plateline.study.blocks import BlocksBy
    from plateline.study.study import Study

__all__ = ["StudyPage", "study_page", "write_study"]

NOTEBOOK = "rep_range_study"
TITLE = "Rep range and progress"
PER_WEEK = "Difference, % a week"
NAIVE = "naive, for comparison only"


@dataclass(frozen=True)
class StudyPage:
    """A study as pieces of a page. Make one with :func:`study_page`; `study` has the frames."""

    study: Study

    def opening(self) -> Block:
        """Say what was found, in sentences."""
        from plateline.study.summary import summary

        first, *rest = summary(self.study)
        return paragraphs([first], "pl-lead") + paragraphs(rest)

    def compared(self) -> Block:
        """Compare rep zones under the primary model, with p adjusted for their number."""
        from plateline.study.summary import adjusted

        return table(
            f"Rep zones compared: {self.study.facts['primary']}",
            [
                Column("contrast", "Contrast"), Column("effect", PER_WEEK, numeric=True),
                Column("interval", "95 % interval", numeric=True),
                Column("p", "p (Holm)", numeric=True), Column("n", "Lifters", numeric=True),
            ],
            (_effect_row(row) | {"p": _p(row["p_holm"])} for row in adjusted(self.study).iter_rows(named=True)),
            empty="The blocks do not differ in rep zone, so there is nothing to compare.",
        )  # fmt: skip

    def models(self) -> Figure:
        """Every model's contrasts in one picture."""
        from plateline.charts.study import effects_chart

        return effects_chart(self.study.effects, self.study.facts["primary"])

    def dose(self) -> Figure | Block:
        """Rate of progress against reps, as a smooth curve."""
        from plateline.charts.study import dose_chart

        model = self.study.facts["primary"]
        points = self._rows("reps, spline", model)
        if points.is_empty():
            return paragraphs(["There are too few blocks for a curve."], "pl-empty")
        return dose_chart(self.study.effects, model)

    def other_exposures(self) -> Block:
        """Effort, volume and frequency, from the primary model."""
        model = self.study.facts["primary"]
        terms = ["reps", "reps in reserve", "hard sets a week", "sessions a week"]
        rows = self.study.effects.filter(pl.col("model") == model, pl.col("term").is_in(terms))
        return table(
            f"Reps, effort, sets and frequency: {model}",
            _columns("Exposure"),
            (_effect_row(r) | {"contrast": f"{r['term']}: {r['contrast']}"} for r in rows.iter_rows(named=True)),
            empty="Nothing could be estimated.",
        )  # fmt: skip

    def people(self) -> Block:
        """How much lifters differ, and what to expect of a new one."""
        return table(
            "How much lifters differ",
            [
                Column("contrast", "Contrast"), Column("n", "Lifters with both", numeric=True),
                Column("mean", "Mean, % a week", numeric=True),
                Column("sd", "SD between lifters", numeric=True),
                Column("i2", "Share not chance (I²)", numeric=True, minor=True),
                Column("new", "95 % range for a new lifter", numeric=True),
            ],
            (
                {
                    "contrast": r["contrast"], "n": r["n_lifters"],
                    "mean": _signed(r["effect_pct_week"]),
                    "sd": number(r["between_lifters_sd"], 2), "i2": share(r["i2"]),
                    "new": interval(r["predict_low"], r["predict_high"], 2),
                }
                for r in self.study.differences.iter_rows(named=True)
            ),
            empty="Fewer than three lifters trained in two zones, so nothing can be said.",
        )  # fmt: skip

    def naive(self) -> Block:
        """Set what a spreadsheet would have found beside the primary model."""
        mine = self._rows("rep zone", self.study.facts["primary"])
        plain = self._rows("rep zone", NAIVE).select(
            "contrast", naive="effect_pct_week", naive_low="low", naive_high="high"
        )
        both = mine.join(plain, on="contrast", how="inner", maintain_order="left")
        return table(
            "With and without the precautions",
            [
                Column("contrast", "Contrast"), Column("effect", "This study", numeric=True),
                Column("interval", "95 % interval", numeric=True),
                Column("naive", "Naive e1RM slopes", numeric=True),
                Column("naive_interval", "95 % interval", numeric=True),
            ],
            (
                _effect_row(r)
                | {
                    "naive": _signed(r["naive"]),
                    "naive_interval": interval(r["naive_low"], r["naive_high"], 2),
                }
                for r in both.iter_rows(named=True)
            ),
            empty="There is nothing to set side by side.",
        )  # fmt: skip

    def sensitivity(self) -> Figure | Block:
        """Draw the best-measured contrast under other choices."""
        from plateline.charts.study import sensitivity_chart

        primary = self.study.facts["primary"]
        rows = self._rows("rep zone", primary).filter(pl.col("low").is_finite())
        if rows.is_empty():
            return paragraphs(["There is nothing to try other choices on."], "pl-empty")
        best = rows.sort(pl.col("high") - pl.col("low"))["contrast"][0]
        return sensitivity_chart(self.study.effects, primary, best)

    def exchange(self) -> Block:
        """Say what a rep is worth in load, as learnt from these lifters."""
        return table(
            "What ten reps to failure are as a share of the maximum, as learnt here",
            [
                Column("kind", "Kind of lift"), Column("zone", "Learnt from"),
                Column("share", "Share of the maximum", numeric=True),
                Column("blocks", "Blocks", numeric=True),
            ],
            (
                {
                    "kind": r["kind_of_curve"], "zone": r["zone"], "blocks": r["blocks"],
                    "share": share((31 / 40) ** r["exchange"]),
                }
                for r in self.study.exchange.iter_rows(named=True)
            ),
        )  # fmt: skip

    def power(self) -> Figure:
        """How many lifters and weeks a difference takes."""
        from plateline.charts.study import power_chart

        return power_chart(self.study.power)

    def caveats(self) -> Block:
        """Say what may bend the answer."""
        from plateline.study.summary import caveats

        return paragraphs(caveats(self.study))

    def method(self) -> Block:
        """Say how it was done."""
        from plateline.study.summary import method

        return paragraphs(method(self.study))

    def _rows(self, term: str, model: str) -> pl.DataFrame:
        return self.study.effects.filter(pl.col("term") == term, pl.col("model") == model)


def study_page(source: str | Path | Study = "", **settings: Any) -> StudyPage:
    """Return the study of a log, of a saved study, or of the demo logbook where none is named.

    Parameters
    ----------
    source
        A log or a logbook's folder, the folder of a saved study, or a study.
    settings
        `by` and `weeks`, as for `write_study`.

    Raises
    ------
    UsageError, NoResultError
        As `read_logbook` and `run_study`.
    """
    from plateline.report.study_source import studied
    from plateline.study.study import Study, load_study

    if isinstance(source, Study):
        return StudyPage(source)
    if str(source) and (Path(source) / "facts.json").is_file():
        return StudyPage(load_study(source))
    return StudyPage(studied([Path(source)] if str(source) else [], **settings))


def write_study(
    logs: Sequence[Path],
    out: Path,
    *,
    by: BlocksBy = "rep range",
    weeks: float = 8.0,
    key: bytes | None = None,
    reading: Mapping[str, Any] | None = None,
    cluster: str | None = None,
) -> StudyPage:
    """Study logs and write `effects.csv`, `blocks.csv`, the page and its notebook into a folder.

    Parameters
    ----------
    key
        Where given, clients get pseudonyms made with it before anything else is done.
    cluster
        The address of a Dask scheduler, or `local`, to gather on; the models are fitted here.

    Raises
    ------
    UsageError, NoResultError
        When the logs cannot be read or hold too little; nothing is then written.
    """
    from plateline.places import notebook
    from plateline.report.study_source import studied

    study = studied(logs, by=by, weeks=weeks, key=key, reading=reading, cluster=cluster)
    with tempfile.TemporaryDirectory(prefix="plateline-study-") as folder:
        study.save(Path(folder))
        _page(Path(folder), notebook(NOTEBOOK))
        _write(out, study, Path(folder))
    return StudyPage(study)


def _page(folder: Path, notebook: Path) -> None:
    """Run the notebook on a saved study and seal it: `study.html` and `study.ipynb` in the folder."""
    from plateline.report.run_crew import Crew
    from plateline.report.run_tasks import ReportTask

    task = ReportTask(
        client="study", title=TITLE, stem="study", notebook=notebook,
        parameters={"source": str(folder)}, shown={"source": ""},
        executed=folder / "executed.ipynb", said=folder / "said.log", out=folder,
    )  # fmt: skip
    with Crew(1, folder) as crew:
        for finished in crew.make([task]):
            if finished.refusal:
                raise NoResultError(finished.refusal)


def _write(out: Path, study: Study, made: Path) -> None:
    """Write all files aside, then move them in."""
    texts = {
        "effects.csv": study.effects.write_csv(),
        "blocks.csv": study.blocks.write_csv(),
        **{f"study.{end}": (made / f"study.{end}").read_text("utf-8") for end in ("html", "ipynb")},
    }
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            (out / f".part-{name}").write_text(text, encoding="utf-8")
        for name in texts:
            (out / f".part-{name}").replace(out / name)
    except OSError as fault:
        raise OutputError(f"{out} cannot be written to: {fault.strerror}.") from None
    finally:
        if out.is_dir():
            for name in texts:
                (out / f".part-{name}").unlink(missing_ok=True)


def _columns(first: str) -> list[Column]:
    return [
        Column("contrast", first), Column("effect", PER_WEEK, numeric=True),
        Column("interval", "95 % interval", numeric=True), Column("n", "Lifters", numeric=True),
    ]  # fmt: skip


def _effect_row(row: dict[str, Any]) -> dict[str, Any]:
    return {
        "contrast": row["contrast"], "effect": _signed(row["effect_pct_week"]),
        "interval": interval(row["low"], row["high"], 2), "n": row["n_lifters"],
    }  # fmt: skip


def _signed(value: float | None) -> str:
    if value is None:
        return "?"
    text = f"{abs(value):.2f}"
    return text if text == "0.00" else (f"+{text}" if value > 0 else MINUS + text)


def _p(value: float | None) -> str:
    if value is None or value != value:
        return "?"
    return "under 0.001" if value < 0.001 else f"{value:.3f}"
