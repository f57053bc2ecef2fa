"""What nobody has lifted."""

from __future__ import annotations

from plateline.log.limits import heaviest_kg


def test_nobody_lifted_more_than_the_limits() -> None:
    # Best competition marks, from memory: squat 595, bench 635, deadlift 510, snatch 225, jerk 267 kg.
    for lift, best in [
        ("Back squat", 595),
        ("Bankdrücken", 635),
        ("Soulevé de terre", 510),
        ("Snatch", 225),
        ("Clean and jerk", 267),
    ]:
        assert best < heaviest_kg(lift) < 1.2 * best, lift
    assert heaviest_kg("Rack pull") == heaviest_kg("Leg press") > 1000
