"""What could stand in for a lift: same muscles, same loaded position, kit that is there."""

from __future__ import annotations

from typing import Any

import narwhals as nw
import polars as pl
import polars.selectors as cs

from plateline.advice.tables import SUBSTITUTES
from plateline.exercises import EQUIPMENT, annotate, load_catalogue
from plateline.exercises.normal import normalise
from plateline.words import conform

__all__ = ["FEEL_POOR", "MOST_SUBSTITUTES", "as_polars", "substitutes"]

MOST_SUBSTITUTES = 5
"""More than this many names is no help in choosing (common practice, no source)."""

LEAST_MUSCLES_SHARED = 0.5
"""Share of direct and (half) indirect muscles that must be the same."""

FULL_BODY_SHARE = 1.0
"""Body-weight lifts that move all of it (pull-ups, dips), to which load is usually added."""

SORT = (
    "client", "exercise", "same_position", "can_be_loaded", "same_sides", "named", "liked",
    "place", "muscles_shared", "candidate",
)  # fmt: skip
"""What makes a substitute better than another one, first things first; `place` is where the
catalogue names it, which lists the closest first."""

NO_PLACE = 999

EVERYTHING = "everything"
_ALL_OF_IT = frozenset({"all", "everything", "gym", "fullgym", "commercialgym", "fitnessstudio"})

FEEL_UNRATED = 3.0
"""Where a lift was never rated it is taken to be felt neither well nor badly (scale 1-5)."""

FEEL_GOOD = 3.5
FEEL_POOR = 2.5
"""Mean ratings (1-5) from which a lift counts as felt well, and below which as felt little
(common practice, no source)."""


def as_polars(frame: Any) -> pl.DataFrame:
    """Return any eager or lazy frame that narwhals knows as an eager Polars frame."""
    if isinstance(frame, pl.LazyFrame):
        return frame.collect()
    if isinstance(frame, pl.DataFrame):
        return frame
    found = nw.from_native(frame, eager_only=True).to_polars()
    # pandas has no calendar days; midnight is what its dates become on the way.
    return found.with_columns(cs.datetime().cast(pl.Date))


def substitutes(
    lifts: Any,
    *,
    sets: Any,
    catalogue: Any = None,
    clients: Any = None,
) -> pl.DataFrame:
    """List what could stand in for each lift, best first.

    A substitute has the same movement pattern, shares at least half of the lift's muscles
    (direct ones count 1, indirect ones 0.5) and its first direct muscle, and can be done
    with the client's equipment. Those with the same loaded position come first, then those
    that can be loaded step by step, then those that are (as the lift) done with both sides or
    with one, then those that the catalogue names, then those the client felt best; a lift
    the client felt little (mean below 2.5) is never proposed. Where nothing has the same
    loaded position, others are listed with `same_position` false.

    Parameters
    ----------
    lifts
        Frame with `client` and `exercise` (the client's own labels).
    sets
        SETS: says what the client has done, and how it was felt.
    catalogue
        CATALOGUE; the one that ships where none is given.
    clients
        CLIENTS with `equipment`; a client without it is taken to have all of it.

    Returns
    -------
    polars.DataFrame
        SUBSTITUTES: at most `MOST_SUBSTITUTES` rows a lift. `substitute` is the client's own
        label where they have done it, else the catalogue's name. A lift with no substitute,
        or unknown to the catalogue, has one row with `reason`.
    """
    wanted = as_polars(lifts).select("client", "exercise").unique(maintain_order=True)
    known = load_catalogue() if catalogue is None else as_polars(catalogue)
    done = _done(as_polars(sets), known)
    facts = annotate(wanted["exercise"].unique(maintain_order=True), known)
    mine = wanted.join(facts, on="exercise", how="left", maintain_order="left")
    paired = _pairs(mine.filter(pl.col("catalogue").is_not_null()), known)
    allowed = _allowed(paired, clients)
    ranked = (
        allowed.join(done, on=["client", "candidate"], how="left")
        .with_columns(
            liked=pl.col("feel").fill_null(FEEL_UNRATED),
            ratings=pl.col("feel_ratings").fill_null(0).cast(pl.Int32),
        )
        .filter(pl.col("liked") >= FEEL_POOR)
        .sort(
            *SORT,
            descending=[name not in ("client", "exercise", "place", "candidate") for name in SORT],
        )
        .with_columns(rank=pl.int_range(1, pl.len() + 1).over("client", "exercise"))
        .filter(pl.col("rank") <= MOST_SUBSTITUTES)
        .select(
            "client", "exercise", "rank",
            substitute=pl.coalesce("label", "candidate"),
            catalogue="candidate",
            equipment="c_equipment",
            position="c_position",
            same_position="same_position",
            muscles_shared="muscles_shared",
            feel="feel",
            feel_ratings="ratings",
            last_done="last_done",
            reason=pl.lit(None, pl.String),
        )
    )  # fmt: skip
    none = mine.join(ranked, on=["client", "exercise"], how="anti").select(
        "client",
        "exercise",
        reason=pl.when(pl.col("catalogue").is_null())
        .then(pl.lit("not in the catalogue"))
        .otherwise(pl.lit("nothing with the same muscles that the client's equipment allows")),
    )
    whole = pl.concat([ranked, none], how="diagonal_relaxed")
    order = wanted.with_row_index("order")
    return conform(
        whole.join(order, on=["client", "exercise"]).sort("order", "rank", maintain_order=True),
        SUBSTITUTES,
    )


