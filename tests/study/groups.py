"""Small simulated groups and logbooks that several tests of the study share."""

from __future__ import annotations

from functools import cache

import polars as pl

from plateline.exercises import annotate, load_catalogue
from plateline.exercises.logbook import Logbook
from plateline.study.cohort import SEPARATE_RANGES, Cohort, simulate_cohort, zone_effect
from plateline.study.study import Study, run_study
from plateline.words import CHECKINS, PLAN, REJECTED


@cache
def cohort(
    heavy: float = 0.0, long: float = 0.0, *, lifters: int = 80, confounding: float = 1.0,
    switch_share: float = 0.5, seed: int = 3,
) -> Cohort:  # fmt: skip
    """Return a cohort whose true differences from 6-12 reps are `heavy` and `long`, % a week."""
    return simulate_cohort(
        lifters, effect=zone_effect(heavy, long), confounding=confounding,
        switch_share=switch_share, ranges=SEPARATE_RANGES, seed=seed,
    )  # fmt: skip


def logbook(made: Cohort) -> Logbook:
    """Return a cohort as the logbook that reading its files would give."""
    catalogue = load_catalogue()
    about = annotate(made.sets["exercise"].unique().sort(), catalogue)
    names = (
        made.sets.select("client", "exercise")
        .unique(maintain_order=True)
        .join(about.select("exercise", "catalogue"), on="exercise", how="left")
    )
    empty = {what: pl.DataFrame(schema=what_schema) for what, what_schema in
             (("checkins", CHECKINS), ("plan", PLAN), ("rejected", REJECTED))}  # fmt: skip
    return Logbook(
        sets=made.sets, clients=made.clients, catalogue=catalogue, names=names, account={}, **empty
    )


@cache
def studied(heavy: float = 0.2, long: float = -0.2, *, lifters: int = 80) -> Study:
    """Return the study of a cohort, made once however many tests look at it."""
    return run_study(logbook(cohort(heavy, long, lifters=lifters)))
