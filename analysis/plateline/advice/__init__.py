"""Room `advice`: what could be changed about a stuck lift, and in what order.

- `levers(status, *, sets, ...)`: LEVERS, one row per lift, lever and piece of evidence:
  `client, exercise, state, rank` (order of the lever), `point` (order of the evidence within
  the lever), `lever, evidence` (see `Lever`, `Evidence`), `muscle`, `value`, `reference`,
  `unit` (the evidence in numbers), `now_low, now_high, proposed_low, proposed_high,
  proposed_unit, for_weeks` (what would change), `substitute, substitute_feel`, `caution`
- `substitutes(lifts, *, sets, catalogue, clients)`: SUBSTITUTES, best first
- `round_to_step(load_kg, step_kg, *, unit, down)`: the load on the client's own steps

The room describes and suggests. Where diet or pain is touched, `caution` says that licensed
practice decides.
"""

from plateline.advice.levers import levers
from plateline.advice.steps import round_to_step
from plateline.advice.substitutes import substitutes
from plateline.advice.tables import LEVERS, SUBSTITUTES, Caution, Evidence, Lever

__all__ = [
    "LEVERS",
    "SUBSTITUTES",
    "Caution",
    "Evidence",
    "Lever",
    "levers",
    "round_to_step",
    "substitutes",
]
