"""Which readings of a job count: of the newest visit, since the last mend, and at one place the last."""

from __future__ import annotations

from collections.abc import Iterable
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


def counted(sets: Iterable[ReadingSet]) -> tuple[Counted, ...]:
    """Return the readings that count, each with what the same read before.

    They stand in the order in which they were taken: one that was read again, where it was read last.
    """
    every = tuple(sets)
    newest = newest_readings(every)
    earlier = sorted((each for each in every if each not in newest), key=lambda each: each.date or _UNDATED)
    before: dict[object, float] = {_place(s, r): r.value for s in earlier for r in s.values}
    # Behind a mend it stays that of before, however often the same is read since.
    kept = set(before) if any(each.mended is not None for each in newest) else set()
    found: dict[object, Counted] = {}
    for each in newest:
        for reading in each.values:
            place = _place(each, reading)
            if place in found:
                last = found.pop(place).reading.value
                before[place] = before[place] if place in kept else last
            found[place] = Counted(of=each, reading=reading, before=before.get(place))
    return tuple(found.values())


def _place(each: ReadingSet, reading: Reading) -> object:
    return (each.when, each.using, reading.kind, reading.red, reading.black, reading.through)
