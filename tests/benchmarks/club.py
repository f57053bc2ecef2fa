"""A club of any size for benchmarks: the demo club's logbook, its clients many times over."""

from __future__ import annotations

from pathlib import Path

import polars as pl

from plateline.places import data_demo

__all__ = ["write_club"]

FILES = ("clients.csv", "log.csv", "checkins.csv", "plan.csv")


def write_club(folder: Path, clients: int) -> Path:
    """Write a logbook of `clients` clients of nine months each; return its folder.

    Each is one of the demo club's, under another name. Nothing that is computed or made is
    shared between two of the same kind, so the copies cost what others would.
    """
    folder.mkdir(parents=True, exist_ok=True)
    frames = {name: pl.read_csv(data_demo() / name, infer_schema=False) for name in FILES}
    kinds = frames["clients.csv"]["client"].to_list()
    members = pl.DataFrame(
        {
            "client": [kinds[number % len(kinds)] for number in range(clients)],
            "member": [f"{kinds[number % len(kinds)]}-{number:06}" for number in range(clients)],
        }
    )
    for name, frame in frames.items():
        copies = members.join(frame, on="client", maintain_order="left").drop("client")
        copies.rename({"member": "client"}).select(frame.columns).write_csv(folder / name)
    return folder
