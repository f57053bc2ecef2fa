"""A logbook that can be shared: no names, no notes, no words of anyone's own, no true dates.

Client ids become keyed hashes (HMAC-SHA-256, RFC 2104): without the key nobody can make the
hash of a guessed id and compare. Every client's dates move by one constant of whole weeks, so
weekdays and distances stay and calendar dates do not. Exercises become the catalogue's names,
or a keyed hash where the catalogue has none. What the study does not need is dropped.

Where it misleads: this is pseudonymous, not anonymous. Loads and rhythms of training are a
fingerprint to whoever holds the same log from elsewhere.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from plateline.errors import InputFileError
from plateline.words import CHECKINS, CLIENTS, PLAN, REJECTED, conform

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["pseudonymous", "read_key"]

KEY_BYTES = 32
FEWEST_KEY_BYTES = 16
WIDEST_SHIFT_WEEKS = 104
LETTERS = 12
"""Hexadecimal letters kept of a hash: 48 bits, two in a million clients alike once in 500 logs."""


def read_key(path: Path | None) -> bytes:
    """Return the key in a file, or a fresh one that is forgotten after the run.

    Raises
    ------
    InputFileError
        When the file cannot be read or holds fewer than 16 bytes.
    """
    if path is None:
        return secrets.token_bytes(KEY_BYTES)
    try:
        key = path.read_bytes().strip()
    except OSError as fault:
        raise InputFileError(f"The key file {path} cannot be read: {fault.strerror}.") from None
    if len(key) < FEWEST_KEY_BYTES:
        raise InputFileError(
            f"The key file {path} holds {len(key)} bytes; a key needs {FEWEST_KEY_BYTES} or more, "
            "chosen at random and kept apart from the shared files."
        )
    return key


def pseudonymous(logbook: Logbook, key: bytes) -> Logbook:
    """Return the logbook with pseudonyms; nothing of the original text is left in it.

    Same logbook and key, same pseudonyms; another key, others.
    """
    who = _clients(logbook, key)
    labels = _labels(logbook, key)
    nothing = pl.lit(None)
    sets = _renamed(logbook.sets, who, labels).with_columns(
        session=nothing, superset=nothing, note=nothing, flag=nothing, side=nothing,
        source_file=pl.lit("log"), source_line=pl.lit(None, pl.Int64),
    )  # fmt: skip
    clients = _renamed(logbook.clients, who).with_columns(
        name=nothing, sex=nothing, birth_year=nothing, goal=nothing, equipment=nothing
    )
    checkins = _renamed(logbook.checkins, who).with_columns(
        pl.lit(None).alias(name)
        for name in CHECKINS
        if name not in ("client", "date", "body_mass_kg")
    )
    plan = _renamed(logbook.plan, who, labels, date="start").with_columns(
        block=nothing, session=nothing, superset=nothing, role=nothing
    )
    names = (
        labels.join(who.select("client", "pseudonym"), on="client", how="left")
        .select(
            client="pseudonym", name="label", exercise="label", catalogue="catalogue",
            how=nothing, score=nothing, suggestion=nothing, rows=pl.lit(None, pl.Int64),
        )
        .unique(maintain_order=True)
    )  # fmt: skip
    return replace(
        logbook,
        sets=conform(sets, dict(logbook.sets.schema)).sort(
            "client", "date", "exercise", "set_order", maintain_order=True
        ),
        clients=conform(clients, CLIENTS).sort("client"),
        checkins=conform(checkins, CHECKINS).sort("client", "date"),
        plan=conform(plan, PLAN).sort("client", "start"),
        names=names,
        rejected=pl.DataFrame(schema=REJECTED),
        account={},
        inputs=(),
    )


def _hash(key: bytes, what: str, text: str) -> str:
    message = f"{what}\0{text}".encode()
    return hmac.new(key, message, hashlib.sha256).hexdigest()


def _clients(logbook: Logbook, key: bytes) -> pl.DataFrame:
    """Return `client, pseudonym, days`: the new id and the shift of dates of each client."""
    ids = pl.concat(
        [frame.select("client") for frame in (logbook.sets, logbook.clients, logbook.checkins, logbook.plan)]
    )["client"].drop_nulls().unique().sort()  # fmt: skip
    shifts = []
    for client in ids:
        weeks = int(_hash(key, "shift", client)[:8], 16) % WIDEST_SHIFT_WEEKS + 1
        shifts.append(-7 * weeks)
    return pl.DataFrame(
        {
            "client": ids,
            "pseudonym": [f"p-{_hash(key, 'client', c)[:LETTERS]}" for c in ids],
            "days": shifts,
        },
        schema={"client": pl.String, "pseudonym": pl.String, "days": pl.Int64},
    )


def _labels(logbook: Logbook, key: bytes) -> pl.DataFrame:
    """Return `client, exercise, catalogue, label`; two variants of one entry stay two lifts."""
    seen = pl.concat(
        [logbook.sets.select("client", "exercise"), logbook.plan.select("client", "exercise")]
    ).unique(maintain_order=True)  # fmt: skip
    shipped = _shipped_names()
    known = (
        logbook.names.select("client", "exercise", "catalogue")
        .with_columns(
            # a user's own exercises file may name an entry in words of their own
            catalogue=pl.when(pl.col("catalogue").is_in(shipped)).then("catalogue")
        )
        .unique(["client", "exercise"], keep="first", maintain_order=True)
    )
    joined = seen.join(known, on=["client", "exercise"], how="left").sort("client", "exercise")
    hashes = pl.Series(
        [f"exercise {_hash(key, 'exercise', e.casefold())[:LETTERS]}" for e in joined["exercise"]],
        dtype=pl.String,
    )
    base = pl.col("catalogue").fill_null(hashes)
    place = pl.int_range(pl.len()).over("client", base.alias("base"))
    return joined.with_columns(
        label=pl.when(place == 0).then(base).otherwise(pl.format("{}, variant {}", base, place + 1))
    )


def _shipped_names() -> list[str]:
    from plateline.exercises import load_catalogue

    return load_catalogue()["exercise"].to_list()


def _renamed(
    frame: pl.DataFrame,
    who: pl.DataFrame,
    labels: pl.DataFrame | None = None,
    date: str = "date",
) -> pl.DataFrame:
    """Replace client ids and exercises, and move dates."""
    if labels is not None:
        frame = frame.join(
            labels.select("client", "exercise", "label"), on=["client", "exercise"],
            how="left", maintain_order="left",
        ).with_columns(exercise="label").drop("label")  # fmt: skip
    frame = frame.join(who, on="client", how="left", maintain_order="left").with_columns(
        client="pseudonym"
    )
    if date in frame.columns:
        frame = frame.with_columns(pl.col(date) + pl.duration(days=pl.col("days")))
    return frame.drop("pseudonym", "days")
