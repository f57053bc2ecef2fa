"""File names for clients' pages: readable where the id allows it, safe and unique always."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable

__all__ = ["file_names", "page_stem", "page_stems"]

LONGEST_NAME_BYTES = 160
"""Bytes kept of an id. File systems allow 255 for a name (NAME_MAX of POSIX systems), and a
month, a digest, an ending and the mark of an unfinished file stand around it."""

_DIGEST_LETTERS = 10
_PLAIN = re.compile(r"[^\W_](?:[\w .\-]*[\w\-])?")
# Names that Windows keeps for devices, alone or before a dot ("Naming Files, Paths, and
# Namespaces", Microsoft Learn).
_DEVICES = {"con", "prn", "aux", "nul", "conin$", "conout$"} | {
    f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"
}


def page_stem(client: str, month: dt.date, others: Iterable[str] = ()) -> str:
    """Return the file name, without ending, of one client's page among those of `others`."""
    return page_stems({client, *others}, month)[client]


def page_stems(clients: Iterable[str], month: dt.date) -> dict[str, str]:
    """Return a file name without ending for each client: `C-YYYY-MM` for ordinary ids.

    Parameters
    ----------
    clients
        All clients of the log. Two ids that a file system may hold for the same name (`anna`
        and `Anna`) both get a digest behind the name, so a page is called the same whether it
        is made alone or in a batch.
    month
        The month of the pages.

    Returns
    -------
    dict
        Client to name. An id with characters that some file system refuses, with a device's
        name, or too long, gets what is readable of it and a digest of the whole.
    """
    return {client: f"{name}-{month:%Y-%m}" for client, name in file_names(clients).items()}


def file_names(texts: Iterable[str]) -> dict[str, str]:
    """Return a file name without ending for each text, safe and unlike any other's.

    An ordinary text is its own name; see `page_stems`.
    """
    every = sorted(set(texts))
    seen = Counter(_as_on_disk(text) for text in every)
    return {text: _name(text, alone=seen[_as_on_disk(text)] == 1) for text in every}


def _as_on_disk(client: str) -> str:
    """Return what two names share that a file system may take for one."""
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", client).casefold())


def _name(client: str, *, alone: bool) -> str:
    plain = (
        _PLAIN.fullmatch(client)
        and len(client.encode()) <= LONGEST_NAME_BYTES
        and ".." not in client
        and unicodedata.is_normalized("NFC", client)
        and client.split(".")[0].strip().casefold() not in _DEVICES
    )
    if plain and alone:
        return client
    digest = hashlib.blake2b(client.encode("utf-8", "surrogatepass")).hexdigest()[:_DIGEST_LETTERS]
    readable = re.sub(r"[^\w\-]+", "-", unicodedata.normalize("NFC", client)).strip("-_")
    kept = readable.encode()[:LONGEST_NAME_BYTES].decode(errors="ignore")
    return f"{kept or 'client'}~{digest}"
