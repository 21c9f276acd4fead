"""Numbers of the test points: the same on the drawing and on the test sheet."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["test_points"]


def test_points(readings: Iterable[str]) -> dict[str, str]:
    """Return each point that a reading is taken at with its number, in the order in which they are taken.

    Readings are `POINT to POINT`; those of a current name no point. No name of a job holds ` to `.

    >>> test_points(["lamp", "battery + to lamp +", "lamp - to battery -"])
    {'battery +': 'TP1', 'lamp +': 'TP2', 'lamp -': 'TP3', 'battery -': 'TP4'}
    """
    found: dict[str, str] = {}
    for reading in readings:
        points = reading.split(" to ")
        if len(points) == 2:
            for point in points:
                found.setdefault(point, f"TP{len(found) + 1}")
    return found
