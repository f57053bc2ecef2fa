"""Pictures of results: every figure of the kit, in one theme.

A figure takes the frames of the other rooms by their columns (`plateline.words`, the top of
`plateline.load` and `plateline.fatigue`), for **one client**, and returns a :class:`Figure`:
a Vega-Lite specification with a title and a text alternative. Nothing is computed here that
a reader could take for a result; loads are turned into the client's unit at this edge.

======================  ===================================================================
`trend_chart`           one lift: sessions, fitted line and band, since-marker, forecast
`spark`                 the same line at the size of a word, as inline SVG text
`weekly_sets_chart`     hard sets per muscle and week, against the plan
`muscle_weeks_chart`    hard sets of every muscle, week by week
`accessory_chart`       reps and volume-load of accessory lifts, week by week
`rep_zone_chart`        share of sets by rep zone, week by week
`position_chart`        hard sets by loaded position, per muscle
`effort_chart`          how close to failure sets ended, week by week
`load_ratio_chart`      load of the last week against the weeks before
`readiness_chart`       readiness against the client's own usual
`body_mass_chart`       body mass with its trend and the aim of the phase
======================  ===================================================================

Names are loaded when first used, so that a kernel pays only for what it draws.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from plateline.charts.condition import body_mass_chart, load_ratio_chart, readiness_chart
    from plateline.charts.figure import Figure
    from plateline.charts.muscles import (
        muscle_weeks_chart,
        position_chart,
        weekly_sets_chart,
    )
    from plateline.charts.sparks import spark
    from plateline.charts.trend import trend_chart
    from plateline.charts.work import accessory_chart, effort_chart, rep_zone_chart

_HOMES = {
    "Figure": "figure",
    "accessory_chart": "work",
    "body_mass_chart": "condition",
    "effort_chart": "work",
    "load_ratio_chart": "condition",
    "muscle_weeks_chart": "muscles",
    "position_chart": "muscles",
    "readiness_chart": "condition",
    "rep_zone_chart": "work",
    "spark": "sparks",
    "trend_chart": "trend",
    "weekly_sets_chart": "muscles",
}

__all__ = [
    "Figure",
    "accessory_chart",
    "body_mass_chart",
    "effort_chart",
    "load_ratio_chart",
    "muscle_weeks_chart",
    "position_chart",
    "readiness_chart",
    "rep_zone_chart",
    "spark",
    "trend_chart",
    "weekly_sets_chart",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(importlib.import_module(f"{__name__}.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
