"""Reels: the least that is bought, held against every way to share the pieces out."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Iterator

import pytest

from groundstrap.errors import OutOfRangeError
from groundstrap.pack.lists.cutting import Cutting, cut_stock

REELS = ([1000], [1000, 2500], [500, 1000], [762, 1524, 3048], [700, 1100], [310, 470, 1000])


def least(pieces: list[int], reels: list[int]) -> int:
    """The least total by trying every way to put the pieces into groups: independent and exhaustive."""
    totals = []
    for groups in _partitions(sorted(pieces, reverse=True), max(reels)):
        totals.append(sum(min(reel for reel in reels if reel >= group) for group in groups))
    return min(totals)


def _partitions(pieces: list[int], most: int) -> Iterator[list[int]]:
    """Sums of the groups of every partition whose groups fit the longest reel; alike ones once."""
    if not pieces:
        yield []
        return
    for groups in _partitions(pieces[:-1], most):
        for place in range(len(groups)):
            if groups[place] + pieces[-1] <= most and groups[place] not in groups[:place]:
                yield [*groups[:place], groups[place] + pieces[-1], *groups[place + 1 :]]
        yield [*groups, pieces[-1]]


def assert_whole(found: Cutting, pieces: list[int], reels: list[int]) -> None:
    """Every piece once, no reel over its length, and the sums right."""
    assert sorted(n for reel in found.reels for n in reel.pieces) == list(range(len(pieces)))
    assert all(sum(pieces[n] for n in reel.pieces) <= reel.length for reel in found.reels)
    assert {reel.length for reel in found.reels} <= set(reels)
    assert found.total == sum(reel.length for reel in found.reels)
    assert found.bound <= found.total


def cases(count: int) -> list[tuple[list[int], list[int]]]:
    made = random.Random(4)
    found = []
    for number in range(count):
        reels = REELS[number % len(REELS)]
        longest = reels[-1] if made.random() < 0.5 else reels[-1] // 3
        pieces = [made.randint(30, longest) for _ in range(made.randint(1, 7))]
        found.append((pieces, reels))
    return found


def test_nothing_less_would_do() -> None:
    for pieces, reels in cases(150):
        found = cut_stock(pieces, reels)
        assert_whole(found, pieces, reels)
        assert found.total == least(pieces, reels), (pieces, reels)
        assert found.proved, (pieces, reels)


def test_best_fit_alone_does_not_find_it() -> None:
    """By hand: 50 + 50, then 44 + 44 leaves 12, 33 + 33 + 23 leaves 11, and the other 23 asks for a fourth.

    Three do: 50 + 50, and twice 44 + 33 + 23.
    """
    pieces = [44, 44, 33, 33, 23, 23, 50, 50]
    found = cut_stock(pieces, [100])
    assert (found.total, found.proved) == (300, True)


def test_a_bound_that_lengths_alone_do_not_give() -> None:
    # Three of 600 never share a reel of 1000, though 1800 would go into two of them.
    found = cut_stock([600, 600, 600], [1000])
    assert (found.total, found.bound, found.proved) == (3000, 3000, True)
    # Two of 350 go on a reel and no three: seven take four reels, though 2450 would go into three.
    found = cut_stock([350] * 7, [1000])
    assert (found.total, found.bound, found.proved) == (4000, 4000, True)


@pytest.mark.parametrize("reels", [[1000, 2500, 5000, 10_000], [2500], [762, 1524, 3048], [1000]])
def test_three_hundred_cuts_in_a_second(reels: list[int]) -> None:
    made = random.Random(11)
    pieces = [made.randint(30, 600) for _ in range(300)]
    started = time.process_time()
    found = cut_stock(pieces, reels)
    assert time.process_time() - started < 1.0
    assert_whole(found, pieces, reels)
    assert found.proved


def test_the_same_each_time() -> None:
    for pieces, reels in cases(12):
        assert cut_stock(pieces, reels) == cut_stock(list(pieces), list(reversed(reels)))


def test_no_piece_is_longer_than_every_reel() -> None:
    with pytest.raises(OutOfRangeError, match="pieces"):
        cut_stock([1001], [1000])
    assert cut_stock([], [1000]).total == 0


def test_nothing_is_written_to_standard_output() -> None:
    """HiGHS writes its banner past Python, to the file descriptor: only a process of its own shows it."""
    program = (
        "from groundstrap.pack.lists.cutting import cut_stock\n"
        "found = cut_stock([350] * 7, [1000])\n"
        "import sys; assert 'highspy' in sys.modules\n"
        "print(found.total)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60
    )
    assert (done.stdout, done.stderr) == ("4000\n", "")
