"""The demo's club: eight invented people, their programmes and the story of each.

Strengths, steps and body mass are in the client's own unit. `path` pieces are the true
change of strength in % a week; they are what `data_demo/truth.csv` is written from.
"""

from __future__ import annotations

import datetime as dt

from plateline.demo.programme import (
    FIRST_DAY,
    Accessory,
    Client,
    Main,
    Rounds,
    Swap,
    bent,
    steady,
)

__all__ = ["CLUB"]

_JANUARY_DIET = dt.date(2026, 1, 5)
_BENCH_STUCK = dt.date(2025, 12, 29)
_SQUAT_STUCK = dt.date(2026, 1, 5)
_AWAY = dt.date(2026, 2, 9)
_SWITCH = dt.date(2025, 12, 1)


def _deloads(last: dt.date, every_weeks: int) -> tuple[dt.date, ...]:
    """Return the Mondays of deload weeks, every so many weeks back from the last one."""
    days = []
    while last > FIRST_DAY:
        days.append(last)
        last -= dt.timedelta(weeks=every_weeks)
    return tuple(reversed(days))


_MARA = Client(
    "mara", "Mara V.", "female", 1991, "kg", "gain", "stronger hips and back", 4, 2.5,
    ("barbell", "dumbbell", "machine", "cable", "body-weight"), (0, 1, 3, 5),
    {
        "Lower 1": (
            Main("Romanian deadlift", 92, steady(0.45), (8, 10)),
            Main("Hack squat", 118, steady(0.38), (8, 12), bend=0.040, step=5),
            Rounds((Accessory("Lying leg curl", 58), Accessory("Standing calf raise", 130, 5))),
            Rounds((Accessory("Hip abduction", 95, 5, feel=4.4), Accessory("Back extension", 28, body_share=0.45, bare=True)), (20, 30), 2),
        ),
        "Upper 1": (
            Main("Incline dumbbell press", 24.5, steady(0.33), (8, 10), step=1),
            Main("Lat pulldown", 66, steady(0.35), (8, 12)),
            Rounds((Accessory("Cable lateral raise", 9.5, 0.5), Accessory("Face pull", 32))),
            Rounds((Accessory("Triceps pushdown", 38), Accessory("Cable curl", 34)), (15, 20)),
        ),
        "Lower 2": (
            Main("Hip thrust", 152, steady(0.30), (8, 12), bend=0.040, step=5),
            Main("Leg press", 235, steady(0.36), (10, 12), bend=0.036, step=5),
            Rounds((Accessory("Leg extension", 70), Accessory("Seated leg curl", 62)), (20, 30)),
            Rounds((Accessory("Cable crunch", 55), Accessory("Seated calf raise", 75, 5)), (20, 40), 2),
        ),
        "Upper 2": (
            Main("Seated cable row", 68, steady(0.31), (8, 12)),
            Main("Dumbbell shoulder press", 20, steady(0.25), (8, 10), step=1),
            Rounds((Accessory("Chest fly machine", 52), Accessory("Reverse fly machine", 40))),
            Rounds((Accessory("Overhead triceps extension", 30), Accessory("Hammer curl", 15, 1)), (15, 20), 2),
        ),
    },
    64.0, steady(0.06), writes_session_effort=True, checkin_every_days=7,
    deloads=_deloads(dt.date(2026, 2, 9), 10), swaps=(Swap("Hack squat", Main("Belt squat", 128, steady(0.30), (8, 12), bend=0.040, step=5)),),
)  # fmt: skip

