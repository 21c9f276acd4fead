"""Fuses and breakers: families, ratings, time gates, breaking capacity, cold resistance, re-rating.

A family is named by what it looks like; the letters are those of ISO 8820. A value that nobody could read
says so in ``known``, and what is not known at all is ``NotTabled`` or None, never a guess.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from functools import cache
from typing import TYPE_CHECKING, Final

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables._remember import remembered
from groundstrap.tables.table import NotTabled, table, weakest

if TYPE_CHECKING:
    from groundstrap.tables.table import Row

__all__ = [
    "BreakingCapacity",
    "ContinuousShare",
    "FuseElement",
    "FuseFamily",
    "Gate",
    "Gates",
    "InterruptNeed",
    "UsualFuse",
    "boat_interrupt_need",
    "breaking_capacity",
    "continuous_share",
    "fuse_element",
    "fuse_families",
    "fuse_family",
    "fuse_family_names",
    "fuse_gates",
    "fuse_make_v",
    "fuse_ratings",
    "next_rating",
    "pulse_share",
    "rating_at_most",
    "usual_fuse",
]

PRACTICE_SHARE: Final = 0.80
"""Share of the rating that a continuous load may take at room temperature: 0.75 to 0.80, common practice."""

SURE_TO_OPEN: Final = 1.35
"""Multiple of the rating from which the standards' gates promise that a fuse opens: ISO 8820-3."""

_TOLERANCE: Final = 0.2
"""Spread of cold resistance between makes."""

_DROP_V: Final = (0.055, 0.07, 0.13)
"""Cold resistance times rating: low, typical and high of the known elements."""

_TIME_LAG_MODEL: Final = "high-current blade"
"""Families without a re-rating table take this one's: all are zinc or copper elements; own judgement."""

_LIMIT_CRANKING_A: Final = 2200.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """Shortest and longest time to open at a share of the rating; None where no such gate is known."""

    share_pct: float
    least_s: float | None
    most_s: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gates:
    """All gates of a family at one rating, by rising share; ``known`` is that of the weakest of them."""

    family: str
    rating_a: float
    gates: tuple[Gate, ...]
    known: str

    @property
    def opens_surely(self) -> bool:
        """Whether a longest time is known at or below 1.35 times the rating and beyond."""
        longest = [gate for gate in self.gates if gate.most_s is not None]
        return len(longest) >= 2 and longest[0].share_pct <= 100 * SURE_TO_OPEN


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseFamily:
    """One family of fuses or breakers."""

    name: str
    iso_type: str | None
    kind: str
    rated_v: float
    also_rated_v: float | None
    time_lag: bool
    holds_margin: bool
    fixing: str
    ratings_a: tuple[float, ...]
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakingCapacity:
    """Greatest current that a family breaks at a voltage. [A]"""

    interrupt_a: float
    up_to_v: float
    needs_special_make: bool
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseElement:
    """What is inside one rating: cold resistance, melting integral, standard test cable."""

    cold_low_ohm: float
    cold_typical_ohm: float
    cold_high_ohm: float
    melting_a2s: float | None
    test_cable_mm2: float | None
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ContinuousShare:
    """Share of a rating that a continuous load may take at an ambient temperature."""

    share: float
    practice: float
    re_rating: float
    from_ambient_c: float
    to_ambient_c: float
    """Printed rows that it lies between; one and the same at a row, and below the first. [degC]"""
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InterruptNeed:
    """Least breaking capacity that a boat standard asks for at the bank and on branches. [A]"""

    main_a: float
    branch_a: float
    source: str
    known: str


@remembered
def fuse_family_names() -> tuple[str, ...]:
    """Return the names of all families, fuses first.

    >>> fuse_family_names()[:3]
    ('regular blade', 'mini blade', 'high-current blade')
    """
    return tuple(row.text("family") for row in table("fuse_families"))


@remembered
def fuse_families() -> tuple[FuseFamily, ...]:
    """Return all families, fuses first.

    >>> fuse_families()[2].iso_type
    'E'
    """
    return tuple(fuse_family(name) for name in fuse_family_names())


