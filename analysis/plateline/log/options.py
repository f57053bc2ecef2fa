"""What the person said beside the files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

__all__ = ["Options"]


@dataclass(frozen=True)
class Options:
    """How to read logs.

    Attributes
    ----------
    client
        The client of files that name none.
    columns
        What the log's columns are: contract column -> headers, or positions from 1.
    unit
        `kg` or `lb`: the unit of loads that neither cell, header, unit column nor client gives.
    date_order
        `dmy`, `mdy` or `ymd`, for dates that can be read two ways.
    client_units
        `kg` or `lb` per client.
    today
        Later dates are refused.
    """

    client: str | None = None
    columns: Mapping[str, Sequence[str | int]] = field(default_factory=dict)
    unit: str | None = None
    date_order: str | None = None
    client_units: Mapping[str, str] = field(default_factory=dict)
    today: dt.date = field(default_factory=dt.date.today)
