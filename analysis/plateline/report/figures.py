"""Which figures a client's page shows, in which order, and under which file names."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import polars as pl

from plateline import charts, load
from plateline.report.numbers import Units

if TYPE_CHECKING:
    from plateline.charts import Figure

__all__ = ["condition_figures", "trend_figures", "work_figures"]

TRENDS_SHOWN = 12
"""A page with more trends than this is no longer read; the rest are in the table."""


def trend_figures(
    lifts: Sequence[Mapping[str, Any]],
    curves: pl.DataFrame,
    accessories: pl.DataFrame,
    units: Units,
) -> dict[str, Figure]:
    """Return the trend of each lift, in the order given, then the accessory work."""
    by_lift = curves.partition_by("exercise", as_dict=True)
    figures: dict[str, Figure] = {}
    for row in lifts[:TRENDS_SHOWN]:
        mine = by_lift.get((row["exercise"],))
        if mine is None:
            continue
        name = _file_name(f"trend {row['exercise']}", figures)
        status = pl.DataFrame([row], schema_overrides={"since": pl.Date}, infer_schema_length=1)
        figures[name] = charts.trend_chart(mine, status, unit=units.unit)
        if len(figures) > 1:
            # How to read a trend is said once, under the first.
            figures[name].caption = ""
    if len(accessories):
        figures["accessory work"] = charts.accessory_chart(accessories, unit=units.unit)
    return figures


def work_figures(frames: Mapping[str, pl.DataFrame]) -> dict[str, Figure]:
    """Return hard sets by muscle, loaded positions, rep zones and effort, where there are any."""
    figures: dict[str, Figure] = {}
    if len(frames["weekly_muscles"]):
        planned = frames["muscles"].select("muscle", "planned_sets").drop_nulls()
        figures["hard sets by muscle"] = charts.weekly_sets_chart(
            frames["weekly_muscles"], planned if len(planned) else None
        )
    if frames["weekly_positions"]["position"].drop_nulls().len():
        figures["loaded positions"] = charts.position_chart(frames["weekly_positions"])
    if len(frames["rep_zones"]):
        figures["rep zones"] = charts.rep_zone_chart(
            frames["rep_zones"], order=[zone.name for zone in load.REP_RANGES]
        )
    if len(frames["effort"]):
        figures["effort"] = charts.effort_chart(
            frames["effort"], order=[band.name for band in load.EFFORT_BANDS]
        )
    return figures


def condition_figures(frames: Mapping[str, pl.DataFrame], units: Units) -> dict[str, Figure]:
    """Return load ratio, readiness and body mass, each only where two values are known."""
    figures: dict[str, Figure] = {}
    ratios = frames["load_ratios"]
    if ratios.filter(pl.col("measure") == "volume-load")["ratio_ewma"].drop_nulls().len() > 1:
        figures["load ratio"] = charts.load_ratio_chart(ratios)
    if frames["wellness"]["hooper_index"].drop_nulls().len() > 1:
        figures["readiness"] = charts.readiness_chart(frames["wellness"])
    if frames["body_mass"]["body_mass_kg"].drop_nulls().len() > 1:
        figures["body mass"] = charts.body_mass_chart(frames["body_mass"], unit=units.unit)
    return figures


def _file_name(text: str, taken: Mapping[str, object]) -> str:
    """Return a name that every file system takes, and that is not taken yet."""
    plain = re.sub(r"[^\w -]+", "", text, flags=re.UNICODE).strip()[:60] or "trend"
    name, number = plain, 2
    while name.casefold() in {other.casefold() for other in taken}:
        name, number = f"{plain} {number}", number + 1
    return name
