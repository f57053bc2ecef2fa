"""Whole columns of a contract log converted at once, rows that need a closer look marked."""

from __future__ import annotations

from collections.abc import Mapping

import polars as pl

from plateline.log.dates import EARLIEST
from plateline.log.limits import GENERAL_LIMIT_KG, heaviest_kg
from plateline.log.numbers import HIDDEN
from plateline.log.options import Options
from plateline.log.part import PART
from plateline.log.settle_exercise import needs_closer_look
from plateline.log.value_effort import FEELS, HIGHEST_RIR, LONGEST_REST_S, RPES
from plateline.log.value_reps import MOST_REPS
from plateline.log.values import MOST_ASSISTANCE_KG
from plateline.log.was_done import SKIP_NOTE
from plateline.words import KG_PER_LB, SetKind

__all__ = ["converted", "odd_names", "odd_texts"]


_NUMBERS = {
    "rir": (0.0, HIGHEST_RIR),
    "rpe": RPES,
    "rest_s": (0.0, LONGEST_REST_S),
    "feel": FEELS,
}
"""Lowest and highest of the numbers that a cell may hold, else it needs a closer look."""

_SAMPLE = 2000
"""Texts from the start that show whether those of a column repeat at all."""

_TEXTS = ("client", "session", "superset", "side", "note")

_ODD_TEXT = rf"^\s|\s$|[\x00-\x1f\x7f{HIDDEN}\ufffd]|^[-–—?.]+$"


def converted(text: pl.LazyFrame, types: Mapping[str, object], options: Options) -> pl.LazyFrame:
    """Convert all columns of a chunk as it is read.

    Parameters
    ----------
    text
        The chunk's columns under the names of `types`, and `source_line`.
    types
        As what each column is read: words and numbers as such, or all as text.
    options
        What the person said beside the file.

    Returns
    -------
    polars.LazyFrame
        PART, `_blank` for rows without any cell, `_close` for rows with a cell that needs a closer
        look (`odd_texts` and `odd_names` find more of them), and counts of what is assumed.
    """
    nothing = pl.lit(None, pl.String)

    def cell(name: str) -> pl.Expr:
        return pl.col(name) if name in types else nothing

    client = cell("client").fill_null(options.client or "me")
    units = _units(cell("unit"), client, options)
    is_lb = (units == "lb").fill_null(value=False)
    load = cell("load").cast(pl.Float64, strict=False)
    load = pl.when(load == 0).then(0.0).otherwise(load)  # a load of -0 is 0
    numbers = {name: cell(name).cast(pl.Float64, strict=False) for name in _NUMBERS}
    odd_unit = pl.lit(value=False)
    if types.get("unit") == pl.String:
        odd_unit = ~pl.col("unit").is_in(["kg", "lb"]).fill_null(value=True)
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
        load_kg=pl.when(is_lb).then(load * KG_PER_LB).otherwise(load),
        reps=cell("reps").cast(pl.Int32, strict=False),
        rir=numbers["rir"],
        _rpe=numbers["rpe"],
        side=cell("side"),
        rest_s=numbers["rest_s"],
        feel=numbers["feel"],
        note=cell("note"),
        source_line=pl.col("source_line").cast(pl.Int64),
        flag=nothing,
        _bare=units.is_null(),
        _pounds=is_lb,
        _no_client=cell("client").is_null(),
        _blank=pl.all_horizontal(pl.col(name).is_null() for name in types),
        _raw_order=cell("set_order").is_not_null(),
        _odd_unit=odd_unit,
        **{f"_raw_{name}": cell(name).is_not_null() for name in _NUMBERS},
    )
    return frame.with_columns(
        _close=pl.any_horizontal(_odd_values(options)),
        rir=pl.col("rir").fill_null(RPES[1] - pl.col("_rpe")),
    ).select(*PART, "_rpe", "_bare", "_pounds", "_no_client", "_blank", "_close")


def _odd_values(options: Options) -> list[pl.Expr]:
    """Say where a needed value is missing, or a value is no number or day that can be true."""
    odd = [
        pl.col("date").is_null()
        | ~pl.col("date").is_between(pl.lit(EARLIEST), pl.lit(options.today)),
        pl.col("exercise").is_null(),
        ~pl.col("load_kg").is_between(-MOST_ASSISTANCE_KG, GENERAL_LIMIT_KG).fill_null(value=False),
        ~pl.col("reps").is_between(1, MOST_REPS).fill_null(value=False),
        pl.col("set_kind").is_null(),
        pl.col("_raw_order") & pl.col("set_order").is_null(),
        pl.col("_odd_unit"),
    ]
    for name, (low, high) in _NUMBERS.items():
        number = pl.col("_rpe" if name == "rpe" else name)
        odd.append(pl.col(f"_raw_{name}") & ~number.is_between(low, high).fill_null(value=False))
    return odd


def _units(own: pl.Expr, client: pl.Expr, options: Options) -> pl.Expr:
    """Return the unit in force on each row: its own, the client's, the command's."""
    if options.client_units:
        known = dict(options.client_units)
        own = own.cast(pl.String).fill_null(
            client.replace_strict(known, default=None, return_dtype=pl.String)
        )
    return own if options.unit is None else own.cast(pl.String).fill_null(options.unit)


def odd_texts(frame: pl.DataFrame) -> list[pl.Expr]:
    """Say where a text has blanks at its ends or marks that do not show, or says `skipped`.

    Columns with few distinct texts, as most are, are judged by these.
    """
    names = [n for n in _TEXTS if frame[n].null_count() < frame.height]
    found: list[pl.Expr] = []
    for name in names:
        distinct = _few_texts(frame[name])
        sign = f"{_ODD_TEXT}|{SKIP_NOTE}|^\\d{{1,3}}$" if name == "note" else _ODD_TEXT
        written = ~pl.col("_no_client") if name == "client" else pl.lit(value=True)
        if distinct is None:
            is_odd = pl.col(name).str.contains(sign)
        else:
            odd = distinct.filter(distinct.str.contains(sign).fill_null(value=False))
            if not odd.len():
                continue
            is_odd = pl.col(name).is_in(odd.implode())
        found.append(written & is_odd.fill_null(value=False))
    return found


def _few_texts(column: pl.Series) -> pl.Series | None:
    """Return the distinct texts of a column; None where they are many."""
    some = column.drop_nulls()[:_SAMPLE]
    if some.n_unique() > some.len() // 2 and some.len() == _SAMPLE:
        return None
    distinct = column.rle().struct.field("value").unique()  # neighbours mostly repeat
    return distinct if distinct.len() <= column.len() // 20 else None


def odd_names(frame: pl.DataFrame) -> tuple[list[str], dict[str, float]]:
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
        if needs_closer_look(exercise):
            odd.append(exercise)
        elif load is not None and load > (record := heaviest_kg(exercise)):
            records[exercise] = record
    return odd, records
