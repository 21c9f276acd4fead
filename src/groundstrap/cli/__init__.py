"""The command line: read, call `groundstrap.api` once, print. `main` is the whole of it, `run` a process."""

import atexit
import gc
import os
import sys
from typing import NoReturn

# Before numpy is loaded: matrices here are too small for threads, which cost more than they save, on a busy
# machine many times as much.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A process that ends soon need not look for garbage after every 700 things it makes.
gc.set_threshold(50_000)

from groundstrap.cli.commands import main  # noqa: E402 - after what holds for the whole process

__all__ = ["main", "run"]


def run() -> NoReturn:
    """Run the program as a process of its own, which need not tidy up what ends with it.

    Looking through everything for garbage on the way out takes as long as a third of a plan, taking all of
    it apart half as long again. What was registered to happen at the end happens before.
    """
    gc.disable()
    statuses: list[int] = []
    atexit.register(_leave, statuses)
    try:
        main()
    except SystemExit as done:
        if isinstance(done.code, int):
            statuses.append(done.code)
        raise
    raise SystemExit(0)


def _leave(statuses: list[int]) -> None:
    """End at once; where the status is not known, the long way."""
    if statuses:
        # A stream that was closed when the process began is None.
        for stream in filter(None, (sys.stdout, sys.stderr)):
            stream.flush()
        os._exit(statuses[0])
