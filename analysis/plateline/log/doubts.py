"""Doubtful loads: kept as they are, but flagged for the models and the report's data page."""

from __future__ import annotations

import polars as pl

from plateline.log.account import Said
from plateline.words import SetKind

__all__ = ["MAYBE_LB", "TENFOLD", "flag_doubts"]

TENFOLD = "tenfold load"
MAYBE_LB = "maybe lb"

TENFOLD_FROM, TENFOLD_TO = 7.0, 14.0
"""How far above a lift's median a load looks like one with its decimal point lost."""

JUMP_FROM, JUMP_TO = 1.98, 2.45
"""Step between two sessions that looks like a change of unit: 2.2046, give or take a tenth."""

FEWEST_SETS = 4
"""Sets of a lift below which a median says nothing."""

ASSISTED = r"(?i)\b(?:assist|unterstützt|assistit|asistid)"
"""Beginnings of words in names of lifts whose number is what a machine or a band takes off."""

_LIFT = ("client", "exercise")

_SESSION = pl.col("_lift").cast(pl.Int64) * 2**32 + pl.col("date").to_physical()
"""A number for each lift and day, in that order."""

EFFORT = pl.col("load_kg") * (1 + pl.col("reps").clip(1, 30) / 30)
"""A load counted with its reps, in the form of Epley's equation (1985), whatever the reps."""


def flag_doubts(sets: pl.DataFrame) -> tuple[pl.DataFrame, list[Said]]:
    """Flag loads that look tenfold or typed in the other unit.

    A load is flagged `tenfold load` when it is 7 to 14 times the median of its lift, or that
    much below both sets beside it. A session is flagged `maybe lb` when the lift's load,
    counted with its reps, steps up by about 2.2 into it from one session to the next, until it
    steps down again. Nothing is changed.

    Parameters
    ----------
    sets
        A frame with at least client, exercise, date, set_kind, load_kg, reps, source_file, flag,
        in order of client and date.

    Returns
    -------
    frame, sentences
        The frame with `flag` filled where there is a doubt, and what to say of it to whom.
    """
    if sets.height == 0:
        return sets, []
    lifts = _lifts(sets)
    said = _assisted_said(lifts)
    suspects = _suspects(lifts)
    if suspects.height == 0:
        return sets, said
    some = _of_suspects(sets, suspects)
    tenfold = _tenfold(some)
    other_unit, jumps = _other_unit(some, suspects, sets["source_file"])
    doubts = pl.concat([tenfold, other_unit])
    if doubts.height == 0:
        return sets, said
    if doubts["_row"].n_unique() < doubts.height:
        doubts = doubts.group_by("_row", maintain_order=True).agg(pl.col("_doubt").str.join(","))
    rows = sets.select("flag").with_row_index("_row")
    doubt = rows.join(doubts, on="_row", how="left", maintain_order="left")["_doubt"]
    flag = pl.concat_str("flag", pl.lit(doubt), separator=",", ignore_nulls=True)
    flagged = sets.with_columns(flag=flag.replace("", None))
    found = sets.select("client", "source_file", "source_line", "load_kg")[tenfold["_row"]]
    return flagged, [*said, *_tenfold_said(found), *jumps]


def _tenfold_said(found: pl.DataFrame) -> list[Said]:
    """Say how many loads of each client look tenfold, and where the first of them are."""
    said: list[Said] = []
    for (client,), own in found.group_by("client", maintain_order=True):
        shown = ", ".join(
            f"{file} line {line} ({load:g} kg)"
            for file, line, load in own.select("source_file", "source_line", "load_kg")
            .head(3)
            .iter_rows()
        )
        count = own.height
        said.append(
            Said(
                str(client),
                f"{count} load{'s look' if count > 1 else ' looks'} tenfold or a tenth of what is "
                f"usual, kept and flagged: {shown}{' and more' if count > 3 else ''}.",
            )
        )
    return said


def _assisted_said(lifts: pl.DataFrame) -> list[Said]:
    """Say of lifts with assistance in their name that their loads are above 0, client by client."""
    names = (
        lifts.filter(pl.col("_most") > 0, pl.col("exercise").str.contains(ASSISTED))
        .sort(_LIFT)
        .group_by("client", maintain_order=True)
        .agg("exercise")
    )
    return [
        Said(
            client,
            f"loads of {', '.join(map(repr, exercises[:3]))} are above 0 and read as they stand; where they are "
            "what the machine took off, write them with a minus, such as -20.",
        )
        for client, exercises in names.iter_rows()
    ]


def _lifts(sets: pl.DataFrame) -> pl.DataFrame:
    """Return the extremes of every lift: of its loads, and of its working sets with their reps."""
    positive = pl.col("load_kg") > 0
    working = positive & (pl.col("set_kind") != SetKind.WARM_UP.value)
    return (
        sets.lazy()
        .select(
            *_LIFT, _load=pl.when(positive).then("load_kg"), _effort=pl.when(working).then(EFFORT)
        )
        .group_by(_LIFT)
        .agg(
            _most=pl.col("_load").max(),
            _least=pl.col("_load").min(),
            _hardest=pl.col("_effort").max(),
            _easiest=pl.col("_effort").min(),
            _sets=pl.col("_load").count(),
        )
        .collect()
    )


