"""Pieces cut from reels with the least that is bought: whole numbers, and the proof that nothing less does.

Three steps, each of which may end it. What reels of these lengths can come to at all, at or above the pieces
together, bounds it from below; where best fit fills just that, it is done. Else patterns are generated one
after the other (Gilmore and Gomory, 1961) until no pattern prices in: the relaxed optimum is another bound,
and the patterns found give a whole answer. Where the two still differ, every pattern whose reduced cost lies
within the difference is listed; no other can be part of a better answer, so the best over them is the best.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.pack.lists.patterns import Pattern, Task, generated, listed, whole
from groundstrap.records import dataclass

__all__ = ["Cutting", "ReelCut", "cut_stock"]


_TURNS: Final = 6_000
"""How often some reels are filled again before a larger sum of reels is tried."""
_FEW_TURNS: Final = 600
"""The same at first, with the bound that lengths alone give."""
_STALLED: Final = 2_500
"""Turns without any gain after which a sum is given up."""
_LENGTHS: Final = 80
"""Different lengths up to which patterns are generated; beyond, too few are found in a second for a proof."""
_EMPTIED: Final = 8
"""Reels that are filled again at one time, at most."""


@dataclass(frozen=True, slots=True)
class ReelCut:
    """One reel with the pieces that are cut from it, by their place in what was asked."""

    length: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Cutting:
    """The reels to buy; `bound` is what no other choice comes below, and `proved` whether it is reached."""

    reels: tuple[ReelCut, ...]
    total: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether nothing less would do for certain."""
        return self.total == self.bound


def cut_stock(pieces: Sequence[int], reels: Sequence[int]) -> Cutting:
    """Return the reels whose lengths together are least, of any number of each length.

    Source: own-computation (patterns after Gilmore and Gomory 1961).

    Parameters
    ----------
    pieces : sequence of int
        Length of each piece. [cm]
    reels : sequence of int
        Lengths that reels are sold in. [cm]

    Examples
    --------
    >>> found = cut_stock([600, 600, 400, 400], [1000, 2500])
    >>> found.total, [reel.pieces for reel in found.reels], found.proved
    (2000, [(0, 2), (1, 3)], True)
    """
    return _cut(tuple(pieces), tuple(sorted(set(reels))))


# The same cables stand in several lists of one pack.
@lru_cache(maxsize=256)
def _cut(pieces: tuple[int, ...], sizes: tuple[int, ...]) -> Cutting:
    for piece in pieces:
        if not sizes or not 0 < piece <= sizes[-1]:
            raise OutOfRangeError("cut_stock", "pieces", piece, 1, sizes[-1] if sizes else 0)
    if not pieces:
        return Cutting((), 0, 0)
    bound = max(_least_total(sizes, sum(pieces)), _least_total(sizes, _alone(pieces, sizes)))
    found = _placed(pieces, _fewest(sizes, bound), _FEW_TURNS)
    if found is not None:
        return Cutting(_sorted(found, pieces), bound, bound)
    if len(set(pieces)) <= _LENGTHS:
        return _searched(pieces, sizes, bound)
    found = _packed(pieces, sizes, bound)
    return Cutting(_sorted(found, pieces), sum(reel.length for reel in found), bound)


def _alone(pieces: Sequence[int], sizes: tuple[int, ...]) -> int:
    """Length of the reels of pieces of which no two go on one reel, each on the shortest that takes it."""
    return sum(next(s for s in sizes if s >= piece) for piece in pieces if 2 * piece > sizes[-1])


def _sorted(reels: Sequence[ReelCut], pieces: Sequence[int]) -> tuple[ReelCut, ...]:
    """Long reels first, and on each the long pieces first; what is alike in the order of the pieces."""
    inner = [
        ReelCut(reel.length, tuple(sorted(reel.pieces, key=lambda n: (-pieces[n], n)))) for reel in reels
    ]
    return tuple(sorted(inner, key=lambda reel: (-reel.length, [(-pieces[n], n) for n in reel.pieces])))


def _packed(pieces: Sequence[int], sizes: tuple[int, ...], bound: int) -> list[ReelCut]:
    """Pieces in the least sum of reels, from a bound up, that best fit or refilling manages with."""
    total = bound
    while True:
        found = _placed(pieces, _fewest(sizes, total), _TURNS)
        if found is not None:
            return found
        total = _least_total(sizes, total + 1)


def _placed(pieces: Sequence[int], reels: Sequence[int], turns: int) -> list[ReelCut] | None:
    """Pieces on these reels by best fit or by refilling; None where neither finds a place for each."""
    found = _best_fit(pieces, reels)
    return found if found is not None else _refilled(pieces, reels, min(turns, 20 * len(pieces)))


def _refilled(pieces: Sequence[int], reels: Sequence[int], turns: int) -> list[ReelCut] | None:
    """Reels filled, and some of them emptied and filled again with what stays over, until nothing does.

    None where that does not come about within so many turns, or no turn has helped for long.
    """
    mixed = random.Random(0)
    found, left = _filled(pieces, range(len(pieces)), reels, mixed)
    helped = 0
    for turn in range(turns):
        if not left:
            return found
        if turn - helped > _STALLED:
            return None
        some = mixed.sample(range(len(found)), mixed.randint(1, min(_EMPTIED, len(found))))
        among = [n for place in some for n in found[place].pieces] + left
        again, over = _filled(pieces, among, [found[place].length for place in some], mixed)
        more = sum(pieces[n] for n in left) - sum(pieces[n] for n in over)
        if more >= 0:
            helped = turn if more > 0 else helped
            for place, reel in zip(some, again, strict=True):
                found[place] = reel
            left = over
    return None if left else found


