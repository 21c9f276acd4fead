"""Which readings of a job count: of the newest visit, since the last mend, and at one place the last."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from groundstrap.model import Reading, ReadingSet, newest_readings
from groundstrap.records import dataclass, replace

__all__ = ["Counted", "counted"]

_UNDATED: Final = "9999"
"""Without a date readings are of the newest visit: behind every day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A reading that counts, with the set that it stands in, and what the same read before."""

    of: ReadingSet
    reading: Reading
    before: float | None

    @property
    def alone(self) -> ReadingSet:
        """Its set, with no other reading in it."""
        return replace(self.of, values=(self.reading,))


def counted(
    sets: Iterable[ReadingSet], history: Callable[[str, ReadingSet], frozenset[int]] | None = None
) -> tuple[Counted, ...]:
    """Return the readings that count, each with what the same read before, whichever lead was on which point.

    They stand in the order in which they were taken: one that was read again, where it was read last.
    `history` tells what a mend changes, as for `newest_readings`.
    """
    every = tuple(sets)
    newest = newest_readings(every, history)
    counts = {id(reading) for each in newest for reading in each.values}
    by_day = sorted(every, key=lambda each: each.date or _UNDATED)
    earlier = [(s, r) for s in by_day for r in s.values if id(r) not in counts]
    before: dict[object, float] = {_place(s, r): _forward(r) for s, r in earlier}
    # Behind a mend it stays that of before, however often the same is read since.
    kept = set(before) if any(each.mended is not None for each in newest) else set()
    found: dict[object, Counted] = {}
    for each in newest:
        for reading in each.values:
            place = _place(each, reading)
            if place in found:
                last = _forward(found.pop(place).reading)
                before[place] = before[place] if place in kept else last
            was = before.get(place)
            as_read = -was if was is not None and _is_turned(reading) else was
            found[place] = Counted(of=each, reading=reading, before=as_read)
    return tuple(found.values())


def _place(each: ReadingSet, reading: Reading) -> object:
    points = frozenset((reading.red, reading.black))
    return (each.when, each.using, reading.kind, points, reading.through)


def _is_turned(reading: Reading) -> bool:
    """Whether its leads are the other way round than the names of its points go."""
    return reading.red is not None and reading.black is not None and reading.red > reading.black


def _forward(reading: Reading) -> float:
    """What it shows with the leads as the names go."""
    return -reading.value if _is_turned(reading) else reading.value
