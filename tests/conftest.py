"""What all tests share: quiet threads, repeatable property tests, and the demo club read once."""

from __future__ import annotations

import datetime as dt
import os
import shutil
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from plateline.exercises import Logbook
    from plateline.report import Results

# One thread a process: pytest runs a process a core, and more would wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("POLARS_MAX_THREADS", "1")

# The same examples on every run: a red test can be run again and is red again.
settings.register_profile(
    "repeatable",
    derandomize=True,
    deadline=None,
    max_examples=40,
    suppress_health_check=[HealthCheck.too_slow],
)
# For a longer hunt: HYPOTHESIS_PROFILE=hunt pytest tests/log
settings.register_profile("hunt", deadline=None, max_examples=3000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))

TODAY = dt.date(2026, 6, 1)
"""A day after the end of the demo's log."""

BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def browser_path() -> str:
    """Give the path of a Chromium-family browser, or skip with the reason."""
    for name in BROWSERS:
        if path := shutil.which(name):
            return path
    pytest.skip(f"no Chromium-family browser on PATH (looked for {', '.join(BROWSERS)})")


@pytest.fixture(scope="session")
def demo_logbook() -> Logbook:
    """Give the demo club's logbook."""
    from plateline.exercises import read_logbook
    from plateline.places import data_demo

    return read_logbook(data_demo(), today=TODAY)


@pytest.fixture(scope="session")
def demo_results(demo_logbook: Logbook) -> Results:
    """Give the results of the demo's last full month."""
    from plateline.report import compute_results

    return compute_results(demo_logbook, "2026-03")
