"""A contract log in chunks of whole lines, and the ways to read their columns."""

from __future__ import annotations

import io
import mmap
import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from pathlib import Path
from typing import Any

import polars as pl

from plateline.log.files import check_lines
from plateline.words import SET_KIND_TYPE

__all__ = ["Chunk", "chunks", "readings"]


CHUNK_BYTES = 80 * 2**20
"""Bytes read at a time: text columns of one chunk take about 16 times their cells."""

COUNT_BYTES = 2**20
"""Bytes in which line ends are counted at a time: they stay in the processor's cache."""

_TYPES = {
    "set_order": pl.Int32, "load": pl.Float64, "reps": pl.Int32, "rir": pl.Float64, "rpe": pl.Float64,
    "rest_s": pl.Float64, "feel": pl.Float64,
}  # fmt: skip
_WORDS = {"set_kind": SET_KIND_TYPE, "unit": pl.Enum(["kg", "lb"])}


@dataclass(frozen=True)
class Chunk:
    """Some whole lines of a file, and the number of the first row among them."""

    raw: bytes | mmap.mmap
    line: int
    path: Path | None = None
    """The file, where the chunk is the whole of it, header and all."""

    @property
    def has_header(self) -> bool:
        """Whether the first line is no row."""
        return self.path is not None

    @cached_property
    def _ends(self) -> list[int]:
        """Line ends in each piece of COUNT_BYTES."""
        size = len(self.raw)
        return [self.raw[at : at + COUNT_BYTES].count(b"\n") for at in range(0, size, COUNT_BYTES)]

    def lines(self) -> int:
        """Count the lines of rows."""
        is_open = self.raw[len(self.raw) - 1 :] != b"\n"
        return sum(self._ends) + is_open - self.has_header

    def texts(self, lines: Iterable[int]) -> Iterator[bytes]:
        """Give the text of some lines, by their numbers in order, without their ends."""
        before = list(accumulate(self._ends, initial=0))
        found, places = -1, [0]
        for line in lines:
            end = line - self.line + self.has_header  # the line end above it, from 1; none is 0
            start = 0
            if end:
                piece = bisect_left(before, end) - 1
                if piece != found:
                    at = piece * COUNT_BYTES
                    text = self.raw[at : at + COUNT_BYTES]
                    found, places = piece, [at + m.end() for m in re.finditer(b"\n", text)]
                start = places[end - before[piece] - 1]
            stop = self.raw.find(b"\n", start)
            yield self.raw[start : stop if stop >= 0 else len(self.raw)]


def chunks(path: Path, start: int) -> Iterator[Chunk | None]:
    """Give a file whole (as the system maps it), or a large one in pieces cut at line ends.

    None stands for text that needs the careful way: other line ends, NUL bytes, and in a large
    file quotes, which may hide line ends inside cells.
    """
    if path.stat().st_size <= CHUNK_BYTES:
        with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as raw:
            check_lines(raw, path)
            yield None if _is_odd(raw) else Chunk(raw, 2, path)
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
            yield Chunk(raw, line)
            line += raw.count(b"\n")
    if left:
        yield Chunk(left, line)


def _is_odd(data: bytes | mmap.mmap) -> bool:
    """Say whether text has NUL bytes or line ends that are not one of the two usual ones."""
    head = data[:4096]
    if b"\r" in head:
        data = bytes(data)
        return data.count(b"\r") != data.count(b"\r\n") or b"\x00" in head
    return b"\x00" in head


def readings(chunk: Chunk, names: list[str]) -> Iterator[tuple[pl.LazyFrame, dict[str, Any]]]:
    """Give the ways to read a chunk's columns, the quickest first, and the types of each.

    Words and numbers are read as such, where all are; else numbers only, else everything as text.
    A column `source_line` counts the lines.
    """
    for known in (_TYPES | _WORDS, _TYPES, {}):
        types = {name: known.get(name, pl.String) for name in names}
        yield (
            pl.scan_csv(
                chunk.path or io.BytesIO(chunk.raw),
                has_header=chunk.has_header,
                encoding="utf8",
                schema=types,
                row_index_name="source_line",
                row_index_offset=chunk.line,
                glob=False,
            ),
            types,
        )
