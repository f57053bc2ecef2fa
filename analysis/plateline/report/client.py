"""One client's month as one object: a method a cell, each with its sentence."""

from __future__ import annotations

import datetime as dt
import functools
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.errors import UsageError
from plateline.report import (
    sentences,
    sentences_data,
    sentences_decisions,
    sentences_levers,
    sentences_targets,
    sentences_way,
)
from plateline.report import sentences_condition as condition_words
from plateline.report import sentences_work as work_words
from plateline.report.blocks import Block, Gallery, paragraphs
from plateline.report.figures import condition_figures, trend_figures, work_figures
from plateline.report.months import as_month, month_end, previous_month
from plateline.report.numbers import Units
from plateline.report.opening import opening_block
from plateline.report.results import Results
from plateline.report.source import results_from
from plateline.report.tables_closer import closer_block
from plateline.report.tables_data import bullet_list, rejected_table
from plateline.report.tables_lifts import accessory_table, lift_table, records_table
from plateline.report.tables_next import (
    cautions_block,
    levers_block,
    pain_block,
    swaps_block,
    target_table,
)
from plateline.report.tables_work import plan_table
from plateline.report.urgency import Decision, urgency_word
from plateline.words import Role, State

if TYPE_CHECKING:
    from plateline.charts import Figure
    from plateline.exercises import Logbook

__all__ = ["ClientReport", "client_report"]

Row = dict[str, Any]


