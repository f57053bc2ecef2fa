"""The fast way in, for logs that follow the contract: whole columns at a time.

A file whose header is the contract's is read by Polars as text and every column is converted
at once. Rows in which any cell needs a closer look are handed to the careful way (`reading`),
row by row; the others never are. A file with many such rows is left to the careful way whole.
"""

from __future__ import annotations

import mmap
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from plateline.log.account import Said
from plateline.log.column_map import columns_toml
from plateline.log.column_places import Columns
from plateline.log.files import check_lines
from plateline.log.headers import Header, read_header
from plateline.log.limits import GENERAL_LIMIT_KG, heaviest_kg
from plateline.log.numbers import is_missing
from plateline.log.reading import PART, Options, Part, read_part
from plateline.log.settle import LONGEST_NAME
from plateline.log.table import Table, split_rows
from plateline.log.tally import Tally
from plateline.log.value_effort import HIGHEST_RIR
from plateline.log.value_reps import MOST_REPS
from plateline.log.values import MOST_ASSISTANCE_KG, POUND_KG
from plateline.words import REJECTED, SetKind

__all__ = ["read_clean"]

CONTRACT = (
    "client", "date", "session", "exercise", "set_order", "set_kind", "superset", "load", "unit",
    "reps", "rir", "rpe", "side", "rest_s", "feel", "note",
)  # fmt: skip
NEEDED = {"date", "exercise", "load", "reps"}

CHUNK_BYTES = 80 * 2**20
"""Bytes read at a time: text columns of one chunk take about 16 times their cells."""

COUNT_BYTES = 2**20
"""Bytes in which line ends are counted at a time: they stay in the processor's cache."""

MOST_CLOSE = 0.05
"""Share of rows that may need a closer look before the whole file does."""

_NUMBERS = {
    "rir": (0.0, HIGHEST_RIR),
    "rpe": (1.0, 10.0),
    "rest_s": (0.0, 36_000.0),
    "feel": (1.0, 5.0),
}
_TYPES = {
    "set_order": pl.Int32, "load": pl.Float64, "reps": pl.Int32, "rir": pl.Float64, "rpe": pl.Float64,
    "rest_s": pl.Float64, "feel": pl.Float64,
}  # fmt: skip
_ODD_TEXT = r"^\s|\s$|[\x00-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff\ufffd]|^[-–—?.]+$"


@dataclass
class _Parts:
    """What the chunks of one file gave."""

    sets: list[pl.DataFrame] = field(default_factory=list)
    close: list[tuple[int, str]] = field(default_factory=list)
    rows: int = 0
    blank: int = 0
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
    for chunk in _chunks(path, len(first)):
        if chunk is None or not _read_chunk(chunk, names, options, parts):
            return None
        if len(parts.close) > 1000 + MOST_CLOSE * parts.rows:
            return None
    return _assemble(parts, names, name, options, path)


@dataclass(frozen=True)
class _Chunk:
    """Some whole lines of a file, and the number of the first row among them."""

    raw: bytes | mmap.mmap
    line: int
    path: Path | None = None
    """The file, where the chunk is the whole of it, header and all."""

    @property
    def has_header(self) -> bool:
        """Whether the first line is no row."""
        return self.path is not None

    def lines(self) -> int:
        """Count the lines of rows."""
        size = len(self.raw)
        found = sum(
            self.raw[at : at + COUNT_BYTES].count(b"\n") for at in range(0, size, COUNT_BYTES)
        )
        return found + (self.raw[size - 1 :] != b"\n") - self.has_header


def _chunks(path: Path, start: int) -> Iterator[_Chunk | None]:
    """Give a file whole (as the system maps it), or a large one in pieces cut at line ends.

    None stands for text that needs the careful way: other line ends, NUL bytes, and in a large
    file quotes, which may hide line ends inside cells.
    """
    if path.stat().st_size <= CHUNK_BYTES:
        with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as raw:
            check_lines(raw, path)
            yield None if _is_odd(raw) else _Chunk(raw, 2, path)
        return
    line = 2
    left = b""
    with path.open("rb") as file:
        file.seek(start)
        while block := file.read(CHUNK_BYTES):
            cut = block.rfind(b"\n") + 1
            if not cut or b'"' in block or _is_odd(block):
                yield None
                return
            raw, left = left + block[:cut], block[cut:]
            yield _Chunk(raw, line)
            line += raw.count(b"\n")
    if left:
        yield _Chunk(left, line)


