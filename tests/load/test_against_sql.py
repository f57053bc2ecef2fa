"""The weekly tables written again as SQL, in a general-purpose database, on a simulated log."""

from __future__ import annotations

import duckdb
import polars as pl
import pytest

from plateline.exercises import annotate, load_catalogue
from plateline.fatigue import load_ratios
from plateline.load import weekly_load, weekly_muscles
from plateline.study import simulate_lifters


@pytest.fixture(scope="module")
def log() -> pl.DataFrame:
    sets, _ = simulate_lifters(12, weeks=14, seed=8)
    # Warm-ups, sets without RIR and easy sets, spread over the log.
    place = pl.int_range(pl.len())
    return sets.with_columns(
        set_kind=pl.when(place % 7 == 0)
        .then(pl.lit("warm-up"))
        .otherwise(pl.col("set_kind").cast(pl.String))
        .cast(sets.schema["set_kind"]),
        rir=pl.when(place % 5 == 0).then(None).when(place % 11 == 0).then(6.0).otherwise("rir"),
    )


@pytest.fixture(scope="module")
def database(log):
    with duckdb.connect() as connection:
        connection.register("sets", log.with_columns(pl.col("set_kind").cast(pl.String)).to_arrow())
        facts = annotate(log["exercise"].unique(), load_catalogue())
        counts = pl.concat(
            [
                facts.select("exercise", muscle=pl.col(column), counts=pl.lit(counts))
                .explode("muscle", empty_as_null=True)
                .drop_nulls("muscle")
                for column, counts in (("direct", 1.0), ("indirect", 0.5))
            ]
        )
        connection.register("muscles", counts.to_arrow())
        yield connection


HARD = "set_kind <> 'warm-up' and (rir is null or rir <= 4)"


def asked(database, query: str) -> pl.DataFrame:
    """Run a query and return its rows."""
    return pl.DataFrame(database.sql(query).to_arrow_table())


def test_load_of_lifts_by_week(log, database):
    wanted = asked(
        database,
        f"""
        select client, date_trunc('week', date)::date as week, exercise,
               count(*) as rows,
               count(*) filter ({HARD}) as hard_sets,
               sum(reps) as reps,
               sum(reps * load_kg) as volume_load_kg,
               sum(reps * load_kg) filter (set_kind <> 'warm-up') as working_volume_load_kg,
               sum(reps * load_kg) / sum(reps) as mean_load_kg,
               max(load_kg) filter (set_kind <> 'warm-up') as top_load_kg,
               avg(rir) filter (set_kind <> 'warm-up') as mean_rir,
               count(distinct date) as sessions
        from sets group by all order by all
    """,
    )
    found = weekly_load(log).select(wanted.columns)
    _same(found, wanted, ["client", "week", "exercise"])


def test_hard_sets_of_muscles_by_week(log, database):
    wanted = asked(
        database,
        f"""
        select client, date_trunc('week', date)::date as week, muscle,
               sum(counts) as hard_sets,
               count(*) filter (counts = 1) as direct_sets,
               count(*) filter (counts = 0.5) as indirect_sets,
               count(*) as all_sets,
               count(distinct date) as sessions
        from sets join muscles using (exercise)
        where {HARD} group by all order by all
    """,
    )
    found = weekly_muscles(log).filter(pl.col("all_sets") > 0, pl.col("muscle").is_not_null())
    _same(found.select(wanted.columns), wanted, ["client", "week", "muscle"])


def test_rolling_load_ratios(log, database):
    wanted = asked(
        database,
        """
        with days as (
            select client, unnest(generate_series(min(date), max(date), interval 1 day))::date as date
            from sets group by client
        ), daily as (
            select client, date, coalesce(sum(reps * load_kg), 0) as load
            from days left join sets using (client, date) group by all
        ), ratios as (
            select client, date,
                   avg(load) over acute / nullif(avg(load) over chronic, 0) as ratio_coupled,
                   avg(load) over acute / nullif(avg(load) over before, 0) as ratio_uncoupled,
                   count(*) over chronic as days
            from daily
            window acute as (partition by client order by date rows 6 preceding),
                   chronic as (partition by client order by date rows 27 preceding),
                   before as (partition by client order by date rows between 27 preceding and 7 preceding)
        )
        select client, date, ratio_coupled, ratio_uncoupled from ratios where days = 28
        order by all
    """,
    )
    found = load_ratios(log).drop_nulls("ratio_coupled")
    assert found.height > 50
    both = found.select("client", "date", "ratio_coupled", "ratio_uncoupled").join(
        wanted, on=["client", "date"]
    )
    assert both.height == found.height
    for name in ("ratio_coupled", "ratio_uncoupled"):
        assert (both[name] - both[f"{name}_right"]).abs().max() < 1e-12


def _same(found: pl.DataFrame, wanted: pl.DataFrame, keys: list[str]) -> None:
    found, wanted = found.sort(keys), wanted.sort(keys)
    assert found.select(keys).equals(wanted.select(keys).cast(dict(found.select(keys).schema)))
    for name in wanted.columns:
        if name not in keys:
            distance = (found[name].cast(pl.Float64) - wanted[name].cast(pl.Float64)).abs()
            assert (distance.max() or 0.0) <= 1e-8, name
            assert found[name].null_count() == wanted[name].null_count(), name