_TEO = Client(
    "teo", "Teo K.", "male", 1986, "kg", "hold", "bench 100 kg for ten", 9, 2.5,
    ("barbell", "dumbbell", "machine", "cable", "body-weight"), (0, 1, 3, 5),
    {
        "Push 1": (
            Main("Bench press", 117, bent(0.55, _BENCH_STUCK, 0.0), (8, 10), feel=2.2),
            Main("Overhead press", 70, steady(0.22), (8, 10)),
            Rounds((Accessory("Chest fly machine", 80, 5, feel=3.2), Accessory("Lateral raise", 16, 1, feel=4.3))),
            Rounds((Accessory("Triceps pushdown", 62), Accessory("Push-up", 54, body_share=0.64, bare=True)), (20, 30), 3),
        ),
        "Pull": (
            Main("Barbell row", 108, steady(0.28), (8, 10)),
            Main("Lat pulldown", 96, steady(0.30), (8, 12)),
            Rounds((Accessory("Face pull", 48), Accessory("Dumbbell curl", 22, 1, feel=4.5))),
            Rounds((Accessory("Dumbbell pullover", 38, 2), Accessory("Shrug", 150, 5)), (15, 20), 2),
        ),
        "Push 2": (
            Main("Bench press", 117, bent(0.55, _BENCH_STUCK, 0.0), (8, 10), feel=2.2),
            Main("Incline dumbbell press", 40, steady(0.22), (8, 12), step=2),
            Rounds((Accessory("Lateral raise", 16, 1, feel=4.3), Accessory("Cable fly", 28))),
            Rounds((Accessory("Overhead triceps extension", 44), Accessory("Hammer curl", 21, 1)), (15, 20), 2),
        ),
        "Legs": (
            Main("Back squat", 146, steady(0.24), (8, 10)),
            Main("Stiff-leg deadlift", 140, steady(0.26), (8, 12)),
            Rounds((Accessory("Leg extension", 105, 5), Accessory("Seated leg curl", 88, 5))),
            Rounds((Accessory("Standing calf raise", 180, 5), Accessory("Hanging leg raise", 23, body_share=0.4, bare=True)), (15, 20), 2),
        ),
    },
    88.0, steady(0.0), writes_rest=True, misses=0.04,
    deloads=_deloads(dt.date(2026, 2, 16), 9),
    swaps=(Swap("Bench press", Main("Dumbbell bench press", 43, steady(0.2), (8, 10), step=2, feel=4.4)),),
)  # fmt: skip

_NADIA = Client(
    "007", "Nadia B.", "female", 1994, "kg", "lose", "down to 62 kg by spring", 6, 2.5,
    ("barbell", "dumbbell", "machine", "cable", "body-weight"), (0, 1, 3, 4),
    {
        "Lower A": (
            Main("Back squat", 98, bent(0.34, _JANUARY_DIET, -0.62), (8, 10)),
            Main("Lying leg curl", 60, bent(0.30, _JANUARY_DIET, -0.15), (8, 12)),
            Rounds((Accessory("Leg extension", 76), Accessory("Hip adduction", 84, 5)), (15, 20)),
            Rounds((Accessory("Standing calf raise", 120, 5), Accessory("Crunch", 29, body_share=0.35, bare=True)), (20, 40), 2),
        ),
        "Upper A": (
            Main("Incline bench press", 58, bent(0.30, _JANUARY_DIET, -0.50), (8, 10)),
            Main("Chest-supported row", 56, bent(0.30, _JANUARY_DIET, -0.10), (8, 12)),
            Rounds((Accessory("Lateral raise", 10, 1), Accessory("Reverse fly machine", 42))),
            Rounds((Accessory("Cable curl", 36), Accessory("Triceps pushdown", 40)), (15, 20)),
        ),
        "Lower B": (
            Main("Romanian deadlift", 104, bent(0.34, _JANUARY_DIET, -0.45), (8, 10)),
            Main("Leg press", 210, bent(0.30, _JANUARY_DIET, -0.30), (10, 12), bend=0.036, step=5),
            Rounds((Accessory("Bulgarian split squat", 26, 1, 0.6, sided=True, feel=4.6),), (12, 15), 2),
            Rounds((Accessory("Seated calf raise", 70, 5), Accessory("Cable crunch", 52)), (20, 30), 2),
        ),
        "Upper B": (
            Main("Lat pulldown", 62, bent(0.30, _JANUARY_DIET, -0.10), (8, 12)),
            Main("Machine chest press", 66, bent(0.30, _JANUARY_DIET, -0.30), (8, 12)),
            Rounds((Accessory("Cable lateral raise", 9, 0.5), Accessory("Face pull", 30))),
            Rounds((Accessory("Assisted pull-up", 1, 5, 0.95), Accessory("Push-up", 21, body_share=0.64, bare=True)), (8, 15), 2),
        ),
    },
    69.5, bent(0.03, _JANUARY_DIET, -0.78), checkin_every_days=2, writes_intake=True,
    writes_session_effort=True, misses=0.03,
)  # fmt: skip

