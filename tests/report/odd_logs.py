"""Logs that are short of nearly everything a report would like to have."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from plateline.exercises import Logbook, read_logbook

HEADER = "client,date,session,exercise,set_order,set_kind,load,unit,reps,rir"


def logbook(folder: Path, rows: list[str], header: str = HEADER, **beside: str) -> Logbook:
    """Write a log (and the files named) into a folder and read it."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "log.csv").write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    for name, text in beside.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return read_logbook(folder, today=dt.date(2026, 12, 31))


def steady(
    client: str, exercise: str = "Bench press", *, sessions: int = 26, rir: str = "1"
) -> list[str]:
    """Return a lift that goes up by half a per cent a week, twice a week until 30 March."""
    last = dt.date(2026, 3, 30)
    rows = []
    for step in range(sessions):
        day = last - dt.timedelta(days=3 * (sessions - 1 - step) + (sessions - 1 - step) // 2)
        load = round(80 * 1.0025**step / 2.5) * 2.5
        rows.append(f'{client},{day},A,"{exercise}",1,top,{load},kg,{8 + step % 2},{rir}')
        rows.append(
            f'{client},{day},A,"{exercise}",2,back-off,{load * 0.8},kg,{16 + step % 2},{rir}'
        )
    return rows