@remembered
def fuse_family(name: str) -> FuseFamily:
    """Return a family by its name or its ISO 8820 type.

    >>> fuse_family("regular blade").iso_type, fuse_family("SF 30").name
    ('C', 'bolt-down strip 30 mm')
    """
    families = table("fuse_families")
    row = families.find("family", name) or _by_type(name)
    if row is None:
        raise UnknownNameError("fuse family", name, fuse_family_names())
    return FuseFamily(
        name=row.text("family"),
        iso_type=row.text("iso_type") or None,
        kind=row.text("kind"),
        rated_v=row.number("rated_v"),
        also_rated_v=row.maybe("also_rated_v"),
        time_lag=row.text("time_lag") == "yes",
        holds_margin=row.text("holds_margin") == "yes",
        fixing=row.text("fixing"),
        ratings_a=_ratings(row.text("family")),
        source=families.source_of(row),
        known=families.known_of(row),
    )


def _by_type(name: str) -> Row | None:
    return table("fuse_families").find("iso_type", name) if name else None


@remembered
def fuse_make_v(family: str, system_v: float) -> float | None:
    """Return the rated voltage of the make of a family that serves at a voltage, None where none does. [V]

    Source: iso-8820-3, rated voltages; the usual make where that is enough.

    Examples
    --------
    >>> fuse_make_v("regular blade", 29.6), fuse_make_v("regular blade", 56.8), fuse_make_v("SF 51", 56.8)
    (32.0, 58.0, None)
    """
    found = fuse_family(family)
    makes = (found.rated_v, found.also_rated_v)
    return next((volts for volts in makes if volts is not None and volts >= system_v), None)


@cache
def _ratings(family: str) -> tuple[float, ...]:
    rows = table("fuse_ratings")
    return tuple(row.number("rating_a") for row in rows if row.text("family") == family)


@remembered
def fuse_ratings(family: str) -> tuple[float, ...]:
    """Return a family's standard ratings, ascending. [A]

    >>> fuse_ratings("regular blade")[-4:]
    (25.0, 30.0, 35.0, 40.0)
    """
    return fuse_family(family).ratings_a


def next_rating(current_a: float, family: str) -> float | None:
    """Return the smallest standard rating that is not below a current, None where none is so large. [A]

    Examples
    --------
    >>> next_rating(31.75, "regular blade"), next_rating(41, "regular blade")
    (35.0, None)
    """
    ratings = fuse_ratings(family)
    index = bisect_left(ratings, current_a * (1 - 1e-12))
    return ratings[index] if index < len(ratings) else None


def rating_at_most(current_a: float, family: str) -> float | None:
    """Return the greatest standard rating that is not above a current, None where none is so small. [A]

    >>> rating_at_most(37.5, "regular blade")
    35.0
    """
    ratings = fuse_ratings(family)
    index = bisect_right(ratings, current_a * (1 + 1e-12))
    return ratings[index - 1] if index else None


@remembered
def fuse_gates(family: str, rating_a: float) -> Gates | NotTabled:
    """Return the time gates of a family at a rating.

    Source: iso-8820-3, operating times, and data sheets; each gate names its own.

    Examples
    --------
    Type C at 200 %: between 0.15 and 5 s.

    >>> gates = fuse_gates("regular blade", 10).gates
    >>> [(gate.least_s, gate.most_s) for gate in gates if gate.share_pct == 200]
    [(0.15, 5.0)]
    """
    name = fuse_family(family).name
    data = table("fuse_gates")
    rows = [row for row in data if row.text("family") == name and _covers(row, rating_a)]
    if not rows:
        return NotTabled(
            why=f"no time gates are known for a {name} of {rating_a:g} A; its maker's curve is needed"
        )
    gates = tuple(
        Gate(
            share_pct=row.number("share_pct"),
            least_s=row.maybe("least_s"),
            most_s=row.maybe("most_s"),
            source=data.source_of(row),
            known=data.known_of(row),
        )
        for row in sorted(rows, key=lambda row: row.number("share_pct"))
    )
    return Gates(family=name, rating_a=rating_a, gates=gates, known=weakest(*(gate.known for gate in gates)))


