"""The `plateline` command: finds the command asked for and turns errors into sentences."""

from __future__ import annotations

import difflib
import importlib
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import NoReturn

import click

from plateline import __version__
from plateline.errors import PlatelineError, system_said

# name -> (module that holds a click command named `command`, one line of help).
# The help stands here so that `plateline --help` loads no command at all.
COMMANDS = {
    "intake": ("plateline.cli.intake", "Read training logs and account for every row."),
    "status": ("plateline.cli.status", "The state of every lift at a date."),
    "targets": ("plateline.cli.targets", "The load for N reps at R reps in reserve."),
    "report": ("plateline.cli.report", "One client's monthly report."),
    "reports": ("plateline.cli.reports", "Every client's report, and who needs attention first."),
    "trends": ("plateline.cli.trends", "One athlete's trend page from one log."),
    "study": ("plateline.cli.study", "Rep range against progress, over many lifters."),
    "demo": ("plateline.cli.demo", "Write the demo logbook again."),
}


class LazyGroup(click.Group):
    """A group that imports a command's module only when that command runs."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands, in the order of the help."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import the module of a command and return the command."""
        if cmd_name not in COMMANDS:
            return None
        return importlib.import_module(COMMANDS[cmd_name][0]).command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Resolve a command, with the closest names where there is none such."""
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            close = difflib.get_close_matches(name, COMMANDS, n=2, cutoff=0.5)
            hint = f"Did you mean {' or '.join(close)}?" if close else ""
            known = ", ".join(COMMANDS)
            ctx.fail(f"There is no command {name!r}. {hint or f'There is {known}.'}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without loading any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.command(
    cls=LazyGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Example:  plateline reports  (every demo client's report, into the folder reports)",
)
@click.version_option(__version__, prog_name="plateline")
def cli() -> None:
    """Turn a training log into an honest monthly answer.

    Which lifts move, which are stuck and since when, why, and what to change next month.
    """


def main() -> NoReturn:
    """Run the command line; every refusal is a sentence on standard error."""
    _open_closed_streams()
    try:
        with _tidy_when_ended():
            status = cli.main(standalone_mode=False)
    except click.exceptions.Abort:
        click.echo("Stopped.", err=True)
        sys.exit(130)
    except click.ClickException as refusal:
        refusal.show()
        sys.exit(refusal.exit_code)
    except PlatelineError as refusal:
        click.echo(f"plateline: {refusal}", err=True)
        sys.exit(refusal.exit_status)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except BaseException as error:
        if (reason := _lacking(error)) is None:
            raise
        click.echo(f"plateline: {reason}", err=True)
        sys.exit(1)
    sys.exit(status if isinstance(status, int) else 0)


@contextmanager
def _tidy_when_ended() -> Iterator[None]:
    """Have a command that is asked to end, or whose terminal is closed, tidy up before it goes."""

    def end(number: int, _frame: object) -> NoReturn:
        signal.signal(number, signal.SIG_DFL)  # whoever asks again will not wait
        sys.exit(128 + number)

    taken = []
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)  # Windows has no SIGHUP
        # Where it is ignored (nohup), it stays so.
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:
            with suppress(ValueError):  # not the main thread
                signal.signal(number, end)
                taken.append(number)
    try:
        yield
    finally:
        for number in taken:
            signal.signal(number, signal.SIG_DFL)


def _lacking(error: BaseException) -> str | None:
    """Say what the machine had too little of, or refused; None where the error is another."""
    if isinstance(error, OSError):
        return system_said(error)
    if isinstance(error, MemoryError):
        return "There is not enough memory."
    if type(error) is RuntimeError and "new thread" in str(error):
        return "The machine refused to start another thread."
    if type(error).__name__ == "PanicException":  # where Polars was refused one; no Exception
        return f"Polars gave up ({error})."
    return None


def _open_closed_streams() -> None:
    """Open what the caller has closed of input, output and error.

    The next file that is opened would take its number, and what is printed would go there.
    """
    for number, name, mode in ((0, "stdin", "r"), (1, "stdout", "w"), (2, "stderr", "w")):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free: this one
            os.set_inheritable(number, True)
        if getattr(sys, name) is None:
            setattr(sys, name, open(number, mode, encoding="utf-8", closefd=False))  # noqa: SIM115
