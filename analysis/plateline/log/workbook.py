"""Workbooks: every sheet that holds a log, as a table."""

from __future__ import annotations

from pathlib import Path

from plateline.log.table import Table

__all__ = ["read_workbook"]


def read_workbook(path: Path, name: str) -> list[Table]:
    """Read a workbook."""
    raise NotImplementedError
