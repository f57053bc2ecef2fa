"""Room `load`: what was lifted, where it lands and whether it was what was planned.

Every function takes the clean table (SETS: Polars eager or lazy, pandas, Arrow) of any number
of clients at once and returns a Polars frame. Loads are kg, weeks are ISO weeks named by their
Monday. What is unknown is null, and `reason` says why; a zero is a zero.

Words that recur
----------------
- `rows`: rows of the clean table. `sets`: the same, a row of one side (`left`, `right`)
  counting a half, so that a left and a right set are one. `working_sets`: without warm-ups.
  `hard_sets`: not a warm-up and within 4 RIR, or without RIR.
- `reps`: all reps as logged. `volume_load_kg`: sum of reps x `load_kg`, warm-ups too,
  assistance adding nothing. `working_volume_load_kg`: without warm-ups.
- `moved_kg`: sum of reps x what is really moved: both dumbbells, both sides, and the moved
  share of body mass (assistance taken off). Null where body mass is needed and not known.
- `mean_load_kg`: volume-load over reps. `top_load_kg`: heaviest working load.
- `best_e1rm_kg`: best e1RM of the period, by the rules of `strength.lift_records` (so the best of
  all periods is the record): Epley from reps and RIR as logged (0 where not) of sets with at most
  12 reps to failure, no drop sets, none with a `flag`; body mass and the dumbbells beside it are
  one load. `reference_e1rm_kg`: the best of the 28 days that end with the period (of the whole
  block in `block_load`). `load_share`: mean over working sets of load (with body mass) over it.
- `mean_rir`, `rir_known_share`: of working sets.
- `is_partial`: the first or last period of a client's log, covered only in part.

Tables
------
- `weekly_load(sets, *, catalogue, checkins)`: client, week, exercise, rows, sets,
  working_sets, hard_sets, reps, volume_load_kg, working_volume_load_kg, moved_kg,
  mean_load_kg, top_load_kg, best_e1rm_kg, reference_e1rm_kg, load_share, mean_rir,
  rir_known_share, sessions, is_partial, reason
- `monthly_load(...)`: the same with month (its first day) for week
- `block_load(sets, plan, ...)`: the same with block, start, end for week
- `session_load(sets, *, catalogue, checkins)`: client, date, session, exercises, rows, sets,
  working_sets, hard_sets, reps, volume_load_kg, working_volume_load_kg, moved_kg,
  mean_load_kg, top_load_kg, mean_rir, rir_known_share, duration_min, density_kg_min,
  session_rpe_load, reason
- `weekly_muscles(sets, *, catalogue)`: client, week, muscle, direct_sets, indirect_sets,
  hard_sets (direct + 0.5 indirect), all_sets (direct + indirect), direct_reps,
  direct_volume_load_kg, sessions, exercises, is_partial, reason
- `weekly_positions(sets, *, catalogue)`: client, week, muscle, position, then as weekly_muscles
- `weekly_patterns(sets, *, catalogue)`: client, week, pattern, sets, hard_sets, reps,
  volume_load_kg, sessions, exercises, is_partial, reason
- `load_by(sets, by, per, *, plan, catalogue)`: client, per (`session`, `week`, `month`, `block`),
  start, end, label, by (`exercise`, `muscle`, `pattern`, `position`), name, direct_sets,
  indirect_sets, hard_sets, all_sets, direct_reps, direct_volume_load_kg, days, exercises,
  is_partial, reason
- `weekly_tables(sets, *, catalogue, checkins, zones, efforts, bands)`: the weekly tables by name;
  `write_weekly_tables(sets, folder, ...)` writes them as Parquet, for logs beyond memory
- `rep_zones(sets, *, zones)`: client, week, exercise, zone, zone_order, sets, share, is_partial
- `effort(sets, *, bands)`: client, week, exercise, effort, effort_order, sets, share, is_partial
- `intensity(sets, *, catalogue, checkins, bands)`: client, week, exercise, band, band_order,
  sets, share, is_partial, reason
- `frequency(sets, *, catalogue)`: client, what (`exercise`, `muscle`, `pattern`, `all`), name,
  weeks, weeks_trained, sessions, sessions_week, median_days_between, last_date, reason
- `roles(sets, plan, *, catalogue)`: client, exercise, role, how (`plan`, `inferred`), sessions,
  usual_reps, top_back_off_share, superset_share, reason
- `supersets(sets)`: client, date, session, superset, how (`label`, `order`), exercises (list),
  rounds, sets (a left and a right row are one), reps_first_round, reps_last_round, reps_held,
  reason
- `adherence(sets, plan, *, catalogue, as_of)`: client, block, week (first day of the plan week),
  session, exercise, role, set_kind, status (`done`, `part`, `missed`, `swapped`, `added`),
  swapped_for, sets_planned, sets_done, reps_low, reps_high, sets_in_range, sets_below_range,
  sets_above_range, rir_planned, sets_with_rir, sets_rir_reached, mean_rir, reason
- `adherence_weeks(sets, plan, ...)`: client, block, week, sessions_planned, sessions_done,
  sets_planned, sets_done, sets_swapped, sets_missed, sets_added, reps_in_range_share,
  rir_reached_share, is_partial, reason
- `bouts_of(sets, ...)`: sets summed per lift and session, the step from which the tables are made

All columns with their types: `plateline.load.tables`.
"""

from plateline.load.adherence import adherence, adherence_weeks
from plateline.load.bouts import Bouts, bouts_of
from plateline.load.landing import load_by
from plateline.load.muscles import weekly_muscles, weekly_patterns, weekly_positions
from plateline.load.periods import block_load, monthly_load, session_load, weekly_load
from plateline.load.rhythm import frequency
from plateline.load.roles import roles
from plateline.load.spread import effort, intensity, rep_zones
from plateline.load.supersets import supersets
from plateline.load.weekly import weekly_tables, write_weekly_tables
from plateline.load.zones import EFFORT_BANDS, LOAD_BANDS, REP_RANGES, Band, RepZone

__all__ = [
    "EFFORT_BANDS",
    "LOAD_BANDS",
    "REP_RANGES",
    "Band",
    "Bouts",
    "RepZone",
    "adherence",
    "adherence_weeks",
    "block_load",
    "bouts_of",
    "effort",
    "frequency",
    "intensity",
    "load_by",
    "monthly_load",
    "rep_zones",
    "roles",
    "session_load",
    "supersets",
    "weekly_load",
    "weekly_muscles",
    "weekly_patterns",
    "weekly_positions",
    "weekly_tables",
    "write_weekly_tables",
]
