"""What all tests share: quiet thread pools and reproducible property tests."""

from __future__ import annotations

import os
import shutil

import pytest
from hypothesis import HealthCheck, settings

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

BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def browser_path() -> str:
    """Give the path of a Chromium-family browser, or skip with the reason."""
    for name in BROWSERS:
        if path := shutil.which(name):
            return path
    pytest.skip(f"no Chromium-family browser on PATH (looked for {', '.join(BROWSERS)})")
