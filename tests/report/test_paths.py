from __future__ import annotations

import datetime as dt
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plateline.report.paths import page_stem, page_stems

MARCH = dt.date(2026, 3, 1)

# "Naming Files, Paths, and Namespaces", Microsoft Learn: characters and device names that no
# file may have there, alone or before a dot. The same ones are safe to refuse elsewhere.
FORBIDDEN = set('<>:"/\\|?*') | {chr(code) for code in range(32)}
DEVICES = ["con", "PRN", "aux", "nul", "com1", "LPT9"]


@pytest.mark.parametrize("client", ["007", "anna", "C01", "Zoë", "Anna Müller", "a_b-c.d", "李"])
def test_an_ordinary_id_is_the_file_name(client):
    assert page_stem(client, MARCH) == f"{client}-2026-03"


@pytest.mark.parametrize(
    "client",
    ["../../x", "/etc/passwd", "a/b", "a\\b", "..", ".", ".hidden", "x:y", "a*", "<b>", "tab\tid",
     "ends.", "ends ", " begins", "", "nul.txt", "con.x", "CON", "a\u202eb", "x" * 300, "李" * 90, "\ud800"],
)  # fmt: skip
def test_a_risky_id_gets_a_safe_name(client):
    stem = page_stem(client, MARCH)
    assert stem.endswith("-2026-03")
    assert not FORBIDDEN & set(stem)
    assert not stem.startswith((".", "-", " "))
    assert len(stem.encode()) <= 200


def test_what_is_readable_of_an_id_stays_readable():
    assert page_stem("anna/berlin", MARCH).startswith("anna-berlin~")


def test_ids_that_a_file_system_may_confuse_get_names_apart():
    # Case, composed and decomposed letters, and compatibility forms.
    decomposed = unicodedata.normalize("NFD", "Zoë")
    stems = page_stems(["anna", "Anna", "Zoë", decomposed, "bob"], MARCH)
    assert stems["bob"] == "bob-2026-03"
    assert len({unicodedata.normalize("NFKC", s).casefold() for s in stems.values()}) == 5


def test_a_page_is_called_the_same_alone_and_in_a_batch():
    everyone = ["anna", "Anna", "../x", "bob"]
    together = page_stems(everyone, MARCH)
    assert {who: page_stem(who, MARCH, everyone) for who in everyone} == together


@given(st.lists(st.text(max_size=120), max_size=12))
def test_names_are_safe_and_apart_for_any_ids(clients):
    stems = page_stems(clients, MARCH)
    assert set(stems) == set(clients)
    names = list(stems.values())
    assert len({unicodedata.normalize("NFKC", name).casefold() for name in names}) == len(names)
    for name in names:
        assert not FORBIDDEN & set(name)
        assert name.split(".")[0].casefold() not in {device.casefold() for device in DEVICES}
        assert len(f".part-{name}-files".encode()) <= 255
