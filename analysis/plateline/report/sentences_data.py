"""Data notes, methods and cautions: what was read, what was assumed, what to trust."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plateline.report.numbers import count, percent, share
from plateline.report.sentences import listed, opened

__all__ = [
    "CAUTIONS",
    "LOGGED_SHARE",
    "METHODS",
    "REJECTED_CAPTION",
    "SOURCES",
    "assumption_lines",
    "backtest_line",
    "flag_lines",
    "name_lines",
    "not_logged",
    "rows_line",
]

Row = Mapping[str, Any]

REJECTED_CAPTION = "Rows that could not be read, and are not counted"

# From how many predictions on the share of right intervals says something.
PREDICTIONS_NEEDED = 20

# Below this share of sets a field counts as not logged.
LOGGED_SHARE = 0.5


def rows_line(rejected: int, duplicates: int | None) -> str:
    """Say how many rows of this client were not counted; None where repeats are not known."""
    parts = []
    if rejected:
        parts.append(f"{count(rejected, 'row')} could not be read")
    if duplicates:
        parts.append(f"{count(duplicates, 'row')} repeat others and were counted once")
    if not parts and duplicates is None:
        return "Every row handed over was read; what was left out before that is not known here."
    if not parts:
        return "Every row of this client was read; none repeats another."
    return opened(f"{listed(parts)}; everything else was read.")


def flag_lines(flags: Sequence[Row]) -> list[str]:
    """Say which sets carry a doubt, one line a kind of doubt."""
    return [
        f"{count(row['sets'], 'set')} {'is' if row['sets'] == 1 else 'are'} in doubt "
        f"({row['flag']}), for example {row['exercise']} in {row['source_file']} line "
        f"{row['source_line']}; look at {'it' if row['sets'] == 1 else 'them'} in the log."
        for row in flags
    ]


def name_lines(names: Sequence[Row]) -> list[str]:
    """Say which names the catalogue does not know, and what others were read as."""
    unknown = [row for row in names if row["catalogue"] is None]
    guessed = [row for row in names if row["catalogue"] is not None]
    told = []
    if unknown:
        shown = listed([row["name"] for row in unknown[:6]])
        more = f" and {count(len(unknown) - 6, 'more name')}" if len(unknown) > 6 else ""
        told.append(
            f"The catalogue of exercises does not know {shown}{more}: the sets count for trends, "
            "but for no muscle. An exercises file can name their muscles."
        )
    if guessed:
        shown = listed([f"{row['name']} as {row['catalogue']}" for row in guessed[:6]])
        told.append(f"Read by similarity: {shown}. An exercises file can set this right.")
    return told


def assumption_lines(assumptions: Sequence[Row]) -> list[str]:
    """Return what was taken for granted when the log was read."""
    return [
        f"{row['assumption']} (Of the log as a whole.)" if row["is_shared"] else row["assumption"]
        for row in assumptions
    ]


def not_logged(facts: Row, *, has_plan: bool) -> list[str]:
    """Say what was not logged, and what it would give."""
    told = []
    for column, name, gain in (
        (
            "rir_share",
            "Reps in reserve",
            "with them a set that stopped short is told from a weak one, and intervals narrow",
        ),
        (
            "feel_share",
            "How clearly the muscle was felt",
            "with it substitutes can be chosen by feel",
        ),
        ("rest_share", "Rest between sets", "with it a drop in reps is told from a short rest"),
    ):
        logged = facts.get(column)
        if logged is None or logged >= LOGGED_SHARE:
            continue
        stand = "was not logged" if logged == 0 else f"stands beside {share(logged)} of sets"
        if column == "rir_share":
            stand = "were not logged" if logged == 0 else f"stand beside {share(logged)} of sets"
        told.append(f"{name} {stand}; {gain}.")
    if not facts.get("checkins_month"):
        told.append(
            "There are no check-ins; with body mass, sleep and four ratings a diet phase or a "
            "tired month can be named beside a state."
        )
    if not has_plan:
        told.append("There is no plan; with one, missed and swapped work is told from chosen work.")
    return told


def backtest_line(predictions: int, inside: int, error_pct: float | None) -> str:
    """Say how often this client's own past was predicted rightly."""
    if not predictions:
        return (
            "No session could be predicted from those before it yet, so how often the intervals "
            "are right is not known."
        )
    if predictions < PREDICTIONS_NEEDED:
        return (
            f"The log holds {count(predictions, 'session')} that could be predicted from the "
            "sessions before, too few to check how often the intervals are right."
        )
    text = (
        f"Checked on this log itself: of {count(predictions, 'past session')}, each predicted "
        f"from the sessions before it, {share(inside / predictions)} fell inside the 80 % interval"
    )
    if error_pct is not None:
        text += f"; the typical miss was {percent(error_pct)}"
    return f"{text}."


METHODS = (
    "Sets of one to about twelve reps to failure are turned into an estimated one-repetition "
    "maximum (e1RM) with published equations (Epley 1985 and others); above that the lift is "
    "followed as working strength, the load for its own usual reps to failure; a lift that changed "
    "its rep range keeps one scale across the change. Reps in reserve "
    "are added to reps and their error is allowed for (Halperin et al. 2022). All sets of a day "
    "give one value a lift; sets that look mistyped, unmarked warm-ups and light days do not "
    "count. A model with noise and bends gives the state with its probability, the slope with a "
    "90 % interval, and since when: the likeliest turn, with an interval. A lift is "
    "called unclear where no state is likely enough. Hard sets count one for a muscle trained "
    "directly and a half indirectly (Pelland et al. 2024). A week's load is held against the three "
    "weeks before (Gabbett et al. 2019); that describes load and is no risk of injury "
    "(Impellizzeri et al. 2020). Ratings are summed after Hooper. Everything beside a "
    "state (sleep, body mass, load) is an association, not a cause."
)

SOURCES = (
    "Epley 1985, Poundage Chart. Halperin et al. 2022, Sports Med 52:377-390. Pelland et al. "
    "2024, SportRxiv. Gabbett et al. 2019, Int J Sports Med 40:597-600. Impellizzeri et al. "
    "2020, Sports Med, doi 10.1007/s40279-020-01378-6. ACSM 2009, Med Sci Sports Exerc "
    "41:687-708. The constants and their sources stand beside the formulas in the package."
)

CAUTIONS = (
    "This page describes a training log and suggests what to look at next; it does not diagnose. "
    "With pain, dizziness, an injury or an illness, stop and see a licensed professional before "
    "training on. Fast or unintended loss of body mass, and any diet for a medical reason, "
    "belong with a doctor or a licensed dietitian. A load that is a big jump is tried only after "
    "lighter sets on the day, with someone to spot or with safeties set."
)