def _filled(
    pieces: Sequence[int], among: Iterable[int], reels: Sequence[int], mixed: random.Random
) -> tuple[list[ReelCut], list[int]]:
    """One reel after the other as full as can be with the longest piece in it, and what stays over."""
    left = sorted(among, key=lambda n: (pieces[n], n))
    found = []
    for reel in reels:
        fitting = [n for n in left if pieces[n] <= reel]
        chosen: list[int] = []
        if fitting:
            others = fitting[:-1]
            mixed.shuffle(others)
            chosen = [fitting[-1], *_fullest(pieces, others, reel - pieces[fitting[-1]])]
        left = [n for n in left if n not in set(chosen)]
        found.append(ReelCut(reel, tuple(chosen)))
    return found, left


def _fullest(pieces: Sequence[int], among: Sequence[int], room: int) -> list[int]:
    """The pieces that leave least of a room; sums that some pieces make are bits of one number."""
    inside = (1 << (room + 1)) - 1
    sums = [1]
    for n in among:
        sums.append((sums[-1] | sums[-1] << pieces[n]) & inside)
    level, chosen = sums[-1].bit_length() - 1, []
    for place in range(len(among), 0, -1):
        if not sums[place - 1] >> level & 1:
            n = among[place - 1]
            chosen.append(n)
            level -= pieces[n]
    return chosen


def _least_total(sizes: tuple[int, ...], at_least: int) -> int:
    """The least sum of reels that is not below a length."""
    step = math.gcd(*sizes)
    most = -(-at_least // step) + sizes[-1] // step
    sums = 1
    for size in sizes:
        shift = size // step
        while shift <= most:
            sums |= sums << shift
            shift *= 2
    first = -(-at_least // step)
    high = sums >> first
    return (first + (high & -high).bit_length() - 1) * step


def _fewest(sizes: tuple[int, ...], total: int) -> list[int]:
    """The fewest reels that come to a sum which is one of reels."""
    step = math.gcd(*sizes)
    fewest: list[tuple[int, int]] = [(0, 0)]
    for level in range(1, total // step + 1):
        ways = [
            (fewest[level - size // step][0] + 1, size)
            for size in reversed(sizes)
            if size // step <= level and fewest[level - size // step][0] >= 0
        ]
        fewest.append(min(ways, key=lambda way: way[0], default=(-1, 0)))
    found, level = [], total // step
    while level:
        found.append(fewest[level][1])
        level -= fewest[level][1] // step
    return found


def _best_fit(pieces: Sequence[int], reels: Sequence[int]) -> list[ReelCut] | None:
    """Long pieces first, each where least is left over; None where one finds no place."""
    left = sorted(reels, reverse=True)
    lengths, cut = tuple(left), [list[int]() for _ in left]
    for n in sorted(range(len(pieces)), key=lambda n: (-pieces[n], n)):
        places = [place for place, room in enumerate(left) if room >= pieces[n]]
        if not places:
            return None
        place = min(places, key=lambda each: left[each])
        left[place] -= pieces[n]
        cut[place].append(n)
    return [ReelCut(length, tuple(some)) for length, some in zip(lengths, cut, strict=True)]


def _searched(pieces: Sequence[int], sizes: tuple[int, ...], bound: int) -> Cutting:
    """The answer by patterns; a bound is known already."""
    counted = Counter(pieces)
    lengths = tuple(sorted(counted, reverse=True))
    task = Task(lengths, tuple(counted[length] for length in lengths), sizes)
    relaxed = generated(task)
    bound = max(bound, _least_total(sizes, math.ceil(relaxed.total - 1e-6)))
    best: Sequence[ReelCut] = _packed(pieces, sizes, bound)
    total = sum(reel.length for reel in best)
    # Where not all patterns were found, neither is there a proof nor much of an answer over those that were.
    if total > bound and relaxed.complete:
        every = listed(task, relaxed, total)
        known = [_counted(reel, pieces, lengths) for reel in best]
        chosen = whole(task, tuple(dict.fromkeys((*relaxed.patterns, *known, *(every or ())))))
        if chosen is not None and chosen.total < total:
            best, total = _laid_out(chosen.patterns, pieces, lengths), chosen.total
        if every is not None and chosen is not None and chosen.optimal:
            bound = total
    return Cutting(_sorted(best, pieces), total, bound)


def _counted(reel: ReelCut, pieces: Sequence[int], lengths: Sequence[int]) -> Pattern:
    counted = Counter(pieces[n] for n in reel.pieces)
    return Pattern(reel.length, tuple(counted[length] for length in lengths))


def _laid_out(patterns: Sequence[Pattern], pieces: Sequence[int], lengths: Sequence[int]) -> list[ReelCut]:
    """Give each pattern its pieces; one that has more than there are keeps the rest of its reel."""
    waiting = {length: [n for n, piece in enumerate(pieces) if piece == length] for length in lengths}
    reels = []
    for pattern in patterns:
        taken: list[int] = []
        for length, count in zip(lengths, pattern.counts, strict=True):
            taken += waiting[length][:count]
            del waiting[length][:count]
        reels.append(ReelCut(pattern.reel, tuple(taken)))
    return reels
