"""Duplicates: the same set exported twice counts once."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

__all__ = ["drop_duplicates"]

_WITHIN = (
    "client", "date", "time_s", "session", "exercise", "set_order", "set_kind", "superset", "load_kg",
    "reps", "rir", "side", "rest_s", "feel", "note",
)  # fmt: skip
_ACROSS = ("client", "date", "time_s", "_exercise", "_order", "_load", "reps", "side", "_nth")


def drop_duplicates(
    frames: Sequence[pl.DataFrame],
    has_order: Sequence[bool],
    *,
    within: Sequence[bool] | bool = True,
) -> tuple[list[pl.DataFrame], list[int], list[str]]:
    """Drop sets that are said twice, within a file and between files.

    Within a file, a row is a duplicate when all its values stand in an earlier row with the same
    set order, given by the file; equal rows without a set order are so many sets. Between
    files, a set is a duplicate when an earlier file has the same client, time, exercise,
    set order, load (to 0.1 kg, for exports in two units), reps and side; where a set
    occurs several times in a file, the n-th meets the n-th.

    Parameters
    ----------
    frames
        One frame per file, columns as in `part.PART`.
    has_order
        Whether each file gives set orders.
    within
        Whether to look for duplicates within each file too.

    Returns
    -------
    frames, duplicates, sentences
        The frames without duplicates, how many source rows of each fell away, and what to say.
    """
    kept: list[pl.DataFrame] = []
    fallen = [0] * len(frames)
    for position, frame in enumerate(frames):
        looks_within = within if isinstance(within, bool) else within[position]
        if looks_within and has_order[position] and frame.height:
            clean = frame
            if _may_repeat(frame):
                first = pl.struct(_WITHIN).is_first_distinct()
                clean = frame.filter(first | pl.col("set_order").is_null())
            fallen[position] += _rows_gone(frame, clean)
            frame = clean
        kept.append(frame)
    said = _between(kept, fallen, use_order=all(has_order)) if len(frames) > 1 else []
    return kept, fallen, said


def _may_repeat(frame: pl.DataFrame) -> bool:
    """Say whether two rows may share client, day, exercise and set order.

    Where sets are numbered upwards through each day of a client, as they mostly are, none does.
    Else rows are compared by a hash of these, which is several times faster than comparing the rows;
    a chance collision only costs the careful comparison that follows.
    """
    client, date, number = pl.col("client"), pl.col("date"), pl.col("set_order")
    same_day = (client == client.shift()) & (date == date.shift())
    later = (client > client.shift()) | ((client == client.shift()) & (date > date.shift()))
    is_counted = later | (same_day & (number > number.shift()))
    counted = frame.lazy().select(is_counted.sum()).collect(engine="streaming").item()
    if counted == frame.height - 1:  # the first has none before it
        return False
    day = pl.col("date").to_physical().cast(pl.UInt64)
    order = pl.col("set_order").fill_null(0).cast(pl.Int64).reinterpret(signed=False)
    key = (
        pl.col("client").hash(1)
        ^ pl.col("exercise").hash(2)
        ^ (day * 0x9E3779B97F4A7C15)
        ^ (order * 0xC2B2AE3D27D4EB4F)
    )
    return frame.select(key.n_unique()).item() < frame.height


def _rows_gone(before: pl.DataFrame, after: pl.DataFrame) -> int:
    """Count source rows that gave sets before and give none now."""
    if before.height == after.height:
        return 0
    row = [c for c in ("source_file", "source_line") if c in before.columns]
    return before.select(row).n_unique() - after.select(row).n_unique()


def _between(kept: list[pl.DataFrame], fallen: list[int], *, use_order: bool) -> list[str]:
    keyed = [
        frame.select(
            "client", "date", "time_s", "reps", "side",
            _exercise=pl.col("exercise").str.to_lowercase().str.replace_all(r"[\s\-_.]+", " "),
            _order=pl.col("set_order") if use_order else pl.lit(None, pl.Int32),
            _load=pl.col("load_kg").round(1),
            _part=pl.lit(position, pl.Int32),
            _row=pl.int_range(pl.len()),
        )
        for position, frame in enumerate(kept)
    ]  # fmt: skip
    every = pl.concat(keyed)
    nth = pl.int_range(pl.len()).over("_part", *_ACROSS[:-1])
    first = every.with_columns(_nth=nth).with_columns(_first=pl.struct(_ACROSS).is_first_distinct())
    total = 0
    for position, frame in enumerate(kept):
        mask = first.filter(pl.col("_part") == position)["_first"]
        after = frame.filter(mask)
        gone = _rows_gone(frame, after)
        fallen[position] += gone
        total += gone
        kept[position] = after
    if not total:
        return []
    if total == 1:
        return ["1 row stands in more than one file and counts once."]
    return [f"{total:,} rows stand in more than one file and count once."]
