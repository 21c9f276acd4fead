"""Numbers of the test points: the same on the drawing and on the test sheet."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.draw.references import circuits_in_order
from groundstrap.records import dataclass
from groundstrap.report.measuring import expectations
from groundstrap.report.plan import Plan

__all__ = ["PointNumbers", "point_numbers"]


@dataclass(frozen=True, slots=True)
class PointNumbers:
    """Where volts are read."""

    by_point: Mapping[str, str]
    """Point -> number such as `TP3`, in the order of the circuits."""

    def of(self, point: str | None) -> str:
        """Return the number of a point; empty where the drawing marks none.

        >>> PointNumbers({"lamp +": "TP2"}).of("lamp +"), PointNumbers({}).of("fan +")
        ('TP2', '')
        """
        return self.by_point.get(point or "", "")


def point_numbers(plan: Plan) -> PointNumbers:
    """Return the numbers of the points that the volts of each load are read between."""
    order = {circuit.name: number for number, circuit in enumerate(circuits_in_order(plan.installation))}
    found: dict[str, str] = {}
    for each in sorted(expectations(plan), key=lambda each: order[each.circuit]):
        for point in (each.red, each.black):
            if point is not None and each.black is not None:
                found.setdefault(point, f"TP{len(found) + 1}")
    return PointNumbers(found)
