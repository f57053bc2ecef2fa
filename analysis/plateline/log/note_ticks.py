"""Lines of a note that are ticked as done, left unticked, or struck out."""

from __future__ import annotations

import re

from plateline.log.draft_types import Draft

__all__ = ["is_ticked", "refuse_undone"]

_TICKED = re.compile(r"^\s*(?:[-*•·–>]\s*)?(?:\[[xX✓✔]\]|[✓✔✅☑])")
_UNTICKED = re.compile(r"^\s*(?:[-*•·–>]\s*)?(?:\[ ?\]|☐)")
_STRUCK = re.compile(r"\s*(?:[-*•·–>]\s*)?(?:\[[ xX]\]\s*)?~~.*~~\s*")
"""A line that is struck out."""


def is_ticked(text: str) -> bool:
    """Say whether a line is ticked."""
    return bool(_TICKED.match(text))


def refuse_undone(draft: Draft, line: str, *, has_ticks: bool) -> None:
    """Refuse sets that are not ticked where others are, or struck out."""
    if draft.sets and has_ticks and _UNTICKED.match(draft.row.text):
        draft.sets = []
        draft.fault = (
            "row", line[:200],
            "The line is not ticked as done; tick it ([x]) as the others are, or leave it out.",
        )  # fmt: skip
    if draft.sets and _STRUCK.fullmatch(draft.row.text):
        draft.sets = []
        draft.fault = (
            "row", line[:200], "The line is struck out, so it was not done; leave it out.",
        )  # fmt: skip
