"""The demo club's logbook and results, read and computed once for all tests here."""

from __future__ import annotations

import pytest

from plateline.exercises import Logbook, read_logbook
from plateline.places import data_demo
from plateline.report import Results, compute_results


@pytest.fixture(scope="session")
def demo_logbook() -> Logbook:
    return read_logbook(data_demo())


@pytest.fixture(scope="session")
def demo_results(demo_logbook: Logbook) -> Results:
    return compute_results(demo_logbook, "2026-03")
