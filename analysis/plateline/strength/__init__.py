"""Room `strength`: from sets to what they say about strength.

Published e1RM equations, rep curves, one estimate a lift and day, and records. Knows nothing
of weeks, trends or charts.
"""

from plateline.strength.curves import reps_at_share, share_of_max
from plateline.strength.equations import EQUATIONS, LARGEST_REPS, Equation, e1rm
from plateline.strength.evidence import set_evidence
from plateline.strength.records import lift_records
from plateline.strength.sessions import lift_scale, lift_sessions
from plateline.strength.total_load import hand_count

__all__ = [
    "EQUATIONS",
    "LARGEST_REPS",
    "Equation",
    "e1rm",
    "hand_count",
    "lift_records",
    "lift_scale",
    "lift_sessions",
    "reps_at_share",
    "set_evidence",
    "share_of_max",
]
