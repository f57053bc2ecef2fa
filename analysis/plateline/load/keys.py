"""By which columns sets are summed: the lift, the session, and a lift in a session or a week."""

from __future__ import annotations

from plateline.words import LIFT

__all__ = ["BOUT", "LIFT", "LIFT_WEEK", "SESSION"]

SESSION = ["client", "date", "session"]
BOUT = [*SESSION, "exercise"]
LIFT_WEEK = ["client", "week", "exercise"]
