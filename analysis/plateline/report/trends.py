"""An athlete's page: every lift of one log, to choose and to look into, in one offline file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.errors import NoResultError, OutputError, UnknownNameError, UsageError
from plateline.report.run_record import aside_of

if TYPE_CHECKING:
    from plateline.charts import Figure
    from plateline.exercises import Logbook
    from plateline.report.blocks import Block

__all__ = ["LONE_ATHLETE", "TrendsPage", "trends_page"]

LONE_ATHLETE = "athlete"
"""Stands in the client column of a log that has none."""

LISTED_CLIENTS = 12
"""So many clients are named where one has to be chosen."""


@dataclass(frozen=True)
class TrendsPage:
    """One athlete's trends. Make one with :func:`trends_page`.

    Each method gives what one notebook cell shows; `write` puts all of it, and the picture to
    choose a lift and a window in, into one HTML file.

    Attributes
    ----------
    frames
        The results by name: `status` (LIFT_STATUS_DETAIL and `trends_standing`, most in need of
        attention first), `curves`, `stretches` (breaks and falling body mass), `sessions`, `records`, `weekly`, `muscles`, `targets`, `levers`, `rejected`,
        `names` (those read by similarity or not at all).
    client
        Whose log it is; `athlete` where the log does not say.
    unit
        `kg` or `lb`: the unit that the page opens with.
    account
        The log's row account (where nobody else is in the log) and the assumptions made.
    """

    frames: dict[str, pl.DataFrame]
    client: str
    unit: str
    account: Mapping[str, object]

    @property
    def lift_names(self) -> list[str]:
        """The lifts, most in need of attention first."""
        return self.frames["status"]["exercise"].to_list()

    def opening(self) -> Block:
        """Say how many lifts move, stand still or fall, in a sentence or two."""
        from plateline.report.trends_words import opening

        return opening(self)

    def lifts(self) -> Block:
        """Every lift: state, small picture, change, strength now (one table)."""
        from plateline.report.trends_sections import lifts_table

        return lifts_table(self)

    def chart(self, lift: str | None = None) -> Figure:
        """Return the trend of one lift; the first of `lift_names` where none is named.

        Raises
        ------
        UnknownNameError
            When the log has no such lift.
        """
        from plateline.charts import trend_chart

        name = lift or self.lift_names[0]
        if name not in self.lift_names:
            raise UnknownNameError.among("lift", name, self.lift_names)
        return trend_chart(
            self.frames["curves"].filter(exercise=name),
            self.frames["status"].filter(exercise=name),
            unit=self.unit,
            phases=self.frames["stretches"],
            relative=self._row(name)["is_relative"],
        )

    def _row(self, lift: str) -> dict[str, Any]:
        return self.frames["status"].row(by_predicate=pl.col("exercise") == lift, named=True)

    def records(self, lift: str | None = None) -> Block:
        """Return the records of one lift: the most load at each number of reps, and the best e1RM."""
        from plateline.report.trends_sections import records_table

        return records_table(self, lift or self.lift_names[0])

    def muscles(self) -> Figure:
        """Hard sets by muscle, week by week, over the last half year."""
        from plateline.charts import muscle_weeks_chart
        from plateline.report.trends_facts import recent_weeks

        return muscle_weeks_chart(recent_weeks(self.frames["muscles"]))

    def next_steps(self) -> Block:
        """Say what the log suggests for stuck lifts, and loads for the next session of each lift."""
        from plateline.report.trends_next import next_steps

        return next_steps(self)

    def data_notes(self) -> Block:
        """Say what could not be read, how to fix the export, and what was assumed."""
        from plateline.report.trends_notes import data_notes

        return data_notes(self)

    @cached_property
    def html(self) -> str:
        """The whole page, one HTML text that loads nothing."""
        from plateline.report.trends_layout import layout

        return layout(self)

    def write(self, path: Path | str) -> Path:
        """Write the page, whole or not at all, and return where it is.

        Raises
        ------
        OutputError
            When the file cannot be written.
        """
        final = Path(path)
        aside = aside_of(final)
        try:
            aside.write_text(self.html, encoding="utf-8")
            aside.replace(final)
        except OSError as fault:
            aside.unlink(missing_ok=True)
            raise OutputError(f"{final} cannot be written: {fault.strerror}.") from None
        return final


def trends_page(
    source: Logbook | Path | str | Sequence[Path | str] | None = None,
    client: str | None = None,
    *,
    unit: str | None = None,
    **reading: object,
) -> TrendsPage:
    """Return one athlete's trends.

    Parameters
    ----------
    source
        A log file (or several, or a logbook folder), or a `Logbook`; left out, one client of
        the demo logbook.
    client
        Whose log it is. Needed only where the log holds several clients.
    unit
        `kg` or `lb`: the unit of loads that do not say theirs, and the page's own. Left out,
        the page opens in the unit that most of the loads were logged in.
    **reading
        Further arguments of `plateline.read_logbook`, such as `checkins` or `date_order`.

    Raises
    ------
    UsageError
        When the log cannot be read, or holds several clients and none is named.
    NoResultError
        When the log has not one set that could be read.
    """
    from plateline.report.trends_facts import trend_frames, usual_unit

    logbook, named = _read(source, client or None, unit, reading)
    who = _chosen(logbook, named)
    frames = trend_frames(logbook, who)
    sets = logbook.sets.filter(client=who)
    account = _own_account(logbook, who)
    return TrendsPage(frames, who, unit or usual_unit(sets, logbook.clients), account)


def _read(
    source: Logbook | Path | str | Sequence[Path | str] | None,
    client: str | None,
    unit: str | None,
    reading: Mapping[str, object],
) -> tuple[Logbook, str | None]:
    from plateline.exercises import Logbook, read_logbook

    if isinstance(source, Logbook):
        return source, client
    if source is None or source == "":
        from plateline.places import data_demo

        logbook = read_logbook(data_demo())
        return logbook, client or _longest_log(logbook.sets)
    logbook = read_logbook(source, client=client or LONE_ATHLETE, unit=unit, **reading)  # type: ignore[arg-type]
    return logbook, client


def _own_account(logbook: Logbook, client: str) -> dict[str, object]:
    """Return what of the log's account is about this client.

    The counts of rows are left out where others share the log; so is what was assumed about
    others, or about a client whom nobody named.
    """
    from plateline.report.reading_facts import assumptions_by_client

    assumed = logbook.account.get("assumptions")
    lines = [
        line for line in (assumed if isinstance(assumed, list) else []) if LONE_ATHLETE not in line
    ]
    everybody = logbook.sets.select("client").unique()
    if len(everybody) == 1:
        return {**logbook.account, "assumptions": lines}
    named = everybody.join(logbook.clients.select("client", "name"), on="client", how="left")
    told = logbook.assumptions.filter(
        ~pl.col("assumption").str.contains(LONE_ATHLETE, literal=True)
    )
    own = assumptions_by_client(told, named).filter(client=client)
    return {"assumptions": own["assumption"].to_list()}


def _longest_log(sets: pl.DataFrame) -> str:
    return str(sets.group_by("client").len().sort("len", "client", descending=True)["client"][0])


def _chosen(logbook: Logbook, client: str | None) -> str:
    known = logbook.sets["client"].unique().sort().to_list()
    if not known:
        raise NoResultError(_why_nothing(logbook.rejected))
    if client is not None:
        if client not in known:
            raise UnknownNameError.among("client", client, known)
        return client
    if len(known) > 1:
        shown = ", ".join(map(repr, known[:LISTED_CLIENTS]))
        more = " and more" if len(known) > LISTED_CLIENTS else ""
        raise UsageError(
            f"The log holds {len(known)} clients, and this page is about one; "
            f"name one with --client: {shown}{more}."
        )
    return known[0]


def _why_nothing(rejected: pl.DataFrame) -> str:
    """Say why a log gave no set, by its first row that could not be read."""
    if rejected.is_empty():
        return "The log holds no rows; give it one row per set, with date, exercise, load and reps."
    first = rejected.row(0, named=True)
    return (
        f"Not one set of the log could be read; the first row, {first['source_file']} line "
        f"{first['source_line']}: {first['reason']} `plateline intake` tells the same of every row."
    )
