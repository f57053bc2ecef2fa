"""The fast way in, for logs that follow the contract: whole columns at a time.

A file whose header is the contract's is read by Polars as text and every column is converted
at once. Rows in which any cell needs a closer look are handed to the careful way (`reading`),
row by row; the others never are. A file with many such rows is left to the careful way whole.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.log.account import Said
from plateline.log.clean_cells import converted, odd_names, odd_texts
from plateline.log.clean_chunks import Chunk, chunks, readings
from plateline.log.column_map import columns_toml
from plateline.log.column_places import Columns
from plateline.log.headers import Header, read_header
from plateline.log.options import Options
from plateline.log.part import PART, Part
from plateline.log.reading import read_part
from plateline.log.rows import split_rows
from plateline.log.table import Table
from plateline.log.tally import Tally
from plateline.words import REJECTED

__all__ = ["read_clean"]

CONTRACT = (
    "client", "date", "session", "exercise", "set_order", "set_kind", "superset", "load", "unit",
    "reps", "rir", "rpe", "side", "rest_s", "feel", "note",
)  # fmt: skip

NEEDED = {"date", "exercise", "load", "reps"}

MOST_CUTS = 100
"""Rows up to which a frame is cut to take them in; more are sorted in."""

MOST_CLOSE = 0.05
"""Share of rows that may need a closer look before the whole file does."""


@dataclass
class _Parts:
    """What the chunks of one file gave."""

    sets: list[pl.DataFrame] = field(default_factory=list)
    close: list[tuple[int, str]] = field(default_factory=list)
    rows: int = 0
    blank: int = 0
    bare: bool = False
    pounds: bool = False
    tallies: dict[str, Tally] = field(default_factory=dict)

    def tally(self, client: str) -> Tally:
        """Return the counts of a client."""
        return self.tallies.setdefault(client, Tally())


def read_clean(path: Path, name: str, options: Options) -> Part | None:
    """Read a contract CSV; None where the file needs the careful way whole.

    Raises
    ------
    InputFileError
        When the file cannot be read or is no text.
    """
    try:
        with path.open("rb") as file:
            first = file.readline(2000)
    except OSError:
        return None
    names = first.removeprefix(b"\xef\xbb\xbf").decode("latin-1").strip("\r\n").split(",")
    known = set(names) <= set(CONTRACT) and len(set(names)) == len(names)
    if not known or not set(names) >= NEEDED:
        return None
    parts = _Parts()
    for chunk in chunks(path, len(first)):
        if chunk is None or not _read_chunk(chunk, names, options, parts):
            return None
        if len(parts.close) > 1000 + MOST_CLOSE * parts.rows:
            return None
    return _assemble(parts, names, name, options, path)


def _read_chunk(chunk: Chunk, names: list[str], options: Options, parts: _Parts) -> bool:
    """Convert one chunk; False where its rows and lines do not match one to one."""
    with ThreadPoolExecutor(1) as beside:
        counting = beside.submit(chunk.lines)
        frame = _converted(chunk, names, options)
        lines = counting.result()
    if not lines:
        return True
    if frame is None or frame.height != lines:
        return False
    frame = _with_odd_rows(frame)
    blank, count = int(frame["_blank"].sum()), int(frame["_close"].sum())
    if "unit" in names:
        bare = pl.col("_bare") & (pl.col("load_kg") != 0).fill_null(value=False)
        parts.bare |= bool(frame.select(bare.any()).item())
        parts.pounds |= bool(frame["_pounds"].any())
        if parts.bare and parts.pounds:
            return False  # in which unit rows without one are is for the careful way to find out
    if "client" in names:
        missing = int(frame["_no_client"].sum()) - blank
        if missing and missing < frame.height:
            return False  # whose the rows are is for the careful way to find out
    parts.rows += frame.height
    parts.blank += blank
    if count:
        if count - blank > 1000 + MOST_CLOSE * frame.height:
            return False
        wanted = frame.filter(pl.col("_close") & ~pl.col("_blank"))["source_line"].to_list()
        try:
            texts = [text.decode("utf-8").rstrip("\r") for text in chunk.texts(wanted)]
        except UnicodeDecodeError:
            return False
        parts.close.extend(zip(wanted, texts, strict=True))
        frame = frame.filter(~pl.col("_close"))
    _count(frame, parts)
    parts.sets.append(frame.select(list(PART)))
    return True


def _converted(chunk: Chunk, names: list[str], options: Options) -> pl.DataFrame | None:
    """Return a chunk's rows with every column converted, piece by piece as they are read."""
    for text, types in readings(chunk, names):
        try:
            return converted(text, types, options).collect(engine="streaming")
        except pl.exceptions.PolarsError:
            continue
    return None


