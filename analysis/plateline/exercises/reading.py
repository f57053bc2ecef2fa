"""The way in for everyone: a log, or a logbook with all that stands beside it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, UsageError
from plateline.exercises.catalogue import load_catalogue
from plateline.exercises.logbook import Logbook
from plateline.exercises.names import label_names, relabel
from plateline.log import read_checkins, read_clients, read_intake, read_plan
from plateline.log.files import is_store
from plateline.words import CHECKINS, CLIENTS, EXERCISE_NAMES, PLAN, REJECTED, SETS

__all__ = ["BESIDE", "read_beside", "read_log", "read_logbook", "written_names"]

BESIDE = ("clients", "checkins", "plan", "exercises")
"""The files that stand beside `log.csv` in a logbook folder."""


def read_logbook(
    logs: Path | str | Sequence[Path | str],
    *,
    client: str | None = None,
    clients: Path | str | None = None,
    checkins: Path | str | None = None,
    plan: Path | str | None = None,
    exercises: Path | str | None = None,
    columns: Mapping[str, str] | Path | None = None,
    unit: str | None = None,
    date_order: str | None = None,
    today: dt.date | None = None,
) -> Logbook:
    """Read logs and what stands beside them into one logbook.

    Parameters
    ----------
    logs
        Files, or folders. A folder with a `log.csv` is a logbook: `clients.csv`,
        `checkins.csv`, `plan.csv` and `exercises.csv` in it are read too, unless another
        file is named for them. Any other folder is handed to the intake as it is.
    client
        The client of logs that have no client column.
    clients, checkins, plan, exercises
        The other files, where they do not stand in a logbook folder. Rows of theirs that
        cannot be read are rejected rows of the logbook.
    columns, unit, date_order, today
        As for `plateline.log.read_intake`.

    Returns
    -------
    Logbook
        Clean frames; `sets` and `plan` carry each client's own label of a lift.

    Raises
    ------
    UsageError
        When a file is missing, unreadable or not what it should be.
    """
    paths = [Path(logs)] if isinstance(logs, str | Path) else [Path(p) for p in logs]
    if not paths:
        raise UsageError("No log was named; name a file, or a folder that holds log.csv.")
    sources, found = _sources(paths)
    named = {"clients": clients, "checkins": checkins, "plan": plan, "exercises": exercises}
    beside = {
        what: [Path(path)] if (path := named[what]) is not None else found[what] for what in BESIDE
    }

    known = _beside(beside, client, unit, date_order, today)
    taken = read_intake(
        sources, client=client, columns=columns, unit=unit, date_order=date_order,
        client_units=_units(known.clients), today=today,
    )  # fmt: skip
    names = label_names(written_names(taken.sets, known.plan), known.catalogue)
    return replace(
        known,
        sets=relabel(taken.sets, names).select(taken.sets.columns),
        plan=relabel(known.plan, names).select(known.plan.columns),
        names=names,
        rejected=pl.concat([taken.rejected, known.rejected]),
        account=taken.account,
        inputs=(*taken.inputs, *known.inputs),
        # What repeated was left out before it was kept.
        duplicates=None if all(map(is_store, sources)) else taken.duplicates,
        assumptions=taken.assumptions,
    )


def read_beside(folder: Path, named: Mapping[str, Path | None]) -> Logbook:
    """Read what stands beside a log, or is named for it, into a logbook without sets.

    The plan's lifts are as written; `written_names` and the sets are needed to label them.
    """
    found = {
        what: [path] if (path := named.get(what)) is not None else _existing(folder, what)
        for what in BESIDE
    }
    return _beside(found)


def _beside(
    found: Mapping[str, list[Path]],
    client: str | None = None,
    unit: str | None = None,
    date_order: str | None = None,
    today: dt.date | None = None,
) -> Logbook:
    """Read the files beside a log; rows that cannot be read are rejected, and the rest is used."""
    rejected: list[pl.DataFrame] = []
    who = _stack([read_clients(p, rejected=rejected) for p in found["clients"]], CLIENTS)
    checked = _stack(
        [
            read_checkins(
                p, client=client, unit=unit, client_units=_units(who), date_order=date_order,
                today=today, rejected=rejected,
            )
            for p in found["checkins"]
        ],
        CHECKINS,
    )  # fmt: skip
    planned = _stack(
        [
            read_plan(p, date_order=date_order, today=today, rejected=rejected)
            for p in found["plan"]
        ],
        PLAN,
    )
    return Logbook(
        sets=pl.DataFrame(schema=dict(SETS)),
        clients=who.unique("client", keep="last", maintain_order=True),
        checkins=checked.unique(maintain_order=True).sort("client", "date", maintain_order=True),
        plan=planned,
        catalogue=_catalogue(found["exercises"]),
        names=pl.DataFrame(schema=dict(EXERCISE_NAMES)),
        rejected=_stack(rejected, REJECTED),
        account={},
        inputs=tuple(p for what in BESIDE for p in found[what]),
    )


def _existing(folder: Path, what: str) -> list[Path]:
    path = folder / f"{what}.csv"
    return [path] if path.is_file() else []


def read_log(
    source: Path | str | Sequence[Path | str],
    *,
    client: str | None = None,
    clients: Path | str | None = None,
    exercises: Path | str | None = None,
    columns: Mapping[str, str] | Path | None = None,
    unit: str | None = None,
    date_order: str | None = None,
    today: dt.date | None = None,
) -> pl.DataFrame:
    """Read a log into the clean table (SETS), lifts named by each client's own label.

    `read_logbook` also returns what was rejected, what every name was read as, and the files
    beside the log.

    Parameters
    ----------
    source
        The `logs` of `read_logbook`.
    client, clients, exercises, columns, unit, date_order, today
        As there.
    """
    return read_logbook(
        source, client=client, clients=clients, exercises=exercises, columns=columns,
        unit=unit, date_order=date_order, today=today,
    ).sets  # fmt: skip


def _sources(paths: list[Path]) -> tuple[list[Path], dict[str, list[Path]]]:
    """Split logbook folders into their log and the files beside it."""
    sources: list[Path] = []
    found: dict[str, list[Path]] = {what: [] for what in BESIDE}
    for path in paths:
        if not path.exists():
            raise InputFileError(f"There is no file or folder {path}; name a log that exists.")
        log = path / "log.csv"
        sources.append(log if path.is_dir() and log.is_file() else path)
        if path.is_dir():
            for what in BESIDE:
                found[what] += _existing(path, what)
    return sources, found


def _stack(frames: list[pl.DataFrame], schema: Mapping[str, object]) -> pl.DataFrame:
    return pl.concat(frames) if frames else pl.DataFrame(schema=dict(schema))  # type: ignore[arg-type]


def _units(clients: pl.DataFrame) -> dict[str, str]:
    known = clients.filter(pl.col("unit").is_not_null())
    return dict(zip(known["client"].to_list(), known["unit"].to_list(), strict=True))


def _catalogue(own: list[Path]) -> pl.DataFrame:
    if len(own) > 1:
        raise UsageError(
            f"Two exercises files were found ({own[0]} and {own[1]}); name one with --exercises."
        )
    return load_catalogue(own[0] if own else None)


def written_names(sets: pl.DataFrame, plan: pl.DataFrame) -> pl.DataFrame:
    """Count each client's names as written; those that stand only in the plan have 0 rows."""
    every = pl.concat(
        [
            frame.lazy().select("client", name="exercise", _logged=pl.lit(is_logged))
            for frame, is_logged in ((sets, True), (plan, False))
        ]
    )
    # Sorted by where a name is first seen: a group-by that keeps the order of rows would
    # hold every row of a large log.
    return (
        every.with_row_index("_seen")
        .filter(pl.col("name").is_not_null())
        .group_by("client", "name")
        .agg(pl.col("_logged").sum().cast(pl.Int64).alias("rows"), pl.col("_seen").min())
        .sort("_seen")
        .drop("_seen")
        .collect()
    )
