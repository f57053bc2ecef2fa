"""Write a frame as a CSV file that a spreadsheet does not execute.

The file is the one that Polars writes, text cells made safe, in two thirds of the time: neighbouring
columns whose cells repeat are put into numbers, the numbers made one, and the text of every
such number is spelt once and looked up.
"""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import polars as pl

__all__ = ["FORMULA", "csv_cells", "safe", "write_csv"]

FORMULA = r"^\s*[=+\-@\t\r\uFF1D\uFF0B\uFF0D\uFF20]"
"""Beginnings that make a spreadsheet read a text cell as a formula (common practice)."""

_PARTED = r'[",\r\n]'
"""What makes more than one cell of a text, unless it stands in quotes."""

MOST_SPELT = 2**15
"""Texts of one look-up: as many as stay in a processor's cache."""

FEWEST_ROWS = 10_000
"""Rows below which looking up costs more than it saves."""

FEWEST_USES = 4
"""How often a text is used on average, for its look-up to pay."""

EIGHTH = 0.125
"""Kilograms, and all else with a fraction, mostly are multiples of it."""

MOST_KG = 2**15
"""Beyond, fractions are spelt one by one."""

SAMPLE = 2**11
"""Rows from the start that show whether the texts of a column repeat at all."""


@dataclass(frozen=True)
class _Lookup:
    """Cells as numbers: `place` of each among `texts`."""

    names: tuple[str, ...]
    place: pl.Expr
    texts: pl.Series

    def beside(self, other: _Lookup) -> _Lookup:
        """Join the cells of two neighbours, with a comma between them."""
        size = self.texts.len() * other.texts.len()
        pairs = (
            pl.int_range(size, eager=True)
            .alias("pair")
            .to_frame()
            .select_seq(
                one=pl.lit(self.texts).gather(pl.col("pair") // other.texts.len()),
                other=pl.lit(other.texts).gather(pl.col("pair") % other.texts.len()),
            )
        )
        place = self.place * pl.lit(other.texts.len(), pl.UInt32) + other.place
        texts = pairs.select_seq(pl.concat_str("one", "other", separator=",")).to_series()
        return _Lookup((*self.names, *other.names), place, texts)

    def cells(self) -> pl.Expr:
        """Return the texts, under a name no column has."""
        if self.texts.len() == 1:
            return pl.lit(self.texts[0]).alias(",".join(self.names))
        return self.place.map_batches(
            lambda places: self.texts.gather(places), return_dtype=pl.String, is_elementwise=True
        ).alias(",".join(self.names))


def write_csv(frame: pl.DataFrame, path: Path) -> None:
    """Write a frame; text cells that a spreadsheet would execute get an apostrophe."""
    csv_cells(frame).sink_csv(path, quote_style="never")


def csv_cells(frame: pl.DataFrame) -> pl.LazyFrame:
    """Return what is to be written as it stands, without quotes, for the CSV file of a frame."""
    most = min(MOST_SPELT, frame.height // FEWEST_USES) if frame.height >= FEWEST_ROWS else 0
    with ThreadPoolExecutor(pl.thread_pool_size()) as pool:
        found = list(pool.map(lambda column: _lookup(column, most) or _spelt(column), frame))
    columns: list[_Lookup | pl.Expr] = []
    for own in found:
        before = columns[-1] if columns else None
        if (
            isinstance(own, _Lookup)
            and isinstance(before, _Lookup)
            and before.texts.len() * own.texts.len() <= most
        ):
            columns[-1] = before.beside(own)
        else:
            columns.append(own)
    cells = [each.cells() if isinstance(each, _Lookup) else each for each in columns]
    names = [cell.meta.output_name() for cell in cells]
    return frame.lazy().with_columns(cells).select(names)


def safe(text: pl.Expr) -> pl.Expr:
    """Put an apostrophe before text that a spreadsheet would execute."""
    return (
        pl.when(text.str.contains(FORMULA)).then(pl.concat_str(pl.lit("'"), text)).otherwise(text)
    )


def _quoted(text: pl.Expr) -> pl.Expr:
    """Put text in quotes that would not be one cell without; an empty one is no missing one."""
    inside = text.str.replace_all('"', '""', literal=True)
    return (
        pl.when((text == "") | text.str.contains(_PARTED))
        .then(pl.concat_str(pl.lit('"'), inside, pl.lit('"')))
        .otherwise(text)
    )


def _spelt(column: pl.Series) -> pl.Expr:
    """Return the cells of a column, spelt one by one."""
    cell = pl.col(column.name)
    if column.dtype == pl.Float64:
        # Turning fractions into text is twice as fast as writing them; -0 is 0.
        return (cell + 0.0).cast(pl.String)
    if column.dtype != pl.String:
        return cell
    texts = column.drop_nulls()
    if texts.str.contains(FORMULA).any():
        cell = safe(cell)
    if texts.str.contains(_PARTED).any() or (texts == "").any():
        cell = _quoted(cell)
    return cell.alias(column.name)


def _lookup(column: pl.Series, most: int) -> _Lookup | None:
    """Return a column's cells as numbers, where at most `most` texts occur."""
    if not most:
        return None
    nulls = column.null_count()
    if nulls == column.len():
        found = pl.lit(0, pl.UInt32), pl.Series([""])
    elif column.dtype == pl.String:
        found = _of_texts(column, most)
    elif column.dtype == pl.Date or column.dtype.is_integer():
        found = _of_whole(column, most)
    elif column.dtype == pl.Float64:
        found = _of_fractions(column, most)
    elif isinstance(column.dtype, pl.Enum):
        found = pl.col(column.name).to_physical().cast(pl.UInt32), column.dtype.categories
    else:
        found = None
    if found is None:
        return None
    place, texts = found
    if 0 < nulls < column.len():
        place = place.fill_null(pl.lit(texts.len(), pl.UInt32))
        texts = texts.append(pl.Series([""]))
    return _Lookup((column.name,), place, texts) if texts.len() <= most else None


def _of_texts(column: pl.Series, most: int) -> tuple[pl.Expr, pl.Series] | None:
    """Return numbers for the distinct texts, and these as they are to be spelt."""
    first = column.drop_nulls()[:1]
    if not column.has_nulls() and bool((column == first[0]).all()):
        place, distinct = pl.lit(0, pl.UInt32), first
    else:
        sample = column[:SAMPLE]
        if sample.n_unique() > sample.len() // 2:
            return None
        distinct = column.drop_nulls().unique()
        if distinct.len() > most:
            return None
        place = pl.col(column.name).cast(pl.Enum(distinct)).to_physical().cast(pl.UInt32)
    return place, pl.DataFrame({"text": distinct}).select_seq(
        _quoted(safe(pl.col("text")))
    ).to_series()


def _of_whole(column: pl.Series, most: int) -> tuple[pl.Expr, pl.Series] | None:
    """Return numbers for days and whole numbers, from the least on, and their texts."""
    whole = column.to_physical()
    low, high = whole.min(), whole.max()
    if not isinstance(low, int) or not isinstance(high, int) or high - low >= most:
        return None
    texts = pl.Series(range(low, high + 1), dtype=whole.dtype).cast(column.dtype).cast(pl.String)
    return (pl.col(column.name).to_physical().cast(pl.Int64) - low).cast(pl.UInt32), texts


def _of_fractions(column: pl.Series, most: int) -> tuple[pl.Expr, pl.Series] | None:
    """Return numbers of the steps from the least on, the widest on which all lie, and their texts."""
    low, high = column.min(), column.max()
    if not isinstance(low, float) or not isinstance(high, float):
        return None
    if max(-low, high) > MOST_KG or not (column % EIGHTH == 0).all():
        return None
    above = (column - low) / EIGHTH  # exact, as all are multiples of an eighth, and not large
    sample = above[:SAMPLE].drop_nulls().cast(pl.UInt32)
    step = math.gcd(*sample.to_list()) or 1
    if not (above % step == 0).all():
        step = 1
    if (high - low) / EIGHTH >= most * step:
        return None
    steps = pl.Series(range(int((high - low) / EIGHTH) // step + 1), dtype=pl.Float64)
    texts = (steps * (step * EIGHTH) + low).cast(pl.String)
    place = ((pl.col(column.name) - low) / EIGHTH).cast(pl.UInt32) // pl.lit(step, pl.UInt32)
    return place, texts
