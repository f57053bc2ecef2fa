"""Hooper index and body mass."""

from __future__ import annotations

import numpy as np
import polars as pl
import pytest
from tests.load.rows import day

from plateline.errors import MissingColumnError
from plateline.fatigue import AIMS_PCT_WEEK, body_mass_trend, hooper
from plateline.fatigue.intervals import t_90


def rated(*ratings: tuple, client: str = "ann") -> pl.DataFrame:
    names = ("sleep", "stress", "fatigue", "soreness")
    return pl.DataFrame(
        [
            {"client": client, "date": day(n), **dict(zip(names, row, strict=True))}
            for n, row in enumerate(ratings)
        ],
        schema_overrides=dict.fromkeys(names, pl.Float64),
        infer_schema_length=None,
    )


def weighed(masses: dict[int, float], client: str = "ann") -> pl.DataFrame:
    return pl.DataFrame(
        {
            "client": [client] * len(masses),
            "date": [day(n) for n in masses],
            "body_mass_kg": list(masses.values()),
        }
    )


class TestHooper:
    def test_four_ratings_add_up(self):
        """Hooper & Mackinnon 1995 (Sports Med 20:321-327): 3 + 2 + 4 + 3 = 12."""
        assert hooper(rated((3, 2, 4, 3)))["hooper_index"].item() == 12.0

    def test_the_range_is_4_to_28(self):
        assert hooper(rated((1, 1, 1, 1), (7, 7, 7, 7)))["hooper_index"].to_list() == [4.0, 28.0]

    @pytest.mark.parametrize("bad", [None, 0, 8, 3.5])
    def test_a_missing_item_makes_no_smaller_index(self, bad):
        row = hooper(rated((3, bad, 4, 3))).row(0, named=True)
        if bad == 3.5:
            assert row["hooper_index"] == 13.5
        else:
            assert row["hooper_index"] is None
            assert row["items"] == 3
            assert row["reason"] == "not rated from 1 to 7: stress"

    def test_usual_is_ones_own_past(self):
        table = hooper(rated(*[(3, 2, 4, 3)] * 5, (7, 7, 7, 7)))
        assert table["usual_index"].to_list() == [None] * 4 + [12.0, 12.0]
        assert table["usual_sd"][5] == 0.0

    def test_rows_without_ratings_are_gaps(self):
        assert hooper(weighed({0: 80.0})).is_empty()
        assert hooper(None).is_empty()

    def test_a_frame_without_clients_is_refused(self):
        with pytest.raises(MissingColumnError, match="check-ins have no column 'client'"):
            hooper(rated((1, 1, 1, 1)).drop("client"))


class TestBodyMass:
    def test_a_steady_loss_is_found_to_the_digit(self):
        weekly = 0.99
        masses = {n: 80 * weekly ** (n / 7) for n in range(0, 29, 2)}
        row = body_mass_trend(weighed(masses)).row(-1, named=True)
        assert row["slope_pct_week"] == pytest.approx(100 * np.log(weekly), rel=1e-6)
        assert row["slope_low"] == pytest.approx(row["slope_high"], abs=1e-6)

    def test_the_interval_is_that_of_least_squares(self):
        from scipy.stats import linregress, t

        chance = np.random.default_rng(7)
        numbers = np.array([0, 3, 5, 9, 12, 16, 20, 25])
        masses = 80 + chance.normal(0, 0.6, numbers.size)
        row = body_mass_trend(weighed(dict(zip(numbers.tolist(), masses, strict=True)))).row(
            -1, named=True
        )
        fit = linregress(numbers / 7, 100 * np.log(masses))
        half = t.ppf(0.95, numbers.size - 2) * fit.stderr
        assert row["slope_pct_week"] == pytest.approx(fit.slope, rel=1e-9)
        assert row["slope_high"] - row["slope_pct_week"] == pytest.approx(half, rel=1e-3)

    @pytest.mark.parametrize("degrees", [1, 2, 3, 4, 7, 15, 40, 300])
    def test_points_of_students_t(self, degrees):
        from scipy.stats import t

        found = pl.DataFrame({"n": [degrees]}).select(t_90(pl.col("n"))).item()
        assert found == pytest.approx(t.ppf(0.95, degrees), abs=0.01)

    @pytest.mark.parametrize(
        ("phase", "weekly_pct", "verdict"),
        [
            ("lose", -0.7, "within"),
            ("lose", -1.5, "faster"),
            ("lose", -0.2, "slower"),
            ("lose", 0.4, "other way"),
            ("gain", 0.3, "within"),
            ("gain", 0.9, "faster"),
            ("gain", 0.1, "slower"),
            ("gain", -0.3, "other way"),
            ("hold", 0.0, "within"),
            ("hold", 0.6, "gaining"),
            ("hold", -0.6, "losing"),
        ],
    )
    def test_against_the_aim(self, phase, weekly_pct, verdict):
        masses = {n: 80 * np.exp(weekly_pct / 100 * n / 7) for n in range(0, 29, 3)}
        clients = pl.DataFrame({"client": ["ann"], "phase": [phase]})
        row = body_mass_trend(weighed(masses), clients).row(-1, named=True)
        assert row["against_aim"] == verdict
        assert (row["aim_low_pct_week"], row["aim_high_pct_week"]) == AIMS_PCT_WEEK[phase]

    def test_the_phase_of_now_is_not_held_against_long_ago(self):
        masses = {n: 80 - 0.1 * n for n in range(0, 80, 3)}
        clients = pl.DataFrame({"client": ["ann"], "phase": ["lose"]})
        table = body_mass_trend(weighed(masses), clients).drop_nulls("slope_pct_week")
        assert table["against_aim"][0] is None
        assert "last four weeks" in table["reason"][0]
        assert table["against_aim"][-1] is not None

    def test_three_weighings_are_too_few(self):
        row = body_mass_trend(weighed({0: 80.0, 7: 79.5, 14: 79.0})).row(-1, named=True)
        assert row["slope_pct_week"] is None
        assert "fewer than 4 weighings" in row["reason"]

    def test_smoothing_knows_of_gaps(self):
        row = body_mass_trend(weighed({0: 80.0, 5: 82.0})).row(-1, named=True)
        assert row["smoothed_kg"] == pytest.approx(81.0)  # one half-life later

    def test_nothing_gives_an_empty_table(self):
        assert body_mass_trend(None).is_empty()
        assert body_mass_trend(rated((1, 1, 1, 1))).is_empty()


def _weighed(masses: list[float]):
    days = [day(number) for number in range(len(masses))]
    frame = pl.DataFrame({"client": "ann", "date": days, "body_mass_kg": masses})
    return body_mass_trend(frame).row(-1, named=True)


def test_the_level_does_not_trail_a_steady_fall_as_an_average_does():
    row = _weighed([80.0 * 0.99 ** (number / 7) for number in range(42)])
    assert row["level_kg"] == pytest.approx(row["body_mass_kg"], rel=1e-6)
    assert row["smoothed_kg"] > row["body_mass_kg"] + 0.5


def test_with_few_weighings_the_level_is_the_average():
    row = _weighed([80.0, 81.0])
    assert row["level_kg"] == row["smoothed_kg"]
