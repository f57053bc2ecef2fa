"""The words of the index page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.months import month_name
from plateline.report.numbers import count
from plateline.report.sentences import listed, opened, worded

__all__ = [
    "FIND_LABEL",
    "GROUPS",
    "ORDERS",
    "ORDER_LABEL",
    "heading",
    "sessions",
    "sessions_before",
    "stray_rows",
    "summary",
    "title",
]

GROUPS = {
    "failed": "Reports that could not be made, with the reason",
    "decide": "Clients who need a decision, most urgent first",
    "watch": "Clients to watch, without a decision to take now",
    "carry on": "Clients whose plan stands",
}
"""The groups of the index, in their order, with the caption of each table."""

FIND_LABEL = "Find a client"
ORDER_LABEL = "Order by"
ORDERS = {
    "need": "need of a decision",
    "name": "name",
    "last": "last log, oldest first",
}
"""What the page's own script can order the rows by, and what it is called."""

_HEADINGS = {
    "failed": "Not made",
    "decide": "Needs a decision",
    "watch": "Watch",
    "carry on": "Carry on",
}


def title(month: dt.date) -> str:
    """Return the title of the index."""
    return f"Clients, {month_name(month)}"


def heading(group: str, size: int) -> str:
    """Return the heading of a group with its size."""
    return f"{_HEADINGS[group]} ({size})"


def summary(sizes: Mapping[str, int]) -> str:
    """Say how many clients there are, and how many need what."""
    total = sum(sizes.values())
    parts = []
    for group, one, many in (
        ("failed", "report could not be made", "reports could not be made"),
        ("decide", "needs a decision", "need a decision"),
        ("watch", "is worth watching", "are worth watching"),
        ("carry on", "carries on as planned", "carry on as planned"),
    ):
        size = sizes.get(group, 0)
        if size:
            parts.append(f"{worded(size)} {one if size == 1 else many}")
    return f"{opened(worded(total))} {'client' if total == 1 else 'clients'}: {listed(parts)}."


def sessions(facts: Mapping[str, Any]) -> str:
    """Return sessions done of those planned; logged ones where there is no plan."""
    if facts.get("sessions_planned"):
        return f"{facts['sessions_done']} of {facts['sessions_planned']} planned"
    return str(facts["sessions_month"] or 0)


def sessions_before(facts: Mapping[str, Any]) -> str:
    """Return the sessions logged in the month before, beside the month's own where planned."""
    before = f"{facts['sessions_before'] or 0} before"
    if facts.get("sessions_planned"):
        return f"{facts['sessions_month'] or 0} logged, {before}"
    return before


def stray_rows(places: Sequence[tuple[str, int]]) -> str:
    """Say which rows could not be read and belong to no client that can be told."""
    shown = listed([f"{file} line {line}" for file, line in places[:5]])
    more = f" and {count(len(places) - 5, 'more')}" if len(places) > 5 else ""
    return (
        f"{opened(count(len(places), 'row'))} of the log could not be read and cannot be given to "
        f"a client: {shown}{more}."
    )
