"""How each client's report came out, and the pages of those that have none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plateline.report.run_record import write_whole

if TYPE_CHECKING:
    from plateline.report.batch_plan import Plan
    from plateline.report.run_crew import Finished

__all__ = ["ClientOutcome", "made", "silent"]


@dataclass(frozen=True)
class ClientOutcome:
    """How one client's report came out; `reason` is None where it went well.

    `outcome` is `done`, `no data` (nothing was logged in that month, and the page says so) or
    `failed`; `written` are names in the output folder, the page first.
    """

    client: str
    outcome: str
    reason: str | None = None
    written: tuple[str, ...] = ()
    notebook_s: float = 0.0
    page_s: float = 0.0
    tries: int = 0

    @property
    def page(self) -> str | None:
        """The name of the page."""
        return self.written[0] if self.written else None


def made(plan: Plan, finished: Finished) -> ClientOutcome:
    """Return a worker's result as an outcome, with a page that says why where it failed."""
    task = finished.task
    written, reason = finished.written, finished.refusal
    if reason is not None:
        written = (_page_that_says(plan, task.client, f"This report could not be made. {reason}"),)
        if task.executed.exists():
            # As far as it got, with a mark at the cell that failed: for whoever mends it.
            text = task.executed.read_text(encoding="utf-8")
            write_whole(task.product(".ipynb"), text)
            written += (task.product(".ipynb").name,)
    return ClientOutcome(
        client=task.client,
        outcome="done" if reason is None else "failed",
        reason=reason,
        written=written,
        notebook_s=round(finished.notebook_s, 3),
        page_s=round(finished.page_s, 3),
        tries=finished.tries,
    )


def silent(plan: Plan, client: str, reason: str) -> ClientOutcome:
    """Return the outcome of a client who logged nothing in the month, with a page that says so."""
    return ClientOutcome(client, "no data", reason, (_page_that_says(plan, client, reason),))


def _page_that_says(plan: Plan, client: str, sentence: str) -> str:
    """Write a page of one sentence; return its name."""
    from markupsafe import Markup

    from plateline.report.page import page_markup

    section = Markup('<section><p class="pl-caution">{}</p></section>').format(sentence)
    path = plan.request.out / f"{plan.stems[client]}.html"
    write_whole(path, page_markup(title=plan.title(client), sections=[section]))
    return path.name
