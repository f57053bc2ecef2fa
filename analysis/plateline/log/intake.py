"""Read logs: the way in, from files to clean sets with every row accounted for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError
from plateline.log.account import Account
from plateline.words import REJECTED, SETS, SetKind, conform

__all__ = ["Intake", "read_intake"]

POUND_KG = 0.45359237
"""Kilograms in a pound, exact (international yard and pound agreement, 1959)."""


@dataclass(frozen=True)
class Intake:
    """What came in.

    Attributes
    ----------
    sets
        SETS, one row per set, `exercise` as written; sorted by client, date, source order.
    rejected
        REJECTED, one row per source row that was not accepted, with the reason.
    account
        `rows, accepted, rejected, duplicates, blank, sets` and `assumptions` (sentences);
        rows = accepted + rejected + duplicates + blank, checked.
    inputs
        The files that were read.
    """

    sets: pl.DataFrame
    rejected: pl.DataFrame
    account: dict[str, int | list[str]]
    inputs: tuple[Path, ...] = ()


def read_intake(
    sources: Path | str | Sequence[Path | str],
    *,
    client: str | None = None,
    columns: Mapping[str, str] | Path | None = None,
    unit: str | None = None,
    date_order: str | None = None,
    client_units: Mapping[str, str] | None = None,
    today: dt.date | None = None,
) -> Intake:
    """Read one or several logs into clean sets.

    Parameters
    ----------
    sources
        A file, a folder or several.
    client
        The client of the logs that have no client column.
    columns
        What the log's columns are, as a mapping or a TOML file.
    unit
        `kg` or `lb`: the unit of loads that do not say theirs.
    date_order
        `dmy`, `mdy` or `ymd`, for dates that can be read two ways.
    client_units
        `kg` or `lb` per client, from the clients file.
    today
        Dates after this day are rejected; left out, the current day.

    Returns
    -------
    Intake
        Sets, rejected rows and the account of all rows.
    """
    paths = [Path(sources)] if isinstance(sources, str | Path) else [Path(s) for s in sources]
    day = today or dt.date.today()
    parts = [_read_contract(path, client, unit, client_units or {}, day) for path in paths]
    sets = pl.concat([p[0] for p in parts]).sort("client", "date", maintain_order=True)
    rejected = pl.concat([p[1] for p in parts])
    account = Account.total([p[2] for p in parts])
    return Intake(sets, rejected, account.as_dict(), tuple(paths))


def _read_contract(
    path: Path, client: str | None, unit: str | None, client_units: Mapping[str, str], day: dt.date
) -> tuple[pl.DataFrame, pl.DataFrame, Account]:
    try:
        raw = pl.read_csv(path, infer_schema=False)
    except (OSError, pl.exceptions.PolarsError) as fault:
        raise InputFileError(f"{path} cannot be read: {fault}") from fault
    missing = [c for c in ("date", "exercise", "load", "reps") if c not in raw.columns]
    if missing:
        raise MissingColumnError(
            f"{path} has no column {missing[0]!r}; its columns are {', '.join(raw.columns)}."
        )
    have = set(raw.columns)
    said: list[str] = []
    if "client" not in have and client is None:
        said.append("The log names no client, so the client is called 'me'.")

    def text(name: str) -> pl.Expr:
        if name not in have:
            return pl.lit(None, pl.String)
        stripped = pl.col(name).str.strip_chars()
        return pl.when(stripped != "").then(stripped)

    def number(name: str) -> pl.Expr:
        return text(name).cast(pl.Float64, strict=False)

    units = text("unit") if "unit" in have else pl.lit(None, pl.String)
    who = text("client").fill_null(client or "me") if "client" in have else pl.lit(client or "me")
    units = pl.coalesce(
        units, who.replace_strict(dict(client_units), default=None, return_dtype=pl.String),
        pl.lit(unit or "kg"),
    )  # fmt: skip
    rpe = number("rpe")
    frame = raw.with_row_index("source_line", offset=2).with_columns(
        _blank=pl.all_horizontal(pl.col(c).is_null() for c in raw.columns),
        _row=pl.concat_str([pl.col(c).fill_null("") for c in raw.columns], separator=","),
        _client=who,
        _date=text("date").str.to_date("%Y-%m-%d", strict=False),
        _load=number("load") * pl.when(units == "lb").then(POUND_KG).otherwise(1.0),
        _reps=number("reps"),
    )
    bad_date = pl.col("_date").is_null() | (pl.col("_date") > day)
    bad_load = pl.col("_load").is_null() | ~pl.col("_load").is_finite()
    bad_reps = pl.col("_reps").is_null() | (pl.col("_reps") <= 0) | (pl.col("_reps") % 1 != 0)
    frame = frame.with_columns(
        _column=pl.when(bad_date)
        .then(pl.lit("date"))
        .when(text("exercise").is_null())
        .then(pl.lit("exercise"))
        .when(bad_load)
        .then(pl.lit("load"))
        .when(bad_reps)
        .then(pl.lit("reps"))
    )
    blank = frame.filter("_blank")
    faulty = frame.filter(~pl.col("_blank") & pl.col("_column").is_not_null())
    good = frame.filter(~pl.col("_blank") & pl.col("_column").is_null())
    kinds = {kind.value: kind.value for kind in SetKind}
    sets = good.select(
        client="_client",
        date="_date",
        session=text("session"),
        exercise=text("exercise"),
        set_order=number("set_order"),
        set_kind=text("set_kind")
        .replace_strict(kinds, default="working", return_dtype=pl.String)
        .fill_null("working"),
        superset=text("superset"),
        load_kg="_load",
        reps="_reps",
        rir=pl.coalesce(number("rir"), pl.min_horizontal(10 - rpe, 10.0)),
        side=text("side"),
        rest_s=number("rest_s"),
        feel=number("feel"),
        note=text("note"),
        source_file=pl.lit(path.name),
        source_line="source_line",
        flag=pl.lit(None, pl.String),
    )
    rejected = faulty.select(
        source_file=pl.lit(path.name),
        source_line="source_line",
        column="_column",
        value=pl.coalesce(
            pl.when(pl.col("_column") == c).then(pl.col(c))
            for c in ("date", "exercise", "load", "reps")
        ),
        reason=pl.lit("The value cannot be read."),
        row="_row",
    )
    account = Account(
        rows=raw.height,
        accepted=good.height,
        rejected=faulty.height,
        blank=blank.height,
        sets=good.height,
        assumptions=tuple(said),
    )
    return conform(sets, SETS), conform(rejected, REJECTED), account
