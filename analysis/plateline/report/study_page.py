"""The scientist's page: each method gives what one notebook cell shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl
from markupsafe import Markup

from plateline.report.blocks import Block, paragraphs
from plateline.report.numbers import MINUS, count, interval, share
from plateline.report.tables import Column, table
from plateline.study.naive import NAIVE
from plateline.study.zones import ZONES

if TYPE_CHECKING:
    from plateline.charts import Figure
    from plateline.study.study import Study

__all__ = ["StudyPage", "study_page"]

PER_WEEK = "Difference, % a week"
KINDS = {"free": "free weights and the rest", "machine": "machines and cables"}


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

        both = dict(self.study.differences.select("contrast", "n_lifters").iter_rows())
        return table(
            f"Difference in rate of progress, {self.study.facts['primary']}",
            [
                *_columns("Contrast"), Column("both", "With both zones", numeric=True),
                Column("p", "p (Holm)", numeric=True),
            ],
            (
                _effect_row(row)
                | {"p": _p(row["p_holm"]), "both": both.get(row["contrast"], "under 3")}
                for row in adjusted(self.study).iter_rows(named=True)
            ),
            empty="No two rep zones have lifters enough to be compared.",
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
            f"Reps, effort, sets and frequency, {model}",
            _columns("Exposure"),
            (
                _effect_row(r) | {"contrast": r["contrast"].removeprefix("for ").capitalize()}
                for r in rows.iter_rows(named=True)
            ),
            empty="Nothing could be estimated.",
        )  # fmt: skip

    def people(self) -> Block:
        """How much lifters differ, and what to expect of a new one."""
        said = (
            "Each lifter who trained in both zones gives one difference of their own. A spread of "
            "0.00 is one that could not be told from the error of these, not proof that all people "
            "are alike; the range for a new lifter is then too narrow."
        )
        return paragraphs([said] * (not self.study.differences.is_empty())) + table(
            "How much lifters differ",
            [
                Column("contrast", "Contrast"), Column("n", "With both zones", numeric=True),
                Column("mean", "Mean, % a week", numeric=True),
                Column("sd", "SD between lifters", numeric=True),
                Column("i2", "Share not chance (I²)", numeric=True, minor=True),
                Column("new", "95 % range for a new lifter", numeric=True),
            ],
            (
                {
                    "contrast": r["contrast"], "n": r["n_lifters"],
                    "mean": _signed(r["effect_pct_week"]),
                    "sd": f"{r['between_lifters_sd']:.2f}", "i2": share(r["i2"]),
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
        said = (
            "One straight line through the Epley e1RM of each lift, lifts sorted by their mean reps: "
            "this is what a spreadsheet would do. It credits the fast progress of beginners to "
            "whatever reps they do, takes an error of the equation for progress where the rep range "
            "changes, and counts the lifts of one person as if they were of several."
        )
        return paragraphs([said]) + table(
            "With and without the precautions",
            [
                Column("contrast", "Contrast"), Column("effect", "This study, % a week", numeric=True),
                Column("interval", "95 % interval", numeric=True),
                Column("naive", "Naive, % a week", numeric=True),
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
        said = (
            "The scale of this study does not favour a rep zone: what a rep is worth in load was "
            "learnt from these lifters' own sets, zone by zone, from how many reps they lost when "
            "the load went up. The nearer the figures of the zones, the less the scale matters."
        )
        learnt = self.study.exchange
        zones = [zone for zone in ZONES if (learnt["zone"] == zone).any()]
        return paragraphs([said]) + table(
            "Load for ten reps to failure as a share of the maximum, as learnt from sets of each zone",
            [
                Column("kind", "Kind of lift"),
                *(Column(zone, zone, numeric=True) for zone in zones),
            ],
            (
                {"kind": KINDS.get(kind, kind)}
                | {
                    r[
                        "zone"
                    ]: f"{share((31 / 40) ** r['exchange'])} ({count(r['blocks'], 'block')})"
                    for r in rows.iter_rows(named=True)
                }
                for (kind,), rows in learnt.group_by("kind_of_curve", maintain_order=True)
            ),
        )

    def power(self) -> Figure:
        """How many lifters and weeks a difference takes."""
        from plateline.charts.study import power_chart

        return power_chart(self.study.power)

    def caveats(self) -> Block:
        """Say what may bend the answer."""
        from plateline.study.summary import caveats

        return _named(caveats(self.study))

    def method(self) -> Block:
        """Say how it was done."""
        from plateline.study.summary import method

        return _named(method(self.study))

    def _rows(self, term: str, model: str) -> pl.DataFrame:
        return self.study.effects.filter(pl.col("term") == term, pl.col("model") == model)


def study_page(source: str | Path | Study = "", **settings: Any) -> StudyPage:
    """Return the study of a log, of a saved study, or of the demo logbook where none is named.

    Parameters
    ----------
    source
        A log or a logbook's folder, the folder of a saved study, or a study.
    settings
        `by` and `weeks`, as for `studied`.

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


def _named(sentences: Sequence[str]) -> Block:
    """Set the name before the first colon of each paragraph in bold."""
    lines = [sentence.split(": ", 1) for sentence in sentences]
    html = Markup("").join(
        Markup('<p class="pl-text"><strong>{}.</strong> {}</p>').format(
            name, text[:1].upper() + text[1:]
        )
        for name, text in lines
    )
    return Block(html, "\n\n".join(sentences))


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