class ClientReport:
    """The month of one client. Make one with :func:`client_report`.

    Every method of the page returns something a notebook cell shows: a `Block` (sentences and
    tables) or a `Gallery` (several of them, figures too, one below the other). All have a
    defined result when the log is short or something was never logged. Nothing is computed
    here: the frames are in ``report.results.frames``.

    Attributes
    ----------
    results
        The results of this client only.
    client, month, note
        Whose month, its first day, and the coach's own words.
    units
        The client's unit.
    """

    def __init__(self, results: Results, client: str, note: str = "") -> None:
        self.results = results.of(client)
        self.client = client
        self.month = results.month
        self.note = note
        self._facts = self._frame("clients").row(0, named=True)
        self.units = Units(self._facts["unit"], self._facts["load_step_kg"])

    # What a cell shows, in the order of the page ------------------------------------------

    def opening(self) -> Block:
        """Show whose month it is, the coach's note, the month in sentences, and the decision."""
        decisions = self._rows("decisions")
        about = next(row for row in decisions if row["decision"] != Decision.PAIN_NOTED)
        tell = sentences_levers.first_lever
        if about["decision"] == Decision.MOST_STUCK:
            tell = sentences_levers.common_lever
        lever = tell(self._rows("levers"), about["exercise"])
        return opening_block(
            self._facts,
            self._lifts,
            self.month,
            self.units,
            note=self.note,
            in_the_way=sentences_way.in_the_way(
                self._facts, self._lifts, self._rows("rejected"), self._rows("pain")
            ),
            decision=sentences_decisions.decide(decisions, self._facts, lever),
            urgency=urgency_word(decisions[0]["urgency"]),
            figures=sentences.in_figures(self._facts, self._lifts, len(self._records), self.units),
        )

    def lifts(self) -> Block:
        """Show the lifts, most in need of attention first, and the month's records."""
        return (
            lift_table(self._progression, self._frame("curves"), self.units, month_end(self.month))
            + accessory_table(self._rows("accessories"), self.units)
            + records_table(self._records, self._progression, self.units)
        )

    def trends(self) -> Gallery:
        """Show the trend of each progression lift, then accessory work by reps and volume."""
        return Gallery(self._trend_figures.values())

    def work(self) -> Gallery:
        """Show hard sets per muscle against the plan, positions, rep zones and effort."""
        muscles = self._rows("muscles")
        words = paragraphs(
            [work_words.muscles_most(muscles), work_words.muscles_against_plan(muscles)]
        )
        return Gallery([words, *self._work_figures.values()])

    def fatigue(self) -> Gallery:
        """Show load, readiness and body mass, the last against the phase's aim."""
        words = paragraphs(
            [
                work_words.load_ratio(self._facts),
                work_words.back_off(self._facts),
                work_words.balance(self._rows("balance")),
                condition_words.readiness(self._facts),
                condition_words.body_mass(self._facts, self.units),
                *(condition_words.association(row) for row in self._rows("associations")),
            ]
        )
        closer = closer_block(
            self._rows("closer"),
            self._rows("fitness_fatigue"),
            self._facts["sex"],
        )
        return Gallery([words, *self._condition_figures.values(), closer])

    def plan(self) -> Block:
        """Show plan against done."""
        words = paragraphs([work_words.plan_done(self._facts)])
        rows = self._rows("plan")
        return words + plan_table(rows) if rows else words

    def next_month(self) -> Block:
        """Show loads per prescription, levers for stuck lifts, and what to leave alone."""
        order = {row["exercise"]: place for place, row in enumerate(self._progression)}
        targets = sorted(self._rows("targets"), key=lambda row: order.get(row["exercise"], 99))
        levers = self._levers
        moving = [r["exercise"] for r in self._progression if r["state"] == State.PROGRESSING]
        unclear = [r["exercise"] for r in self._progression if r["state"] == State.UNCLEAR]
        stuck = any(r["state"] in (State.PLATEAU, State.DECLINING) for r in self._progression)
        return (
            pain_block(self._rows("pain"))
            + target_table(targets, self.units)
            + paragraphs([sentences_targets.TARGETS_HOW] if targets else [])
            + levers_block(levers, stuck=stuck)
            + swaps_block(self._swaps)
            + paragraphs([sentences_targets.leave_alone(moving, unclear, len(self._progression))])
            + cautions_block([*levers, *self._swaps], targets)
        )

    def data_notes(self) -> Block:
        """Show what was rejected, assumed and doubted, what was not logged, how right we were."""
        rejected = self._rows("rejected")
        tests = self._frame("backtest")
        miss = ((tests["observed_kg"] / tests["predicted_kg"] - 1).abs() * 100).median()
        told = [
            sentences_data.rows_line(len(rejected), self._facts.get("duplicates")),
            *sentences_data.flag_lines(self._rows("flags")),
            *sentences_data.name_lines(self._rows("names")),
            *sentences_data.assumption_lines(self._rows("assumptions")),
            *sentences_data.not_logged(
                self._facts, has_plan=bool(self._facts.get("sessions_planned"))
            ),
            sentences_data.backtest_line(
                len(tests), int(tests["inside"].sum()), miss if isinstance(miss, float) else None
            ),
        ]
        notes = bullet_list(told)
        return notes + rejected_table(rejected) if rejected else notes

    def methods(self) -> Block:
        """Show the methods in one paragraph, their sources, and the cautions."""
        return (
            paragraphs([sentences_data.METHODS])
            + paragraphs([sentences_data.SOURCES], "pl-quiet")
            + paragraphs([sentences_data.CAUTIONS], "pl-caution")
        )

    # What is written next to the page ------------------------------------------------------

    def tables(self) -> dict[str, pl.DataFrame]:
        """Return every table behind the page as a frame, by a file name without ending."""
        return dict(self.results.frames)

    def figures(self) -> dict[str, Figure]:
        """Return every chart of the page, by a file name without ending."""
        return self._trend_figures | self._work_figures | self._condition_figures

    # ----------------------------------------------------------------------------------------

    @functools.cached_property
    def _lifts(self) -> list[Row]:
        return self._rows("lifts")

    @functools.cached_property
    def _progression(self) -> list[Row]:
        """Progression lifts that were trained this month or last, most in need first."""
        earliest = previous_month(self.month)
        return [
            row
            for row in self._lifts
            if row["role"] == Role.PROGRESSION and row["last_date"] >= earliest
        ]

    @functools.cached_property
    def _records(self) -> list[Row]:
        """The month's records of the progression lifts, newest first."""
        names = {row["exercise"] for row in self._progression}
        return [row for row in self._rows("records") if row["exercise"] in names]

    @functools.cached_property
    def _levers(self) -> list[Row]:
        """Levers of the stuck progression lifts that were trained this month."""
        stuck = {
            row["exercise"]
            for row in self._progression
            if row["state"] in (State.PLATEAU, State.DECLINING)
            and row["sessions_month"]
            and "few sessions" not in row["context"]
        }
        order = {row["exercise"]: place for place, row in enumerate(self._progression)}
        mine = [row for row in self._rows("levers") if row["exercise"] in stuck]
        return sorted(mine, key=lambda row: order[row["exercise"]])

    @functools.cached_property
    def _swaps(self) -> list[Row]:
        """Swaps of accessory lifts, the one felt least first."""
        accessory = {row["exercise"] for row in self._lifts if row["role"] == Role.ACCESSORY}
        mine = [row for row in self._rows("levers") if row["exercise"] in accessory]
        return sorted(mine, key=lambda row: row["value"])

    @functools.cached_property
    def _trend_figures(self) -> dict[str, Figure]:
        return trend_figures(self._progression, self.results.frames, self.units)

    @functools.cached_property
    def _work_figures(self) -> dict[str, Figure]:
        return work_figures(self.results.frames)

    @functools.cached_property
    def _condition_figures(self) -> dict[str, Figure]:
        return condition_figures(self.results.frames, self.units)

    def _frame(self, name: str) -> pl.DataFrame:
        return self.results.frames[name]

    def _rows(self, name: str) -> list[Row]:
        return self._frame(name).to_dicts()


def client_report(
    source: Logbook | Results | Path | str | Sequence[Path | str] | None = None,
    client: str | None = None,
    month: dt.date | str | None = None,
    *,
    note: str = "",
) -> ClientReport:
    """Return one client's report for a month.

    Parameters
    ----------
    source
        A logbook folder or log files, a `Logbook`, a `Results`, or a folder written by
        `Results.save`; left out, the demo logbook.
    client
        The client's id, as text; may be left out where the log has one client only.
    month
        Any day of the month, or text like `2026-03`; left out, the log's last full month.
        Saved results know their month.
    note
        The coach's own words, shown at the top as plain paragraphs.

    Raises
    ------
    UsageError
        When there are several clients and none is named, or the client does not exist.
    NoResultError
        When there is nothing to report.
    """
    results = results_from(source, client, as_month(month))
    chosen = str(client) if client not in (None, "") else None
    if chosen is None:
        if len(results.clients) > 1:
            shown = ", ".join(repr(name) for name in results.clients[:8])
            raise UsageError(f"The log has {len(results.clients)} clients; name one of {shown}.")
        chosen = results.clients[0]
    return ClientReport(results, chosen, note)
