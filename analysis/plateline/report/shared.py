"""What the clients of a logbook share, so that they can be worked on in parts.

A part (any group of clients) computed with the `Shared` of the whole gives, to the bit, what
the whole gives for these clients: on one machine the first pages need not wait for the last
client, and on a cluster each worker computes its own partition.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from plateline import trend
from plateline.errors import NoResultError
from plateline.report import reading_facts
from plateline.report.months import month_end

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["Shared", "learn_shared", "logbook_of"]


@dataclass(frozen=True)
class Shared:
    """What a part of a logbook cannot know of the whole.

    Attributes
    ----------
    now, before
        What lifts have in common at the end of the month, and of the month before; None
        where no set says anything about strength.
    last_day
        The last day in the log.
    rejected
        REJECTED with the `client` each row belongs to.
    assumptions
        `client, assumption, is_shared`: what was taken for granted, without what names
        somebody else; None where each part says its own.
    clients
        How many clients the whole log has.
    """

    now: trend.Common | None
    before: trend.Common | None
    last_day: dt.date
    rejected: pl.DataFrame
    assumptions: pl.DataFrame | None
    clients: int

    def of(self, part: Logbook) -> Shared:
        """Return what a part has to know: of rows and assumptions its own clients' only."""
        here = part.sets.select("client").unique()
        if self.assumptions is None:
            everybody = _everybody(part.sets, part.clients)
            own = reading_facts.assumptions_by_client(part.assumptions, everybody)
            general = part.assumptions.filter(pl.col("client").is_null())["assumption"]
            of_all = pl.col("assumption").is_in(general.implode()) & (self.clients > 1)
            own = own.with_columns(is_shared=of_all)
        else:
            own = self.assumptions.join(here, on="client", how="semi", maintain_order="left")
        rejected = self.rejected.join(here, on="client", how="semi", maintain_order="left")
        return replace(self, rejected=rejected, assumptions=own)

    def for_clients(self, clients: Collection[str]) -> Shared:
        """Return what has to travel to a part: nothing about other clients."""
        mine = pl.col("client").is_in(list(clients))
        said = None if self.assumptions is None else self.assumptions.filter(mine)
        return replace(self, rejected=self.rejected.filter(mine), assumptions=said)

    @property
    def stray(self) -> pl.DataFrame:
        """The rejected rows that belong to nobody that can be told."""
        return self.rejected.filter(pl.col("client").is_null()).drop("client")


def learn_shared(logbook: Logbook, month: dt.date) -> Shared:
    """Learn what all clients of a logbook share, for the reports of a month.

    Parameters
    ----------
    logbook
        The whole logbook.
    month
        First day of the month.

    Raises
    ------
    NoResultError
        When the log has no set up to the end of that month.
    """
    end, eve = month_end(month), month - dt.timedelta(days=1)
    sets = logbook.sets.filter(pl.col("date") <= end)
    last = logbook.sets["date"].max()
    if sets.is_empty() or not isinstance(last, dt.date):
        raise NoResultError(f"The log has no set up to {end.day} {end:%B %Y}.")

    def common(day: dt.date) -> trend.Common | None:
        return trend.learn_common(
            sets.filter(pl.col("date") <= day),
            day,
            catalogue=logbook.catalogue,
            checkins=logbook.checkins.filter(pl.col("date") <= day),
            plan=logbook.plan,
        )

    import numpy.ma  # noqa: F401  Polars asks for it at the first array, which is on a thread

    days = [end, eve] if sets.filter(pl.col("date") <= eve).height else [end]
    with ThreadPoolExecutor(len(days)) as pool:  # the first page waits for both
        learned = list(pool.map(common, days))
    return Shared(
        now=learned[0],
        before=learned[1] if len(learned) > 1 else None,
        last_day=last,
        rejected=reading_facts.rejected_by_client(logbook.rejected, logbook.sets),
        assumptions=reading_facts.assumptions_by_client(
            logbook.assumptions, _everybody(logbook.sets, logbook.clients)
        ),
        clients=logbook.sets["client"].n_unique(),
    )


def logbook_of(logbook: Logbook, clients: Collection[str]) -> Logbook:
    """Return the part of a logbook that is about some clients."""
    mine = pl.col("client").is_in(list(clients))
    return replace(
        logbook,
        sets=logbook.sets.filter(mine),
        clients=logbook.clients.filter(mine),
        checkins=logbook.checkins.filter(mine),
        plan=logbook.plan.filter(mine),
        names=logbook.names.filter(mine),
        duplicates=None if logbook.duplicates is None else logbook.duplicates.filter(mine),
    )


def _everybody(sets: pl.DataFrame, clients: pl.DataFrame) -> pl.DataFrame:
    known = clients.select("client", "name").unique("client", keep="last")
    return sets.select("client").unique().join(known, on="client", how="left").sort("client")
