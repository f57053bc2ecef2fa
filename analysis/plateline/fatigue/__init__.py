"""Room `fatigue`: what the work costs, and how ready a client is.

Every function takes the clean table (SETS) of any number of clients at once and returns a
Polars frame. What is unknown is null, and `reason` says why; a zero is a zero. Nothing here
is a risk of injury: show `CRITICISM` beside a load ratio.

Tables
------
- `daily_load(sets, *, checkins)`: client, date, trained, volume_load_kg, hard_sets,
  session_rpe_load; every calendar day, rest days are true zeros
- `load_ratios(sets, checkins)`: client, week, date (the day it is as on), measure
  (`volume-load`, `session RPE`), acute_per_day, chronic_per_day, ratio_coupled,
  ratio_uncoupled, acute_ewma_per_day, chronic_ewma_per_day, ratio_ewma, days_of_log, reason
- `week_change(sets)`: client, week, volume_load_kg, previous_volume_load_kg,
  volume_load_change_pct, hard_sets, previous_hard_sets, hard_sets_change_pct, is_partial,
  reason
- `monotony_strain(sets, checkins, *, sd)`: client, week, measure, week_load, mean_per_day,
  sd_per_day, monotony, strain, is_partial, reason
- `drop_off(sets)`: client, date, session, exercise, side (`left`, `right` or null), superset, load_kg, sets, reps (list),
  first_reps, last_reps, drop_off (1 - mean of later sets over the first), drop_off_to_last,
  reps_lost_per_set, median_rest_s, rir_change, reason
- `back_off_ratio(sets, *, catalogue, checkins, steepness)`: client, date, session, exercise, top_load_kg,
  top_reps, top_rir, back_off_load_kg, back_off_reps, back_off_rir, expected_reps,
  back_off_ratio (1 = as expected of this person), population_ratio, curve, reason
- `performance_ratio(sets, curves)`: client, exercise, week, date, load_ratio,
  performance, performance_ratio (1 = in balance), sessions, reason
- `impulse_response(sets, curves, plan, *, catalogue)`: two frames; per lift: client, exercise, verdict
  (`identifiable`, `not identifiable`, `too few tests`), start_kg, fitness_gain, fatigue_gain,
  fitness_days, fatigue_days, tests, rmse, r_squared, reason; per day: client, exercise, date,
  predicted, low, high, observed
- `hooper(checkins)`: client, date, sleep, stress, fatigue, soreness, items, hooper_index (4-28,
  high is worse), usual_index, usual_sd, reason
- `body_mass_trend(checkins, clients)`: client, date, body_mass_kg, smoothed_kg, level_kg,
  slope_pct_week, slope_low, slope_high, phase, aim_low_pct_week, aim_high_pct_week,
  against_aim (`within`, `faster`, `slower`, `other way`), weighings, reason
- `readiness(sets, checkins, clients)`: client, week, checkins, hooper_index, usual_index,
  sleep_h, energy_kcal, protein_g, protein_g_kg, body_mass_kg, body_mass_pct_week, phase,
  against_aim, load_ratio, is_high_fatigue, is_short_sleep, is_losing_mass, reason
- `explain_month(curves, readiness, month)`: client, exercise, month, month_pct, is_bad_month,
  factor (`losing mass`, `short sleep`, `high fatigue`, `high load`), share_in_month,
  share_before, difference_pct, difference_low, difference_high, sessions_with,
  sessions_without, explains_pct, verdict, reason; association, never cause
- `relative_strength(lift_sessions, checkins, clients, *, catalogue)`: client, exercise, date,
  e1rm_kg, body_mass_kg, per_body_mass, points, event, reason
- `alarm_study(thresholds, *, lifters, seed)`: threshold, fell, warned_share, median_lead_days,
  false_alarms_year, false_alarm_share; what the fatigue/performance ratio is worth
- `federation_points(...)` and `fit_impulse_response(...)`: the same for numbers and arrays

All columns with their types: `plateline.fatigue.tables`.
"""

from plateline.fatigue.balance import HIGH_RATIO, performance_ratio
from plateline.fatigue.checkins import AIMS_PCT_WEEK, body_mass_trend, hooper
from plateline.fatigue.daily import daily_load
from plateline.fatigue.explain import explain_month
from plateline.fatigue.impulse import fit_impulse_response
from plateline.fatigue.monotony import monotony_strain
from plateline.fatigue.overreaching import alarm_study
from plateline.fatigue.ratios import CRITICISM, load_ratios, week_change
from plateline.fatigue.ready import readiness
from plateline.fatigue.relative import federation_points, relative_strength
from plateline.fatigue.responses import impulse_response
from plateline.fatigue.within import back_off_ratio, drop_off

__all__ = [
    "AIMS_PCT_WEEK",
    "CRITICISM",
    "HIGH_RATIO",
    "alarm_study",
    "back_off_ratio",
    "body_mass_trend",
    "daily_load",
    "drop_off",
    "explain_month",
    "federation_points",
    "fit_impulse_response",
    "hooper",
    "impulse_response",
    "load_ratios",
    "monotony_strain",
    "performance_ratio",
    "readiness",
    "relative_strength",
    "week_change",
]
