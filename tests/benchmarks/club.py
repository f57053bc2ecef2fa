"""A club of any size for benchmarks: the demo club's logbook, its clients many times over."""

from __future__ import annotations

from pathlib import Path

import polars as pl

from plateline.places import data_demo

__all__ = ["write_club", "write_store"]

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


def write_store(folder: Path, clients: int) -> Path:
    """Write the same club as a partitioned logbook; return its folder."""
    from plateline.log import add_to_logbook, client_folder, read_intake

    kinds = folder.with_name(f"{folder.name}-kinds")
    add_to_logbook(read_intake([data_demo() / "log.csv"]), kinds)
    files = sorted(kinds.glob("*/*.parquet"))
    frames = [pl.read_parquet(file, hive_partitioning=False) for file in files]
    for number in range(clients):
        file, frame = files[number % len(files)], frames[number % len(files)]
        client = f"{frame['client'][0]}-{number:06}"
        place = folder / client_folder(client)
        place.mkdir(parents=True)
        frame.with_columns(client=pl.lit(client)).write_parquet(place / file.name)
    return folder