def _covers(row: Row, rating_a: float) -> bool:
    return row.number("from_a") <= rating_a <= row.number("to_a")


@remembered
def breaking_capacity(family: str, system_v: float) -> BreakingCapacity | NotTabled:
    """Return what a family breaks at a voltage, from the row of the next higher tabled voltage. [A]

    >>> breaking_capacity("class T", 48).interrupt_a
    20000.0
    """
    found = fuse_family(family)
    data = table("fuse_interrupt")
    rows = [row for row in data if row.text("family") == found.name and row.number("up_to_v") >= system_v]
    if not rows:
        return NotTabled(why=f"no breaking capacity is known for a {found.name} at {system_v:g} V")
    row = min(rows, key=lambda row: row.number("up_to_v"))
    return BreakingCapacity(
        interrupt_a=row.number("interrupt_a"),
        up_to_v=row.number("up_to_v"),
        needs_special_make=system_v > found.rated_v,
        source=data.source_of(row),
        known=data.known_of(row),
    )


@remembered
def fuse_element(family: str, rating_a: float) -> FuseElement:
    """Return the cold resistance of one fuse with its spread, and what else is known of its element.

    Source: maker-fuse-data. A rating without a row drops as many volts as the nearest one in its family, a
    family without any 70 mV: own judgement.

    Examples
    --------
    >>> fuse_element("high-current blade", 40).cold_typical_ohm
    0.0014
    """
    if not 0 < rating_a < 10_000:
        raise OutOfRangeError("fuse_element", "rating_a", rating_a, 0, 10_000)
    name = fuse_family(family).name
    data = table("fuse_elements")
    rows = [row for row in data if row.text("family") == name]
    nearest = min(rows, key=lambda row: abs(math.log(row.number("rating_a") / rating_a)), default=None)
    if nearest is None or nearest.number("rating_a") != rating_a:
        return _guessed_element(nearest, rating_a)
    cold = nearest.number("cold_mohm") / 1000
    return FuseElement(
        cold_low_ohm=cold * (1 - _TOLERANCE),
        cold_typical_ohm=cold,
        cold_high_ohm=cold * (1 + _TOLERANCE),
        melting_a2s=nearest.maybe("melting_a2s"),
        test_cable_mm2=nearest.maybe("test_cable_mm2"),
        source=data.source_of(nearest),
        known=data.known_of(nearest),
    )


def _guessed_element(nearest: Row | None, rating_a: float) -> FuseElement:
    low_v, typical_v, high_v = _DROP_V
    near_v = typical_v if nearest is None else nearest.number("cold_mohm") / 1000 * nearest.number("rating_a")
    cold = near_v / rating_a
    return FuseElement(
        cold_low_ohm=cold * low_v / typical_v,
        cold_typical_ohm=cold,
        cold_high_ohm=cold * high_v / typical_v,
        melting_a2s=None,
        test_cable_mm2=None,
        source="own-judgement",
        known="own judgement",
    )


@remembered
def continuous_share(family: str, ambient_c: float) -> ContinuousShare | NotTabled:
    """Return the share of its rating that a fuse may carry for hours at an ambient temperature.

    Source: maker-fuse-data, re-rating tables; common-practice, the straight line between printed rows, and
    0.80 on top except where the tables hold that margin already.

    An element melts at one temperature, so its current goes with the square root of what is left up to
    there. That curve is concave: the line between two of its points never lies above it. Cooler than the
    first row counts as that row, hotter than the last one is not known.

    Examples
    --------
    By hand: type E has 40 A of 40 at 20 degC and 34 at 65; at 50 degC 40 - 6 * 30 / 45 = 36 A, and a fifth
    of margin: 0.9 * 0.8.

    >>> round(continuous_share("high-current blade", 50).share, 2)
    0.72
    """
    found = fuse_family(family)
    data = table("fuse_rerating")
    own = [row for row in data if row.text("family") == found.name]
    rows = own or [row for row in data if row.text("family") == _TIME_LAG_MODEL]
    least = _least_by_ambient(rows)
    if ambient_c > max(least):
        return NotTabled(why=f"no re-rating is known for a {found.name} at {ambient_c:g} degC")
    re_rating, from_c, to_c = _on_the_line(least, ambient_c)
    between = [row for row in rows if row.number("ambient_c") in {from_c, to_c}]
    known = weakest(*(data.known_of(row) for row in between))
    weaker = next(row for row in between if data.known_of(row) == known)
    practice = 1.0 if found.holds_margin else PRACTICE_SHARE
    return ContinuousShare(
        share=practice * re_rating,
        practice=practice,
        re_rating=re_rating,
        from_ambient_c=from_c,
        to_ambient_c=to_c,
        source=data.source_of(weaker) if own else "own-judgement",
        known=known if own else "own judgement",
    )


