"""The demo logbook as files: log, clients, check-ins, plan, and the truth beside them."""

from __future__ import annotations

import csv
import io
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from plateline.demo.club import CLUB
from plateline.demo.season import CHECKIN_COLUMNS, LOG_COLUMNS, PLAN_COLUMNS, Season
from plateline.demo.stories import TRUTH_COLUMNS, mishaps, told, truth
from plateline.errors import OutputError

__all__ = ["demo_files", "write_demo"]

KEY = "plateline demo 2"
"""Seed of all chance in the demo. Changing it makes another club of the same stories."""

CLIENT_COLUMNS = (
    "client", "name", "sex", "birth_year", "unit", "phase", "goal", "training_age_years",
    "load_step_kg", "equipment",
)  # fmt: skip


def _csv(columns: tuple[str, ...], rows: Iterable[Mapping[str, str]]) -> bytes:
    """Return rows as CSV bytes that are the same on every system."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


def demo_files() -> dict[str, bytes]:
    """Return the demo logbook as file names and contents, the same bytes every time."""
    seasons = [Season(client, KEY) for client in CLUB]
    log = mishaps([row for season in seasons for row in season.log])
    clients = [
        {
            "client": c.id, "name": c.name, "sex": c.sex, "birth_year": str(c.birth_year),
            "unit": c.unit, "phase": c.phase, "goal": c.goal,
            "training_age_years": str(c.training_age_years),
            "load_step_kg": str(c.load_step_kg), "equipment": ";".join(c.equipment),
        }
        for c in CLUB
    ]  # fmt: skip
    return {
        "log.csv": _csv(LOG_COLUMNS, log),
        "clients.csv": _csv(CLIENT_COLUMNS, clients),
        "checkins.csv": _csv(CHECKIN_COLUMNS, [r for s in seasons for r in s.checkins]),
        "plan.csv": _csv(PLAN_COLUMNS, [r for s in seasons for r in s.plan()]),
        "truth.csv": _csv(TRUTH_COLUMNS, truth(seasons)),
        "README.md": told().encode(),
    }


def write_demo(out: Path) -> list[Path]:
    """Write the demo logbook into a folder; each file is written aside, then put in place.

    Parameters
    ----------
    out
        The folder; it is made where it does not exist.

    Returns
    -------
    list of Path
        The files, in the order of writing.

    Raises
    ------
    OutputError
        When the folder cannot be made or written.
    """
    try:
        out.mkdir(parents=True, exist_ok=True)
        written = []
        for name, content in demo_files().items():
            handle, aside = tempfile.mkstemp(dir=out, prefix=f".{name}.")
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(content)
                Path(aside).chmod(0o644)
                Path(aside).replace(out / name)
            except BaseException:
                Path(aside).unlink(missing_ok=True)
                raise
            written.append(out / name)
    except OSError as refusal:
        raise OutputError(
            f"The demo cannot be written to {out}: {refusal.strerror}; name a folder that can be written with --out."
        ) from refusal
    return written
