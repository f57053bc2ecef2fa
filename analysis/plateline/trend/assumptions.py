"""The trend room's constants: what each means, where it comes from, what it does.

Quantities on the log scale are in % (100 times the natural logarithm). "Insensitive" means
that halving or doubling the value moves no headline figure of the validation by more than
0.005 (area under the curve, Brier score) or 0.1 (% of load).
"""

from __future__ import annotations

from plateline.trend.reliability import smallest_worthwhile_change

OWN_VARIATION_PCT = 2.1
"""Coefficient of variation of a measured squat maximum (Banyard et al. 2017)."""

SMALLEST_CHANGE_PCT = smallest_worthwhile_change(OWN_VARIATION_PCT)
"""Smallest worthwhile change: 0.63 %."""

SMALLEST_CHANGE_WEEKS = 6.0
"""A lift that needs longer than this for the smallest worthwhile change counts as a plateau:
a coach's block of training (common practice, no source)."""

THRESHOLD_PCT_WEEK = SMALLEST_CHANGE_PCT / SMALLEST_CHANGE_WEEKS
"""Progressing above, declining below minus this: 0.105 % a week, 0.45 % a month."""

SETTLED_WEEKS = 2
"""A change of regime younger than this is not looked for: one or two bad sessions are no
plateau. Detection is not delayed in practice, as two weeks never suffice to see one."""

NAMED_FROM = 0.55
"""Probability from which a state is named; below it the lift is `unclear`."""

FEW_SESSIONS = 4
"""Fewer sessions than this, or less than `FEW_DAYS` days of them, never name a state."""
FEW_DAYS = 21

MAX_WEEKS = 60
"""How far back a state looks: a little more than a year, so that seasons are seen whole."""

# What a day can say
DAY_SD_PCT = 1.8
"""Variation from day to day beyond the errors of the sets; only its size against those
errors matters, as each lift's noise is measured. Insensitive. (Banyard et al. 2017: 2.1 %.)"""
LATER_SET_SD_PCT = 1.0
"""Unknown fatigue of each further set of a day. Insensitive."""
SHARED_SET_ERROR = 0.3
"""Share of the error variance that a day's sets have in common. Insensitive."""
FATIGUE_SD_PCT = 1.0
"""Unknown constant fatigue from set to set, where the sets of a day teach a rep curve."""
SLIP_PCT = 10.0
SLIP_SDS = 4.5
SLIP_SCATTER = 6.0
"""A set this far from its neighbours and from the rest of its day, in %, in standard deviations
and in median deviations of its neighbourhood, is a typing error. Two and a half repetitions of
eight are 8 %."""
SLIP_NEIGHBOURS = 9
"""Sets to each side that a doubtful set is set against: two to four sessions."""
SLIP_STEP_PCT = 7.0
"""Sets closer than this to both sets beside them are not looked at: a matter of speed alone."""
TAIL_FREEDOM = 10.0
"""Degrees of freedom of the Student t that residuals are weighted by (Lange, Little & Taylor
1989, J Am Stat Assoc 84:881-896, who fix 4). With typing errors and easy days left out, 4 takes
real corners of rarely trained lifts for outliers; 8 to 15 do equally well."""
ODD_SESSION_PCT = 8.0
ODD_SESSION_SDS = 4.5
"""A session this far from its neighbours, in % and in standard deviations, is a light day or
a typing error and is no evidence."""
GROSS_PCT = 15.0
"""A session this far from its neighbours' median is left out when noise is measured."""
CLIMB_PCT_WEEK = 2.0
"""Slopes beyond this, over half a dozen weeks, are a beginner's (or a relearned lift's): sessions
are compared after what is beyond it has been taken off. Four times a usual progress; no ordinary
lift of the validation is touched."""
CLIMB_SESSIONS = 5
CLIMB_DAYS = 14
"""A climb is seen over at least so many sessions and days."""
SMALL_STEP_PCT = 3.0
SMALL_STEP_SDS = 2.0
"""Loads that differ by less from a lift's usual intensity, in % and in standard deviations (a
plate, a good day), do not count as another intensity; from twice this on they count in full.
Three repetitions are 7 %."""
ANSWERED = 2.0
"""Repetitions that answer half of a change of load, or more, answer it in full."""
SHARED_DAY_CAP_PCT = 1.0
"""Most that is taken for a day's readiness shared by all lifts of a client. Without the cap a
client's light days and changes of rep range leak from lift to lift; with it the gain is
small (0.001 to 0.004 of area) and never negative in the validation."""

# Lifts in time
NOISE_FREEDOM = 8.0
"""How many differences between sessions the log's usual noise counts for, against a lift's
own. Insensitive."""
WOBBLE_PCT = 0.15
"""Slow drift of the level, a square-root week: weeks are better or worse as a whole.
Insensitive up to 0.3."""
LAYOFF_DAYS = 14
LAYOFF_GAPS = 2.5
"""A gap of two weeks that is also this many times the lift's usual one is a layoff."""
LAYOFF_PCT = 1.5
"""Strength lost or kept over a layoff and the doubt about the sessions after it, which fades
with `LAYOFF_FADE_DAYS`. Two to four weeks cost trained people little (common practice, no
source)."""
LAYOFF_FADE_DAYS = 10.0
LAYOFF_DOUBT_DAYS = 21
FIRST_LEVEL_PCT = 15.0
"""Doubt about the level before the first session, around what that session says."""

# Loads
CURVE_SHAPE_SD = 0.14
"""How far a person's curve departs from the family of curves the kit writes, per unit of log
distance; no number of sessions at the usual repetitions can show it."""
SYSTEMATIC_RIR_REPS = 0.7
"""A person's own constant error in judging the reserve (Halperin et al. 2022: the pooled
error's 95 % interval spans 1.6 repetitions), which no log can show. At this size 80 % intervals
hold 78 to 88 % of the true loads in every scenario of two simulators of different kinds."""
SYSTEMATIC_UNLOGGED_REPS = 1.4
"""The same where the reserve is not logged at all."""
