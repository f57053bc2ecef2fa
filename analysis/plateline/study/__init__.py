"""Room `study`: simulated lifters, the validation of the lift states, and the cohort study."""

from plateline.study.scenarios import SCENARIOS, Scenario
from plateline.study.simulate import (
    LIFT_TRUTH,
    STATE_PCT_WEEK,
    simulate_lifters,
    true_loads,
    write_log,
)

__all__ = [
    "LIFT_TRUTH",
    "SCENARIOS",
    "STATE_PCT_WEEK",
    "Scenario",
    "simulate_lifters",
    "true_loads",
    "write_log",
]
