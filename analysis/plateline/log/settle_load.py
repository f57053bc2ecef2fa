"""The load of a set in kilograms: in which unit it is, and whether anyone can have lifted it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from plateline.log.notation_sets import NotedSet
from plateline.log.numbers import is_missing, plain
from plateline.log.tally import Tally
from plateline.log.value_load import Load
from plateline.log.values import MOST_ASSISTANCE_KG, Unreadable, read_unit

__all__ = ["LoadReader"]


@dataclass(frozen=True)
class LoadReader:
    """Turns the loads of one file to kilograms.

    Attributes
    ----------
    unit, client_units
        The units that the command and the clients file give.
    file_unit
        The unit that stands above the table.
    only_unit
        The unit that every row names, but for those that name none.
    """

    unit: str | None = None
    client_units: Mapping[str, str] = field(default_factory=dict)
    file_unit: str | None = None
    only_unit: str | None = None

    def unit_of(self, cell: Mapping[str, str], client: str) -> str | None:
        """Return the unit of a row's loads that do not say their own, in the order of the contract.

        Raises
        ------
        Unreadable
            When the row names a unit that is not known.
        """
        if "load unit" in cell:
            return cell["load unit"]
        said = read_unit(cell.get("unit"))
        if said is None and not is_missing(cell.get("unit", "")):
            text = cell["unit"]
            raise Unreadable(f"The unit {text!r} is not known; write kg or lb.", "unit", text)
        told = said or self.file_unit or self.client_units.get(client) or self.unit
        return told or self.only_unit

    def kg(
        self, one: NotedSet, unit: str | None, limit: float, cell: Mapping[str, str], tally: Tally
    ) -> float:
        """Return a set's load in kilograms.

        Parameters
        ----------
        one
            The set, its load as written.
        unit
            The unit of a load that does not say its own.
        limit
            What nobody has lifted in this exercise, in kg.
        cell
            The cells of the row, to be quoted in a refusal.
        tally
            Counts loads without a unit, and those in pounds.

        Raises
        ------
        Unreadable
            When there is no load, or none that can be true.
        """
        shown = cell.get("load") or cell.get("notation") or cell.get("reps", "")
        if one.load is None:
            if "load" in cell or "notation" in cell:
                raise Unreadable(
                    _why_no_load(cell.get("notation", "")),
                    "load", shown if "notation" in cell else cell.get("load", ""),
                )  # fmt: skip
            raise Unreadable("The row has no load; write it like 102.5.", "load", "")
        used = one.unit or unit
        if used is None and one.load:
            tally.bare_loads += 1
        tally.pounds += used == "lb"
        load_kg = Load(one.load).kg("lb" if used == "lb" else "kg")
        if load_kg > limit:
            raise Unreadable(
                f"{load_kg:g} kg is more than anyone has lifted in this exercise (limit {limit:g} kg); "
                "correct the load.", "load", shown,
            )  # fmt: skip
        if load_kg < -MOST_ASSISTANCE_KG:
            raise Unreadable(
                f"{load_kg:g} kg is more assistance than a body weighs; correct the load.",
                "load", shown,
            )  # fmt: skip
        return load_kg


def _why_no_load(noted: str) -> str:
    """Say what a row without a load lacks, by what its short form shows."""
    text = plain(noted)
    if re.fullmatch(r"\d+(?:[.,]\d+)?", text):
        return f"{text!r} is one number, a load or reps; write both, such as 100x5."
    pair = re.fullmatch(r"(\d{2,3}(?:[.,]\d+)?) ?/ ?(\d{1,2})", text)
    if pair:
        return (
            f"{text!r} can be load and reps, or the reps of two sides; write "
            f"{pair.group(1)}x{pair.group(2)}, or the load too."
        )
    return "The row has no load; write it like 102.5, or 0 or BW for body mass alone."
