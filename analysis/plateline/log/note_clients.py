"""Whose sets the lines of a note are: headings with names, and chats in which each line has a sender."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from plateline.log.dates import looks_like_date
from plateline.log.draft_types import Drafts
from plateline.log.people import are_people, can_name_person
from plateline.log.rows import Row

__all__ = ["clients_by_heading", "clients_by_sender", "without_senders"]

_MESSAGE = re.compile(
    r"\u200e?\[?(?P<when>\d{1,4}[./-]\d{1,2}[./-]\d{2,4},? \d{1,2}:\d{2}(?::\d{2})?(?: ?[ap]\.?m\.?)?)"
    r"(?:\]| -) (?P<who>[^:\d]{1,40}): (?P<what>.*)",
    re.IGNORECASE,
)
"""A line of a chat that was saved as text: when, who, and what was written."""

CHAT_SHARE = 0.5
"""Share of the lines from which on a note is a chat; messages may go over several lines."""

_FRAME = "=-–—*_:~#|<>[]() "
"""Signs that people put around a heading."""


def without_senders(rows: Sequence[Row]) -> tuple[list[Row], dict[int, str]]:
    """Return the lines of a chat without who wrote them, and line -> who; nobody where it is none."""
    found = {r.line: m for r in rows if (m := _MESSAGE.match(r.text[:2000]))}
    filled = sum(bool(r.text.strip()) for r in rows)
    if len(found) < 2 or len(found) < CHAT_SHARE * filled:
        return list(rows), {}
    bare: list[Row] = []
    senders: dict[int, str] = {}
    who = ""
    for row in rows:
        message = found.get(row.line)
        if message:
            who = message.group("who").strip()
            row = Row(row.line, row.cells, f"{message.group('when')}: {message.group('what')}")
        if who:
            senders[row.line] = who
        bare.append(row)
    return bare, senders


def clients_by_sender(drafts: Drafts, senders: dict[int, str], name: str) -> None:
    """Give every set of a chat to whoever wrote of it."""
    if not senders:
        return
    for draft in drafts.rows:
        if draft.sets:
            draft.shared.setdefault("client", senders.get(draft.row.line, ""))
    writers = ", ".join(repr(w) for w in dict.fromkeys(senders.values()))
    drafts.said.append(
        f"{name}: the note is a chat; sets are of the client who wrote them ({writers})."
    )


def clients_by_heading(drafts: Drafts, lines: Sequence[str], name: str) -> None:
    """Take headings above days for clients where the sets below them must be several people's."""
    if any(d.shared.get("client") for d in drafts.rows):
        return
    filled = [i for i, line in enumerate(lines) if line.strip(_FRAME)]
    following = dict(pairwise(filled))
    heads = [
        i for i in filled
        if drafts.rows[i].is_blank and i in following and looks_like_date(lines[following[i]].strip(_FRAME))
        and can_name_person(lines[i].strip(_FRAME))
    ]  # fmt: skip
    if len(heads) < 2:
        return
    names = [lines[i].strip(_FRAME) for i in heads]
    work: dict[str, set[tuple[str, str]]] = {n: set() for n in names}
    ends = [*heads[1:], len(drafts.rows)]
    for who, start, end in zip(names, heads, ends, strict=True):
        for draft in drafts.rows[start:end]:
            work[who].update(
                (
                    draft.shared.get("date", ""),
                    s.get("exercise") or draft.shared.get("exercise", ""),
                )
                for s in draft.sets
            )
    if not are_people(work):
        return
    for who, start, end in zip(names, heads, ends, strict=True):
        for draft in drafts.rows[start:end]:
            if draft.sets:
                draft.shared["client"] = who
    shown = ", ".join(map(repr, work))
    drafts.said.append(
        f"{name}: the headings {shown} are read as clients, for their sets are of the same days."
    )