_RUTH = Client(
    "ruth", "Ruth S.", "female", 1978, "lb", "hold", "strong for ski season", 12, 2.2679,
    ("barbell", "dumbbell", "machine", "cable", "body-weight"), (0, 1, 3, 5),
    {
        "Upper 1": (
            Main("Bench press", 138, steady(0.30), (8, 10), step=5),
            Main("One-arm dumbbell row", 66, steady(0.30), (8, 12), step=5),
            Rounds((Accessory("Cable lateral raise", 22, 2.5), Accessory("Face pull", 68, 5))),
            Rounds((Accessory("Triceps pushdown", 84, 5), Accessory("Cable curl", 76, 5)), (15, 20)),
        ),
        "Lower 1": (
            Main("Front squat", 168, steady(0.33), (8, 10), step=5),
            Main("Romanian deadlift", 215, steady(0.36), (8, 10), step=5),
            Rounds((Accessory("Leg extension", 150, 5), Accessory("Lying leg curl", 120, 5))),
            Rounds((Accessory("Standing calf raise", 270, 10), Accessory("Cable crunch", 120, 5)), (20, 30), 2),
        ),
        "Upper 2": (
            Main("Dumbbell shoulder press", 47, steady(0.27), (8, 10), step=5),
            Main("Lat pulldown", 142, steady(0.30), (8, 12), step=5),
            Rounds((Accessory("Cable fly", 42, 2.5), Accessory("Reverse fly machine", 90, 5))),
            Rounds((Accessory("Hammer curl", 33, 2.5), Accessory("Skull crusher", 62, 5)), (15, 20), 2),
        ),
        "Lower 2": (
            Main("Trap bar deadlift", 255, steady(0.35), (8, 10), step=5),
            Main("Leg press", 420, steady(0.33), (10, 12), bend=0.036, step=10),
            Rounds((Accessory("Hip abduction", 190, 10), Accessory("Seated leg curl", 128, 5)), (15, 20)),
            Rounds((Accessory("Seated calf raise", 140, 5), Accessory("Back extension", 48, body_share=0.45, bare=True)), (15, 20), 2),
        ),
    },
    152.0, steady(0.0), deloads=_deloads(dt.date(2026, 3, 23), 8), misses=0.03,
    spellings={"Dumbbell shoulder press": "DB shoulder press", "Romanian deadlift": "RDL"},
)  # fmt: skip

_SVEN = Client(
    "sven", "Sven A.", "male", 1999, "kg", "gain", "bigger, everywhere", 2, 2.5,
    ("barbell", "dumbbell", "machine", "cable", "body-weight"), (0, 1, 3, 4),
    {
        "Push 1": (
            Main("Incline bench press", 84, steady(0.48), (8, 10)),
            Main("Machine shoulder press", 68, steady(0.42), (8, 12)),
            Rounds((Accessory("Chest fly machine", 68), Accessory("Lateral raise", 15, 1))),
            Rounds((Accessory("Triceps pushdown", 55), Accessory("Overhead triceps extension", 44)), (15, 20)),
        ),
        "Legs 1": (
            Main("Back squat", 122, steady(0.50), (8, 10)),
            Main("Lying leg curl", 76, steady(0.40), (8, 12)),
            Rounds((Accessory("Leg extension", 92), Accessory("Standing calf raise", 160, 5))),
            Rounds((Accessory("Cable crunch", 70), Accessory("Back extension", 24, body_share=0.45, bare=True)), (15, 20), 2),
        ),
        "Pull 1": (
            Main("Barbell row", 92, steady(0.46), (8, 10)),
            Main("Lat pulldown", 84, steady(0.44), (8, 12)),
            Rounds((Accessory("Face pull", 40), Accessory("Barbell curl", 46))),
            Rounds((Accessory("Straight-arm pulldown", 46), Accessory("Hammer curl", 22, 1)), (15, 20), 2),
        ),
        "Legs 2": (
            Main("Romanian deadlift", 128, steady(0.50), (8, 10)),
            Main("Hack squat", 150, steady(0.46), (8, 12), bend=0.040, step=5),
            Rounds((Accessory("Seated leg curl", 80), Accessory("Hip adduction", 110, 5))),
            Rounds((Accessory("Seated calf raise", 95, 5), Accessory("Hanging knee raise", 20, body_share=0.3, bare=True)), (15, 30), 2),
        ),
    },
    76.0, steady(0.12), away=(_AWAY, _AWAY + dt.timedelta(days=14)), misses=0.06,
    writes_feel=False,
)  # fmt: skip

_LUCIA = Client(
    "lucia", "Lucia F.", "female", 1988, "kg", "hold", "train around a busy job", 7, 2.0,
    ("dumbbell", "machine", "cable", "body-weight"), (1, 3, 5),
    {
        "Day 1": (
            Main("Leg press", 205, bent(0.36, _SWITCH, 0.50), (8, 10), bend=0.038, step=5),
            Main("Dumbbell bench press", 25, steady(0.28), (8, 10), step=1),
            Rounds((Accessory("Seated leg curl", 58), Accessory("Cable lateral raise", 9, 0.5))),
            Rounds((Accessory("Triceps pushdown", 36), Accessory("Dumbbell curl", 12, 1)), (15, 20)),
        ),
        "Day 2": (
            Main("Dumbbell Romanian deadlift", 37, steady(0.34), (8, 10), step=2),
            Main("Seated cable row", 64, steady(0.30), (8, 10)),
            Rounds((Accessory("Walking lunge", 24, 1, 0.6, sided=True, feel=2.0),), (12, 15), 2),
            Rounds((Accessory("Face pull", 28), Accessory("Cable crunch", 48)), (15, 20), 2),
        ),
        "Day 3": (
            Main("Goblet squat", 46, steady(0.32), (8, 10), step=2),
            Main("Lat pulldown", 60, steady(0.30), (8, 10)),
            Rounds((Accessory("Leg extension", 66), Accessory("Standing calf raise", 110, 5))),
            Rounds((Accessory("Chest fly machine", 44), Accessory("Reverse fly machine", 36)), (15, 20), 2),
        ),
    },
    60.5, steady(0.0), switch=(_SWITCH, (15, 20)), misses=0.05,
)  # fmt: skip

