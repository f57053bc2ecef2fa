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

from plateline.log.dates import looks_like_date, written
from plateline.log.draft_types import Draft, Drafts
from plateline.log.headers import read_header
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
from plateline.log.rows import Row

__all__ = ["note_drafts"]

_NO_SET = re.compile(
    r"(?:set|satz|série|serie)\.? ?#?\d{1,2}[.:]?|\d{1,2}[:.]\d{2}(?: ?(?:-|to|bis|à|a) ?\d{1,2}[:.]\d{2})? ?(?:am|pm|uhr|h)?",
    re.IGNORECASE,
)
"""A line that is a time of day, from when to when, or the number of a set and nothing else."""
_TICKED = re.compile(r"^\s*(?:[-*•·–>]\s*)?(?:\[[xX✓✔]\]|[✓✔✅☑])")
_UNTICKED = re.compile(r"^\s*(?:[-*•·–>]\s*)?(?:\[ ?\]|☐)")
_STRUCK = re.compile(r"\s*(?:[-*•·–>]\s*)?(?:\[[ xX]\]\s*)?~~.*~~\s*")
"""A line that is struck out."""
_BULLET = re.compile(
    r"^\s*(?:[-*•·–>]\s+|\[[ xX]\]\s+|#+\s*|[\u2600-\u2604\u2607-\u27bf\u2b50-\u2b55\ufe0f\u200d\U0001f000-\U0001faff]\s*)+"
)


_PART_OF_PLAN = re.compile(
    rf"{PLAN_WORD}(?:[ /,.–-]*{PLAN_WORD})*(?:[ /,.-]*20\d\d\b)?[^\d]*$", re.IGNORECASE
)
"""Lines that name a part of the plan: `Week 3`, `Block 1, Tag 2 - Push`."""
_TITLE = re.compile(PLAN_WORD + r"\s*[-–:,([]*\s*", re.IGNORECASE)


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


def note_drafts(rows: Sequence[Row], name: str) -> Drafts:
    """Return one draft per line of a note."""
    rows = [
        r if len(r.text) <= LONGEST_LINE else Row(r.line, [], r.text[:LONGEST_LINE]) for r in rows
    ]
    drafts = Drafts([])
    context: dict[str, str] = {}
    remarks: list[int] = []
    has_sets = False
    lines = [_BULLET.sub("", plain(r.text)).strip("*_ \t") for r in rows]
    has_ticks = any(_TICKED.match(r.text) for r in rows)
    for position, (row, line) in enumerate(zip(rows, lines, strict=True)):
        draft = Draft(row)
        drafts.rows.append(draft)
        if not line or re.fullmatch(r"[-=_*~.\s]+", line) or _NO_SET.fullmatch(line):
            draft.is_blank = True
            continue
        pair = re.fullmatch(r"([A-Za-zÀ-ÿ ]{3,20}):\s*(\D.*|.*\d{4}.*|[\d.,]+ ?\w{0,6})", line)
        column = read_header(pair.group(1)).columns if pair else ()
        if pair and "ignored" in column:
            draft.is_blank = True
            remarks.append(row.line)
            continue
        if pair and {"client", "unit", "date", "session"}.intersection(column):
            chosen = next(c for c in ("date", "client", "unit", "session") if c in column)
            context[chosen] = pair.group(2).strip()
            draft.is_blank = True
            continue
        bare = without_number(line)
        if bare != line and context.get("exercise") and reads_as_sets(bare):
            _take_lifts(draft, bare, context)
            continue
        date, rest = _date_at_start(line)
        titled = None if date else _TITLE.match(line)
        if titled:
            # `Session 12 - 2025-03-03`: the day behind the part of the plan that it is.
            date, rest = _date_at_start(line[titled.end() :].strip(" ()[]"))
            rest = rest if date else line
        heads = position == 0 or not lines[position - 1] or row.text.lstrip().startswith("#")
        if heads and not date:
            # `Oberkörper – 03.02.25`: a heading that names its day behind other words.
            date, rest = date_in_title(line)
        if not date and has_sets and is_weekday(line, heads=heads):
            # A day without its date: no set below it may take the date above.
            date, rest = line, ""
        if date:
            has_sets = False
            context = {k: v for k, v in context.items() if k in ("client", "unit")} | {"date": date}
            year = re.search(r"\b(20\d\d)\b", line)
            if written(date).without_year is not None and year:
                context["date"] = f"{date} {year.group()}"
        if date and titled:
            context["session"] = titled.group().strip(" -–:,([")
        if not rest:
            draft.is_blank = True
        elif not date and is_title(rest):
            draft.is_blank = True
            remarks.append(row.line)
        elif _PART_OF_PLAN.match(rest):
            context["session"] = rest
            draft.is_blank = True
        elif is_body_mass(rest):
            draft.fault = (
                "row", rest[:200],
                f"{rest[:80]!r} can be a weighing, or reps with body mass; leave a weighing out of the "
                "log, or write BW x 12.",
            )  # fmt: skip
        elif not _take_lifts(draft, rest, context):
            _take_words(draft, rest, context, _below(lines, position), bool(date), remarks)
        if draft.sets and has_ticks and _UNTICKED.match(row.text):
            draft.sets = []
            draft.fault = (
                "row", line[:200],
                "The line is not ticked as done; tick it ([x]) as the others are, or leave it out.",
            )  # fmt: skip
        if draft.sets and _STRUCK.fullmatch(row.text):
            draft.sets = []
            draft.fault = (
                "row", line[:200], "The line is struck out, so it was not done; leave it out.",
            )  # fmt: skip
        has_sets = has_sets or bool(draft.sets)
    if remarks:
        shown = ", ".join(map(str, remarks[:8])) + (" and more" if len(remarks) > 8 else "")
        drafts.said.append(f"{name}: words without sets were taken for remarks (line {shown}).")
    return drafts


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


def _below(lines: Sequence[str], position: int) -> str:
    """Return the next line that is not empty."""
    return next((lines[i] for i in range(position + 1, len(lines)) if lines[i]), "")


def _take_words(
    draft: Draft,
    text: str,
    context: dict[str, str],
    following: str,
    after_date: bool,
    remarks: list[int],
) -> None:
    heads_sets = bool(following) and (own_sets(following) is not None)
    if after_date and not heads_sets and not re.search(r"\d\s*[x×@*]\s*\d|\d\s*(?:kg|lb)", text):
        context["session"] = text
        draft.is_blank = True
    elif heads_sets and re.search(r"[^\W\d_]{2}", text) and not is_remark_on_sets(text):
        context["exercise"] = text.rstrip(" :-–")
        draft.is_blank = True
    elif tells_sets_in_words(text):
        draft.fault = (
            "row",
            text[:200],
            f"The line {text[:80]!r} tells sets in words; write them in numbers, such as "
            "Squat 3x5 100kg.",
        )
    elif not re.search(r"\d", text):
        draft.is_blank = True
        remarks.append(draft.row.line)
    else:
        draft.fault = (
            "row",
            text[:200],
            f"The line {text[:80]!r} is no date, exercise or sets; write it like "
            "Squat 3x10@60, Squat 100x5, 100x5 or Squat 140kg 8,7,6.",
        )