def _is_odd(data: bytes | mmap.mmap) -> bool:
    """Say whether text has NUL bytes or line ends that are not one of the two usual ones."""
    head = data[:4096]
    if b"\r" in head:
        data = bytes(data)
        return data.count(b"\r") != data.count(b"\r\n") or b"\x00" in head
    return b"\x00" in head


def _read_chunk(chunk: _Chunk, names: list[str], options: Options, parts: _Parts) -> bool:
    """Convert one chunk; False where its rows and lines do not match one to one."""
    with ThreadPoolExecutor(1) as beside:
        splitting = beside.submit(_split, chunk, names)
        lines = chunk.lines()
        text = splitting.result() if lines else None
    if not lines:
        return True
    if text is None or text.height != lines:
        return False
    if "client" in names:
        missing = text["client"].null_count() - text.select(_is_blank(names).sum()).item()
        if missing and missing < text.height:
            return False  # whose the rows are is for the careful way to find out
    frame = _converted(text, chunk.line, options)
    is_blank = _is_blank(names)
    blank = text.select(is_blank.sum()).item()
    odd_names, records = _odd_names(frame)
    close = pl.col("_close") | pl.col("exercise").is_in(odd_names)
    if records:
        limit = pl.col("exercise").replace_strict(records, default=None, return_dtype=pl.Float64)
        close |= (pl.col("load_kg") > limit).fill_null(False)
    frame = frame.with_columns(_close=close)
    parts.rows += text.height
    parts.blank += blank
    count = frame["_close"].sum()
    if count:
        if count - blank > 1000 + MOST_CLOSE * text.height:
            return False
        marked = text.with_columns(
            _blank=is_blank, _close=frame["_close"], _line=frame["source_line"]
        )
        wanted = marked.filter(pl.col("_close") & ~pl.col("_blank"))["_line"].to_list()
        pieces = bytes(chunk.raw).split(b"\n")[chunk.has_header :]
        try:
            parts.close.extend(
                (n, pieces[n - chunk.line].decode("utf-8").rstrip("\r")) for n in wanted
            )
        except UnicodeDecodeError:
            return False
        frame = frame.filter(~pl.col("_close"))
    _count(frame, parts)
    parts.sets.append(frame.select(list(PART)))
    return True


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


def _split(chunk: _Chunk, names: list[str]) -> pl.DataFrame | None:
    """Split a chunk into columns: numbers as numbers where all are, else everything as text."""
    for types in (_TYPES, {}):
        try:
            return pl.read_csv(
                chunk.path or bytes(chunk.raw),
                has_header=chunk.has_header,
                encoding="utf8",
                schema={n: types.get(n, pl.String) for n in names},
            )
        except pl.exceptions.PolarsError:
            continue
    return None


def _is_blank(names: list[str]) -> pl.Expr:
    return pl.all_horizontal(pl.col(n).is_null() for n in names)