_DALE = Client(
    "dale", "Dale M.", "male", 1982, "lb", "gain", "general strength", 5, 2.2679,
    ("barbell", "dumbbell", "cable", "body-weight"), (0, 2, 4),
    {
        "A": (
            Main("Bench press", 232, steady(0.42), (8, 10), step=5),
            Main("Barbell row", 205, steady(0.32), (8, 10), step=5),
            Rounds((Accessory("Dumbbell fly", 40, 5), Accessory("Lateral raise", 30, 2.5))),
            Rounds((Accessory("Triceps pushdown", 120, 5), Accessory("Cable curl", 110, 5)), (15, 20)),
        ),
        "B": (
            Main("Back squat", 300, steady(0.40), (8, 10), step=5),
            Main("Romanian deadlift", 290, bent(0.40, _SQUAT_STUCK, 0.0), (8, 10), step=5),
            Rounds((Accessory("Bulgarian split squat", 70, 5, 0.6, sided=True),), (12, 15), 2),
            Rounds((Accessory("Standing calf raise", 330, 10), Accessory("Hanging leg raise", 54, body_share=0.4, bare=True)), (15, 20), 2),
        ),
        "C": (
            Main("Overhead press", 146, steady(0.30), (8, 10), step=5),
            Main("Lat pulldown", 190, steady(0.33), (8, 12), step=5),
            Rounds((Accessory("Face pull", 90, 5), Accessory("Hammer curl", 48, 5))),
            Rounds((Accessory("Skull crusher", 96, 5), Accessory("Shrug", 330, 10)), (15, 20), 2),
        ),
    },
    194.0, steady(0.05), writes_reserve=False, writes_feel=False, has_plan=False, misses=0.08,
    checkin_every_days=14,
    spellings={
        "Bench press": "Flat bench", "Barbell row": "BB row", "Back squat": "Squat",
        "Romanian deadlift": "RDL", "Overhead press": "OHP", "Lateral raise": "Side raises",
    },
)  # fmt: skip

_OMAR = Client(
    "omar", "Omar T.", "male", 1990, "kg", "hold", "keep going next to two children", 8, 2.5,
    ("barbell", "dumbbell", "machine", "cable", "body-weight"), (1, 3, 6),
    {
        "One": (
            Main("Front squat", 112, steady(0.32), (8, 10)),
            Main("Incline bench press", 92, steady(0.28), (8, 10)),
            Rounds((Accessory("Seated leg curl", 78), Accessory("Lateral raise", 15, 1))),
            Rounds((Accessory("Dumbbell curl", 21, 1), Accessory("Triceps pushdown", 58)), (15, 20)),
        ),
        "Two": (
            Main("Deadlift", 178, steady(0.30), (8, 10)),
            Main("Overhead press", 66, bent(0.30, _SQUAT_STUCK, 0.0), (8, 10)),
            Rounds((Accessory("Leg extension", 96), Accessory("Chest fly machine", 66))),
            Rounds((Accessory("Face pull", 42), Accessory("Standing calf raise", 170, 5)), (15, 20), 2),
        ),
        "Three": (
            Main("Pendlay row", 94, steady(0.28), (8, 10)),
            Main("Leg press", 300, steady(0.30), (10, 12), bend=0.036, step=5),
            Rounds((Accessory("Lat pulldown", 84), Accessory("Dumbbell shoulder press", 27, 1))),
            Rounds((Accessory("Hammer curl", 22, 1), Accessory("Cable crunch", 66)), (15, 20), 2),
        ),
    },
    82.0, steady(0.0), checkin_every_days=0, misses=0.08, writes_feel=False,
)  # fmt: skip

CLUB: tuple[Client, ...] = (_MARA, _TEO, _NADIA, _RUTH, _SVEN, _LUCIA, _DALE, _OMAR)
