"""As built and later visits, for a screen: which joint has grown, each over its visits as a small chart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from groundstrap.locate import Growth
from groundstrap.records import dataclass
from groundstrap.report.figures import ohms
from groundstrap.report.growth_words import (
    GROWTH_CAUTION,
    growth_mark,
    growth_words,
    limit_words,
    trend_words,
)

__all__ = ["ChartPoint", "GrowthRow", "VisitsSheet", "visits_sheet"]

_WIDE: Final = 100.0
_HIGH: Final = 30.0
_MARGIN: Final = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPoint:
    """A visit in a chart of 100 x 30, its ohms with both ends of their 95 %."""

    x: float
    y: float
    least_y: float
    most_y: float
    day: str
    ohm: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthRow:
    """One place over its visits."""

    name: str
    between: tuple[str, str]
    mark: str
    sign: str
    """`stop` over its limit, `caution` where it has grown, `note` where it fell, else `clear`."""
    told: tuple[str, ...]
    points: tuple[ChartPoint, ...]
    limit_y: float | None
    """Where its limit lies in the chart; None where it is none or lies above it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitsSheet:
    """Everything that a screen shows of a vehicle's visits."""

    changed: tuple[GrowthRow, ...]
    same: tuple[GrowthRow, ...]
    caution: str
    """Empty where nothing has grown."""


def visits_sheet(grown: Sequence[Growth]) -> VisitsSheet:
    """Return what a screen shows of each place over its visits.

    Parameters
    ----------
    grown : Sequence of Growth
        What `compare_visits` said.
    """
    rows = [_row(each) for each in grown]
    return VisitsSheet(
        changed=tuple(row for row in rows if row.sign != "clear"),
        same=tuple(row for row in rows if row.sign == "clear"),
        caution=GROWTH_CAUTION if any(row.sign in {"stop", "caution"} for row in rows) else "",
    )


def _row(each: Growth) -> GrowthRow:
    told = (growth_words(each), trend_words(each), limit_words(each))
    sign = "stop" if each.over else "caution" if each.grown else "note" if each.fallen else "clear"
    top = max(v.ohm + 2.0 * v.standard_ohm for v in each.visits)
    limit = each.visits[-1].limit_ohm
    return GrowthRow(
        name=each.name,
        between=(each.red, each.black),
        mark=growth_mark(each),
        sign=sign,
        told=tuple(part for part in told if part is not None),
        points=tuple(_points(each, top)),
        limit_y=None if limit is None or limit > top else _y(limit, top),
    )


def _points(each: Growth, top: float) -> Iterator[ChartPoint]:
    days = [date.fromisoformat(v.day).toordinal() for v in each.visits]
    span = max(days[-1] - days[0], 1)
    for visit, day in zip(each.visits, days, strict=True):
        own = 2.0 * visit.standard_ohm
        yield ChartPoint(
            x=_MARGIN + (_WIDE - 2 * _MARGIN) * (day - days[0]) / span,
            y=_y(visit.ohm, top),
            least_y=_y(max(visit.ohm - own, 0.0), top),
            most_y=_y(visit.ohm + own, top),
            day=visit.day,
            ohm=ohms(visit.ohm),
        )


def _y(value: float, top: float) -> float:
    return _HIGH - _MARGIN - (_HIGH - 2 * _MARGIN) * value / max(top, 1e-12)