def _converted(text: pl.DataFrame, line: int, options: Options) -> pl.DataFrame:
    """Convert all columns of a chunk; `_close` marks rows with a cell that needs a closer look."""
    have = set(text.columns)
    nothing = pl.lit(None, pl.String)

    def cell(name: str) -> pl.Expr:
        return pl.col(name) if name in have else nothing

    empty = {n for n in have if text[n].null_count() == text.height}
    used = {n for n in ("session", "superset", "side", "note", "client") if n in have - empty}
    client = cell("client").fill_null(options.client or "me")
    units = cell("unit")
    if options.client_units:
        units = units.fill_null(
            client.replace_strict(dict(options.client_units), default=None, return_dtype=pl.String)
        )
    units = units.fill_null(pl.lit(options.unit, pl.String))
    bare = pl.lit(options.unit is None) & units.is_null()
    has_pounds = "lb" in text["unit"].unique() if "unit" in have else False
    has_pounds = has_pounds or options.unit == "lb" or "lb" in options.client_units.values()
    load = cell("load").cast(pl.Float64, strict=False)
    load = pl.when(load == 0).then(0.0).otherwise(load)  # a load of -0 is 0
    load_kg = pl.when(units == "lb").then(load * POUND_KG).otherwise(load) if has_pounds else load
    numbers = {
        n: cell(n).cast(pl.Float64, strict=False) if n in have - empty else pl.lit(None, pl.Float64)
        for n in _NUMBERS
    }
    frame = text.select(
        client=client,
        date=cell("date").str.to_date("%Y-%m-%d", strict=False),
        time_s=pl.lit(None, pl.Int32),
        session=cell("session"),
        exercise=cell("exercise"),
        set_order=cell("set_order").cast(pl.Int32, strict=False),
        set_kind=cell("set_kind")
        .fill_null(SetKind.WORKING.value)
        .cast(PART["set_kind"], strict=False),
        superset=cell("superset"),
        load_kg=load_kg,
        reps=cell("reps").cast(pl.Int32, strict=False),
        rir=numbers["rir"],
        _rpe=numbers["rpe"],
        side=cell("side"),
        rest_s=numbers["rest_s"],
        feel=numbers["feel"],
        note=cell("note"),
        source_line=pl.int_range(line, line + pl.len(), dtype=pl.Int64),
        flag=nothing,
        _unit=cell("unit"),
        _bare=bare,
        _no_client=cell("client").is_null(),
        _raw_order=cell("set_order").is_not_null(),
        **{f"_raw_{n}": cell(n).is_not_null() for n in _NUMBERS if n in have - empty},
    )
    odd = [
        pl.col("date").is_null()
        | ~pl.col("date").is_between(pl.date(1950, 1, 1), pl.lit(options.today)),
        pl.col("exercise").is_null(),
        ~pl.col("load_kg").is_between(-MOST_ASSISTANCE_KG, GENERAL_LIMIT_KG).fill_null(value=False),
        ~pl.col("reps").is_between(1, MOST_REPS).fill_null(value=False),
        pl.col("set_kind").is_null(),
        pl.col("_raw_order") & pl.col("set_order").is_null(),
    ]
    if "unit" in have - empty:
        odd.append(~pl.col("_unit").is_in(["kg", "lb"]).fill_null(value=True))
    for name, (low, high) in _NUMBERS.items():
        if name in have - empty:
            column = "_rpe" if name == "rpe" else name
            odd.append(
                pl.col(f"_raw_{name}")
                & ~pl.col(column).is_between(low, high).fill_null(value=False)
            )
    odd.extend(_has_odd_text(text, n) for n in sorted(used))
    return frame.with_columns(
        _close=pl.any_horizontal(odd),
        rir=pl.col("rir").fill_null(10.0 - pl.col("_rpe")),
        _pounds=(units_of(frame, options) == "lb") if has_pounds else pl.lit(value=False),
    )


def _has_odd_text(text: pl.DataFrame, name: str) -> pl.Expr:
    """Say where a text has blanks at its ends or marks that do not show.

    Columns with few distinct texts, as most are, are judged by these.
    """
    distinct = text[name].unique()
    if distinct.len() > text.height // 20:
        return pl.col(name).str.contains(_ODD_TEXT).fill_null(value=False)
    odd = distinct.filter(distinct.str.contains(_ODD_TEXT).fill_null(value=False))
    return pl.col(name).is_in(odd.implode()) if odd.len() else pl.lit(value=False)


def units_of(frame: pl.DataFrame, options: Options) -> pl.Expr:
    """Return the unit in force on each row: its own, the client's, the command's."""
    units = pl.col("_unit")
    if options.client_units:
        units = units.fill_null(
            pl.col("client").replace_strict(
                dict(options.client_units), default=None, return_dtype=pl.String
            )
        )
    return units.fill_null(pl.lit(options.unit, pl.String))


def _odd_names(frame: pl.DataFrame) -> tuple[list[str], dict[str, float]]:
    """Return names that need a closer look, and the record of each lift that a load is beyond.

    Only the rows beyond the record need the look: one mistyped load must not send a whole lift
    the careful way.
    """
    heaviest = frame.group_by("exercise").agg(pl.col("load_kg").max())
    odd: list[str] = []
    records: dict[str, float] = {}
    for exercise, load in heaviest.iter_rows():
        if exercise is None:
            continue
        plain_name = (
            exercise.strip() == exercise and exercise.isprintable() and "\ufffd" not in exercise
        )
        if (
            not plain_name
            or len(exercise) > LONGEST_NAME
            or is_missing(exercise)
            or not re.search(r"[^\W\d_]", exercise)
        ):
            odd.append(exercise)
        elif load is not None and load > heaviest_kg(exercise):
            records[exercise] = heaviest_kg(exercise)
    return odd, records


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
        sets = pl.concat([sets, careful.sets]).sort("source_line", maintain_order=True)
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