def _suspects(lifts: pl.DataFrame) -> pl.DataFrame:
    """Return the lifts whose loads spread so far that a closer look is due; most never do."""
    return (
        lifts.filter(
            pl.col("_sets") >= FEWEST_SETS,
            (pl.col("_most") >= TENFOLD_FROM * pl.col("_least"))
            | (pl.col("_hardest") >= JUMP_FROM * pl.col("_easiest")),
        )
        .select(_LIFT)
        .sort(_LIFT)
        .with_row_index("_lift")
    )


def _of_suspects(sets: pl.DataFrame, suspects: pl.DataFrame) -> pl.DataFrame:
    """Return the sets of some lifts, each with its lift's number and usual, most and least load."""
    some = (
        sets.select(*_LIFT, "date", "set_kind", "load_kg", "reps")
        .with_row_index("_row")
        .join(suspects, on=_LIFT, how="inner", nulls_equal=True, maintain_order="left")
        .drop(_LIFT)
    )
    load = pl.col("load_kg")
    lifts = (
        some.filter(load > 0)
        .group_by("_lift")
        .agg(_median=load.median(), _most=load.max(), _least=load.min())
        .sort("_lift")  # every suspect lifts something, so numbers are places
    )
    return some.with_columns(
        pl.lit(lifts[name]).gather("_lift").alias(name) for name in ("_median", "_most", "_least")
    )


def _tenfold(some: pl.DataFrame) -> pl.DataFrame:
    ratio = pl.col("load_kg") / pl.col("_median")
    before = pl.col("load_kg").shift(1).over("_lift")
    after = pl.col("load_kg").shift(-1).over("_lift")
    few = some.filter(
        (pl.col("_most") >= TENFOLD_FROM * pl.col("_median"))
        | (pl.col("_least") <= pl.col("_median") / TENFOLD_FROM)
    )
    low = (
        ratio.is_between(1 / TENFOLD_TO, 1 / TENFOLD_FROM)
        & (before >= TENFOLD_FROM * pl.col("load_kg"))
        & (after >= TENFOLD_FROM * pl.col("load_kg"))
        & (pl.col("set_kind") != SetKind.WARM_UP.value)
    )
    return few.filter(ratio.is_between(TENFOLD_FROM, TENFOLD_TO) | low).select(
        "_row", _doubt=pl.lit(TENFOLD)
    )


def _other_unit(
    some: pl.DataFrame, suspects: pl.DataFrame, files: pl.Series
) -> tuple[pl.DataFrame, list[Said]]:
    """Find sessions that look typed in lb among sessions in kg.

    Loads are compared with their reps, so that a change from heavy fives to light twenties is no step.
    """
    nothing = pl.DataFrame(schema={"_row": pl.get_index_type(), "_doubt": pl.String})
    working = some.filter(
        pl.col("load_kg") > 0,
        pl.col("set_kind") != SetKind.WARM_UP.value,
        pl.col("load_kg") < TENFOLD_FROM * pl.col("_median"),
    ).with_columns(_session=_SESSION)
    stepped = _stepped(working)
    lifts = stepped.group_by("_lift").agg(
        _base=pl.col("_level").min(),
        _steps=(pl.col("_step") != 0).sum(),
        _range=pl.col("_level").max() - pl.col("_level").min(),
        _sessions=pl.len(),
    )
    lifts = lifts.filter(pl.col("_range") == 1, pl.col("_sessions") >= 3, pl.col("_steps") <= 6)
    if lifts.height == 0:
        return nothing, []
    high = stepped.join(lifts, on="_lift", how="inner", maintain_order="left").filter(
        pl.col("_level") > pl.col("_base")
    )
    rows = working.join(high, on="_session", how="semi", maintain_order="left")
    first = (
        high.group_by("_lift", maintain_order=True)
        .first()
        .join(suspects, on="_lift", maintain_order="left")
    )
    said = [
        Said(
            client,
            f"{client}'s {exercise} jumps about 2.2-fold (a session of {load:g} kg on {day} in "
            f"{files[row]}): these loads may be in lb; kept and flagged.",
        )
        for client, exercise, day, load, row in first.select(
            *_LIFT, "date", "_load", "_first"
        ).iter_rows()
    ]
    return rows.select("_row", _doubt=pl.lit(MAYBE_LB)), said


def _stepped(working: pl.DataFrame) -> pl.DataFrame:
    """Return each session of each lift with `_step`, the change of unit into it, and their sum."""
    sessions = (
        working.group_by("_session")
        .agg(
            pl.col("_lift", "date").first(),
            _effort=EFFORT.max(),
            _load=pl.col("load_kg").max(),
            _first=pl.col("_row").min(),
        )
        .sort("_session")
    )
    # Sessions of a lift stand together: steps are summed over all, and compared within a lift.
    is_same = pl.col("_lift") == pl.col("_lift").shift(1)
    step = pl.when(is_same).then(pl.col("_effort") / pl.col("_effort").shift(1))
    return sessions.with_columns(
        _step=pl.when(step.is_between(JUMP_FROM, JUMP_TO))
        .then(1)
        .when(step.is_between(1 / JUMP_TO, 1 / JUMP_FROM))
        .then(-1)
        .otherwise(0)
    ).with_columns(_level=pl.col("_step").cum_sum())
