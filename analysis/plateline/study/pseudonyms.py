"""A logbook that can be shared: no names, no notes, no words of anyone's own, no true dates.

Client ids become keyed hashes (HMAC-SHA-256, RFC 2104): without the key nobody can make the
hash of a guessed id and compare. Every client's dates move by one constant of whole weeks, so
weekdays and distances stay and calendar dates do not. Exercises become the names of the
catalogue that ships, or a keyed hash where it has none; of a variant's own words only the kind of
equipment and one-sidedness are kept, for they change what a load means. What the study does not
need is dropped, a user's own exercises file too.

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
from plateline.exercises import annotate, load_catalogue
from plateline.exercises.catalogue import EQUIPMENT, LATERALITIES
from plateline.strength.curves import curve_class
from plateline.words import CATALOGUE, CHECKINS, CLIENTS, PLAN, REJECTED, conform

if TYPE_CHECKING:
    from plateline.exercises import Logbook

__all__ = ["last_dates_of", "pseudonymous", "read_key"]

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
            client="pseudonym", name="label", exercise="label", catalogue="entry",
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
        catalogue=_catalogue(labels),
        rejected=pl.DataFrame(schema=REJECTED),
        account={},
        inputs=(),
    )


def last_dates_of(logbook: Logbook, key: bytes) -> pl.DataFrame:
    """Return `client, last_date`: pseudonyms, and when each logged last by the true calendar.

    For the study alone, which needs to know who had stopped logging before the others; it
    keeps the number of those and not the dates.
    """
    last = logbook.sets.group_by("client").agg(last_date=pl.col("date").max())
    return last.join(_clients(logbook, key), on="client").select(
        client="pseudonym", last_date="last_date"
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
    """Return a row per client and exercise with its new `label` and what decides its loads.

    Columns: `client, exercise, entry` (the catalogue's, a hash where it is the user's own, null
    where there is none), `label, equipment, laterality, body_mass_share`. Two variants of one
    entry stay two lifts.
    """
    seen = pl.concat(
        [logbook.sets.select("client", "exercise"), logbook.plan.select("client", "exercise")]
    ).unique(maintain_order=True)  # fmt: skip
    known = logbook.names.select("client", "exercise", "catalogue").unique(
        ["client", "exercise"], keep="first", maintain_order=True
    )
    joined = (
        seen.join(known, on=["client", "exercise"], how="left")
        .join(_facts(logbook, seen["exercise"]), on="exercise", how="left")
        .sort("client", "exercise")
    )
    shipped = set(load_catalogue()["exercise"])

    def hashed(name: str) -> str:
        return f"exercise {_hash(key, 'exercise', name.casefold())[:LETTERS]}"

    entry = pl.Series(
        "entry",
        [n if n is None or n in shipped else hashed(n) for n in joined["catalogue"]],
        dtype=pl.String,
    )
    own = pl.Series([hashed(name) for name in joined["exercise"]], dtype=pl.String)
    joined = joined.with_columns(entry, base=entry.fill_null(own)).with_columns(
        base=pl.concat_str("base", "said", separator=", ", ignore_nulls=True)
    )
    place = pl.int_range(pl.len()).over("client", "base")
    label = pl.when(place == 0).then("base")
    return joined.with_columns(
        label=label.otherwise(pl.format("{}, variant {}", "base", place + 1))
    ).drop("base", "said", "catalogue")


def _facts(logbook: Logbook, exercises: pl.Series) -> pl.DataFrame:
    """Return what the catalogue says of exercises, in words of the kit alone.

    `said` is what an exercise's own words change: its equipment, or that one side works.
    """
    about = annotate(exercises.unique().sort(), logbook.catalogue).select(
        "exercise", entry="catalogue", equipment=_in_our_words("equipment", EQUIPMENT),
        laterality=_in_our_words("laterality", LATERALITIES), body_mass_share="body_mass_share",
    )  # fmt: skip
    usual = logbook.catalogue.select(
        entry="exercise", usual_equipment=_in_our_words("equipment", EQUIPMENT),
        usual_laterality=_in_our_words("laterality", LATERALITIES),
    )  # fmt: skip
    changed = [
        pl.when(pl.col(name).ne_missing(pl.col(f"usual_{name}"))).then(pl.col(name))
        for name in ("equipment", "laterality")
    ]
    said = pl.concat_str(changed, separator=", ", ignore_nulls=True)
    return about.join(usual, on="entry", how="left", maintain_order="left").select(
        "exercise", "equipment", "laterality", "body_mass_share",
        said=pl.when(said != "").then(said),
    )  # fmt: skip


def _in_our_words(column: str, words: tuple[str, ...]) -> pl.Expr:
    """Keep a word of the kit's own; a user's word for equipment only as what it does to loads."""
    value = pl.col(column)
    kept = pl.when(value.is_in(words)).then(value)
    if column != "equipment":
        return kept
    return kept.when(curve_class(value) == "machine").then(pl.lit("machine"))


def _catalogue(labels: pl.DataFrame) -> pl.DataFrame:
    """Return a catalogue of the labels alone, so that every one is read as what it was."""
    shipped = load_catalogue().select(
        "direct", "indirect", "pattern", "position", "load_step_kg", entry="exercise"
    )
    frame = (
        labels.unique("label", maintain_order=True)
        .sort("label")
        .join(shipped, on="entry", how="left", maintain_order="left")
        .with_columns(exercise="label", own=pl.concat_list("label"))
    )
    missing = [name for name in CATALOGUE if name not in frame.columns]
    filled = frame.with_columns(pl.lit(None).alias(name) for name in missing).with_columns(
        pl.col(name).fill_null([]) for name in ("direct", "indirect", "aliases", "substitutes")
    )
    return conform(filled, CATALOGUE | {"own": pl.List(pl.String)})


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