def _done(sets: pl.DataFrame, catalogue: pl.DataFrame) -> pl.DataFrame:
    """Return what each client has done, by catalogue entry, and how it was felt."""
    each = sets.group_by("client", "exercise").agg(
        feel=pl.col("feel").mean(),
        feel_ratings=pl.col("feel").count(),
        last_done=pl.col("date").max(),
        rows=pl.len(),
    )
    facts = annotate(each["exercise"].unique().sort(), catalogue).select(
        "exercise", candidate="catalogue"
    )
    return (
        each.join(facts.drop_nulls(), on="exercise")
        .sort("rows", "exercise", descending=[True, False])
        .group_by("client", "candidate", maintain_order=True)
        .agg(
            label=pl.col("exercise").first(),
            feel=pl.col("feel").first(),
            feel_ratings=pl.col("feel_ratings").first(),
            last_done=pl.col("last_done").max(),
        )
    )


def _pairs(mine: pl.DataFrame, catalogue: pl.DataFrame) -> pl.DataFrame:
    """Pair each lift with the entries of the same pattern that share enough muscles."""
    others = catalogue.select(
        "pattern",
        candidate="exercise",
        c_equipment="equipment",
        c_position="position",
        c_laterality="laterality",
        c_share="body_mass_share",
        c_direct="direct",
        c_indirect="indirect",
    )
    listed = (
        mine.select("exercise", candidate="substitutes")
        .unique("exercise", maintain_order=True)
        .explode("candidate")
        .drop_nulls()
        .with_columns(place=pl.int_range(pl.len()).over("exercise"))
    )
    paired = (
        mine.join(others, on="pattern", how="inner")
        .join(listed, on=["exercise", "candidate"], how="left")
        .filter(
            pl.col("candidate") != pl.col("catalogue"),
            pl.col("c_direct").list.first() == pl.col("direct").list.first(),
        )
    )
    direct, indirect = pl.col("direct"), pl.col("indirect")
    c_direct, c_indirect = pl.col("c_direct"), pl.col("c_indirect")
    both = direct.list.set_intersection(c_direct).list.len()
    some = (
        direct.list.concat("indirect")
        .list.set_intersection(c_direct.list.concat("c_indirect"))
        .list.len()
    )
    of_all = (
        direct.list.len()
        + c_direct.list.len()
        + 0.5 * (indirect.list.len() + c_indirect.list.len())
    )
    # Twice the muscles in common over all muscles of the two; direct in both counts 1, else 0.5.
    return paired.with_columns(
        muscles_shared=(2 * (both + 0.5 * (some - both)) / of_all).clip(0, 1),
        same_position=(pl.col("position") == pl.col("c_position")).fill_null(False),
        named=pl.col("place").is_not_null(),
        place=pl.col("place").fill_null(NO_PLACE),
        can_be_loaded=(pl.col("c_equipment") != "body-weight")
        | (pl.col("c_share") >= FULL_BODY_SHARE),
        same_sides=pl.col("laterality").str.slice(0, 3) == pl.col("c_laterality").str.slice(0, 3),
    ).filter(pl.col("muscles_shared") >= LEAST_MUSCLES_SHARED)


def _allowed(paired: pl.DataFrame, clients: Any) -> pl.DataFrame:
    """Keep what the client's equipment allows; body-weight lifts are always allowed."""
    if clients is None:
        return paired
    listed = (
        as_polars(clients)
        .unique("client", keep="last", maintain_order=True)
        .select("client", kit="equipment")
        .explode("kit")
        .drop_nulls()
    )
    words = listed["kit"].unique().to_list()
    known = listed.with_columns(
        pl.col("kit").replace_strict({w: _equipment(w) for w in words}, return_dtype=pl.String)
    )
    kit = known.group_by("client").agg(pl.col("kit"))
    has_all = pl.col("kit").is_null() | pl.col("kit").list.contains(EVERYTHING)
    return paired.join(kit, on="client", how="left").filter(
        has_all
        | (pl.col("c_equipment") == "body-weight")
        | pl.col("kit").list.contains(pl.col("c_equipment")).fill_null(False)
    )


def _equipment(written: str) -> str:
    """Return the catalogue's word for equipment as a client's file may write it."""
    word = normalise(written).replace(" ", "")
    if word in _ALL_OF_IT:
        return EVERYTHING
    return next((kind for kind in EQUIPMENT if normalise(kind).replace(" ", "") == word), written)
