"""From the drafts of a file to its part: what the whole file settles first, then every row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import polars as pl

from plateline.errors import InputFileError
from plateline.log.account import Said
from plateline.log.date_order import DateReader
from plateline.log.draft_types import Drafted, Drafts
from plateline.log.kinds import KindReader
from plateline.log.notation import shows_load_first
from plateline.log.numbers import decimal_mark, plain
from plateline.log.options import Options
from plateline.log.part import PART, Part
from plateline.log.rejected import Rejected, rejected_row
from plateline.log.settle import Settler
from plateline.log.settle_load import LoadReader
from plateline.log.values import Unreadable, read_unit
from plateline.log.years import Turn, named_years
from plateline.words import REJECTED

__all__ = ["settled_part"]


def settled_part(
    name: str, drafted: Drafted, options: Options, *, is_excerpt: bool, names_clients: bool
) -> Part:
    """Return what a file gave.

    Parameters
    ----------
    name
        The file, for sentences.
    drafted
        Its rows as text.
    options
        What the person said beside the file.
    is_excerpt
        Whether the rows are not all of the file's, so that none of them need hold a set.
    names_clients
        Whether rows of the file besides these name a client.

    Raises
    ------
    InputFileError
        When no row holds a set.
    AmbiguousDateError
        When nothing settles day and month.
    """
    drafts, above = drafted.drafts, drafted.above
    settler = _settler(name, drafted, options, names_clients=names_clients)
    if all(d.is_blank for d in drafts.rows) and not is_excerpt:
        raise InputFileError(
            f"{name} has a header but no row of sets below it; a log has one row per set."
        )
    sets: list[tuple[object, ...]] = []
    refused: list[Rejected] = []
    accepted = blank = 0
    for draft in drafts.rows:
        if draft.is_blank:
            blank += 1
            continue
        try:
            sets.extend(settler.sets_of(draft))
            accepted += 1
        except Unreadable as fault:
            refused.append(rejected_row(name, draft.row, fault))
    general = [*drafts.said, *settler.dates.assumptions, *settler.kinds.assumptions]
    if file_unit := settler.loads.file_unit:
        general.append(f"{name}: loads are in {file_unit}, as the line above the table says.")
    general.extend(_unit_said(name, drafts, settler.loads))
    return Part(
        name=name,
        sets=pl.DataFrame(sets, schema=PART, orient="row"),
        rejected=pl.DataFrame(refused, schema=REJECTED, orient="row"),
        rows=len(drafts.rows),
        accepted=accepted,
        blank=blank,
        said=[*(Said(None, sentence) for sentence in general), *settler.said()],
        has_order="set_order" in drafted.columns.single,
        tallies=settler.tallies,
        client=settler.client,
        client_above=above.get("client"),
    )


def _settler(name: str, drafted: Drafted, options: Options, *, names_clients: bool) -> Settler:
    """Return the reader of a file's rows, after looking at the texts of the whole file."""
    drafts, above = drafted.drafts, drafted.above
    texts = drafts.distinct(
        ("date", "set_kind", "set_order", "load", "unit", "rir", "rpe", "notation")
    )
    units = {u for t in texts["unit"] if (u := read_unit(t))}
    letters = (
        [t for t in texts["set_order"] if not t.isdecimal()]
        if "set_kind" not in drafted.columns.single
        else []
    )
    dates = DateReader(
        texts["date"],
        name,
        today=options.today,
        order=options.date_order,
        years=_years(name, above),
        turns=_turns(drafts),
    )
    return Settler(
        name=name,
        dates=dates,
        kinds=KindReader((*texts["set_kind"], *letters), name),
        loads=LoadReader(
            unit=options.unit,
            client_units=options.client_units,
            file_unit=read_unit(above.get("unit")),
            only_unit=units.pop() if len(units) == 1 else None,
        ),
        mark=decimal_mark(plain(t) for c in ("load", "rir", "rpe") for t in texts[c]),
        load_first=any(shows_load_first(plain(t)) for t in texts["notation"]),
        client=options.client or above.get("client") or "me",
        needs_client="client" not in above
        and (
            names_clients
            or any(
                d.shared.get("client") or any("client" in s for s in d.sets) for d in drafts.rows
            )
        ),
    )


def _unit_said(name: str, drafts: Drafts, loads: LoadReader) -> Iterator[str]:
    """Say in which unit the rows without one are read, where a column gives one to the others."""
    if loads.only_unit and not loads.file_unit and not loads.unit:
        gaps = [d.row.line for d in drafts.rows if not d.is_blank and not d.shared.get("unit")]
        if gaps:
            yield f"{name}: rows without a unit (line {gaps[0]}) are read in {loads.only_unit}, as all others are."


def _years(name: str, above: Mapping[str, str]) -> tuple[int, ...]:
    """Return the year of dates without one, or both of a season: from above, else the file's name."""
    return named_years(above["year"]) if "year" in above else named_years(name)


def _turns(drafts: Drafts) -> Iterator[Turn]:
    """Return every date of a file in its turn."""
    for draft in drafts.rows:
        if not draft.is_blank:
            for own in draft.sets or ({},):
                cell = {**draft.shared, **own}
                yield Turn(*(cell.get(c, "") for c in ("client", "date", "exercise")))
