"""The study of a log: everything that the scientist's page and `effects.csv` are made of."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline.errors import InputFileError, NoResultError
from plateline.study.blocks import BLOCK_MOMENTS, BlocksBy
from plateline.study.design import reference
from plateline.study.differences import differences
from plateline.study.effects import effects_frame
from plateline.study.mixed import mixed_rows
from plateline.study.models import effect_rows, primary_model
from plateline.study.naive import naive_rows
from plateline.study.outcome import exchange_rates, with_rates
from plateline.study.portions import Gathered, gather, portions
from plateline.study.power import power_table
from plateline.study.sensitivity import STILL_LOGGING_DAYS, sensitivity_rows

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["BLOCKS", "EXCHANGE", "Study", "load_study", "run_study", "study_of"]

BLOCKS = {
    **{
        name: kind
        for name, kind in BLOCK_MOMENTS.items()
        if not name.startswith(("rest_", "slope_"))
    },
    "slope_pct_week": pl.Float64,
    "se_pct_week": pl.Float64,
    "kind": pl.String,
    "training_age_years": pl.Float64,
}
"""One row per block: BLOCK_MOMENTS without its sums, the rate of progress and its standard error,
`kind` (the catalogue's name of the exercise) and the lifter's training age."""

EXCHANGE = {
    "kind_of_curve": pl.String,
    "zone": pl.String,
    "blocks": pl.Int64,
    "exchange": pl.Float64,
}

OTHER_KIND = "not in the catalogue"
MIN_BLOCKS = 4
"""Fewer blocks than this, and there is nothing to compare."""


@dataclass(frozen=True)
class Study:
    """The results of a study, as frames.

    Attributes
    ----------
    blocks
        BLOCKS.
    effects
        EFFECTS: the primary model first, the naive comparison and the sensitivity rows last.
    differences
        DIFFERENCES: how much lifters differ in an effect, and the range for a new lifter.
    exchange
        EXCHANGE: log load for a unit of rep depth, by kind of lift and zone.
    power
        POWER: lifters and weeks needed to see a difference of 0.1 % a week.
    facts
        Counts and settings: `sets, lifters, lifts, sessions, blocks, last_date, by, primary,
        reference, rir_share, training_age_share, still_logging_share, pseudonymous`.
    """

    blocks: pl.DataFrame
    effects: pl.DataFrame
    differences: pl.DataFrame
    exchange: pl.DataFrame
    power: pl.DataFrame
    facts: dict[str, Any]

    def save(self, folder: Path) -> None:
        """Write every frame as Parquet and the facts as JSON into an existing folder."""
        for name in ("blocks", "effects", "differences", "exchange", "power"):
            getattr(self, name).write_parquet(folder / f"{name}.parquet")
        text = json.dumps(self.facts, indent=1, default=str, sort_keys=True)
        (folder / "facts.json").write_text(text, encoding="utf-8")


def load_study(folder: Path | str) -> Study:
    """Read what `Study.save` wrote.

    Raises
    ------
    InputFileError
        When the folder does not hold a saved study.
    """
    folder = Path(folder)
    try:
        frames = {
            name: pl.read_parquet(folder / f"{name}.parquet")
            for name in ("blocks", "effects", "differences", "exchange", "power")
        }
        facts = json.loads((folder / "facts.json").read_text(encoding="utf-8"))
    except (OSError, ValueError, pl.exceptions.PolarsError) as fault:
        raise InputFileError(f"{folder} does not hold a saved study ({fault}).") from None
    return Study(**frames, facts=facts)


def run_study(
    logbook: Logbook,
    *,
    by: BlocksBy = "rep range",
    weeks: float = 8.0,
    parts: Iterable[pl.DataFrame] | None = None,
    last_dates: pl.DataFrame | None = None,
) -> Study:
    """Study a logbook.

    Parameters
    ----------
    by, weeks
        What makes a block; see `split_blocks`.
    parts
        The sets in portions of whole clients, where they are not all in `logbook.sets`.
    last_dates
        See `study_of`.

    Raises
    ------
    NoResultError
        When fewer than four blocks are long enough to have a rate of progress.
    """
    gathered = gather(
        portions(logbook.sets) if parts is None else parts,
        catalogue=logbook.catalogue, checkins=logbook.checkins, plan=logbook.plan, by=by, weeks=weeks,
    )  # fmt: skip
    return study_of(gathered, logbook.clients, logbook.names, by=by, last_dates=last_dates)


def study_of(
    gathered: Gathered,
    clients: pl.DataFrame,
    names: pl.DataFrame,
    *,
    by: str = "rep range",
    last_dates: pl.DataFrame | None = None,
) -> Study:
    """Make the study of what was gathered from a log; see `run_study`.

    Parameters
    ----------
    last_dates
        `client, last_date`: when each lifter logged last, where the dates in `gathered` were
        moved by as much for one lifter and not for another.
    """
    if gathered.moments.height < MIN_BLOCKS:
        raise NoResultError(
            f"A study needs at least {MIN_BLOCKS} blocks of one lift over three weeks and nine "
            f"sessions; this log has {gathered.moments.height}."
        )
    moments = _about(gathered.moments, clients, names).join(
        _days_silent(gathered, last_dates), on="client", how="left", maintain_order="left"
    )
    blocks = with_rates(moments).select(pl.col(n).cast(kind) for n, kind in BLOCKS.items())
    rows = [
        *effect_rows(blocks),
        *mixed_rows(blocks),
        *naive_rows(gathered.naive),
        *sensitivity_rows(moments),
    ]
    return Study(
        blocks=blocks,
        effects=effects_frame(rows),
        differences=differences(blocks),
        exchange=exchange_rates(moments).select(pl.col(n).cast(k) for n, k in EXCHANGE.items()),
        power=power_table(blocks),
        facts={**gathered.counts, "by": by, **_facts(blocks, moments)},
    )


def _days_silent(gathered: Gathered, last_dates: pl.DataFrame | None) -> pl.DataFrame:
    """Return `client, days_silent`: from the end of a lifter's own log to that of the whole log."""
    if last_dates is None:
        last = pl.lit(gathered.counts["last_date"], pl.Date)
        last_dates = gathered.moments.group_by("client").agg(last_date=pl.col("end").max())
    else:
        last = pl.col("last_date").max()
    return last_dates.select("client", days_silent=(last - pl.col("last_date")).dt.total_days())


def _about(moments: pl.DataFrame, clients: pl.DataFrame, names: pl.DataFrame) -> pl.DataFrame:
    """Add training age and the catalogue's name of each lift."""
    ages = clients.select("client", "training_age_years").unique("client", keep="last")
    kinds = (
        names.select("client", "exercise", kind="catalogue")
        .filter(pl.col("kind").is_not_null())
        .unique(["client", "exercise"], keep="first", maintain_order=True)
    )
    return (
        moments.join(ages, on="client", how="left", maintain_order="left")
        .join(kinds, on=["client", "exercise"], how="left", maintain_order="left")
        .with_columns(pl.col("kind").fill_null(OTHER_KIND))
    )


def _facts(blocks: pl.DataFrame, moments: pl.DataFrame) -> dict[str, Any]:
    logging = moments.select("client", "days_silent").unique("client")["days_silent"]
    lifters = blocks.group_by("client").agg(
        age=pl.col("training_age_years").first().is_not_null(),
        zones=pl.col("zone").n_unique(),
        rir=pl.col("rir_logged").mean() > 0.5,
    )
    return {
        "primary": primary_model(blocks),
        "reference": reference(blocks),
        "used_blocks": blocks.height,
        "used_lifters": lifters.height,
        "two_zone_lifters": int((lifters["zones"] > 1).sum()),
        "rir_share": float(lifters["rir"].mean()),  # type: ignore[arg-type]
        "training_age_share": float(lifters["age"].mean()),  # type: ignore[arg-type]
        "still_logging_share": float((logging <= STILL_LOGGING_DAYS).mean()),  # type: ignore[arg-type]
        "pseudonymous": False,
    }
