"""The page of all clients: who needs a decision first, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import polars as pl
from markupsafe import Markup

from plateline.report import sentences_index as say
from plateline.report.blocks import Block, paragraphs
from plateline.report.months import month_end
from plateline.report.numbers import day
from plateline.report.opening import display_name
from plateline.report.page import page_markup
from plateline.report.results import Results
from plateline.report.sentences_decisions import index_reason
from plateline.report.sentences_levers import in_short
from plateline.report.tables import Column, lines, quiet, table
from plateline.report.tables_lifts import spark_of
from plateline.report.urgency import urgency_word
from plateline.words import Role

__all__ = ["ClientRun", "build_index", "for_index"]

Row = Mapping[str, Any]

LIFTS_SHOWN = 3
"""Small pictures a client: those most in need of attention."""

FILTER_FROM = 12
"""From this many clients on, the page offers to find one by name."""


@dataclass(frozen=True)
class ClientRun:
    """How one client's report came out.

    Attributes
    ----------
    client
        The client's id.
    page
        The page, relative to the index; None where there is none.
    error
        The sentence that says why, where there is no report.
    """

    client: str
    page: str | None = None
    error: str | None = None


@dataclass(frozen=True)
class _Entry:
    """One row of the index, and where it stands."""

    group: str
    weight: float
    name: str
    cells: dict[str, Any]

    @property
    def place(self) -> tuple[int, float, str]:
        """What the index is sorted by: the group, the weightiest first, the name."""
        return list(say.GROUPS).index(self.group), -self.weight, self.name.casefold()


_COLUMNS = (
    Column("client", "Client"),
    Column("why", "Why here", wide=True),
    Column("lifts", "Lifts, most in need first", wide=True),
    Column("sessions", "Sessions", numeric=True),
    Column("last", "Last log"),
)


def build_index(results: Results, runs: Sequence[ClientRun]) -> str:
    """Return the whole index page, one HTML text that loads nothing.

    Clients are ordered by need of a decision: reports that could not be made, then clients
    with a decision to take, then those to watch, then those who carry on.

    Parameters
    ----------
    results
        The results of all clients.
    runs
        How each client's report came out; a failed one is a row with its reason.
    """
    facts = {row["client"]: row for row in results.frames["clients"].to_dicts()}
    decisions = {row["client"]: row for row in _weighed(results.frames["decisions"]).to_dicts()}
    pictures = _pictures(results)
    levers = results.frames["levers"].partition_by("client", as_dict=True)
    entries = [
        _entry(
            run,
            facts.get(run.client),
            decisions.get(run.client),
            pictures.get(run.client),
            levers.get((run.client,)),
        )
        for run in runs
    ]
    entries.sort(key=lambda entry: entry.place)
    groups = {group: [e for e in entries if e.group == group] for group in say.GROUPS}
    sections = [_opening(results.month, groups)]
    sections += [_section(group, members) for group, members in groups.items() if members]
    sections.append(_stray_rows(results.stray).html)
    return page_markup(
        title=say.title(results.month),
        sections=sections,
        scripts=["index.js"] if len(runs) >= FILTER_FROM else [],
    )


def for_index(results: Results) -> Results:
    """Return what the index shows of results: little enough to keep for any number of clients."""
    frames = {name: results.frames[name] for name in ("clients", "decisions", "levers", "lifts")}
    curves = results.frames["curves"].join(
        _lifts_shown(results), on=["client", "exercise"], how="semi", maintain_order="left"
    )
    return replace(results, frames=frames | {"curves": curves})


def _opening(month: dt.date, groups: Mapping[str, Sequence[_Entry]]) -> Markup:
    sizes = {group: len(members) for group, members in groups.items()}
    jumps = Markup("").join(
        Markup('<li><a href="#{}">{}</a></li>').format(_anchor(group), say.heading(group, size))
        for group, size in sizes.items()
        if size
    )
    finder = (
        Markup(
            '<p class="pl-filter pl-controls" hidden><label for="pl-find">{}</label>'
            '<input id="pl-find" type="search" autocomplete="off">'
            '<label for="pl-order">{}</label><select id="pl-order">{}</select></p>'
        ).format(
            say.FIND_LABEL,
            say.ORDER_LABEL,
            Markup("").join(
                Markup('<option value="{}">{}</option>').format(*pair)
                for pair in say.ORDERS.items()
            ),
        )
        if sum(sizes.values()) >= FILTER_FROM
        else Markup("")
    )
    contents = Markup('<nav class="pl-nav" aria-label="Groups"><ul>{}</ul></nav>').format(jumps)
    return Markup('<header><h1>{}</h1><p class="pl-lead">{}</p>{}{}</header>').format(
        say.title(month), say.summary(sizes), finder, contents if finder else Markup("")
    )


def _anchor(group: str) -> str:
    return f"pl-{group.replace(' ', '-')}"


def _section(group: str, members: Sequence[_Entry]) -> Markup:
    listing = table(
        say.GROUPS[group],
        _COLUMNS if group != "failed" else _COLUMNS[:2],
        [entry.cells for entry in members],
        css="pl-index",
    )
    return Markup('<section class="pl-group"><h2 id="{}">{}</h2>{}</section>').format(
        _anchor(group), say.heading(group, len(members)), listing.html
    )


def _entry(
    run: ClientRun,
    facts: Row | None,
    decision: Row | None,
    pictures: Markup | None,
    levers: pl.DataFrame | None,
) -> _Entry:
    name = display_name(facts) if facts else run.client
    link = Markup('<a href="{}">{}</a>').format(_href(run.page), name) if run.page else name
    label = lines(link, quiet(run.client) if name != run.client else None)
    logged = facts is not None and bool(facts["sessions_month"])
    if run.error and logged:
        return _Entry("failed", 0.0, name, {"client": label, "why": run.error})
    if facts is None or decision is None or run.error:
        return _Entry("decide", 0.0, name, {"client": label, "why": run.error})
    group = urgency_word(decision["urgency"])
    rows = levers.to_dicts() if levers is not None and group == "decide" else []
    cells = {
        "client": label,
        "why": lines(index_reason(decision, facts), quiet(in_short(rows, decision["exercise"]))),
        "lifts": pictures,
        "sessions": lines(say.sessions(facts), quiet(say.sessions_before(facts))),
        "last": Markup('<time datetime="{}">{}</time>').format(
            facts["last_date"].isoformat(), day(facts["last_date"])
        ),
    }
    return _Entry(group, decision["weight"], name, cells)


def _weighed(decisions: pl.DataFrame) -> pl.DataFrame:
    """Return each client's first decision, with the weight of all its decisions together."""
    whole = pl.col("weight").sum().over("client")
    # Of two clients of the same weight the more urgent reason comes first.
    return decisions.with_columns(weight=whole + pl.col("urgency") / 1000).unique(
        "client", keep="first", maintain_order=True
    )


