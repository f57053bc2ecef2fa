"""Names for the arrays of the strength and trend rooms: numbers, whole numbers, yes or no."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["Flags", "Floats", "Whole"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
