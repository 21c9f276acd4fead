"""The work of the bench, for pages and API alike: answers by the workers, jobs by the shelf, packs."""

from __future__ import annotations

import asyncio
import hashlib
import io
import secrets
import zlib
from collections import OrderedDict
from collections.abc import Callable, Coroutine, Mapping
from functools import partial
from typing import Any, TypeVar

from starlette.requests import Request

from groundstrap import api
from groundstrap.errors import GroundstrapError
from groundstrap.records import dataclass
from groundstrap.web import tasks
from groundstrap.web.problems import Problem, Refused, of_error
from groundstrap.web.settings import Settings
from groundstrap.web.tasks import Asked, PackAsked
from groundstrap.web.workers import PLAN_LATE, Crew, Outdated, TooManyWaitError
from groundstrap.words import words

__all__ = ["PackState", "Work"]

_Found = TypeVar("_Found")
_KEPT_BYTES = 32 * 1024 * 1024


@dataclass(slots=True, kw_only=True)
class PackState:
    """How far a pack is; `state` is waiting, making, done or failed."""

    id: str
    state: str
    files: tuple[str, ...] = ()
    """Names of the files that are begun, in their order; all of them once it is done."""
    problem: Problem | None = None
    content: Mapping[str, bytes] | None = None


class _Kept:
    """Answers that were asked for lately; bounded in number and in bytes."""

    def __init__(self, most: int, most_bytes: int) -> None:
        self._found: OrderedDict[object, tuple[Any, int]] = OrderedDict()
        self._most, self._most_bytes, self._bytes = most, most_bytes, 0

    def get(self, key: object) -> Any:
        found = self._found.get(key)
        if found is None:
            return None
        self._found.move_to_end(key)
        return found[0]

    def put(self, key: object, value: Any) -> None:
        size = _size(value)
        if key in self._found or size > self._most_bytes // 4:
            return
        self._found[key] = (value, size)
        self._bytes += size
        while len(self._found) > self._most or self._bytes > self._most_bytes:
            self._bytes -= self._found.popitem(last=False)[1][1]


def _size(value: Any) -> int:
    """About how many bytes a value of texts, lists and maps takes."""
    if isinstance(value, str | bytes):
        return len(value) + 60
    if isinstance(value, Mapping):
        return 100 + sum(_size(each) + 60 for each in value.values())
    return 100 + sum(map(_size, value)) if isinstance(value, list | tuple) else 40