def _with_odd_rows(frame: pl.DataFrame) -> pl.DataFrame:
    """Mark rows whose names or texts, or whose load for the lift, need a closer look."""
    close = [pl.col("_close"), *odd_texts(frame)]
    odd, records = odd_names(frame)
    if odd:
        close.append(pl.col("exercise").is_in(odd))
    if records:
        limit = pl.col("exercise").replace_strict(records, default=None, return_dtype=pl.Float64)
        close.append((pl.col("load_kg") > limit).fill_null(value=False))
    return frame.with_columns(_close=pl.any_horizontal(close)) if close[1:] else frame


def _count(frame: pl.DataFrame, parts: _Parts) -> None:
    """Count what was taken for granted, client by client where anything was."""
    counts = {
        "bare_loads": pl.col("_bare"),
        "pounds": pl.col("_pounds"),
        "half_rpe": pl.col("_rpe") == 9.5,
        "no_client": pl.col("_no_client"),
    }
    sums = [each.sum().alias(name) for name, each in counts.items()]
    if not any(frame.select(sums).row(0)):
        return
    by_client = frame.group_by("client").agg(*sums, pl.col("source_line").min()).sort("source_line")
    for row in by_client.drop("source_line").iter_rows(named=True):
        parts.tally(row.pop("client")).add(Tally(**row))


def _in_lines(sets: pl.DataFrame, others: pl.DataFrame) -> pl.DataFrame:
    """Put a few rows into their places among many, both in order of lines."""
    if others.height > MOST_CUTS:
        return pl.concat([sets, others]).sort("source_line", maintain_order=True)
    pieces: list[pl.DataFrame] = []
    start = 0
    for number, place in enumerate(sets["source_line"].search_sorted(others["source_line"])):
        pieces += [sets[start:place], others[number : number + 1]]
        start = place
    return pl.concat([*pieces, sets[start:]])


def _assemble(
    parts: _Parts, names: list[str], name: str, options: Options, path: Path
) -> Part | None:
    if parts.rows == parts.blank:
        return None
    nameless = sum(tally.no_client for tally in parts.tallies.values())
    if "client" in names and 0 < nameless < parts.rows:
        has_named = any(p["client"].ne(options.client or "me").any() for p in parts.sets)
        if has_named:
            return None
    sets = pl.concat(parts.sets) if parts.sets else pl.DataFrame(schema=PART)
    accepted = sets.height
    said: list[Said] = []
    rejected = pl.DataFrame(schema=REJECTED)
    blank = parts.blank
    if parts.close:
        headers = [read_header(n) for n in names]
        rows = [split_rows(text, ",")[0]._replace(line=line) for line, text in parts.close]
        table = Table(name, headers, 1, [], rows, ",")
        careful = read_part(
            table,
            options,
            path,
            is_excerpt=True,
            names_clients="client" in names and nameless == 0 and accepted > 0,
        )
        sets = _in_lines(sets, careful.sets)
        rejected = careful.rejected
        accepted += careful.accepted
        blank += careful.blank
        said.extend(careful.said)
        for client, tally in careful.tallies.items():
            parts.tally(client).add(tally)
    columns = Columns(single={n: [i] for i, n in enumerate(names)})
    return Part(
        name=name, sets=sets, rejected=rejected, rows=parts.rows, accepted=accepted, blank=blank,
        said=said, has_order="set_order" in names, tallies=parts.tallies, client=options.client or "me",
        columns_toml=columns_toml([Header(n) for n in names], columns),
    )  # fmt: skip
