"""Read logs: the way in, from files to clean sets with every row accounted for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import polars as pl

from plateline.errors import InputFileError, MissingColumnError, PlatelineError, UsageError
from plateline.log.account import Account, Said, assumed
from plateline.log.clean import read_clean
from plateline.log.column_map import ColumnMap, read_column_map
from plateline.log.doubts import flag_doubts
from plateline.log.files import WORKBOOK_ENDINGS, decode, find_logs, read_bytes, shown_name
from plateline.log.intake_types import DUPLICATES, Intake
from plateline.log.options import Options
from plateline.log.overlap import drop_duplicates
from plateline.log.part import Part
from plateline.log.people import are_people
from plateline.log.reading import read_part
from plateline.log.store import read_store
from plateline.log.table import Table, read_table, sheet_title
from plateline.log.was_done import was_done
from plateline.words import REJECTED, SETS, conform

__all__ = ["Intake", "read_intake"]


def read_intake(
    sources: Path | str | Sequence[Path | str],
    *,
    client: str | None = None,
    columns: ColumnMap | Path | str | None = None,
    unit: str | None = None,
    date_order: str | None = None,
    client_units: Mapping[str, str] | None = None,
    today: dt.date | None = None,
) -> Intake:
    """Read one or several logs into clean sets.

    Parameters
    ----------
    sources
        A file, a folder or several of them; overlapping exports are merged. A folder is a
        logbook of Parquet files, or holds `log.csv`, or holds logs under any names.
    client
        The client of files that name none; `me` where left out. In a file that names clients,
        a row without one is not given away.
    columns
        What the log's columns are, as a mapping (contract column -> header, position from 1, or
        a list of them for wide logs) or a TOML file that holds one.
    unit
        `kg` or `lb`: the unit of loads that neither cell, header, unit column nor client gives.
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

    Raises
    ------
    InputFileError
        When a file is missing, empty or holds no log.
    MissingColumnError
        When a needed column is in no form there.
    AmbiguousDateError
        When nothing in a file settles day and month.
    UsageError
        When `unit` or `date_order` is none of the accepted words.
    """
    if unit not in (None, "kg", "lb"):
        raise UsageError(f"The unit {unit!r} is not known; write kg or lb.")
    if date_order not in (None, "dmy", "mdy", "ymd"):
        raise UsageError(f"The date order {date_order!r} is not known; write dmy, mdy or ymd.")
    options = Options(
        client=client,
        columns=read_column_map(columns),
        unit=unit,
        date_order=date_order,
        client_units=dict(client_units or {}),
        today=today or dt.date.today(),
    )
    paths = find_logs([sources] if isinstance(sources, str | Path) else list(sources))
    parts = [part for path in paths for part in _parts(path, paths, options)]
    return _merge(parts, tuple(paths), client)


def _parts(path: Path, paths: Sequence[Path], options: Options) -> list[Part]:
    name = shown_name(path, paths)
    if path.is_dir():
        return [read_store(path)]
    if path.suffix.lower() in WORKBOOK_ENDINGS:
        from plateline.log.workbook import read_workbook

        read_bytes(path)
        return _sheets(read_workbook(path, name), options, path)
    clean = None if options.columns else read_clean(path, name, options)
    if clean is not None:
        return [clean]
    decoded = decode(read_bytes(path), name)
    table = read_table(decoded.text, name)
    if decoded.encoding != "UTF-8":
        table.said.append(f"{name}: the text is {decoded.encoding}.")
    return [read_part(table, options, path)]


def _sheets(tables: Sequence[Table], options: Options, path: Path) -> list[Part]:
    """Read every sheet that holds a log; the first refusal counts where none does."""
    parts: list[Part] = []
    left_out: list[tuple[str, PlatelineError]] = []
    planned: list[str] = []
    for table in tables:
        if len(tables) > 1 and was_done(sheet_title(table.name)) is False:
            planned.append(table.name)
            continue
        try:
            parts.append(read_part(table, options, path))
        except (InputFileError, MissingColumnError) as refusal:
            left_out.append((table.name, refusal))
    if not parts and not left_out:
        raise InputFileError(
            f"{planned[0]} and the other sheets are plans, as their titles say; a log holds the sets that were done."
        )
    if not parts:
        raise left_out[0][1]
    if options.client is None:
        _sheets_of_people(parts)
    parts[0].said.extend(
        Said(None, f"{name} holds no log and was left out.") for name, _ in left_out
    )
    parts[0].said.extend(
        Said(None, f"{name} was left out: its title says that nothing in it was done.")
        for name in planned
    )
    return parts


def _sheets_of_people(parts: Sequence[Part]) -> None:
    """Give every sheet to whom its title names, where the sheets must be several people's."""
    titles = [sheet_title(part.name) for part in parts]
    if len(set(titles)) < len(parts) or any(part.tallies.keys() != {part.client} for part in parts):
        return
    if any(part.client_above or not part.tallies[part.client].no_client for part in parts):
        return
    work = [part.sets.select("date", "exercise", "load_kg", "reps") for part in parts]
    if any(one.equals(other) for one, other in combinations(work, 2)):
        return  # a copy is nobody else's
    days = (each.select(pl.col("date").cast(pl.String), "exercise").rows() for each in work)
    if not are_people(dict(zip(titles, days, strict=True))):
        return
    for part, title in zip(parts, titles, strict=True):
        part.sets = part.sets.with_columns(client=pl.lit(title))
        part.tallies = {title: replace(part.tallies[part.client], no_client=0)}
        part.client = title
        part.said.append(
            Said(title, f"{part.name}: the client is {title!r}, as the sheet's title says.")
        )


