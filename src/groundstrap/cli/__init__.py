"""The command line: read, one call of `groundstrap.api`, print. `main` is the whole of it."""

from groundstrap.cli.commands import main

__all__ = ["main"]
