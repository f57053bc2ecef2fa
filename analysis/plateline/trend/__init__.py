"""Room `trend`: the state of a lift, its forecast, targets, and how often they were right.

Works on frames for all clients and lifts at once. Knows nothing of files or charts.
"""

from plateline.trend.backtest import BACKTEST, backtest
from plateline.trend.curves import lift_curves
from plateline.trend.fit import Fit
from plateline.trend.fitting import fit_log, learn_common, reference
from plateline.trend.pooled import Common
from plateline.trend.status import lift_status
from plateline.trend.targets import targets

__all__ = [
    "BACKTEST",
    "Common",
    "Fit",
    "backtest",
    "fit_log",
    "learn_common",
    "lift_curves",
    "lift_status",
    "reference",
    "targets",
]
