"""Whose sets the lines of a note are: headings with names, and chats in which each line has a sender."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

from plateline.log.dates import looks_like_date
from plateline.log.draft_types import Drafts
from plateline.log.noted_lines import own_sets
from plateline.log.numbers import plain
from plateline.log.people import are_people, can_name_person, give_clients, said_of_headings
from plateline.log.rows import Row

__all__ = ["clients_before_lifts", "clients_by_heading", "clients_by_sender", "without_senders"]

_MESSAGE = re.compile(
    r"\u200e?\[?(?P<when>\d{1,4}[./-]\d{1,2}[./-]\d{2,4},? \d{1,2}:\d{2}(?::\d{2})?(?: ?[ap]\.?m\.?)?)"
    r"(?:\]| -) (?P<who>[^:\d]{1,40}): (?P<what>.*)",
    re.IGNORECASE,
)
"""A line of a chat that was saved as text: when, who, and what was written."""

CHAT_SHARE = 0.5
"""Share of the lines from which on a note is a chat; messages may go over several lines."""

MOST_DAY_WORDS = 4
"""Words of a day: `Mo 3 February 2026`."""

_FRAME = "=-–—*_:~#|<>[]() "
"""Signs that people put around a heading."""


def without_senders(rows: Sequence[Row]) -> tuple[list[Row], dict[int, str]]:
    """Return the lines of a chat without who wrote them, and line -> who; nobody where it is none."""
    found = {r.line: m for r in rows if (m := _MESSAGE.match(r.text[:2000]))}
    filled = sum(bool(r.text.strip()) for r in rows)
    bare = sum(own_sets(plain(m.group("what"))) is not None for m in found.values())
    if len(found) < 2 or len(found) < CHAT_SHARE * filled or bare > len(found) / 2:
        return list(rows), {}  # `2026-02-03 18:30 - Squat: 100x5` begins with no sender
    told: list[Row] = []
    senders: dict[int, str] = {}
    who = ""
    for row in rows:
        message = found.get(row.line)
        if message:
            who = message.group("who").strip()
            row = Row(row.line, row.cells, f"{message.group('when')}: {message.group('what')}")
        if who:
            senders[row.line] = who
        told.append(row)
    return told, senders


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


def clients_before_lifts(drafts: Drafts, name: str) -> None:
    """Take names before lifts (`Tom: Squat 140x5`) for clients, where they must be several people's."""
    work: dict[str, set[tuple[str, str]]] = {}
    named: list[tuple[dict[str, str], str, str]] = []
    for draft in drafts.rows:
        for own in draft.sets:
            who, colon, lift = own.get("exercise", "").partition(": ")
            if colon and "client" not in draft.shared:
                work.setdefault(who, set()).add((draft.shared.get("date", ""), lift))
                named.append((own, who, lift))
    if not are_people(work):
        return
    for own, who, lift in named:
        own |= {"client": who, "exercise": lift}
    shown = ", ".join(map(repr, work))
    drafts.said.append(f"{name}: {shown} before the exercises are read as clients.")


def _begins_day(line: str) -> bool:
    """Say whether a line is a day, or begins with one: `3.2.2026: Squat 60x8`."""
    words = line.split(" ", MOST_DAY_WORDS)
    starts = (" ".join(words[:count]).rstrip(":,;-–") for count in range(1, MOST_DAY_WORDS + 1))
    return looks_like_date(line) or any(map(looks_like_date, starts))


def clients_by_heading(drafts: Drafts, lines: Sequence[str], name: str) -> None:
    """Take headings above days for clients where the sets below them must be several people's."""
    begins_day = cache(_begins_day)  # the same sets stand below many headings
    filled = [i for i, line in enumerate(lines) if line.strip(_FRAME)]
    heads = [
        (i, lines[i].strip(_FRAME)) for i, below in pairwise(filled)
        if drafts.rows[i].is_blank and begins_day(lines[below].strip(_FRAME))
        and can_name_person(lines[i].strip(_FRAME))
    ]  # fmt: skip
    if people := give_clients(drafts, heads):
        drafts.said.append(said_of_headings(name, people))
