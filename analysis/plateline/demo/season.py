"""Nine months of the club: every client's sessions, sets, check-ins and plan as rows of text.

Rows are made in the columns of the kit's file contracts (see `plateline.words`).
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from plateline.demo.lifter import DAY_FORM_SD, LIFT_FORM_SD, Chance, Lift, SetDone
from plateline.demo.programme import FIRST_DAY, LAST_DAY, Client, Main, Rounds

__all__ = ["CHECKIN_COLUMNS", "LOG_COLUMNS", "PLAN_COLUMNS", "Season"]

LOG_COLUMNS = (
    "client", "date", "session", "exercise", "set_order", "set_kind", "superset",
    "load", "unit", "reps", "rir", "rpe", "side", "rest_s", "feel", "note",
)  # fmt: skip
CHECKIN_COLUMNS = (
    "client", "date", "body_mass", "unit", "sleep_h", "sleep", "stress", "fatigue", "soreness",
    "energy_kcal", "protein_g", "session_rpe", "session_min", "note",
)  # fmt: skip
PLAN_COLUMNS = (
    "client", "block", "start", "weeks", "session", "exercise", "role", "set_kind", "sets",
    "reps_low", "reps_high", "rir", "superset",
)  # fmt: skip

TIRED_AFTER_TOP = 0.030
TIRED_EACH_MAIN = 0.012
TIRED_EACH_ROUND = 0.055
"""Loss of strength (log scale) after a top set, a progression lift and a round."""

DIET_FATIGUE = 1.6
"""How much higher fatigue is rated (1-7) while losing body mass."""

BLOCK_WEEKS = 8
DELOAD_LOAD = 0.82
DELOAD_RESERVE = 4.0

NOTES = (
    "", "", "", "", "", "", "", "", "", "", "", "", "slept badly", "gym was full",
    "new belt", "felt easy", "short on time", "grip went first",
)  # fmt: skip


def number(value: float) -> str:
    """Write a number as a person would: no needless decimals."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


