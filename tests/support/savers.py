"""A program that saves one revision after the other and says so, to be killed at any moment.

It tells of each save that was acknowledged, and only then: what it has told must be on the shelf.
"""

from __future__ import annotations

import multiprocessing
import random
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.context import ForkServerProcess

from groundstrap.errors import CannotDoError
from groundstrap.shelf import Saved, Shelf, open_shelf
from tests.support.postgres import Server

# A server that has loaded everything forks each of them: hundreds of starts cost no time.
CONTEXT = multiprocessing.get_context("forkserver")
CONTEXT.set_forkserver_preload(["tests.support.savers"])


def text_of(number: int) -> str:
    """What revision `number` says; long enough to fill several pages of a database."""
    return f"title: Revision {number}\n" + f"# line {number}\n" * (200 + number % 7)


def files_of(number: int) -> Mapping[str, str]:
    """What lies beside revision `number`."""
    return {"stock.csv": f"kind\n{number % 3}\n"}


def save_on(url: str, job_id: str, told: Connection) -> None:
    """Save revision after revision, and tell the number of each that was acknowledged."""
    with open_shelf(url) as shelf:
        number = shelf.job(job_id).latest
        while True:
            try:
                found = shelf.save(job_id, text_of(number + 1), number, "Ada", files=files_of(number + 1))
            except CannotDoError as error:
                told.send(str(error))
                return
            assert isinstance(found, Saved)
            number = found.number
            told.send(number)


@dataclass(slots=True)
class Saver:
    """The program as it runs, and what it has told."""

    process: ForkServerProcess
    pipe: Connection
    last: int = 0
    error: str = ""

    def listen(self, seconds: float, *, for_one: bool = False) -> None:
        """Take in what it tells for a while, or until it has told something."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            if self.pipe.poll(left) and (not self._take() or for_one):
                return

    def _take(self) -> bool:
        try:
            said = self.pipe.recv()
        except EOFError:
            return False
        if isinstance(said, int):
            assert said == self.last + 1 or not self.last
            self.last = said
        else:
            self.error = said
        return True

    def kill(self) -> None:
        """kill -9, and take in the rest of what it had told."""
        self.process.kill()
        self.end()

    def end(self) -> None:
        """Take in everything until it has ended."""
        while self._take():
            pass
        self.process.join()


@contextmanager
def saver(url: str, job_id: str) -> Iterator[Saver]:
    """The program, saving: its first save was acknowledged."""
    mine, its = CONTEXT.Pipe(duplex=False)
    process = CONTEXT.Process(target=save_on, args=(url, job_id, its), daemon=True)
    process.start()
    its.close()
    running = Saver(process, mine)
    try:
        running.listen(60, for_one=True)
        yield running
    finally:
        process.kill()
        process.join()
        process.close()
        mine.close()


def check(shelf: Shelf, job_id: str, told: int, seen: int = 0) -> int:
    """Return the newest revision, after having seen that everything is there and whole, from `seen` on."""
    latest = shelf.job(job_id).latest
    # One save more may have reached the disk than could be told.
    assert told <= latest <= told + 1, f"revision {told} was acknowledged, {latest} is the newest"
    assert [line.number for line in shelf.revisions(job_id)] == list(range(latest, 0, -1))
    for number in range(seen + 1, latest + 1):
        found = shelf.revision(job_id, number)
        assert (found.text, found.files) == (text_of(number), files_of(number))
    return latest


def new_job(url: str) -> str:
    """Begin the job that is saved."""
    with open_shelf(url) as shelf:
        return shelf.new(text_of(1), "Ada", files=files_of(1)).job_id


def kill_programs(url: str, times: int, chance: random.Random, longest_s: float = 0.04) -> int:
    """Kill the program so many times in the middle of saves; return how many were acknowledged."""
    job_id = new_job(url)
    latest = 1
    for _ in range(times):
        with saver(url, job_id) as running:
            running.listen(chance.uniform(0, longest_s))
            running.kill()
            told = running.last
        assert told > 1, running.error
        with open_shelf(url) as shelf:
            latest = check(shelf, job_id, told, latest)
    return latest


def kill_servers(server: Server, url: str, times: int, chance: random.Random) -> int:
    """Stop the server so many times in the middle of saves, by turns at once and by kill -9."""
    job_id = new_job(url)
    latest = 1
    stops: tuple[Callable[[], None], ...] = (server.stop_at_once, server.kill)
    for turn in range(times):
        with saver(url, job_id) as running:
            running.listen(chance.uniform(0, 0.05))
            stops[turn % 2]()
            running.end()
        assert running.last > 1
        assert "save again" in running.error
        server.start()
        with open_shelf(url) as shelf:
            latest = check(shelf, job_id, running.last, latest)
    return latest
