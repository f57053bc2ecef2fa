"""Read a log that is no table: a phone note, one line a day or one line an exercise.

    Mon 2 March 2026
    Squat 100x5, 100x5, 100x4
    Bench press
    80kg 8,8,7

A line is a date, an exercise, sets in short form (NOTATION.md), or an exercise with its sets.
Words that no sets follow are remarks. A line with numbers that cannot be read is refused.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from plateline.log.dates import looks_like_date, with_year, year_alone
from plateline.log.draft_types import Draft, Drafts
from plateline.log.headers import read_header
from plateline.log.note_clients import (
    clients_before_lifts,
    clients_by_heading,
    clients_by_sender,
    without_senders,
)
from plateline.log.note_ticks import is_ticked, refuse_undone
from plateline.log.note_titles import (
    PLAN_WORD,
    date_in_title,
    is_remark_on_sets,
    is_title,
    is_weekday,
    tells_sets_in_words,
)
from plateline.log.noted_lines import (
    LONGEST_LINE,
    is_body_mass,
    lifts_of,
    own_sets,
    reads_as_sets,
    without_number,
)
from plateline.log.numbers import plain
from plateline.log.people import titles_log
from plateline.log.rows import Row

__all__ = ["note_drafts"]

_NO_SET = re.compile(
    r"(?:set|satz|série|serie)\.? ?#?\d{1,2}[.:]?|\d{1,2}[:.]\d{2}(?: ?(?:-|to|bis|à|a) ?\d{1,2}[:.]\d{2})? ?(?:am|pm|uhr|h)?",
    re.IGNORECASE,
)
"""A line that is a time of day, from when to when, or the number of a set and nothing else."""
_CLOCK = re.compile(
    r"(?P<time>\d{1,2}:\d{2} ?(?:[ap]m|uhr|h)?)\s*[-–:|]?\s+(?=[^\W\d_]{2})", re.IGNORECASE
)
"""The time of day before an exercise: `18:04 Squat 100x5`."""
_BULLET = re.compile(
    r"^\s*(?:[-*•·–>]\s+|\[[ xX]\]\s+|#+\s*|\d{1,2}\ufe0f?\u20e3\s*|[\u2600-\u2604\u2607-\u27bf\u2b50-\u2b55\ufe0f\u200d\U0001f000-\U0001faff]\s*)+"
)


MOST_NAME_WORDS = 4
"""Words of a line that can still be the name of an exercise."""

_PART_OF_PLAN = re.compile(
    rf"{PLAN_WORD}(?:[ /,.–-]*{PLAN_WORD})*(?:[ /,.-]*20\d\d\b)?[^\d]*$", re.IGNORECASE
)
"""Lines that name a part of the plan: `Week 3`, `Block 1, Tag 2 - Push`."""
_TITLE = re.compile(PLAN_WORD + r"\s*[-–:,([]*\s*", re.IGNORECASE)
_HOLDS_SETS = re.compile(r"\d\s*[x×@*]\s*\d|\d\s*(?:kg|lb)")
"""What no name of a session holds."""


def _date_at_start(text: str) -> tuple[str, str]:
    """Split a line into the date that it starts with and the rest; ("", text) where none."""
    for found in reversed(list(re.finditer(r"\s*[:–|;]\s*|\s+-\s+|,?\s+|$", text[:60]))):
        first = text[: found.start()].strip(" ,:")
        if (
            first
            and looks_like_date(first)
            and not (found.group() == "" and found.end() < len(text))
        ):
            return first, text[found.end() :].strip(" -–:,|")
    return "", text


def _holds_day_and_sets(line: str) -> bool:
    """Say whether a line is a day with its sets: `3.2.: 100x5`."""
    day, rest = _date_at_start(line)
    return bool(day) and bool(rest) and own_sets(rest) is not None


def note_drafts(rows: Sequence[Row], name: str) -> Drafts:
    """Return one draft per line of a note."""
    rows, senders = without_senders(rows)
    reader = _NoteReader(rows)
    drafts = Drafts([reader.draft(position) for position in range(len(rows))])
    clients_by_sender(drafts, senders, name)
    clients_before_lifts(drafts, name)
    clients_by_heading(drafts, reader.lines, name)
    if reader.remarks:
        more = " and more" if len(reader.remarks) > 8 else ""
        shown = ", ".join(map(str, reader.remarks[:8])) + more
        drafts.said.append(f"{name}: words without sets were taken for remarks (line {shown}).")
    return drafts


class _NoteReader:
    """Reads the lines of a note in turn, and keeps what they say of the lines below."""

    def __init__(self, rows: Sequence[Row]) -> None:
        self.rows = [
            r if len(r.text) <= LONGEST_LINE else Row(r.line, [], r.text[:LONGEST_LINE])
            for r in rows
        ]
        self.lines = [_BULLET.sub("", plain(r.text)).strip("*_ \t") for r in self.rows]
        self.has_years = len({y for line in self.lines if (y := year_alone(line))}) > 1
        self.has_ticks = any(is_ticked(r.text) for r in self.rows)
        self.context: dict[str, str] = {}
        self.remarks: list[int] = []
        self.year = ""
        """The year that the last line with nothing else named, where several do."""
        self.has_sets = False
        """Whether sets were read below the last date."""
        self.over_days = ""
        """The exercise that heads several days, each with its sets."""
        self.words_at = -1
        """Where the last few words stood that named no exercise, for nothing below them could be read."""

    def draft(self, position: int) -> Draft:
        """Return the draft of a line; those above it must have been read."""
        draft, line = Draft(self.rows[position]), self.lines[position]
        if not line or re.fullmatch(r"[-=_*~.\s]+", line) or _NO_SET.fullmatch(line):
            draft.is_blank = True
        elif not self._take_pair(draft, line):
            if not self._take_numbered(draft, line):
                self._take_timed_line(draft, position)
            refuse_undone(draft, line, has_ticks=self.has_ticks)
            self.has_sets = self.has_sets or bool(draft.sets)
        return draft

    def _take_timed_line(self, draft: Draft, position: int) -> None:
        """Take a line, and the time of day that may stand at its head."""
        clock = _CLOCK.match(self.lines[position])
        if clock:
            self.lines[position] = self.lines[position][clock.end() :]
        self._take_line(draft, position)
        if clock and draft.sets:
            draft.shared["time"] = clock.group("time").strip()

    def _take_pair(self, draft: Draft, line: str) -> bool:
        """Take `Client: Anna` or `Location: home`; say whether the line is such a pair."""
        pair = re.fullmatch(r"([A-Za-zÀ-ÿ ]{3,20}):\s*(\D.*|.*\d{4}.*|[\d.,]+ ?\w{0,6})", line)
        column = read_header(pair.group(1)).columns if pair else ()
        if pair is None or not {"ignored", "client", "unit", "date", "session"}.intersection(
            column
        ):
            return False
        draft.is_blank = True
        if "ignored" in column:
            self.remarks.append(draft.row.line)
        else:
            chosen = next(c for c in ("date", "client", "unit", "session") if c in column)
            self.context[chosen] = pair.group(2).strip()
        return True

    def _take_numbered(self, draft: Draft, line: str) -> bool:
        """Take `Set 2: 110x3` below its exercise; say whether the line is such a set."""
        shown = line.strip("~ ")  # it may be struck out
        bare = without_number(shown)
        if bare == shown or not self.context.get("exercise") or not reads_as_sets(bare):
            return False
        _take_lifts(draft, bare, self.context)
        return True

    def _take_line(self, draft: Draft, position: int) -> None:
        """Take the day of a line, and what it says besides."""
        date, rest, title = self._day(position)
        if date:
            self._begin_day(date, self.lines[position])
        if date and title:
            self.context["session"] = title
        if not rest:
            draft.is_blank = True
        elif not date and is_title(rest):
            draft.is_blank = True
            self.remarks.append(draft.row.line)
        elif _PART_OF_PLAN.match(rest):
            self.context["session"] = rest
            draft.is_blank = True
        elif is_body_mass(rest):
            draft.fault = (
                "row", rest[:200],
                f"{rest[:80]!r} can be a weighing, or reps with body mass; leave a weighing out of the "
                "log, or write BW x 12.",
            )  # fmt: skip
        elif not _take_lifts(draft, rest, self.context):
            self._take_words(draft, rest, position, after_date=bool(date))

    def _day(self, position: int) -> tuple[str, str, str]:
        """Part a line into its day, its other words, and the part of the plan before the day."""
        line = self.lines[position]
        if self.has_years:
            self.year = year_alone(line) or self.year
        date, rest = _date_at_start(line)
        titled = None if date else _TITLE.match(line)
        if titled:
            # `Session 12 - 2025-03-03`: the day behind the part of the plan that it is.
            date, rest = _date_at_start(line[titled.end() :].strip(" ()[]"))
            rest = rest if date else line
        is_first = position == 0 or not self.lines[position - 1]
        heads = is_first or self.rows[position].text.lstrip().startswith("#")
        if heads and not date:
            # `Oberkörper – 03.02.25`: a heading that names its day behind other words.
            date, rest = date_in_title(line)
        if not date and self.has_sets and is_weekday(line, heads=heads):
            # A day without its date: no set below it may take the date above.
            date, rest = line, ""
        return date, rest, titled.group().strip(" -–:,([") if titled else ""

    def _begin_day(self, date: str, line: str) -> None:
        """Forget the session and exercise of the day before."""
        self.has_sets = False
        beside = re.search(r"\b(20\d\d)\b", line)
        if year := beside.group() if beside else self.year:
            date = with_year(date, year)
        kept = {k: v for k, v in self.context.items() if k in ("client", "unit")}
        self.context = kept | {"date": date}
        if self.over_days:
            self.context["exercise"] = self.over_days

    def _below(self, position: int) -> str:
        """Return the next line that is not empty."""
        below = range(position + 1, len(self.lines))
        return next((self.lines[i] for i in below if self.lines[i]), "")

    def _take_words(self, draft: Draft, text: str, position: int, *, after_date: bool) -> None:
        """Take a line that holds no sets: a session, an exercise, a remark; else refuse it."""
        below = self._below(position)
        heads_sets = bool(below) and own_sets(below) is not None
        if after_date and not heads_sets and not _HOLDS_SETS.search(text):
            self.context["session"] = text
            draft.is_blank = True
        elif (
            heads_sets
            and re.search(r"[^\W\d_]{2}", text)
            and not is_remark_on_sets(text)
            and not _HOLDS_SETS.search(text)
        ):
            self.context["exercise"] = text.rstrip(" :-–")
            self.over_days = ""
            draft.is_blank = True
        elif (
            not after_date
            and re.fullmatch(r"[^\d]*[^\W\d_]{2}[^\d]*", text)
            and not titles_log(text)
            and _holds_day_and_sets(below)
        ):
            self.over_days = text.rstrip(" :-–")
            draft.is_blank = True
        elif tells_sets_in_words(text):
            draft.fault = (
                "row", text[:200],
                f"The line {text[:80]!r} tells sets in words; write them in numbers, such as "
                "Squat 3x5 100kg.",
            )  # fmt: skip
        elif not re.search(r"\d", text):
            draft.is_blank = True
            self.remarks.append(draft.row.line)
            if len(text.split()) <= MOST_NAME_WORDS and not is_remark_on_sets(text):
                self.words_at = position
        else:
            between = range(self.words_at + 1, position)
            if self.words_at >= 0 and not any(self.lines[i] for i in between):
                # The words above name what this line cannot be read of, so the sets below are theirs.
                self.context.pop("exercise", None)
            draft.fault = (
                "row", text[:200],
                f"The line {text[:80]!r} is no date, exercise or sets; write it like "
                "Squat 3x10@60, Squat 100x5, 100x5 or Squat 140kg 8,7,6.",
            )  # fmt: skip


def _take_lifts(draft: Draft, text: str, context: dict[str, str]) -> bool:
    """Take a line that is sets, or exercises with their sets; say whether it was one."""
    own = own_sets(text)
    if own is not None:
        draft.shared = dict(context)
        sets, words, kind = own
        draft.sets = [{"notation": sets, "note": words, "set_kind": kind}]
        return True
    lifts = lifts_of(text)
    if lifts is None:
        return False
    draft.shared = {k: v for k, v in context.items() if k != "exercise"}
    draft.sets = [
        {"exercise": name, "notation": sets, "note": words} for name, sets, words in lifts
    ]
    context["exercise"] = lifts[-1][0]
    return True
