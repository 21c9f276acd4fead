"""Processes that plan: kept warm, replaced when they fail, ended when a task takes too long."""

from __future__ import annotations

import asyncio
import gc
import itertools
import multiprocessing
import signal
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from multiprocessing.connection import Connection
from typing import Any, Final

from groundstrap.errors import CannotDoError, GroundstrapError
from groundstrap.records import dataclass
from groundstrap.words import words

__all__ = ["PLAN_LATE", "Crew", "Outdated", "TooManyWaitError"]

_SPAWN: Final = multiprocessing.get_context("spawn")
_FOR_START_S: Final = 60.0
_IDLE_S: Final = 0.2
_TASKS_A_CLEARANCE: Final = 25
PLAN_LATE: Final = words("make the job smaller, or plan it on the command line")
"""What would do where a plan takes too long."""

Progress = Callable[[str], None]
Job = Callable[..., Any]


class Outdated(Exception):
    """A newer request of the same page came before this one had its turn."""


class TooManyWaitError(Exception):
    """As many wait already as can be answered in time."""


@dataclass(frozen=True, slots=True)
class _Said:
    """What a worker sends back: `kind` is done, failed, broken or progress."""

    kind: str
    value: object


def _work(pipe: Connection, warm: Job | None) -> None:
    """Run in the worker: do what comes, one after the other, until the pipe is closed."""
    # The terminal's interrupt is the server's to answer.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if warm is not None:
        warm()
    # Looking for garbage takes a tenth of a plan's time: it is looked for while nobody waits.
    gc.freeze()
    gc.disable()
    pipe.send(_Said("done", None))
    for number in itertools.count(1):
        if number % _TASKS_A_CLEARANCE == 0 or not pipe.poll(_IDLE_S):
            gc.collect()
        try:
            job, given, tells = pipe.recv()
        except (EOFError, OSError):
            return
        more = {"progress": lambda name: pipe.send(_Said("progress", name))} if tells else {}
        try:
            said = _Said("done", job(*given, **more))
        except GroundstrapError as error:
            said = _Said("failed", error)
        except Exception as error:
            said = _Said("broken", f"{type(error).__name__}: {error}")
        pipe.send(said)


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Let a process begin in which the terminal's interrupt has to wait, until it says what becomes of it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


class _Worker:
    """One process and the pipe to it; used by one thread at a time."""

    def __init__(self, warm: Job | None) -> None:
        self._warm = warm
        self._pipe: Connection | None = None
        self._process: Any = None
        self.busy = False

    @property
    def pid(self) -> int | None:
        return None if self._process is None else self._process.pid

    def start(self) -> Connection:
        """Return the pipe of a process that is ready."""
        if self._pipe is None:
            here, there = _SPAWN.Pipe()
            self._process = _SPAWN.Process(target=_work, args=(there, self._warm), daemon=True)
            with _uninterrupted():
                self._process.start()
            there.close()
            self._pipe = here
            if not here.poll(_FOR_START_S) or self._said().kind != "done":
                self.end()
                raise CannotDoError("a worker did not start", next_step="start the bench again")
        return self._pipe

    def do(self, job: Job, given: tuple[Any, ...], seconds: float, progress: Progress | None) -> _Said:
        """Have a task done; a worker that fails or takes too long is ended, and the next task starts anew."""
        pipe = self.start()
        till = time.monotonic() + seconds
        try:
            pipe.send((job, given, progress is not None))
        except (BrokenPipeError, ConnectionError):
            self.end()  # it ended while nobody was looking: a new one has not seen the task yet
            self.start().send((job, given, progress is not None))
        while self._pipe is not None and self._pipe.poll(max(0.0, till - time.monotonic())):
            said = self._said()
            if said.kind != "progress":
                return said
            if progress is not None:
                progress(str(said.value))
        self.end()
        return _Said("late", seconds)

    def _said(self) -> _Said:
        assert self._pipe is not None
        try:
            said: _Said = self._pipe.recv()
        except (EOFError, OSError):
            self.end()
            return _Said("lost", None)
        return said

    def end(self) -> None:
        """End the process at once; it holds nothing that could be lost."""
        pipe, process, self._pipe, self._process = self._pipe, self._process, None, None
        if pipe is not None:
            pipe.close()
        if process is not None:
            if process.is_alive():
                process.kill()
            process.join(5)