class Season:
    """One client's nine months, lived day by day."""

    def __init__(self, client: Client, key: str) -> None:
        self.client = client
        self.chance = Chance(key, client.id)
        self.lifts: dict[str, Lift] = {}
        for items in client.sessions.values():
            for item in items:
                for lift in item.lifts if isinstance(item, Rounds) else (item,):
                    self.lifts.setdefault(lift.exercise, client.lift(lift))
        for swap in client.swaps:
            self.lifts[swap.instead.exercise] = client.lift(swap.instead)
        self.log: list[dict[str, str]] = []
        self.checkins: list[dict[str, str]] = []
        self.days_trained: list[dt.date] = []
        self._live()

    def body_mass(self, day: dt.date) -> float:
        """Return the true body mass on a day, in the client's unit."""
        return Lift("", self.client.body_mass, self.client.mass_path).strength_on(day)

    def name(self, exercise: str) -> str:
        """Return the client's own spelling."""
        return self.client.spellings.get(exercise, exercise)

    def _live(self) -> None:
        client, turn = self.client, 0
        names = list(client.sessions)
        day = FIRST_DAY
        while day <= LAST_DAY:
            away = client.away and client.away[0] <= day < client.away[1]
            if day.weekday() in client.weekdays and not away:
                if not self.chance.happens(client.misses):
                    self._train(day, names[turn % len(names)])
                    turn += 1
                elif self.chance.happens(0.5):
                    turn += 1
            self._check_in(day)
            day += dt.timedelta(days=1)

    def in_deload(self, day: dt.date) -> bool:
        """Return whether a day is in a planned deload week."""
        return any(0 <= (day - monday).days < 7 for monday in self.client.deloads)

    def _train(self, day: dt.date, session: str) -> None:
        self.days_trained.append(day)
        form = self.chance.normal(DAY_FORM_SD)
        order, tired = 0, 0.0
        easy = self.in_deload(day)
        for group, item in enumerate(self.client.sessions[session], start=1):
            if isinstance(item, Main):
                rows = self._main(day, self._swapped(item, easy), form, tired, easy)
                tired += TIRED_EACH_MAIN
            else:
                rows = self._rounds(day, item, form, tired, easy, f"S{group}")
            for row in rows:
                order += 1
                self._write(day, session, order, row)

    def _swapped(self, item: Main, easy: bool) -> Main:
        """Return the lift that is done: now and then another one than planned."""
        for swap in self.client.swaps:
            if swap.exercise == item.exercise and not easy and self.chance.happens(swap.share):
                return swap.instead
        return item

    def _top_range(self, item: Main, day: dt.date) -> tuple[int, int]:
        switch = self.client.switch
        return switch[1] if switch and day >= switch[0] else item.top

    def _main(
        self, day: dt.date, item: Main, form: float, tired: float, easy: bool
    ) -> Iterator[dict[str, str]]:
        lift, chance, mass = self.lifts[item.exercise], self.chance, self.body_mass(day)
        form = form + chance.normal(LIFT_FORM_SD)
        reps = self._top_range(item, day)
        load = lift.working.setdefault(reps, lift.first_load(day, *reps, mass))
        if not easy and chance.happens(0.7):
            warm = SetDone(lift.rounded(load * 0.6), 8, 5)
            yield self._row(item.exercise, warm, "warm-up", reserve=False)
        if easy:
            light = lift.rounded(load * DELOAD_LOAD)
            for _ in range(2):
                done = lift.do_set(
                    day, form, tired, (reps[0], reps[0]), DELOAD_RESERVE, mass, chance, light
                )
                yield self._row(item.exercise, done, "working", note="deload")
            return
        top = lift.do_set(day, form, tired, reps, 0.9, mass, chance)
        yield self._row(item.exercise, top, "top", note=chance.pick(NOTES), feel=item.feel)
        lift.learn(reps, top)
        if reps != item.back:
            back = lift.do_set(day, form, tired + TIRED_AFTER_TOP, item.back, 0.9, mass, chance)
            yield self._row(item.exercise, back, "back-off", feel=item.feel)
            lift.learn(item.back, back)
        else:
            again = lift.do_set(day, form, tired + TIRED_AFTER_TOP, reps, 0.9, mass, chance)
            yield self._row(item.exercise, again, "working")

    def _rounds(
        self, day: dt.date, item: Rounds, form: float, tired: float, easy: bool, label: str
    ) -> Iterator[dict[str, str]]:
        chance, mass = self.chance, self.body_mass(day)
        loads: dict[str, float | None] = {}
        for turn in range(1 if easy else item.rounds):
            for accessory in item.lifts:
                lift = self.lifts[accessory.exercise]
                for side in ("left", "right") if accessory.sided else ("",):
                    done = lift.do_set(
                        day, form, tired + TIRED_EACH_ROUND * turn, item.reps,
                        3.0 if easy else 0.8, mass, chance, loads.get(accessory.exercise),
                    )  # fmt: skip
                    loads.setdefault(accessory.exercise, done.load)
                    if turn == 0 and not easy and side != "right":
                        lift.learn(item.reps, done)
                    yield self._row(
                        accessory.exercise, done, "working", side=side,
                        superset=label if len(item.lifts) > 1 else "",
                        rest=60 if len(item.lifts) > 1 else 90, feel=accessory.feel,
                    )  # fmt: skip

    def _row(
        self, exercise: str, done: SetDone, kind: str, *, reserve: bool = True, note: str = "",
        side: str = "", superset: str = "", rest: int = 180, feel: float | None = None,
    ) -> dict[str, str]:  # fmt: skip
        chance, client = self.chance, self.client
        felt = ""
        if client.writes_feel and feel is not None and chance.happens(0.7):
            felt = str(min(max(round(feel + chance.normal(0.6)), 1), 5))
        rested = rest + 15 * round(chance.normal(1.0)) if kind != "warm-up" else 60
        return {
            "exercise": self.name(exercise), "set_kind": kind, "superset": superset,
            "load": number(done.load), "reps": str(done.reps), "side": side,
            "rir": str(done.rir) if client.writes_reserve and reserve else "",
            "rest_s": str(max(rested, 30)) if client.writes_rest else "",
            "feel": felt, "note": note,
        }  # fmt: skip

    def _write(self, day: dt.date, session: str, order: int, row: dict[str, str]) -> None:
        whole: dict[str, str] = dict.fromkeys(LOG_COLUMNS, "")
        whole |= row
        whole |= {
            "client": self.client.id, "date": day.isoformat(), "session": session,
            "set_order": str(order), "unit": self.client.unit,
        }  # fmt: skip
        self.log.append(whole)

    def _check_in(self, day: dt.date) -> None:
        client, chance = self.client, self.chance
        trained = bool(self.days_trained) and self.days_trained[-1] == day
        every = client.checkin_every_days
        due = every > 0 and (day - FIRST_DAY).days % every == every - 1 and chance.happens(0.93)
        if not due and not (trained and client.writes_session_effort):
            return
        row: dict[str, str] = dict.fromkeys(CHECKIN_COLUMNS, "")
        row |= {"client": client.id, "date": day.isoformat()}
        if due:
            row |= self._wellness(day)
        if trained and client.writes_session_effort:
            effort = (5.0 if self.in_deload(day) else 7.6) + chance.normal(0.7)
            row["session_rpe"] = str(min(max(round(effort), 3), 10))
            row["session_min"] = str(40 if self.in_deload(day) else 65 + round(chance.normal(6)))
        self.checkins.append(row)

    def _wellness(self, day: dt.date) -> dict[str, str]:
        client, chance = self.client, self.chance
        before, now = self.body_mass(day - dt.timedelta(days=7)), self.body_mass(day)
        losing = (now / before - 1) * 100 < -0.3

        def rating(usual: float) -> str:
            return str(min(max(round(usual + chance.normal(0.8)), 1), 7))

        sleep = 7.3 - (0.5 if losing else 0.0) + chance.normal(0.5)
        values = {
            "body_mass": f"{now * math.exp(chance.normal(0.004)):.1f}",
            "unit": client.unit,
            "sleep_h": f"{sleep:.1f}",
            "sleep": rating(3.4 if losing else 2.7),
            "stress": rating(3.0),
            "fatigue": rating((2.6 + DIET_FATIGUE) if losing else 2.6),
            "soreness": rating(3.0),
        }
        if client.writes_intake:
            kcal = 1720 if losing else 2250
            values["energy_kcal"] = str(round((kcal + chance.normal(110)) / 10) * 10)
            values["protein_g"] = str(round(118 + chance.normal(12)))
        return values

    def plan(self) -> list[dict[str, str]]:
        """Return the client's plan: blocks of weeks, deload weeks as blocks of their own."""
        if not self.client.has_plan:
            return []
        rows = []
        for block, start, weeks, easy in self._blocks():
            for session, items in self.client.sessions.items():
                for group, item in enumerate(items, start=1):
                    rows += self._plan_item(block, start, weeks, easy, session, item, group)
        return rows

    def _blocks(self) -> Iterator[tuple[str, dt.date, int, bool]]:
        cuts = {FIRST_DAY}
        if self.client.deloads:
            cuts |= set(self.client.deloads)
            cuts |= {d + dt.timedelta(days=7) for d in self.client.deloads}
        else:
            weeks = range(0, (LAST_DAY - FIRST_DAY).days // 7, BLOCK_WEEKS)
            cuts |= {FIRST_DAY + dt.timedelta(weeks=w) for w in weeks}
        if self.client.switch:
            cuts = {c for c in cuts if abs((c - self.client.switch[0]).days) > 14}
            cuts.add(self.client.switch[0])
        starts = sorted(c for c in cuts if c <= LAST_DAY)
        ends = [*starts[1:], starts[-1] + dt.timedelta(weeks=BLOCK_WEEKS)]
        count = 0
        for start, end in zip(starts, ends, strict=True):
            easy = start in self.client.deloads
            count += not easy
            yield (
                f"Deload {count}" if easy else f"Block {count}",
                start,
                (end - start).days // 7,
                easy,
            )

    def _plan_item(
        self, block: str, start: dt.date, weeks: int, easy: bool, session: str,
        item: Main | Rounds, group: int,
    ) -> Iterator[dict[str, str]]:  # fmt: skip
        def row(
            exercise: str, role: str, kind: str, sets: int, reps: tuple[int, int], rir: int,
            superset: str = "",
        ) -> dict[str, str]:  # fmt: skip
            return {
                "client": self.client.id, "block": block, "start": start.isoformat(),
                "weeks": str(weeks), "session": session, "exercise": self.name(exercise),
                "role": role, "set_kind": kind, "sets": str(sets), "reps_low": str(reps[0]),
                "reps_high": str(reps[1]), "rir": str(rir), "superset": superset,
            }  # fmt: skip

        if isinstance(item, Main):
            top = self._top_range(item, start)
            if easy:
                yield row(item.exercise, "progression", "working", 2, (top[0], top[0]), 4)
            elif top == item.back:
                yield row(item.exercise, "progression", "top", 1, top, 1)
                yield row(item.exercise, "progression", "working", 1, top, 1)
            else:
                yield row(item.exercise, "progression", "top", 1, top, 1)
                yield row(item.exercise, "progression", "back-off", 1, item.back, 1)
            return
        for lift in item.lifts:
            label = f"S{group}" if len(item.lifts) > 1 else ""
            rounds = 1 if easy else item.rounds
            yield row(
                lift.exercise, "accessory", "working", rounds, item.reps, 3 if easy else 1, label
            )