class Work:
    """Everything that pages and API have done for them. Methods raise errors of ours, and `Refused`."""

    def __init__(self, settings: Settings) -> None:
        """Keep the settings; `start` brings the workers up and opens the shelf."""
        self.settings = settings
        limits = settings.limits
        self._planners = Crew(settings.workers, warm=tasks.warm, most_waiting=limits.waiting)
        self._packers = Crew(1, warm=tasks.warm_packs, most_waiting=limits.packs_kept)
        self._kept = _Kept(limits.answers_kept * 4, _KEPT_BYTES)
        self._packs: OrderedDict[str, PackState] = OrderedDict()
        self._running: set[asyncio.Task[None]] = set()
        self._shelf: api.Shelf | None = None
        self._desk = asyncio.Semaphore(4)
        self._intake = asyncio.Semaphore(1)

    async def start(self) -> None:
        """Open the shelf and warm the workers; raises what stands against it."""
        self._shelf = await asyncio.to_thread(api.open_shelf, self.settings.shelf)
        await self._planners.start()
        self._beside(self._packers.start())

    def stop(self) -> None:
        """End every worker, and close the shelf."""
        for each in self._running:
            each.cancel()
        self._planners.stop()
        self._packers.stop()
        if self._shelf is not None:
            self._shelf.close()

    async def done(
        self,
        task: Callable[..., Any],
        *given: Any,
        request: Request | None = None,
        keep: bool = True,
        near: str = "",
        of_days: bool = False,
    ) -> Any:
        """Have a task of `tasks` done by a worker.

        Parameters
        ----------
        task : callable
            A function of `groundstrap.web.tasks`.
        given : object
            Its arguments; the first is the job where it is about one.
        request : Request or None
            Whose task it is: where that has gone, or a newer one of the same page has come, it is dropped.
        keep : bool
            Whether what came out may be given to the next who asks the same.
        near : str
            Whoever gives the same comes to the same worker, which remembers what it planned before; left out,
            whoever asks about the same job.
        of_days : bool
            Whether it runs days, which take longer than a plan, and of which one asks for fewer.
        """
        key = hashlib.sha256(f"{task.__name__}{given!r}".encode("utf-8", "surrogatepass")).digest()
        found = self._kept.get(key) if keep else None
        if found is not None:
            return found
        limits = self.settings.limits
        near = near or (given[0].key if given and isinstance(given[0], Asked) else "")
        found = await self._unless_gone(
            self._planners.do(
                task,
                *given,
                seconds=limits.days_seconds if of_days else limits.plan_seconds,
                page=_page_of(request, task),
                near=zlib.crc32(near.encode()),
                late=_DAYS_LATE if of_days else PLAN_LATE,
            ),
            request,
        )
        if keep:
            self._kept.put(key, found)
        return found

    @staticmethod
    async def _unless_gone(doing: Any, request: Request | None) -> Any:
        task = asyncio.ensure_future(doing)
        watch = None if request is None else asyncio.ensure_future(_gone(request))
        try:
            await asyncio.wait({task, *([watch] if watch else [])}, return_when=asyncio.FIRST_COMPLETED)
            if task.done():
                return task.result()
            raise Outdated
        except Outdated:
            raise Refused(_OUTDATED) from None
        except TooManyWaitError:
            raise Refused(_BUSY) from None
        finally:
            for each in (task, watch):
                if each is not None and not each.done():
                    each.cancel()

    async def shelf(self, do: Callable[[api.Shelf], _Found]) -> _Found:
        """Have something done at the shelf: `await work.shelf(lambda s: s.jobs())`."""
        shelf = self._shelf
        if shelf is None:
            raise Refused(_NOT_OPEN)
        async with self._desk:
            # Whoever asked may go away; what was begun at the shelf is brought to its end all the same.
            return await asyncio.shield(asyncio.to_thread(do, shelf))

    async def asked(self, text: str, files: Mapping[str, str] | None = None, job: str | None = None) -> Asked:
        """Return a job as workers want it; of one on the shelf the files beside it come along."""
        if files is None and job:
            files = (await self.shelf(lambda shelf: shelf.revision(job))).files
        return Asked(text=text, files=tuple(sorted((files or {}).items())))

    async def visited(self, job: str | None) -> api.Visited | None:
        """Return the accepted visits of a job on the shelf, as its pack tells them; none of any other."""
        return None if not job else api.visited(await self.shelf(lambda shelf: shelf.visits(job)))

    async def photo(self, data: bytes) -> bytes:
        """Return a photo that was made anew by a worker: one that is made to do harm harms nobody else."""
        doing = self._planners.do(tasks.photo, data, seconds=self.settings.limits.plan_seconds)
        found: bytes = await self._unless_gone(doing, None)
        return found

    async def taken_in(self, content: bytes, who: str, note: str = "") -> api.Imported:
        """Take a job in from a file; photos of an archive are made anew by workers, like any other.

        Parameters
        ----------
        content : bytes
            The file.
        who, note : str
            What is said of it where the archive says nothing.
        """
        shelf, loop = self._shelf, asyncio.get_running_loop()
        if shelf is None:
            raise Refused(_NOT_OPEN)

        def clean(data: bytes) -> bytes:
            return asyncio.run_coroutine_threadsafe(self.photo(data), loop).result()

        # Not at the desk, where others would wait until the last photo is made.
        async with self._intake:
            taking = partial(api.import_job, shelf, io.BytesIO(content), who, note, clean=clean)
            return await asyncio.shield(asyncio.to_thread(taking))

    def begin_pack(self, wanted: PackAsked) -> PackState:
        """Begin a pack, and return what it can be asked for by."""
        state = PackState(id=secrets.token_urlsafe(12), state="waiting")
        waiting = sum(each.state in {"waiting", "making"} for each in self._packs.values())
        if waiting >= self.settings.limits.packs_kept:
            raise Refused(_PACKS_BUSY)
        self._packs[state.id] = state
        for old in [each for each in self._packs.values() if each.state in {"done", "failed"}]:
            if len(self._packs) > self.settings.limits.packs_kept:
                del self._packs[old.id]
        self._beside(self._pack(state, wanted))
        return state

    def _beside(self, doing: Coroutine[Any, Any, None]) -> None:
        """Do something beside whatever else there is."""
        task = asyncio.get_running_loop().create_task(doing)
        self._running.add(task)
        task.add_done_callback(self._running.discard)

    def pack(self, id_: str) -> PackState:
        """Return how far a pack is."""
        found = self._packs.get(id_)
        if found is None:
            raise Refused(
                Problem(
                    status=404,
                    kind="no-pack",
                    detail=words("there is no such pack here"),
                    next_step=words("make it again"),
                )
            )
        return found

    async def _pack(self, state: PackState, wanted: PackAsked) -> None:
        def told(name: str) -> None:
            state.state, state.files = "making", (*state.files, name)

        try:
            content = await self._packers.do(
                tasks.packed, wanted, seconds=self.settings.limits.pack_seconds, progress=told
            )
            state.content, state.files, state.state = content, tuple(content), "done"
        except GroundstrapError as error:
            state.problem, state.state = of_error(error), "failed"
        finally:
            if state.state not in {"done", "failed"}:
                state.problem, state.state = _PACK_FAILED, "failed"


def _page_of(request: Request | None, task: Callable[..., Any]) -> str | None:
    """Whose question it is and of what kind, where the page tells which it is."""
    if request is None:
        return None
    page = request.headers.get("x-page")
    return f"{request.state.visitor.id}:{page[:40]}:{task.__name__}" if page else None


async def _gone(request: Request) -> None:
    """Wait until whoever asked has gone; its body has been read before."""
    while True:
        message = await request.receive()
        if message["type"] == "http.disconnect":
            return


_DAYS_LATE = words("ask for fewer days, or let fewer loads run at once; the command line waits for any day")
_OUTDATED = Problem(
    status=409,
    kind="outdated",
    detail=words("a newer question of the same page came"),
    next_step=words("wait for its answer"),
)
_BUSY = Problem(
    status=429,
    kind="busy",
    detail=words("many are asking at once"),
    next_step=words("try again in {time}", time="3 s"),
    headers={"Retry-After": "3"},
)
_NOT_OPEN = Problem(
    status=503, kind="closed", detail=words("the shelf is not open"), next_step=words("try again in a moment")
)
_PACKS_BUSY = Problem(
    status=429,
    kind="busy",
    detail=words("many packs are being made"),
    next_step=words("try again in a minute"),
)
_PACK_FAILED = Problem(
    status=500,
    kind="fault",
    detail=words("the bench itself failed over this pack"),
    next_step=words("plan the job, and try again"),
)
