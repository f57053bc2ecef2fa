"""The command line: one module a command, loaded only when that command is called."""

from plateline.cli.root import main

__all__ = ["main"]
