"""The crew of a batch: which worker does what next, and what happens when one falls over."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import nullcontext, suppress
from multiprocessing import connection
from pathlib import Path
from threading import Lock, Thread

from plateline.errors import NoResultError
from plateline.report.run_feed import Feed
from plateline.report.run_hands import GRACE_S, START_S, Finished, Hand, Work
from plateline.report.run_processes import WORKER, deaf_to_interrupts, worker_context
from plateline.report.run_tasks import ReportTask, discard_asides, make_notebook, seal_pages

__all__ = ["Crew", "Finished"]

TRIES = 2
"""A worker that was killed, hung or fell over once is given its task once more."""


OPENING_S = 2 * START_S
"""How long the first worker may take, forked or afresh. The parent of all has no limit of its own."""


class Crew:
    """Makes reports with `jobs` workers at a time. Use as a context manager.

    Sealing workers start with the crew, beside whatever the caller does next; a notebook's
    worker starts with its notebook and ends with it.

    Parameters
    ----------
    jobs
        Workers that are busy at once.
    folder
        This run's own folder, for what the workers say on standard error and whatever else they
        put down for a while. Where the caller is killed they remove it.
    """

    def __init__(self, jobs: int, folder: Path) -> None:
        self._jobs = jobs
        # One more than there are cores for: while this process reacts, a core would stand idle.
        self._spare = 1 if jobs > 1 else 0
        self._folder = folder
        self._context = worker_context()
        self._sealers: list[Hand] = []
        self._writers: list[Hand] = []
        self._why = ""
        self._is_over, self._telling = False, Lock()
        self._opening = Thread(target=self._open, name="plateline-crew", daemon=True)
        try:
            self._opening.start()
        except BaseException:  # Ctrl-C, while it starts
            self._call_off()
            raise

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *exception: object) -> None:
        self._call_off()
        if exception[0] is not None and self._opening.is_alive():
            # A call refused at once need not wait for workers it never used.
            return
        self._opening.join()
        self._dismiss()

    def _call_off(self) -> None:
        with self._telling:
            self._is_over = True

    def _dismiss(self) -> None:
        for hand in (*self._sealers, *self._writers):
            hand.dismiss()

    def _open(self) -> None:
        # The first start waits until the parent of all workers has imported everything.
        if self._another_sealer() is None:
            if self._is_over:  # and its folder is gone, so no worker says that it is sound
                return
            self._context = worker_context("spawn")
            if self._another_sealer() is None:
                return
        others = [self._start_sealer() for _ in range(1, self._jobs)]
        self._sealers += [hand for hand in others if hand is not None and self._is_of_use(hand)]
        if self._is_over:
            self._dismiss()

    def _start_sealer(self) -> Hand | None:
        return self._start(seal_pages, self._folder / "sealing.log")

    def _start(self, duty: Callable[..., None], what: object) -> Hand | None:
        """Start a worker; None where that cannot be done now, for a reason that is kept."""
        try:
            mine, theirs = self._context.Pipe()
        except OSError as error:
            self._why = str(error.strerror)
            return None
        process = self._context.Process(target=duty, args=(what, theirs), name=WORKER, daemon=True)
        forks = self._context.get_start_method() == "forkserver"
        try:
            # One that starts afresh, and whose caller ends before it is told what to do, would
            # say so in a traceback; the parent that forks sees to that itself.
            with deaf_to_interrupts(), theirs, nullcontext() if forks else self._telling:
                if self._is_over:
                    raise EOFError("It was called off")
                process.start()
        except (AssertionError, EOFError, OSError) as error:
            # The parent of all workers is gone, there may be no more processes or open files, or
            # the caller is itself a worker of a kind that may have none.
            self._why = getattr(error, "strerror", None) or str(error)
            mine.close()
            return None
        return Hand(process, mine)

    def _is_of_use(self, hand: Hand) -> bool:
        """Tell whether a fresh sealing worker can be used, and dismiss it where it cannot."""
        is_sound = hand.is_sound()
        if not is_sound:
            hand.dismiss()
        return is_sound

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
        with Feed(tasks) as feed:
            self._opening.join(OPENING_S)
            if not self._sealers:
                raise NoResultError(
                    f"No worker could be started{self._reason()}.{self._last_words()}"
                )
            yield from self._make(feed)

    def _make(self, feed: Feed[ReportTask]) -> Iterator[Finished]:
        waiting: deque[Work] = deque()
        executed: deque[Work] = deque()
        while not feed.is_over or waiting or executed or self._busy():
            waiting.extend(Work(task) for task in feed.drawn())
            yield from self._hand_out(waiting, executed)
            for hand in self._that_answered(feed):
                if hand in self._writers:
                    yield from self._notebook_done(hand, waiting, executed)
                else:
                    yield from self._page_done(hand, executed)

    def _busy(self) -> list[Hand]:
        return [*self._writers, *(hand for hand in self._sealers if hand.work is not None)]

    def _hand_out(self, waiting: deque[Work], executed: deque[Work]) -> Iterator[Finished]:
        """Give work to whoever is free; a page that can be finished goes first."""
        idle = [hand for hand in self._sealers if hand.work is None]
        while executed and (idle or len(self._sealers) < self._jobs):
            hand = idle.pop() if idle else self._another_sealer()
            if hand is not None:
                work = executed.popleft()
                hand.take(work)
                with suppress(OSError):  # it is gone, which its line will tell
                    hand.line.send(work.task)
            elif self._busy():
                break  # whoever is done first makes room for another
            else:
                yield from self._fell_over(executed.popleft(), executed, self._not_started())
        while waiting and len(self._busy()) < self._jobs + self._spare:
            hand = self._start(make_notebook, waiting[0].task)
            if hand is not None:
                hand.take(waiting.popleft())
                self._writers.append(hand)
            elif self._busy():
                break
            else:
                yield from self._fell_over(waiting.popleft(), waiting, self._not_started())

    def _another_sealer(self) -> Hand | None:
        """Start a sealing worker and wait until it is of use; None where that cannot be done."""
        hand = self._start_sealer()
        if hand is None or not self._is_of_use(hand):
            return None
        self._sealers.append(hand)
        return hand

    def _that_answered(self, feed: Feed[ReportTask]) -> list[Hand]:
        """Wait until a worker has answered, ended, or taken too long, or a task came."""
        lines = {hand.line: hand for hand in (*self._writers, *self._sealers)}
        limit = GRACE_S if feed.bell or self._busy() else 0
        answered = connection.wait([*lines, *feed.bell], timeout=limit)
        return [hand for line, hand in lines.items() if line in answered or hand.overdue()]

    def _notebook_done(
        self, hand: Hand, waiting: deque[Work], executed: deque[Work]
    ) -> Iterator[Finished]:
        work, result = hand.at_work(), hand.answer()
        self._writers.remove(hand)
        hand.dismiss()
        if result is not None:
            work.notebook_s += result.seconds
        if result is not None and result.refusal is None:
            executed.append(work)
        else:
            refusal = result.refusal if result else _ENDED.format("that ran it")
            yield from self._fell_over(work, waiting, refusal)

    def _page_done(self, hand: Hand, executed: deque[Work]) -> Iterator[Finished]:
        work, result = hand.work, hand.answer()
        hand.work = None
        if result is None:
            hand.dismiss()
            self._sealers.remove(hand)
        if work is None:  # it ended while it waited for work
            return
        if result is not None and result.refusal is None:
            yield work.finished(None, result.written, result.seconds)
        else:
            discard_asides(work.task)
            refusal = result.refusal if result else _ENDED.format("that sealed its page")
            yield from self._fell_over(work, executed, refusal)

    def _fell_over(self, work: Work, queue: deque[Work], refusal: str | None) -> Iterator[Finished]:
        """Give a task once more, or say why there is no report."""
        if work.tries < TRIES:
            work.tries += 1
            queue.appendleft(work)
        else:
            yield work.finished(refusal)

    def _not_started(self) -> str:
        return f"No process could be started for the report{self._reason()}."

    def _reason(self) -> str:
        return f" ({self._why})" if self._why else ""

    def _last_words(self) -> str:
        said = self._folder / "sealing.log"
        lines = said.read_text(encoding="utf-8").strip().splitlines() if said.exists() else []
        return f" The last words of one: {lines[-1]}" if lines else ""


_ENDED = "The report could not be made: the process {} ended before it was done, twice."
