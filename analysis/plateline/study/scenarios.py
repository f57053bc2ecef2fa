"""Named scenarios of the simulator: what kind of lifters, and how they keep their log."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plateline.errors import UnknownNameError

__all__ = ["SCENARIOS", "Scenario", "scenario_named"]


@dataclass(frozen=True)
class Scenario:
    """How a simulated group trains and logs.

    Attributes
    ----------
    name, sentence
        What it is called, and one sentence for a table.
    days_between
        Lowest and highest mean number of days between two sessions of a lift.
    noise
        Factor on every spread that makes one day unlike the next (1 is an ordinary lifter).
    rir_modes
        Shares of lifters who log RIR `always`, `sometimes` (two sets in five, at random),
        on `hard sets` only (2 RIR or fewer), from some date on (`late`), or `never`.
    switch_share, deload_share, layoff_share
        Shares of lifts (rep-range switch) or lifters (deloads, one layoff) who have it.
    typing_rate
        Share of sets with a typing error.
    second_turn_share
        Share of the lifts that change their regime once which change it again, sharply.
    """

    name: str
    sentence: str
    days_between: tuple[float, float] = (2.4, 7.0)
    noise: float = 1.0
    rir_modes: tuple[float, float, float, float, float] = (0.45, 0.15, 0.10, 0.05, 0.25)
    switch_share: float = 0.10
    deload_share: float = 0.15
    layoff_share: float = 0.10
    typing_rate: float = 0.0
    second_turn_share: float = 0.0


_BASE = Scenario("base", "ordinary lifters, one to three sessions a week, RIR logged by most")

SCENARIOS: dict[str, Scenario] = {
    item.name: item
    for item in (
        _BASE,
        replace(_BASE, name="no RIR", sentence="nobody logs RIR", rir_modes=(0, 0, 0, 0, 1)),
        replace(
            _BASE, name="sparse", sentence="one session of a lift in ten days",
            days_between=(9.0, 11.0),
        ),
        replace(_BASE, name="noisy", sentence="day-to-day spread 1.8 times the usual", noise=1.8),
        replace(
            _BASE, name="rep switches", sentence="every lift changes its rep range once",
            switch_share=1.0,
        ),
        replace(
            _BASE, name="deloads", sentence="everyone takes a light week every four to eight",
            deload_share=1.0,
        ),
        replace(
            _BASE, name="layoffs", sentence="everyone stays away once, for two to four weeks",
            layoff_share=1.0,
        ),
        replace(
            _BASE, name="typing errors", sentence="0.3 % of sets are mistyped", typing_rate=0.003
        ),
        replace(
            _BASE, name="two turns", sentence="lifts that turn once turn again, within a day",
            second_turn_share=1.0,
        ),
    )
}  # fmt: skip
"""The scenarios of the printed validation, by name."""


def scenario_named(scenario: str | Scenario) -> Scenario:
    """Return a scenario by its name (or the one given).

    Raises
    ------
    UnknownNameError
        When there is none of that name; names the closest.
    """
    if isinstance(scenario, Scenario):
        return scenario
    if scenario not in SCENARIOS:
        raise UnknownNameError.among("scenario", scenario, SCENARIOS)
    return SCENARIOS[scenario]
