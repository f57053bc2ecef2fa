"""The careful way in: a table or a note to drafts, and the drafts to the part of its file."""

from __future__ import annotations

from pathlib import Path

from plateline.log.column_map import columns_toml
from plateline.log.headless import name_by_content, name_by_number
from plateline.log.options import Options
from plateline.log.part import Part
from plateline.log.reading_note import drafted_note
from plateline.log.reading_table import drafted_table
from plateline.log.settle_part import settled_part
from plateline.log.table import Table

__all__ = ["read_part"]


def read_part(
    table: Table,
    options: Options,
    path: Path,
    *,
    is_excerpt: bool = False,
    names_clients: bool = False,
) -> Part:
    """Read a table, or a note where the file has no header.

    Parameters
    ----------
    table
        The rows of the file.
    options
        What the person said beside it.
    path
        The file, whose name may hold the day.
    is_excerpt
        Whether the rows are not all of the file's, so that no value is carried down from one to
        the next.
    names_clients
        Whether rows of the file besides these name a client.

    Raises
    ------
    MissingColumnError
        When a needed column is in no form there.
    InputFileError
        When the file is neither a table nor a note of sets.
    AmbiguousDateError
        When nothing settles day and month.
    """
    if not table.headers and options.columns:
        name_by_number(table, options.columns)
    elif not table.headers:
        name_by_content(table)
    drafted = (
        drafted_table(table, options.columns, path, is_excerpt=is_excerpt)
        if table.headers
        else drafted_note(table)
    )
    part = settled_part(
        table.name, drafted, options, is_excerpt=is_excerpt, names_clients=names_clients
    )
    if table.headers:
        part.columns_toml = columns_toml(table.headers, drafted.columns)
    return part
