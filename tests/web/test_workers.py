"""Processes that plan: replaced when they fail, ended when they take too long, never in the way of others."""

from __future__ import annotations

import asyncio
import os
import signal
import time
from collections.abc import Callable, Iterator

import pytest

from groundstrap.errors import CallError, CannotDoError
from groundstrap.web.workers import Crew, Outdated, TooManyWaitError


def twice(number: int) -> int:
    return 2 * number


def asleep(seconds: float) -> str:
    time.sleep(seconds)
    return "awake"


def killed() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def refused() -> None:
    raise CallError("not like this", wanted="otherwise", given="this")


def broken() -> None:
    raise ZeroDivisionError("how it came about")


def telling(progress: Callable[[str], None]) -> str:
    for name in ("one", "two"):
        progress(name)
    return "done"


@pytest.fixture(scope="module")
def loop() -> Iterator[asyncio.Runner]:
    with asyncio.Runner() as runner:
        yield runner


@pytest.fixture(scope="module")
def crew(loop: asyncio.Runner) -> Iterator[Crew]:
    made = Crew(1, most_waiting=3)
    loop.run(made.start())
    yield made
    made.stop()


def test_a_task_is_done_and_tells_how_far_it_is(crew: Crew, loop: asyncio.Runner) -> None:
    told: list[str] = []
    assert loop.run(crew.do(twice, 21, seconds=20)) == 42
    assert loop.run(crew.do(telling, seconds=20, progress=told.append)) == "done"
    assert told == ["one", "two"]


def test_what_a_task_raises_on_purpose_comes_back_as_it_was(crew: Crew, loop: asyncio.Runner) -> None:
    with pytest.raises(CallError, match="not like this") as caught:
        loop.run(crew.do(refused, seconds=20))
    assert caught.value.given == "this"
    with pytest.raises(RuntimeError, match="ZeroDivisionError"):
        loop.run(crew.do(broken, seconds=20))
    assert loop.run(crew.do(twice, 1, seconds=20)) == 2


def test_a_worker_that_dies_is_replaced(crew: Crew, loop: asyncio.Runner) -> None:
    with pytest.raises(CannotDoError, match="ended"):
        loop.run(crew.do(killed, seconds=20))
    assert loop.run(crew.do(twice, 4, seconds=20)) == 8


def test_a_worker_that_cannot_start_is_said_so(loop: asyncio.Runner) -> None:
    crew = Crew(1, warm=killed, most_waiting=3)
    try:
        with pytest.raises(CannotDoError, match="did not start"):
            loop.run(crew.do(twice, 21, seconds=20))
    finally:
        crew.stop()


def test_a_worker_that_died_while_nobody_looked_is_replaced_unseen(crew: Crew, loop: asyncio.Runner) -> None:
    os.kill(crew.pids[0], signal.SIGKILL)
    time.sleep(0.2)
    assert loop.run(crew.do(twice, 5, seconds=20)) == 10


def test_a_task_that_takes_too_long_is_ended_and_said_so(crew: Crew, loop: asyncio.Runner) -> None:
    old = crew.pids
    begun = time.monotonic()
    with pytest.raises(CannotDoError, match=r"longer than 0\.3 s"):
        loop.run(crew.do(asleep, 60.0, seconds=0.3))
    assert time.monotonic() - begun < 10
    assert loop.run(crew.do(twice, 6, seconds=20)) == 12
    assert crew.pids != old


def test_of_one_page_only_the_newest_question_waits(crew: Crew, loop: asyncio.Runner) -> None:
    async def three() -> list[object]:
        first = asyncio.ensure_future(crew.do(asleep, 0.3, seconds=20, page="a"))
        await asyncio.sleep(0.05)
        old = asyncio.ensure_future(crew.do(twice, 1, seconds=20, page="a"))
        other = asyncio.ensure_future(crew.do(twice, 2, seconds=20, page="b"))
        await asyncio.sleep(0.05)
        new = asyncio.ensure_future(crew.do(twice, 3, seconds=20, page="a"))
        return list(await asyncio.gather(first, old, other, new, return_exceptions=True))

    first, old, other, new = loop.run(three())
    assert (first, other, new) == ("awake", 4, 6)
    assert isinstance(old, Outdated)


def test_whoever_goes_away_leaves_the_worker_to_others(crew: Crew, loop: asyncio.Runner) -> None:
    async def gone() -> object:
        first = asyncio.ensure_future(crew.do(asleep, 0.2, seconds=20))
        waiting = asyncio.ensure_future(crew.do(asleep, 0.2, seconds=20))
        await asyncio.sleep(0.05)
        first.cancel()
        waiting.cancel()
        return await crew.do(twice, 7, seconds=20)

    assert loop.run(gone()) == 14


def test_a_question_that_has_just_gone_stands_in_nobodys_way(crew: Crew, loop: asyncio.Runner) -> None:
    async def all_of_it() -> int:
        busy = [asyncio.ensure_future(crew.do(asleep, 0.2, seconds=20)) for _ in range(2)]
        await asyncio.sleep(0.05)
        gone = asyncio.ensure_future(crew.do(twice, 1, seconds=20, page="one"))
        await asyncio.sleep(0.01)
        # It has not taken itself off the list yet when the newer one of its page comes.
        gone.cancel()
        newer = await crew.do(twice, 4, seconds=20, page="one")
        with pytest.raises(asyncio.CancelledError):
            await gone
        await asyncio.gather(*busy)
        return int(newer)

    assert loop.run(all_of_it()) == 8


def test_no_more_wait_than_can_be_answered(crew: Crew, loop: asyncio.Runner) -> None:
    async def many() -> list[object]:
        asked = [asyncio.ensure_future(crew.do(asleep, 0.05, seconds=20)) for _ in range(6)]
        return list(await asyncio.gather(*asked, return_exceptions=True))

    found = loop.run(many())
    assert found[:4] == ["awake"] * 4
    assert all(isinstance(each, TooManyWaitError) for each in found[4:])