def _least_by_ambient(rows: list[Row]) -> dict[float, float]:
    """Least share among a family's ratings at each printed temperature, ascending."""
    least: dict[float, float] = {}
    for row in sorted(rows, key=lambda row: row.number("ambient_c")):
        ambient_c = row.number("ambient_c")
        least[ambient_c] = min(_allowed_share(row), least.get(ambient_c, 1.0))
    return least


def _on_the_line(least: dict[float, float], ambient_c: float) -> tuple[float, float, float]:
    """Share at a temperature, and the two rows that it lies between. [1, degC, degC]"""
    to_c = min(row_c for row_c in least if row_c >= ambient_c)
    from_c = max((row_c for row_c in least if row_c <= ambient_c), default=to_c)
    if from_c == to_c:
        return least[to_c], from_c, to_c
    way = (ambient_c - from_c) / (to_c - from_c)
    return least[from_c] + way * (least[to_c] - least[from_c]), from_c, to_c


def _allowed_share(row: Row) -> float:
    return row.number("allowed_a") / row.number("rating_a")


@remembered
def boat_interrupt_need(cranking_a: float) -> InterruptNeed | NotTabled:
    """Return the breaking capacity a boat's devices need by the bank's cranking rating, at 12 and 24 V. [A]

    >>> boat_interrupt_need(800).main_a, boat_interrupt_need(800).branch_a
    (3000.0, 1500.0)
    """
    if not 0 <= cranking_a < float("inf"):
        raise OutOfRangeError("boat_interrupt_need", "cranking_a", cranking_a, 0, _LIMIT_CRANKING_A)
    if cranking_a > _LIMIT_CRANKING_A:
        return NotTabled(
            why=f"above {_LIMIT_CRANKING_A:g} A cranking the bank's own short-circuit rating decides"
        )
    data = table("e11_interrupt")
    row = data.rows[bisect_right(data.numbers("cranking_from_a"), cranking_a) - 1]
    return InterruptNeed(
        main_a=row.number("main_a"), branch_a=row.number("branch_a"), source=data.source, known=data.known
    )


def pulse_share(pulses: float) -> float | NotTabled:
    """Return the share of the melting integral that a fuse stands in repeated pulses.

    Source: maker-fuse-data, fuse guide; steps up to the next tabled count.

    >>> pulse_share(1000)
    0.38
    """
    data = table("fuse_pulses")
    for row in data:
        if row.number("pulses") >= pulses:
            return row.number("share")
    return NotTabled(why=f"no share is known for {pulses:g} pulses")


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualFuse:
    """Fuse that usually goes with a wire; a check on results, never an input. [A]"""

    least_a: float
    most_a: float
    source: str
    known: str


def usual_fuse(wire: str) -> tuple[UsualFuse, ...]:
    """Return every statement of which fuse goes with a wire, such as ``14 AWG``.

    >>> [(usual.least_a, usual.most_a, usual.source) for usual in usual_fuse("14 AWG")]
    [(15.0, 15.0, 'nec-240-4'), (15.0, 20.0, 'common-practice')]
    """
    data = table("wire_fuse_practice")
    return tuple(
        UsualFuse(
            least_a=row.number("least_a"),
            most_a=row.number("most_a"),
            source=data.source_of(row),
            known=data.known_of(row),
        )
        for row in data
        if row.text("wire") == wire
    )
