"""Tasks drawn on a thread of their own, so that whoever works on them need not wait for the next."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from multiprocessing import Pipe, connection
from threading import Thread
from typing import Generic, TypeVar

__all__ = ["Feed"]

T = TypeVar("T")


class Feed(Generic[T]):
    """Draws tasks from an iterable beside other work, and rings when one has come.

    Use as a context manager: no further task is drawn when it is left.
    """

    def __init__(self, tasks: Iterable[T]) -> None:
        self._tasks = tasks
        self._drawn: deque[T] = deque()
        self._error: BaseException | None = None
        self._hears, self._rings = Pipe(duplex=False)
        self._was_left = False
        self.is_over = False
        Thread(target=self._draw, name="plateline-feed", daemon=True).start()

    def __enter__(self) -> Feed[T]:
        return self

    def __exit__(self, *exception: object) -> None:
        self._was_left = True

    @property
    def bell(self) -> list[connection.Connection]:
        """What rings; nothing, when no more tasks will come."""
        return [] if self.is_over else [self._hears]

    def _draw(self) -> None:
        try:
            for task in self._tasks:
                if self._was_left:
                    return
                self._drawn.append(task)
                self._rings.send(True)
        except BaseException as error:
            self._error = error
        self._rings.send(False)

    def drawn(self) -> Iterator[T]:
        """Yield the tasks that have come since; raises what drawing them raised."""
        while not self.is_over and self._hears.poll():
            if self._hears.recv():
                yield self._drawn.popleft()
            else:
                self.is_over = True
                if self._error is not None:
                    raise self._error
