"""The command line: read, one call of `groundstrap.api`, print. `main` is the whole of it."""

import os

# Before numpy is loaded: matrices here are too small for threads, which cost more than they save, on a busy
# machine many times as much.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from groundstrap.cli.commands import main

__all__ = ["main"]
