"""The crew of a batch: which worker does what next, and what happens when one falls over."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import Pipe, connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from threading import Thread

from plateline.errors import NoResultError
from plateline.report.run_processes import deaf_to_interrupts, worker_context
from plateline.report.run_tasks import (
    ReportTask,
    TaskResult,
    make_notebook,
    seal_pages,
)

__all__ = ["Crew", "Finished"]

TRIES = 2
"""A worker that was killed, hung or fell over once is given its task once more."""

_GRACE_S = 10
"""Beyond the time limit, in which a worker ends itself and says where it hung."""

_START_S = 120
"""How long a worker may take to start on a busy machine."""


@dataclass(frozen=True)
class Finished:
    """How one report came out: what was written, or why not, and where the time went."""

    task: ReportTask
    refusal: str | None
    written: tuple[str, ...] = ()
    notebook_s: float = 0.0
    page_s: float = 0.0
    tries: int = 1


@dataclass
class _Work:
    """A task under way."""

    task: ReportTask
    tries: int = 1
    notebook_s: float = 0.0

    def finished(
        self, refusal: str | None, written: tuple[str, ...] = (), page_s: float = 0.0
    ) -> Finished:
        return Finished(self.task, refusal, written, self.notebook_s, page_s, self.tries)


class _Hand:
    """A worker process, the line to it, and what it is at."""

    def __init__(self, process: BaseProcess, line: connection.Connection) -> None:
        self.process = process
        self.line = line
        self.work: _Work | None = None
        self._since = 0.0

    def take(self, work: _Work) -> None:
        self.work, self._since = work, time.monotonic()

    def overdue(self) -> bool:
        limit = self.work.task.timeout_s + _GRACE_S if self.work else float("inf")
        return time.monotonic() - self._since > limit

    def answer(self) -> TaskResult | None:
        """Return what the worker said; None where it ended without a word."""
        try:
            return self.line.recv() if self.line.poll() else None
        except (EOFError, OSError):
            return None

    def is_sound(self) -> bool:
        """Wait until a fresh sealing worker says whether it can be used."""
        try:
            return self.line.poll(_START_S) and self.line.recv()
        except (EOFError, OSError):
            return False

    def dismiss(self) -> None:
        self.line.close()
        self.process.kill()
        self.process.join()
        self.process.close()


class Crew:
    """Makes reports with `jobs` workers at a time. Use as a context manager.

    Sealing workers start with the crew, beside whatever the caller does next; a notebook's
    worker starts with its notebook and ends with it.

    Parameters
    ----------
    jobs
        Workers that are busy at once.
    folder
        This run's own folder, for what the workers say on standard error.
    """

    def __init__(self, jobs: int, folder: Path) -> None:
        self._jobs = jobs
        # One more than there are cores for: while this process reacts, a core would stand idle.
        self._spare = 1 if jobs > 1 else 0
        self._folder = folder
        self._context = worker_context()
        self._sealers: list[_Hand] = []
        self._writers: list[_Hand] = []
        self._opening = Thread(target=self._open, name="plateline-crew", daemon=True)
        self._opening.start()

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *exception: object) -> None:
        if exception[0] is not None and self._opening.is_alive():
            # A call refused at once need not wait for workers it never used: they end when
            # their lines close, which is when this crew is gone.
            return
        self._opening.join()
        for hand in (*self._sealers, *self._writers):
            hand.dismiss()

    def _open(self) -> None:
        # The first start waits until the parent of all workers has imported everything.
        first = self._sound_sealer()
        if first is None:
            self._context = worker_context("spawn")
            first = self._sound_sealer()
            if first is None:
                return
        self._sealers.append(first)
        others = [self._sealer() for _ in range(1, self._jobs)]
        self._sealers += [hand for hand in others if hand.is_sound()]

    def _sound_sealer(self) -> _Hand | None:
        """Start a sealing worker; None where it cannot be started, or not be used."""
        try:
            hand = self._sealer()
        except (EOFError, OSError):  # the parent of all workers is gone
            return None
        if hand.is_sound():
            return hand
        hand.dismiss()
        return None

    def _sealer(self) -> _Hand:
        mine, theirs = self._context.Pipe()
        said = self._folder / "sealing.log"
        process = self._context.Process(target=seal_pages, args=(theirs, said), daemon=True)
        with deaf_to_interrupts():
            process.start()
        theirs.close()
        return _Hand(process, mine)

    def _writer(self, work: _Work) -> _Hand:
        mine, theirs = self._context.Pipe(duplex=False)
        process = self._context.Process(target=make_notebook, args=(work.task, theirs), daemon=True)
        with deaf_to_interrupts():
            process.start()
        theirs.close()
        hand = _Hand(process, mine)
        hand.take(work)
        return hand

    def make(self, tasks: Iterable[ReportTask]) -> Iterator[Finished]:
        """Make reports and yield each as soon as it is finished, whichever comes first.

        Parameters
        ----------
        tasks
            The reports. They are drawn on a thread beside the crew's work, so what has to be
            computed for the next ones does not keep the workers waiting.

        Raises
        ------
        NoResultError
            When no worker process can be started at all.
        """
        feed = _Feed(tasks)
        self._opening.join()
        waiting: deque[_Work] = deque()
        executed: deque[_Work] = deque()
        while not feed.is_over or waiting or executed or self._busy():
            waiting.extend(feed.drawn())
            if not self._sealers:
                raise NoResultError(f"No worker could be started.{self._last_words()}")
            self._hand_out(waiting, executed)
            for hand in self._that_answered(feed):
                if hand in self._writers:
                    yield from self._notebook_done(hand, waiting, executed)
                else:
                    yield from self._page_done(hand, executed)

    def _busy(self) -> list[_Hand]:
        return [*self._writers, *(hand for hand in self._sealers if hand.work is not None)]

    def _hand_out(self, waiting: deque[_Work], executed: deque[_Work]) -> None:
        """Give work to whoever is free; a page that can be finished goes first."""
        idle = [hand for hand in self._sealers if hand.work is None]
        while executed and idle:
            hand, work = idle.pop(), executed.popleft()
            hand.take(work)
            with suppress(OSError):  # it is gone, which its line will tell
                hand.line.send(work.task)
        while waiting and len(self._busy()) < self._jobs + self._spare:
            self._writers.append(self._writer(waiting.popleft()))

    def _that_answered(self, feed: _Feed) -> list[_Hand]:
        """Wait until a worker at work has answered, ended, or taken too long, or a task came."""
        lines = {hand.line: hand for hand in self._busy()}
        answered = connection.wait([*lines, *feed.bell], timeout=_GRACE_S)
        done = [hand for line, hand in lines.items() if line in answered]
        return done or [hand for hand in lines.values() if hand.overdue()]

    def _notebook_done(
        self, hand: _Hand, waiting: deque[_Work], executed: deque[_Work]
    ) -> Iterator[Finished]:
        work, result = _work_of(hand), hand.answer()
        self._writers.remove(hand)
        hand.dismiss()
        if result is not None:
            work.notebook_s += result.seconds
        if result is not None and result.refusal is None:
            executed.append(work)
        elif work.tries < TRIES:
            work.tries += 1
            waiting.appendleft(work)
        else:
            yield work.finished(result.refusal if result else _ENDED.format("that ran it"))

    def _page_done(self, hand: _Hand, executed: deque[_Work]) -> Iterator[Finished]:
        work, result = _work_of(hand), hand.answer()
        hand.work = None
        if result is None:
            hand.dismiss()
            self._sealers.remove(hand)
            fresh = self._sealer()
            if fresh.is_sound():
                self._sealers.append(fresh)
        if result is not None and (result.refusal is None or work.tries >= TRIES):
            yield work.finished(result.refusal, result.written, result.seconds)
        elif work.tries < TRIES:
            work.tries += 1
            executed.appendleft(work)
        else:
            yield work.finished(_ENDED.format("that sealed its page"))

    def _last_words(self) -> str:
        said = self._folder / "sealing.log"
        lines = said.read_text(encoding="utf-8").strip().splitlines() if said.exists() else []
        return f" The last words of one: {lines[-1]}" if lines else ""


class _Feed:
    """Draws tasks from an iterable on a thread of its own, and rings when one has come."""

    def __init__(self, tasks: Iterable[ReportTask]) -> None:
        self._tasks = tasks
        self._drawn: deque[_Work] = deque()
        self._error: BaseException | None = None
        self._hears, self._rings = Pipe(duplex=False)
        self.is_over = False
        Thread(target=self._draw, name="plateline-feed", daemon=True).start()

    @property
    def bell(self) -> list[connection.Connection]:
        """What rings; nothing, when no more tasks will come."""
        return [] if self.is_over else [self._hears]

    def _draw(self) -> None:
        try:
            for task in self._tasks:
                self._drawn.append(_Work(task))
                self._rings.send(True)
        except BaseException as error:
            self._error = error
        self._rings.send(False)

    def drawn(self) -> Iterator[_Work]:
        """Yield the tasks that have come since; raises what drawing them raised."""
        while not self.is_over and self._hears.poll():
            if self._hears.recv():
                yield self._drawn.popleft()
            else:
                self.is_over = True
                if self._error is not None:
                    raise self._error


_ENDED = "The report could not be made: the process {} ended before it was done, twice."


def _work_of(hand: _Hand) -> _Work:
    if hand.work is None:
        raise RuntimeError("A worker answered that had no task.")
    return hand.work
