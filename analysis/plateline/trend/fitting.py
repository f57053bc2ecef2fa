"""From a log to the posterior of every lift at a date: the one path that all answers share."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable
from typing import Any

import polars as pl

from plateline.errors import NoResultError
from plateline.strength.door import sets_frame
from plateline.strength.evidence import evidence_of
from plateline.trend.beside import Beside
from plateline.trend.fit import Fit
from plateline.trend.layout import lay_out
from plateline.trend.learning import learn_pooled
from plateline.trend.light import planned_light
from plateline.trend.measure import Days, Lifts, measure
from plateline.trend.pooled import Common
from plateline.trend.regimes import run_regimes
from plateline.trend.weeks import Weeks, day_number
from plateline.trend.weighing import Weighed, weigh

__all__ = ["fit_lifts", "fit_log", "last_day", "learn_common", "reference"]

REFERENCE_CLIENTS = 400
"""What lifts have in common is learned from at most so many clients of a log. They hold some
thousand lifts, which settle it far beyond what one more client could move."""


def last_day(sets: pl.DataFrame) -> dt.date:
    """Return the last day in the log.

    Raises
    ------
    NoResultError
        When there is no set at all.
    """
    day = sets["date"].max()
    if not isinstance(day, dt.date):
        raise NoResultError("There is no set in the log.")
    return day


def fit_lifts(
    clean: pl.DataFrame,
    as_of: dt.date | None = None,
    beside: Beside | None = None,
    *,
    common: Common | None = None,
    path: bool = False,
    first_day: int | None = None,
) -> Fit | None:
    """Fit all lifts of a log as of a day; None when no set says anything about strength.

    Parameters
    ----------
    clean
        Sets that have come through the door (`plateline.strength.door.sets_frame`). Only those
        up to the day count.
    as_of
        The day; the last one in the log where left out.
    beside
        What stands beside the log; nothing where left out.
    common
        What `learn_common` learned from the log that these sets are a part of; left out, it is
        learned here.
    path
        Keep what was expected and known in every week (for charts and backtests).
    first_day
        The whole log's first day, where these sets do not hold it and `common` is left out.
    """
    as_of = as_of or last_day(clean)
    beside = beside or Beside.of()
    clients = clean["client"].unique()
    if common is None and len(clients) > REFERENCE_CLIENTS:
        common = _common_of(clean, as_of, first_day, beside)
    found = _laid_out(clean, as_of, beside, common, first_day)
    if found is None:
        return None
    lifts, days, weighed, weeks, common = found
    posterior = run_regimes(weeks, common.pooled, path=path)
    return Fit(as_of, lifts, days, weighed, weeks, common, posterior)


def _laid_out(
    clean: pl.DataFrame,
    as_of: dt.date,
    beside: Beside,
    common: Common | None,
    first_day: int | None,
) -> tuple[Lifts, Days, Weighed, Weeks, Common] | None:
    """Do all of `fit_lifts` but look for regimes; what lifts have in common is learned on the way."""
    known = clean.filter(pl.col("date") <= as_of)
    evidence = evidence_of(known, beside.catalogue, _known_by(as_of, beside.checkins))
    if evidence.is_empty():
        return None
    lifts, days = measure(evidence)
    light = planned_light(lifts, days, beside.plan)
    as_of_day = day_number(as_of)
    lifts, weighed = weigh(lifts, days, light, as_of_day, common)
    if common is not None:
        first_day = common.first_day
    elif first_day is None:
        first_day = _first_day(clean, as_of)
    weeks = lay_out(days, weighed, lifts.count, first_day, as_of_day)
    if common is None:
        pooled = learn_pooled(weeks)
        common = Common(weighed.log_noise, weighed.day_covariance, pooled, first_day)
    return lifts, days, weighed, weeks, common


def fit_log(
    sets: Any,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    plan: Any = None,
    common: Common | None = None,
) -> Fit | None:
    """Fit all lifts of a log once, for callers that ask several questions of the same day.

    `lift_status`, `lift_curves`, `targets` and `backtest` take it as `fit`, and answer what they
    would have answered without it, to the bit.

    Parameters
    ----------
    sets, as_of, catalogue, checkins, plan, common
        As for `lift_status`, and the same as are given to what is asked next.

    Returns
    -------
    Fit or None
        None when no set says anything about strength.
    """
    beside = Beside.of(catalogue, checkins, plan)
    return fit_lifts(sets_frame(sets), as_of, beside, common=common, path=True)


def _known_by(as_of: dt.date, checkins: pl.DataFrame) -> pl.DataFrame:
    """Leave out what was weighed after the day, but for clients who had not been weighed yet."""
    by_then = pl.col("date") <= as_of
    weighed = (by_then & pl.col("body_mass_kg").is_not_null()).any().over("client")
    return checkins.filter(by_then | ~weighed)


def _first_day(clean: pl.DataFrame, otherwise: dt.date) -> int:
    day = clean["date"].min()
    return day_number(day if isinstance(day, dt.date) else otherwise)


def reference(clients: Iterable[str]) -> list[str]:
    """Return the clients that a log's lifts learn from: all, or some by a digest of their ids.

    The choice depends on nothing but the ids, so it is the same however a log is divided.
    """
    ids = sorted(set(clients))
    if len(ids) <= REFERENCE_CLIENTS:
        return ids
    digests = {client: hashlib.blake2b(client.encode(), digest_size=16).digest() for client in ids}
    return sorted(sorted(ids, key=digests.__getitem__)[:REFERENCE_CLIENTS])


def learn_common(
    sets: Any,
    as_of: dt.date | None = None,
    *,
    catalogue: pl.DataFrame | None = None,
    checkins: Any = None,
    plan: Any = None,
    first_day: dt.date | None = None,
) -> Common | None:
    """Learn what the lifts of a log have in common, for working on its clients in parts.

    Parameters
    ----------
    sets
        SETS of the whole log, or of its `reference` clients, which give the same.
    as_of, catalogue, checkins, plan
        As for `lift_status`; the day is needed where `sets` does not hold the log's last one.
    first_day
        The log's first day, needed where `sets` does not hold it.

    Returns
    -------
    Common or None
        None when no set says anything about strength.
    """
    clean = sets_frame(sets)
    day = as_of or last_day(clean)
    first = day_number(first_day) if first_day else None
    return _common_of(clean, day, first, Beside.of(catalogue, checkins, plan))


def _common_of(
    clean: pl.DataFrame, day: dt.date, first_day: int | None, beside: Beside
) -> Common | None:
    """Do what `learn_common` does, for sets that have come through the door already."""
    kept = clean.filter(pl.col("client").is_in(reference(clean["client"].unique())))
    first = _first_day(clean, day) if first_day is None else first_day
    found = _laid_out(kept, day, beside, None, first)
    return found[-1] if found else None
