"""What the rows of one table look like, and how a row becomes a draft."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cached_property

from plateline.log.carry import MERGED_SHARE
from plateline.log.column_cells import LOAD_BEHIND
from plateline.log.column_places import Columns
from plateline.log.dates import looks_like_date, year_alone
from plateline.log.draft_types import Draft
from plateline.log.header_pairs import in_short_form
from plateline.log.headers import read_header, tidy
from plateline.log.note_titles import PLAN_WORD, date_in_title
from plateline.log.noted_lines import lifts_of
from plateline.log.numbers import is_missing
from plateline.log.people import can_name_person, titles_log
from plateline.log.row_halves import split_decimal, where_halves_part
from plateline.log.rows import Row
from plateline.log.sum_words import SUM_WORDS, TOTAL_WORDS
from plateline.log.table import Table

__all__ = ["RowShape"]


LONGEST_SUM_WORD = 16
"""Letters beyond which a cell is no word for a sum, to be quick with all others."""

_WITH_UNIT = frozenset({"load", "assistance", "notation", "rest_s"})
"""Columns whose header may name the unit of their cells."""

KEYS = frozenset({"client", "date", "exercise"})
"""What tables side by side may each have in columns of their own, written once for several rows."""


def _is_remark(text: str) -> bool:
    """Say whether a cell where sets are expected holds words only: `sick`, `rest day`."""
    return bool(text) and not re.search(r"\d", text)


def _words_for_set(found: Mapping[str, str]) -> str:
    """Return the words that stand where one set of a wide row would: `DNF`, `skipped`, `krank`."""
    if "notation" in found:
        text = found["notation"]
    elif ("load" in found) != ("reps" in found):
        text = found.get("load") or found.get("reps", "")
    else:
        return ""
    return text if _is_remark(text) else ""


def _written_once(table: Table, columns: Columns) -> set[int]:
    """Return where the days and exercises of tables side by side are written once for several rows."""
    found: set[int] = set()
    for one in columns.sets:
        work = [one.places[c] for c in ("reps", "notation") if c in one.places]
        for column in KEYS & one.places.keys():
            position = one.places[column]
            rows = [
                r.cells for r in table.rows
                if any(p < len(r.cells) and r.cells[p].strip() for p in work)
            ]  # fmt: skip
            filled = sum(position < len(c) and bool(c[position].strip()) for c in rows)
            if filled < len(rows) * (1 - MERGED_SHARE):
                found.add(position)
    return found


ODD_IN_HEADER = 0.2
"""Share of the cells of a repeated header that may differ from the first one."""


class RowShape:
    """What the rows of one table look like, and how a row becomes a draft."""

    def __init__(self, table: Table, columns: Columns) -> None:
        self.columns = columns
        self.width = len(table.headers)
        self.header_cells = [tidy(h.text) for h in table.headers]
        self.last_is_note = bool(table.headers) and table.headers[-1].column == "note"
        self.is_side_by_side = any(s.fixed.keys() & {"date", "exercise"} for s in columns.sets)
        self.headed_date = not columns.has("date")
        self.headed_exercise = not columns.has("exercise")
        self.header_words = {w for w in self.header_cells if w}
        self.has_digits = any(w[0].isdecimal() for w in self.header_words)
        self.remarks: dict[str, int] = {}
        self._rows = table.rows
        self._above: dict[int, str] = {}
        self._written_once = _written_once(table, columns)
        self.halves = where_halves_part(table, columns) if self.last_is_note else None

    def is_header(self, cells: Sequence[str]) -> bool:
        """Say whether a row says the header again."""
        texts = [text for c in cells if (text := c.strip())]
        values = sum(text[0].isdecimal() for text in texts)
        if len(texts) < 2 or (values > ODD_IN_HEADER * len(texts) and not self.has_digits):
            return False  # no header has so many cells that begin with a digit
        filled = [tidy(text) for text in texts]
        same = sum(f in self.header_words for f in filled)
        if same >= 2 and same >= (1 - ODD_IN_HEADER) * len(filled):
            return True
        if any(f[:1].isdecimal() for f in filled):
            return False
        return all(read_header(f).column is not None for f in filled)  # one of two lines

    def heading_of(self, cells: Sequence[str]) -> tuple[str, str] | None:
        """Return (column, text) where a row is a heading for those below; ("", "") a remark."""
        filled = [c.strip() for c in cells if c.strip()]
        first = cells[0].strip()
        if first.startswith("#") and not re.fullmatch(r"#\d+", first) and len(filled) <= 2:
            day = date_in_title(first.strip("#* "))[0] if self.headed_date else ""
            return ("date", day) if day else ("", "")
        if len(filled) == 2 and (first.endswith(":") or self.headed_date or self.headed_exercise):
            column = read_header(first.rstrip(":")).column
            if column == "date" and looks_like_date(filled[1]):
                return "date", filled[1]
            if column == "exercise" and self.headed_exercise:
                return "exercise", filled[1]
            if column in ("session", "client"):
                return column, filled[1]
            if column in ("note", "unit", "ignored"):
                return "", ""
        if len(filled) != 1:
            return None
        text = filled[0].strip("#* ")
        pair = re.fullmatch(r"([A-Za-zÀ-ÿ ]{3,20}):\s*(.+)", text)
        if pair:
            column = read_header(pair.group(1)).column
            if column in ("date", "exercise", "session", "client"):
                return column, pair.group(2).strip()
        if looks_like_date(text) and (self.headed_date or len(cells) > 2):
            return "date", text
        if self.headed_date and (day := date_in_title(text)[0]):
            return "date", day
        if year := year_alone(text):
            return "year", year
        if self.headed_exercise and re.search(r"[^\W\d_]{2}", text) and first:
            return ("", "") if titles_log(text) else ("exercise", text.rstrip(":"))
        return None

    def is_lone_words(self, cells: Sequence[str]) -> bool:
        """Say whether words stand alone in a date or note column: `Week 3 (deload)`, `sick`."""
        text = self._lone(cells)
        return bool(text) and not re.search(r"\d", re.sub(PLAN_WORD, "", text, flags=re.IGNORECASE))

    def lone_name(self, cells: Sequence[str]) -> str:
        """Return a name that stands alone in a row; nothing where the rows have a column for names."""
        filled = [c.strip() for c in cells if c.strip()]
        is_alone = len(filled) == 1 and not self.headed_exercise and not self.columns.has("client")
        return filled[0] if is_alone and can_name_person(filled[0]) else ""

    def _lone(self, cells: Sequence[str]) -> str:
        """Return the one cell of a row whose only cell is where no exercise and no set stands."""
        if sum(map(bool, cells)) > 2 or self.width < 3 or not self.columns.single.get("date"):
            return ""
        filled = [(i, c.strip()) for i, c in enumerate(cells) if c.strip()]
        if len(filled) != 1:
            return ""
        position, text = filled[0]
        places = (*self.columns.single["date"], *self.columns.single.get("note", []))
        is_words = bool(re.search(r"[^\W\d_]{3}", text)) and not looks_like_date(text)
        is_whole = len(cells) > 1 or not re.search(r"[,;|\t]", text)  # else a row that did not part
        return text if position in places and is_words and is_whole else ""

    def is_total(self, cells: Sequence[str]) -> bool:
        """Say whether a row sums up: its first word says so, and it has no date or no exercise."""
        filled = [(i, c.strip()) for i, c in enumerate(cells) if c.strip()]
        if any(self._sums_up(cells, column) for column in ("set_order", "exercise")):
            return True
        if self._sums_up_lift(cells):
            return True
        words = tidy(filled[0][1]).split()
        if not words or len(words) > 3 or not TOTAL_WORDS.intersection((words[0], words[-1])):
            return False
        lift = self.columns.single.get("exercise", [-1])[0]
        day = self.columns.single.get("date", [-1])[0]
        has_lift = 0 <= lift < len(cells) and bool(cells[lift].strip()) and filled[0][0] != lift
        has_day = 0 <= day < len(cells) and looks_like_date(cells[day])
        return not (has_lift and has_day)

    def _sums_up_lift(self, cells: Sequence[str]) -> bool:
        """Say whether the exercise is another row's with a word for a sum: `Squat total`."""
        position = self.columns.single.get("exercise", [-1])[0]
        words = cells[position].split() if 0 <= position < len(cells) else []
        if len(words) < 2:
            return False
        for rest, word in ((words[:-1], words[-1]), (words[1:], words[0])):
            if tidy(word) in SUM_WORDS and " ".join(rest).strip(" :-–").casefold() in self.lifts:
                return True
        return False

    @cached_property
    def lifts(self) -> frozenset[str]:
        """The exercises of all rows, without case."""
        position = self.columns.single.get("exercise", [-1])[0]
        return frozenset(
            r.cells[position].strip().casefold() for r in self._rows if 0 <= position < len(r.cells)
        )

    def _sums_up(self, cells: Sequence[str], column: str) -> bool:
        """Say whether the number of a set, or the exercise, is a word for a sum or a mean."""
        position = self.columns.single.get(column, [-1])[0]
        text = cells[position].strip() if 0 <= position < len(cells) else ""
        if not text or text[0].isdecimal() or len(text) > LONGEST_SUM_WORD:
            return False
        return text in "ØΣ∑⌀" or tidy(text) in SUM_WORDS

    def draft(self, row: Row, context: dict[str, str]) -> Draft:
        """Return the draft of a row that holds sets."""
        cells, fault = self._fit(row)
        if (alone := self._lone(row.cells)) and fault is None:
            fault = (
                "row", alone[:200],
                f"The row holds {alone[:60]!r} and nothing else; a set has a date, an exercise, a load and "
                "reps. If it is a remark, leave it out.",
            )  # fmt: skip
        draft = Draft(row, fault=fault)
        self._take_shared(draft, cells)
        for column, value in context.items():
            if not draft.shared.get(column):
                draft.shared[column] = value
        if self.columns.loads_behind_names and (
            found := LOAD_BEHIND.match(draft.shared.get("exercise", ""))
        ):
            draft.shared |= {"exercise": found.group("name").strip(), "load": found.group("load")}
        self._take_lifts(draft)
        self._take_sets(draft, cells)
        return draft

    def _take_shared(self, draft: Draft, cells: Sequence[str]) -> None:
        """Take the columns that stand once, the first filled place of each."""
        for column, positions in self.columns.single.items():
            value = ""
            for position in positions:
                if position < len(cells) and not is_missing(cells[position]):
                    value = cells[position].strip()
                    unit = self.columns.units.get(position)
                    if unit is not None and column in _WITH_UNIT:
                        draft.shared["rest_s unit" if column == "rest_s" else "load unit"] = unit
                    if position in self.columns.pairs:
                        value = in_short_form(value, self.columns.pairs[position])
                    break
            draft.shared[column] = value

    def _take_lifts(self, draft: Draft) -> None:
        """Take a cell that holds a whole session, exercises with their sets."""
        whole = draft.shared.pop("lifts", "")
        if _is_remark(whole):
            self.remarks.setdefault(whole, draft.row.line)
            draft.is_blank = True
        elif whole:
            lifts = lifts_of(whole)
            if lifts is None:
                reason = f"{whole[:80]!r} holds no exercises with sets; write it like Squat 100x5, 100x5."
                draft.fault = draft.fault or ("row", whole[:200], reason)
            draft.sets = [{"exercise": n, "notation": s, "note": w} for n, s, w in lifts or []]

    def _take_sets(self, draft: Draft, cells: Sequence[str]) -> None:
        """Take the sets that stand side by side."""
        for places in self.columns.sets:
            found = {
                column: cells[position].strip()
                for column, position in places.places.items()
                if position < len(cells) and not is_missing(cells[position])
            }
            if not found or not found.keys() & {"load", "reps", "notation"}:
                continue
            for column in KEYS & places.places.keys():
                position = places.places[column]
                self._above[position] = found.get(column, self._above.get(position, ""))
                if position in self._written_once:
                    found.setdefault(column, self._above[position])
            if words := _words_for_set(found):
                self.remarks.setdefault(words, draft.row.line)
                continue
            for column in ("load", "rest_s"):
                unit = self.columns.units.get(places.places.get(column, -1))
                if unit and column in found:
                    found[f"{column} unit"] = unit
            draft.sets.append(found | places.fixed)

    def _fit(self, row: Row) -> tuple[list[str], tuple[str, str, str] | None]:
        """Return the cells of a row, or a fault where it has more than the header."""
        cells = row.cells
        extra = cells[self.width :]
        if not any(c.strip() for c in extra):
            return cells[: self.width], split_decimal(row, self.halves, self.width)
        if self.last_is_note and self.width:
            tail = ",".join(cells[self.width - 1 :])
            if re.match(r"\s*[^\W\d_]", tail):
                return [*cells[: self.width - 1], tail], None
        return cells, (
            "row",
            row.text[:200],
            f"The row has {len(cells)} cells, but the header has {self.width}; a decimal comma or a "
            "comma in a note must stand in quotes.",
        )
