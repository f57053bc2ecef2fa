"""What stands beside the sets of a log: the catalogue, check-ins, clients and the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import polars as pl

from plateline.strength.door import beside_frame
from plateline.words import CHECKINS, CLIENTS, PLAN

__all__ = ["Beside"]


@dataclass(frozen=True)
class Beside:
    """Frames with their full schemas; empty where there is nothing.

    Attributes
    ----------
    catalogue
        CATALOGUE; the one that ships where None.
    checkins, clients, plan
        CHECKINS, CLIENTS and PLAN.
    """

    catalogue: pl.DataFrame | None
    checkins: pl.DataFrame
    clients: pl.DataFrame
    plan: pl.DataFrame

    @classmethod
    def of(
        cls, catalogue: pl.DataFrame | None = None, checkins: Any = None, plan: Any = None,
        clients: Any = None,
    ) -> Beside:  # fmt: skip
        """Take in what a public function was given: any kind of frame, or None."""
        return cls(
            catalogue,
            beside_frame(checkins, CHECKINS, "check-ins"),
            beside_frame(clients, CLIENTS, "clients"),
            beside_frame(plan, PLAN, "plan"),
        )
