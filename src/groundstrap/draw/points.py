"""Numbers of the test points: the same on the drawing and on the test sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from groundstrap.records import dataclass

__all__ = ["PointNumbers", "number_points"]


@dataclass(frozen=True, slots=True)
class PointNumbers:
    """Where readings are taken."""

    by_point: Mapping[str, str]
    """Point -> number such as `TP3`, in the order in which they are taken."""

    def of(self, point: str | None) -> str:
        """Return the number of a point; empty where nothing is read there."""
        return self.by_point.get(point or "", "")


def number_points(readings: Iterable[str]) -> PointNumbers:
    """Return the numbers of the points that readings are taken at.

    Readings are `POINT to POINT`; those of a current name no point. No name of a job holds ` to `.

    >>> found = number_points(["lamp", "battery + to lamp +", "lamp - to battery -"])
    >>> found.of("battery +"), found.of("battery -"), found.of("fan +")
    ('TP1', 'TP4', '')
    """
    found: dict[str, str] = {}
    for reading in readings:
        points = reading.split(" to ")
        if len(points) == 2:
            for point in points:
                found.setdefault(point, f"TP{len(found) + 1}")
    return PointNumbers(found)
