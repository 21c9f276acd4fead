"""What a shelf does under kills, hundreds of them in the middle of saves, and how quick a save is.

A program that saves is ended by SIGKILL at a random moment, and a PostgreSQL server by turns with an
immediate stop and with SIGKILL. After each, every save that was acknowledged must be there, whole, and the
shelf must open: the first that is not ends the run.

    python benchmarks/shelf_saves.py [kills]
"""

from __future__ import annotations

import random
import sqlite3
import statistics
import sys
import tempfile
import time
from pathlib import Path

from groundstrap.shelf import Shelf, open_shelf
from tests.support.postgres import programs, server
from tests.support.savers import kill_programs, kill_servers

KILLS = 200
SAVES = 300
JOB = Path(__file__).resolve().parent.parent / "examples" / "hive-pickup.job.yaml"


def rate(shelf: Shelf) -> str:
    """How long a save of the example takes, from call to acknowledgement, and how much of it is work."""
    text = JOB.read_text(encoding="utf-8")
    job_id = shelf.new(text, "Ada").job_id
    found = []
    began_s = time.process_time()
    for number in range(1, SAVES + 1):
        start_s = time.perf_counter()
        shelf.save(job_id, f"{text}# {number}\n", number, "Ada")
        found.append(time.perf_counter() - start_s)
    work_s = (time.process_time() - began_s) / SAVES
    found.sort()
    return (
        f"a save of the example: median {1e3 * statistics.median(found):.1f} ms, "
        f"95 % within {1e3 * found[len(found) * 95 // 100]:.1f} ms; {1e3 * work_s:.1f} ms of a processor each"
    )


def on_sqlite(kills: int) -> None:
    """The program that saves is killed."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "shelf.sqlite"
        url = f"sqlite:///{file}"
        saves = kill_programs(url, kills, random.Random(5))
        connection = sqlite3.connect(file)
        (sound,) = connection.execute("PRAGMA integrity_check").fetchone()
        connection.close()
        print(f"SQLite: {kills} kills of the program, {saves} revisions, none lost; the file is {sound}")
        with open_shelf(url) as shelf:
            print(f"SQLite: {rate(shelf)}", flush=True)


def on_postgresql(kills: int) -> None:
    """The server is killed under the program that saves."""
    found = programs()
    if found is None:
        print("PostgreSQL: not installed here (Debian package postgresql)")
        return
    with server(found) as running:
        saves = kill_servers(running, running.url(), kills, random.Random(5))
        print(f"PostgreSQL: {kills} stops of the server, {saves} revisions, none lost")
        with open_shelf(running.url()) as shelf:
            print(f"PostgreSQL: {rate(shelf)}", flush=True)


if __name__ == "__main__":
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else KILLS
    on_sqlite(wanted)
    on_postgresql(wanted)
