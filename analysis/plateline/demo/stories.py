"""The stories of the demo club, as claims that a machine can check.

`truth.csv` has one row per claim: who, which story, what is claimed (`claim`), of which
exercise (empty where it is of the client), between which days, with which value, and the
same as a sentence. The claims are read by the end-to-end test and may be read by anyone
who wants to try an analysis of their own on the demo.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from plateline.demo.programme import LAST_DAY, Main
from plateline.demo.season import Season

__all__ = ["AS_OF", "TRUTH_COLUMNS", "mishaps", "told", "truth"]

AS_OF = dt.date(2026, 3, 31)
"""The last day of the last full month: the day the claims hold."""

TRUTH_COLUMNS = (
    "client", "story", "claim", "exercise", "from", "to", "value", "is_main", "sentence",
)  # fmt: skip

CLAIMS: tuple[tuple[str, str, str, str, str, str, str, str], ...] = (
    ("mara", "steady progress", "state", "Romanian deadlift", "2025-06-30", "2026-03-31", "progressing",
     "Her Romanian deadlift has climbed steadily, top set and back-off set alike."),
    ("mara", "steady progress", "lever", "Romanian deadlift", "2026-03-01", "2026-03-31", "leave alone",
     "What moves is left alone."),
    ("teo", "plateau", "state", "Bench press", "2025-12-29", "2026-03-31", "plateau",
     "His bench press stopped moving at the turn of the year while every other lift went on."),
    ("teo", "plateau", "since", "Bench press", "2025-11-24", "2026-02-02", "2025-12-29",
     "The plateau of his bench press began on 29 December 2025."),
    ("teo", "plateau", "lever", "Bench press", "2026-03-01", "2026-03-31", "variant",
     "He hardly feels the bench press in his chest, and felt the dumbbell bench press well: swap."),
    ("teo", "plateau", "has_lever", "Bench press", "2026-03-01", "2026-03-31", "rep range",
     "He has done 8-10 reps for months; another range is worth a try."),
    ("007", "diet phase", "state", "Back squat", "2026-01-05", "2026-03-31", "declining",
     "Her back squat has been falling since she began to lose body mass in January."),
    ("007", "diet phase", "body_mass_pct_week", "", "2026-01-05", "2026-03-31", "-0.78",
     "She has lost about 0.8 % of body mass a week since 5 January 2026."),
    ("007", "diet phase", "context", "Back squat", "2026-01-05", "2026-03-31", "diet phase",
     "The diet phase stands beside the decline."),
    ("007", "diet phase", "lever", "Back squat", "2026-03-01", "2026-03-31", "food and sleep",
     "The pace of the loss comes before any change of training."),
    ("007", "diet phase", "has_lever", "Back squat", "2026-03-01", "2026-03-31", "fewer sets",
     "While she loses body mass, fewer sets at the same loads cost less."),
    ("ruth", "planned deload", "not_state", "Front squat", "2026-03-23", "2026-03-29", "declining",
     "Her light week from 23 March was planned; the front squat is not declining."),
    ("ruth", "planned deload", "not_state", "Bench press", "2026-03-23", "2026-03-29", "declining",
     "Her light week from 23 March was planned; the bench press is not declining."),
    ("ruth", "planned deload", "context", "Front squat", "2026-03-23", "2026-03-29", "deload",
     "The deload is named beside the state."),
    ("ruth", "planned deload", "adherence", "", "2026-03-23", "2026-03-29", "planned",
     "The light week is in the plan, as a block of its own."),
    ("sven", "layoff", "no_sessions", "", "2026-02-09", "2026-02-22", "0",
     "He did not train from 9 to 22 February 2026."),
    ("sven", "layoff", "not_state", "Back squat", "2026-02-23", "2026-03-31", "declining",
     "After two weeks off his back squat came back within three weeks; it is not declining."),
    ("sven", "layoff", "context", "Back squat", "2026-02-09", "2026-02-22", "layoff",
     "The layoff is named beside the state."),
    ("sven", "layoff", "not_lever", "Back squat", "2026-03-01", "2026-03-31", "back off",
     "Nobody needs an easier week after two weeks off."),
    ("lucia", "rep-range switch", "state", "Leg press", "2025-12-01", "2026-03-31", "progressing",
     "She went from 8-10 to 15-20 reps in December: the loads fell, the strength did not."),
    ("lucia", "rep-range switch", "context", "Leg press", "2025-12-01", "2025-12-01", "rep-range switch",
     "The switch of rep range is named beside the state."),
    ("lucia", "rep-range switch", "lever", "Walking lunge", "2026-03-01", "2026-03-31", "variant",
     "She hardly feels her walking lunges; another accessory lift for the same muscles is better."),
    ("dale", "no RIR", "rir_logged", "", "2025-06-30", "2026-04-03", "0",
     "He never writes reps in reserve."),
    ("dale", "no RIR", "state", "Flat bench", "2025-06-30", "2026-03-31", "progressing",
     "His bench press climbs all the same."),
    ("dale", "no RIR", "has_lever", "Flat bench", "2026-03-01", "2026-03-31", "log better",
     "Reps in reserve would tell more."),
    ("omar", "a faulty export", "rejected", "", "", "", "2",
     "Two lines of his log cannot be read."),
    ("omar", "a faulty export", "duplicates", "", "2026-01-01", "2026-01-31", "",
     "January 2026 stands in the log twice."),
)  # fmt: skip


def _again(row: dict[str, str]) -> bool:
    """Return whether a row is in the month that was exported twice."""
    return row["client"] == "omar" and row["date"].startswith("2026-01")


def mishaps(log: list[dict[str, str]]) -> list[dict[str, str]]:
    """Return the log with what went wrong in it: two unreadable lines, one month twice."""
    omar = [i for i, row in enumerate(log) if row["client"] == "omar"]
    whole = [dict(row) for row in log]
    tops = [i for i in omar if log[i]["set_kind"] == "top" and log[i]["date"] > "2025-09"]
    whole[tops[3]]["reps"] = "nine-ish"
    whole[tops[20]]["load"] = "as last week"
    end = omar[-1] + 1
    return whole[:end] + [dict(whole[i]) for i in omar if _again(whole[i])] + whole[end:]


def _state(pct_week: float) -> str:
    """Return the state of a true slope; the demo has none near a border."""
    if pct_week > 0.15:
        return "progressing"
    return "declining" if pct_week < -0.15 else "plateau"


def truth(seasons: Iterable[Season]) -> list[dict[str, str]]:
    """Return the claims of the stories, then the true slope of every progression lift."""
    seasons = list(seasons)
    rows = []
    for client, story, claim, exercise, start, end, value, sentence in CLAIMS:
        if claim == "duplicates":
            value = str(sum(_again(row) for season in seasons for row in season.log))
        rows.append(
            {
                "client": client, "story": story, "claim": claim, "exercise": exercise,
                "from": start, "to": end, "value": value, "is_main": "1", "sentence": sentence,
            }
        )  # fmt: skip
    for season in seasons:
        for items in season.client.sessions.values():
            for item in items:
                if not isinstance(item, Main):
                    continue
                start, pct_week = item.path[-1]
                name = season.name(item.exercise)
                rows.append(
                    {
                        "client": season.client.id, "story": "true slope", "claim": "slope_pct_week",
                        "exercise": name, "from": start.isoformat(), "to": LAST_DAY.isoformat(),
                        "value": f"{pct_week:.2f}", "is_main": "0",
                        "sentence": f"{name}: {pct_week:+.2f} % a week, {_state(pct_week)}.",
                    }
                )  # fmt: skip
    return rows


def told() -> str:
    """Return the stories for a reader: what the folder holds, and what is true of whom."""
    lines = [
        "# The demo logbook",
        "",
        "Eight invented people of a small club, 30 June 2025 to 3 April 2026; nothing in it is",
        "from anybody's log. `plateline demo --out DIR` writes these files again, byte for byte.",
        "",
        "| file | holds |",
        "| --- | --- |",
        "| `log.csv` | one row per set |",
        "| `clients.csv` | who they are, their unit, phase, steps and equipment |",
        "| `checkins.csv` | body mass, sleep, wellness ratings (1-7), intake, session effort |",
        "| `plan.csv` | the blocks of the plan |",
        "| `truth.csv` | the stories below as claims that a machine can check, and the true "
        "slope of every progression lift |",
        "",
        f"What is true on {AS_OF.day} {AS_OF:%B %Y}, the last day of the last full month:",
    ]
    stories = dict.fromkeys((client, story) for client, story, *_ in CLAIMS)
    for client, story in stories:
        lines += ["", f"## {client}: {story}", ""]
        lines += [f"- {c[-1]}" for c in CLAIMS if (c[0], c[1]) == (client, story)]
    return "\n".join(lines) + "\n"