def _href(page: str) -> str:
    """Return a file name as a link: `#`, `?` and `%` in it stay part of the name."""
    from urllib.parse import quote

    return quote(page)


def _pictures(results: Results) -> dict[str, Markup]:
    """Return each client's small pictures, the lifts most in need of attention first."""
    last = month_end(results.month)
    shown = _lifts_shown(results)
    curves = (
        results.frames["curves"]
        .join(shown, on=["client", "exercise"], how="semi")
        .partition_by("client", "exercise", as_dict=True)
    )
    made: dict[str, list[Markup]] = {}
    for row in shown.iter_rows(named=True):
        mine = curves.get((row["client"], row["exercise"]))
        drawn = spark_of(row, mine, last) if mine is not None else Markup("")
        made.setdefault(row["client"], []).append(
            Markup(
                '<span class="pl-mini"><span class="pl-state pl-state-{0}" title="{0}">{1}</span>'
                "{2}</span>"
            ).format(row["state"], row["exercise"], drawn)
        )
    return {client: Markup("").join(pieces) for client, pieces in made.items()}


def _lifts_shown(results: Results) -> pl.DataFrame:
    return (
        results.frames["lifts"]
        .filter(pl.col("role") == Role.PROGRESSION, pl.col("sessions_month") > 0)
        .group_by("client", maintain_order=True)
        .head(LIFTS_SHOWN)
    )


def _stray_rows(stray: pl.DataFrame) -> Block:
    """Name the rows that could not be read and belong to nobody that can be told."""
    places: Iterable[tuple[str, int]] = stray.select("source_file", "source_line").iter_rows()
    return paragraphs([say.stray_rows(list(places))] if len(stray) else [], "pl-quiet")
