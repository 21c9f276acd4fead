"""What became of ohms from one visit to the next: how much more, how sure that is, and where it leads.

The first visit says how it was built. A place that was mended begins anew: what was before is then no part of
its comparison.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Final

from groundstrap.locate.figures import Z_95
from groundstrap.model import Uncertain
from groundstrap.physics.trend import Line, weighted_line
from groundstrap.records import dataclass

__all__ = ["Growth", "Measured", "Reach", "Trend", "compare"]

_AIR: Final = 0.04
"""Standard uncertainty of ohms for the metal's temperature, unknown within 20 K of copper's 0.39 % a kelvin;
own judgement for the 20 K. [1]"""
_LEAST_VISITS: Final = 3
"""Below it a line has nothing that checks it. [1]"""
_ON_A_LINE: Final = 0.05
"""Chance of a scatter as wide, under which it is no line; own judgement. [1]"""
_LEAST_DAYS: Final = 28
"""Between the first and the last visit, for a trend; own judgement. [d]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Ohms between two points at one visit."""

    day: str
    red: str
    black: str
    place: str | None
    ohm: float
    standard_ohm: float
    limit_ohm: float | None = None
    """What it may have, by what its circuit may lose. [ohm]"""
    anew: bool = False
    """Whether it begins anew here: it was mended."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """When a line meets a limit: the earliest by its 95 % band, the likeliest, the latest if there is one."""

    earliest: str
    likeliest: str
    latest: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """How fast it grows, by a line through all visits that weighs each by its uncertainty."""

    ohm_per_year: Uncertain
    p: float
    """Chance of visits on a line that scatter more. [1]"""
    reach: Reach | None
    """When it comes to its limit; none where that lies further ahead than the visits reach back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """One place or way over all visits."""

    red: str
    black: str
    place: str | None
    visits: tuple[Measured, ...]
    """Since it was built, or mended; the first of them first."""
    more_ohm: Uncertain | None
    """Between the first and the last; none of a single visit. [ohm]"""
    trend: Trend | None
    """None where the visits do not bear one: fewer than three, too close together, no line, no growth."""

    @property
    def name(self) -> str:
        """The place, else both points."""
        return self.place or f"{self.red} to {self.black}"

    @property
    def grown(self) -> bool:
        """Whether it surely has more ohms than at first."""
        return self.more_ohm is not None and self.more_ohm.low > 0.0

    @property
    def fallen(self) -> bool:
        """Whether it surely has fewer."""
        return self.more_ohm is not None and self.more_ohm.high < 0.0

    @property
    def over(self) -> bool:
        """Whether the last visit finds more than its limit."""
        last = self.visits[-1]
        return last.limit_ohm is not None and last.ohm > last.limit_ohm


def compare(measured: Iterable[Measured]) -> tuple[Growth, ...]:
    """Return each place over its visits, what has grown most, against its uncertainty, first.

    Parameters
    ----------
    measured : iterable of Measured
        Everything that all visits found, in any order.

    Examples
    --------
    By hand: 7 milliohms more, and each visit 0.4 and 4 % of what it read: 1.96 times 0.67 milliohms.

    >>> at = {"red": "pump -", "black": "chassis", "place": "pump return 1"}
    >>> found = compare([Measured(day="2026-03-01", ohm=2e-3, standard_ohm=4e-4, **at),
    ...                  Measured(day="2026-11-28", ohm=9e-3, standard_ohm=4e-4, **at)])[0]
    >>> [round(1e3 * each, 1) for each in (found.more_ohm.value, found.more_ohm.low, found.more_ohm.high)]
    [7.0, 5.7, 8.3]
    >>> found.grown, found.trend is None
    (True, True)
    """
    of_way: dict[frozenset[str], list[Measured]] = {}
    every = sorted(measured, key=lambda each: each.day)
    for each in every:
        way = of_way.setdefault(frozenset((each.red, each.black)), [])
        if each.anew:
            way.clear()
        way.append(each)
    return tuple(sorted(map(_growth, of_way.values()), key=_rank))


def _rank(each: Growth) -> tuple[bool, float, str]:
    more = each.more_ohm
    sure = 0.0 if more is None else more.value / max(more.high - more.low, 1e-12)
    return (not each.over, -sure, each.name)


def _growth(visits: Sequence[Measured]) -> Growth:
    first, last = visits[0], visits[-1]
    more = None
    if len(visits) > 1:
        standard = math.hypot(_standard(first), _standard(last))
        value = last.ohm - first.ohm
        more = Uncertain(value, value - Z_95 * standard, value + Z_95 * standard)
    return Growth(
        red=last.red,
        black=last.black,
        place=last.place,
        visits=tuple(visits),
        more_ohm=more,
        trend=_trend(visits),
    )


def _standard(each: Measured) -> float:
    """Its own, and that of the metal's temperature."""
    return math.hypot(each.standard_ohm, _AIR * each.ohm)


def _trend(visits: Sequence[Measured]) -> Trend | None:
    """A line, where it is one and surely rises."""
    days = [(date.fromisoformat(each.day) - date.fromisoformat(visits[0].day)).days for each in visits]
    if len(set(days)) < _LEAST_VISITS or days[-1] < _LEAST_DAYS:
        return None
    line = weighted_line(
        [float(each) for each in days], [each.ohm for each in visits], [_standard(each) for each in visits]
    )
    if line.p < _ON_A_LINE or line.slope - Z_95 * line.slope_u <= 0.0:
        return None
    year = 365.25
    slope = Uncertain(
        line.slope * year,
        (line.slope - Z_95 * line.slope_u) * year,
        (line.slope + Z_95 * line.slope_u) * year,
    )
    return Trend(ohm_per_year=slope, p=line.p, reach=_reach(line, days[-1], visits))


def _reach(line: Line, last: int, visits: Sequence[Measured]) -> Reach | None:
    limit = visits[-1].limit_ohm
    if limit is None or visits[-1].ohm >= limit:
        return None
    # As far ahead as the visits reach back, and no further: nobody knows that it stays a line.
    ahead = range(last, 2 * last + 1)
    found: dict[int, int | None] = {
        side: next((day for day in ahead if line.at(day) + side * Z_95 * line.u_at(day) >= limit), None)
        for side in (1, 0, -1)
    }
    earliest, likeliest, latest = found[1], found[0], found[-1]
    if earliest is None or likeliest is None:
        return None
    began = date.fromisoformat(visits[0].day)
    days: Mapping[str, str | None] = {
        name: None if day is None else (began + timedelta(days=day)).isoformat()
        for name, day in (("earliest", earliest), ("likeliest", likeliest), ("latest", latest))
    }
    return Reach(earliest=days["earliest"] or "", likeliest=days["likeliest"] or "", latest=days["latest"])
