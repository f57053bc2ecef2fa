"""The map of columns that a user gives, and the one that is saved from what was recognised."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

from plateline.errors import InputFileError, UnknownNameError
from plateline.log.column_places import Columns
from plateline.log.headers import Header, known_columns

__all__ = ["ColumnMap", "columns_toml", "read_column_map"]


ColumnMap = Mapping[str, str | int | Sequence[str | int]]


def read_column_map(source: ColumnMap | Path | str | None) -> dict[str, list[str | int]]:
    """Return a column map as contract column -> headers (or positions from 1).

    Raises
    ------
    InputFileError
        When the TOML file cannot be read.
    UnknownNameError
        When it names a column that the kit does not have.
    """
    if source is None:
        return {}
    if isinstance(source, Path | str):
        path = Path(source)
        try:
            with path.open("rb") as file:
                loaded = tomllib.load(file)
        except OSError as fault:
            raise InputFileError(f"{path} cannot be read: {fault.strerror}.") from fault
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
            raise InputFileError(
                f'{path} is not TOML ({fault}); write lines such as load = "Gewicht (kg)".'
            ) from fault
        source = loaded.get("columns", loaded)
        if not isinstance(source, Mapping):
            raise InputFileError(
                f'{path}: [columns] must hold lines such as load = "Gewicht (kg)".'
            )
    known = [c for c in known_columns() if c != "ignored"]
    found: dict[str, list[str | int]] = {}
    for column, headers in source.items():
        if column not in known:
            raise UnknownNameError.among("column", column, known)
        listed = [headers] if isinstance(headers, str | int) else list(headers)
        if not all(isinstance(h, str | int) for h in listed):
            raise InputFileError(
                f"The column map says {column} = {headers!r}; it must be a header, a number or a list."
            )
        found[column] = listed
    return found


def columns_toml(table_headers: Sequence[Header], columns: Columns) -> str:
    """Return what was recognised as a TOML file for `--columns`."""
    import json

    lines = [
        "# What each column of the log is: contract column = header in the log.",
        '# A list names one header for every set of a wide log; "" leaves a column out.',
        "",
        "[columns]",
    ]

    def shown(position: int) -> str:
        text = table_headers[position].text
        joined = sum(h.text == text for h in table_headers) > 1 or not text
        return str(position + 1) if joined else json.dumps(text, ensure_ascii=False)

    for column, positions in columns.single.items():
        lines.append(f"{column} = {shown(positions[0])}")
    if not any(s.fixed for s in columns.sets):
        for column in dict.fromkeys(c for s in columns.sets for c in s.places):
            listed = [shown(s.places[column]) for s in columns.sets if column in s.places]
            lines.append(f"{column} = [{', '.join(listed)}]")
    return "\n".join(lines) + "\n"