@dataclass(slots=True, kw_only=True)
class _Waiting:
    """A task that waits for its turn."""

    page: str | None
    turn: asyncio.Future[_Worker]
    near: int


class Crew:
    """A few workers that any number of tasks wait for; of one page only its newest waits."""

    def __init__(self, count: int, *, warm: Job | None = None, most_waiting: int = 200) -> None:
        """Make them; `start` brings them up."""
        self._workers = [_Worker(warm) for _ in range(max(1, count))]
        self._threads = ThreadPoolExecutor(max_workers=len(self._workers), thread_name_prefix="worker")
        self._waiting: list[_Waiting] = []
        self._most_waiting = most_waiting

    async def start(self) -> None:
        """Bring every worker up and warm it."""
        loop = asyncio.get_running_loop()
        await asyncio.gather(*(loop.run_in_executor(self._threads, each.start) for each in self._workers))

    def stop(self) -> None:
        """End every worker."""
        for each in self._workers:
            each.end()
        self._threads.shutdown(wait=False, cancel_futures=True)

    @property
    def pids(self) -> tuple[int, ...]:
        """The processes that are there."""
        return tuple(each.pid for each in self._workers if each.pid is not None)

    async def do(
        self,
        job: Job,
        *given: Any,
        seconds: float,
        page: str | None = None,
        near: int = 0,
        progress: Progress | None = None,
        late: str = PLAN_LATE,
    ) -> Any:
        """Have a task done and return what it returned; what it raised on purpose is raised again.

        Parameters
        ----------
        job : callable
            A function of a module, which a worker can import.
        given : object
            Its arguments.
        seconds : float
            A task that takes longer is ended.
        page : str or None
            Whose task it is: an older one of the same page that still waits is dropped.
        near : int
            The worker of that number, where it is free, may remember what the task needs.
        progress : callable or None
            Told whatever the task has to tell on its way.
        late : str
            What would do where it takes too long.
        """
        worker = await self._turn(page, near)
        loop = asyncio.get_running_loop()
        running = loop.run_in_executor(self._threads, worker.do, job, given, seconds, progress)
        try:
            # Whoever asked may go away; the worker is free again only when its task is over.
            said = await asyncio.shield(running)
        finally:
            if running.done():
                self._free(worker)
            else:
                running.add_done_callback(lambda _: self._free(worker))
        return _value(said, late)

    async def _turn(self, page: str | None, near: int) -> _Worker:
        if page is not None:
            for old in [each for each in self._waiting if each.page == page]:
                self._waiting.remove(old)
                # Whoever asked may have gone just now, and has not taken itself off the list yet.
                if not old.turn.done():
                    old.turn.set_exception(Outdated())
        free = [each for each in self._workers if not each.busy]
        if free:
            wanted = self._workers[near % len(self._workers)]
            worker = wanted if wanted in free else free[0]
            worker.busy = True
            return worker
        if len(self._waiting) >= self._most_waiting:
            raise TooManyWaitError
        waiting = _Waiting(page=page, turn=asyncio.get_running_loop().create_future(), near=near)
        self._waiting.append(waiting)
        try:
            return await waiting.turn
        except asyncio.CancelledError:
            if waiting in self._waiting:
                self._waiting.remove(waiting)
            elif waiting.turn.done() and not waiting.turn.cancelled() and waiting.turn.exception() is None:
                self._free(waiting.turn.result())
            raise

    def _free(self, worker: _Worker) -> None:
        for next_ in self._waiting:
            if not next_.turn.done():
                self._waiting.remove(next_)
                next_.turn.set_result(worker)
                return
        worker.busy = False


def _value(said: _Said, late: str) -> Any:
    """What a task returned; else why there is nothing."""
    if said.kind == "done":
        return said.value
    if said.kind == "failed" and isinstance(said.value, GroundstrapError):
        raise said.value
    if said.kind == "late":
        reason = words("it took longer than {seconds} s and was ended", seconds=f"{said.value:g}")
        raise CannotDoError(reason, next_step=late)
    if said.kind == "lost":
        raise CannotDoError("the worker that had the job ended", next_step="try again; a new one is there")
    raise RuntimeError(f"a task failed in its worker: {said.value}")
