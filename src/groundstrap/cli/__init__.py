"""The command line: read, one call of `groundstrap.api`, print. `main` is the whole of it."""

import gc
import os

# Before numpy is loaded: matrices here are too small for threads, which cost more than they save, on a busy
# machine many times as much.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A process that ends soon need not look for garbage after every 700 things it makes.
gc.set_threshold(50_000)

from groundstrap.cli.commands import main  # noqa: E402 - after what holds for the whole process

__all__ = ["main"]