def _merge(parts: Sequence[Part], paths: tuple[Path, ...], client: str | None) -> Intake:
    frames = [
        p.sets if p.is_store else p.sets.with_columns(source_file=pl.lit(p.name)) for p in parts
    ]
    kept, duplicates, said = drop_duplicates(
        frames, [p.has_order for p in parts], within=[not p.is_store for p in parts]
    )
    accounts = [
        part.account(duplicate, frame.height, given=client)
        for part, duplicate, frame in zip(parts, duplicates, kept, strict=True)
    ]
    sets = kept[0] if len(kept) == 1 else pl.concat(kept, how="diagonal")
    sets = _in_order(sets)
    sets, doubts = flag_doubts(sets)
    rejected = pl.concat([p.rejected for p in parts]) if parts else pl.DataFrame(schema=REJECTED)
    account = Account.total(accounts, assumptions=[*said, *(d.sentence for d in doubts)])
    assumptions = assumed(
        [
            *(each for part in parts for each in part.assumptions(client)),
            *(Said(None, sentence) for sentence in said),
            *doubts,
        ]
    )
    toml = next((p.columns_toml for p in parts if p.columns_toml), "")
    gone = _gone_by_client(frames, kept)
    return Intake(
        conform(sets, SETS),
        rejected,
        account.as_dict(),
        paths,
        toml,
        sets["time_s"],
        gone,
        assumptions,
    )


def _gone_by_client(frames: Sequence[pl.DataFrame], kept: Sequence[pl.DataFrame]) -> pl.DataFrame:
    """Count the source rows of each client that are in `frames` and no longer in `kept`."""
    line = ["client", "source_file", "source_line"]
    counts = [
        before.select(line)
        .join(after.select(line), on=line, how="anti")
        .unique()
        .group_by("client", maintain_order=True)
        .agg(pl.len().cast(pl.Int64).alias("rows"))
        for before, after in zip(frames, kept, strict=True)
        if before.height > after.height
    ]
    if not counts:
        return pl.DataFrame(schema=DUPLICATES)
    return pl.concat(counts).group_by("client").agg(pl.col("rows").sum()).sort("client")


def _in_order(sets: pl.DataFrame) -> pl.DataFrame:
    """Sort by client, date and source order, unless the source is in that order already."""
    if sets.height == 0:
        return sets
    client, day = pl.col("client"), pl.col("date")
    in_place = (client > client.shift()) | ((client == client.shift()) & (day >= day.shift()))
    is_sorted = (
        sets.lazy().select(in_place.fill_null(value=True).all()).collect(engine="streaming").item()
    )
    if not is_sorted:
        sets = sets.sort("client", "date", maintain_order=True)
    if sets["set_order"].null_count():
        sets = sets.with_columns(pl.col("set_order").fill_null(pl.lit(_positions(sets))))
    return sets


def _positions(sets: pl.DataFrame) -> pl.Series:
    """Return the number of each set within its client, day and exercise; days stand in order."""
    kinds = pl.Enum(sets["exercise"].drop_nulls().unique())
    client, date = pl.col("client"), pl.col("date")
    is_new_day = client.ne_missing(client.shift()) | date.ne_missing(date.shift())
    kind = (
        pl.col("exercise").cast(kinds).to_physical().cast(pl.Int64).fill_null(len(kinds.categories))
    )
    lift = is_new_day.cum_sum().cast(pl.Int64) * (len(kinds.categories) + 1) + kind
    rows = sets.select(_lift=lift).with_row_index("_row")
    starts = pl.col("_lift").ne_missing(pl.col("_lift").shift())
    lifts = rows.filter(starts)["_lift"]
    if lifts.n_unique() < lifts.len():  # sets of several lifts in turn
        rows = rows.sort("_lift", maintain_order=True)
    place = pl.int_range(pl.len(), dtype=pl.Int32)
    start = pl.when(starts).then(place).forward_fill()
    return rows.select("_row", position=place - start + 1).sort("_row")["position"]
