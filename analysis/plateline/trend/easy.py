"""Easy days without a reserve: a light week that nobody marked.

Read as hard, such a day would look like a loss of strength that follows the load, and would
teach the lift a rep curve that nobody has.
"""

from __future__ import annotations

from plateline.strength.arrays import Flags, Floats
from plateline.strength.easy import follows_the_load

__all__ = ["easy_days"]


def easy_days(lighter: Floats, weaker: Floats, logged_share: Floats) -> Flags:
    """Say on which days strength seems to have fallen almost as far as the load.

    Parameters
    ----------
    lighter, weaker
        How far load and strength (on the population's curve) are below their neighbours, in %.
    logged_share
        Share of the day's sets whose reserve is known.
    """
    return (logged_share < 0.5) & follows_the_load(lighter, weaker)
