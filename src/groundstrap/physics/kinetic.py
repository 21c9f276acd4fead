"""Two wells of charge: what a battery gives at once, and what it gives only in time.

Charge stands in two wells that are joined. Current flows out of the available one; the bound one refills it
at a rate in proportion to the difference of their heads. Hard use finds the battery empty early, rest brings
some back: both follow by themselves. A current that discharges is positive.
"""

import math
from collections.abc import Sequence
from typing import Final, Generic

import numpy as np

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Array, Num, expm1, like
from groundstrap.physics._range import ANY_FINITE, NOT_NEGATIVE, POSITIVE, within
from groundstrap.records import dataclass

SHARE: Final = (1e-6, 1.0)
"""Share of the charge in the available well, 1 for a battery that gives everything at any rate. [1]"""

_RATES_PER_H: Final = (1e-3, 1e3)
_GRID: Final = 241
_GOLDEN: Final = (math.sqrt(5) - 1) / 2
_NEWTON_STEPS: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Wells(Generic[Num]):
    """Charge in the two wells. [Ah]"""

    available_ah: Num
    bound_ah: Num


@dataclass(frozen=True, slots=True, kw_only=True)
class WellFit:
    """Parameters of the two wells that meet given capacities, and by how much they miss them."""

    total_ah: float
    share: float
    rate_per_h: float
    worst_pct: float
    """Largest miss of one capacity. [%]"""
    rms_pct: float


@within(charge_ah=ANY_FINITE, share=SHARE)
def rested_wells(charge_ah: Num, *, share: float) -> Wells[Num]:
    """Both wells of a battery that has rested, at one head. [Ah]

    Source: kinetic-battery-model; by definition of the share.

    Parameters
    ----------
    charge_ah : float
        Charge in both wells. [Ah]
    share : float
        Share of the available well. [1]

    Examples
    --------
    By hand: 0.4 of 50 Ah, and the rest.

    >>> rested_wells(50.0, share=0.4)
    Wells(available_ah=20.0, bound_ah=30.0)
    """
    available = share * charge_ah
    return Wells(available_ah=available, bound_ah=charge_ah - available)


@within(
    available_ah=ANY_FINITE,
    bound_ah=ANY_FINITE,
    current_a=ANY_FINITE,
    hours=NOT_NEGATIVE,
    share=SHARE,
    rate_per_h=POSITIVE,
)
def wells_after(
    available_ah: Num, bound_ah: Num, *, current_a: Num, hours: Num, share: float, rate_per_h: float
) -> Wells[Num]:
    r"""Both wells after a time at one current, in closed form. [Ah]

    Source: kinetic-battery-model. Less than nothing in the available well means that the current cannot flow
    for so long: ask `largest_discharge_a` or `hours_to_available` first.

    .. math:: q_1(t) = q_1 e^{-kt} + \frac{(q k c - I)(1 - e^{-kt}) - I c (kt - 1 + e^{-kt})}{k}

    Parameters
    ----------
    available_ah : float
        Available charge at the beginning. [Ah]
    bound_ah : float
        Bound charge at the beginning. [Ah]
    current_a : float
        Constant current, positive out of the battery. [A]
    hours : float
        Time. [h]
    share : float
        Share of the available well, c. [1]
    rate_per_h : float
        Rate at which the wells level out, k. [1/h]

    Examples
    --------
    By hand: level wells stay level at rest; 5 A for 2 h takes 10 Ah from both together.

    >>> wells_after(20.0, 30.0, current_a=0.0, hours=9.0, share=0.4, rate_per_h=0.5)
    Wells(available_ah=20.0, bound_ah=30.0)
    >>> w = wells_after(20.0, 30.0, current_a=5.0, hours=2.0, share=0.4, rate_per_h=0.5)
    >>> round(w.available_ah, 4), round(w.available_ah + w.bound_ah, 9)
    (12.2073, 40.0)
    """
    charge = available_ah + bound_ah
    kt = rate_per_h * hours
    gone = -expm1(-kt)  # 1 - e^-kt, exact for short times too
    fed = (charge * rate_per_h * share - current_a) * gone - current_a * share * (kt - gone)
    available = available_ah * (1 - gone) + fed / rate_per_h
    # The bound well from the sum: no charge is made or lost by rounding.
    return Wells(available_ah=available, bound_ah=charge - current_a * hours - available)


@within(available_ah=ANY_FINITE, bound_ah=ANY_FINITE, hours=POSITIVE, share=SHARE, rate_per_h=POSITIVE)
def largest_discharge_a(
    available_ah: Num, bound_ah: Num, *, hours: Num, share: float, rate_per_h: float
) -> Num:
    """Largest current that flows for a time; it empties the available well just then. [A]

    Source: kinetic-battery-model, with nothing left in the available well.

    Parameters
    ----------
    available_ah : float
        Available charge at the beginning. [Ah]
    bound_ah : float
        Bound charge at the beginning. [Ah]
    hours : float
        Time. [h]
    share : float
        Share of the available well. [1]
    rate_per_h : float
        Rate at which the wells level out. [1/h]

    Examples
    --------
    By hand: within no time at all only the available 20 Ah flow, 20 / 1e-6.

    >>> round(largest_discharge_a(20.0, 30.0, hours=1e-6, share=0.4, rate_per_h=0.5) * 1e-6, 5)
    20.0
    """
    return _largest_a(available_ah, available_ah + bound_ah, hours, share, rate_per_h)


@within(
    available_ah=ANY_FINITE,
    bound_ah=ANY_FINITE,
    total_ah=POSITIVE,
    hours=POSITIVE,
    share=SHARE,
    rate_per_h=POSITIVE,
)
def largest_charge_a(
    available_ah: Num, bound_ah: Num, *, total_ah: Num, hours: Num, share: float, rate_per_h: float
) -> Num:
    """Largest current that may flow in for a time; it fills the available well just then. [A]

    Source: kinetic-battery-model, with the available well full: what is missing from both, discharged.

    Parameters
    ----------
    available_ah : float
        Available charge at the beginning. [Ah]
    bound_ah : float
        Bound charge at the beginning. [Ah]
    total_ah : float
        Charge of both wells when full. [Ah]
    hours : float
        Time. [h]
    share : float
        Share of the available well. [1]
    rate_per_h : float
        Rate at which the wells level out. [1/h]

    Examples
    --------
    A full one takes nothing.

    >>> largest_charge_a(40.0, 60.0, total_ah=100.0, hours=1.0, share=0.4, rate_per_h=0.5)
    0.0
    """
    missing = total_ah - (available_ah + bound_ah)
    return _largest_a(share * total_ah - available_ah, missing, hours, share, rate_per_h)


def _largest_a(available: Num, charge: Num, hours: Num, share: float, rate_per_h: float) -> Num:
    kt = rate_per_h * hours
    gone = -expm1(-kt)
    return rate_per_h * (available * (1 - gone) + charge * share * gone) / (gone + share * (kt - gone))


@within(total_ah=POSITIVE, hours=POSITIVE, share=SHARE, rate_per_h=POSITIVE)
def capacity_in_time_ah(total_ah: Num, *, hours: Num, share: float, rate_per_h: float) -> Num:
    r"""Capacity of a full battery at the constant current that empties it in a time. [Ah]

    Source: kinetic-battery-model.

    .. math:: C(T) = \frac{q_m k c T}{1 - e^{-kT} + c (kT - 1 + e^{-kT})}

    Parameters
    ----------
    total_ah : float
        Charge of both wells when full. [Ah]
    hours : float
        Time in which it is empty. [h]
    share : float
        Share of the available well. [1]
    rate_per_h : float
        Rate at which the wells level out. [1/h]

    Examples
    --------
    By hand: for ever so long it is everything, at once it is the available well.

    >>> round(capacity_in_time_ah(100.0, hours=1e9, share=0.4, rate_per_h=0.5), 3)
    100.0
    >>> round(capacity_in_time_ah(100.0, hours=1e-9, share=0.4, rate_per_h=0.5), 3)
    40.0
    """
    kt = rate_per_h * hours
    gone = -expm1(-kt)
    return total_ah * share * kt / (gone + share * (kt - gone))


@within(total_ah=POSITIVE, current_a=POSITIVE, share=SHARE, rate_per_h=POSITIVE)
def capacity_at_current_ah(total_ah: Num, *, current_a: Num, share: float, rate_per_h: float) -> Num:
    """Capacity of a full battery at a constant current. [Ah]

    Source: kinetic-battery-model, solved for the time by Newton's method.

    Parameters
    ----------
    total_ah : float
        Charge of both wells when full. [Ah]
    current_a : float
        Current out of it. [A]
    share : float
        Share of the available well. [1]
    rate_per_h : float
        Rate at which the wells level out. [1/h]

    Examples
    --------
    The current that empties it in 4 h gives the capacity of 4 h; by hand: 80 / (0.8647 + 0.4 * 1.1353).

    >>> four = capacity_in_time_ah(100.0, hours=4.0, share=0.4, rate_per_h=0.5)
    >>> round(four, 3), round(capacity_at_current_ah(100.0, current_a=four / 4, share=0.4, rate_per_h=0.5), 3)
    (60.661, 60.661)
    """
    full = share * total_ah
    hours = hours_to_available(
        full, total_ah - full, left_ah=0 * full, current_a=current_a, share=share, rate_per_h=rate_per_h
    )
    return current_a * hours


@within(
    available_ah=ANY_FINITE,
    bound_ah=ANY_FINITE,
    left_ah=ANY_FINITE,
    current_a=POSITIVE,
    share=SHARE,
    rate_per_h=POSITIVE,
)
def hours_to_available(
    available_ah: Num, bound_ah: Num, *, left_ah: Num, current_a: Num, share: float, rate_per_h: float
) -> Num:
    """Hours until so much is left in the available well at a constant current out of it. [h]

    Source: kinetic-battery-model. Newton's method from the side on which the curve's bend keeps it from
    passing the answer; 0 where there is no more than that already.

    Parameters
    ----------
    available_ah : float
        Available charge at the beginning. [Ah]
    bound_ah : float
        Bound charge at the beginning. [Ah]
    left_ah : float
        Available charge at the end; 0 is empty. [Ah]
    current_a : float
        Current out of the battery. [A]
    share : float
        Share of the available well. [1]
    rate_per_h : float
        Rate at which the wells level out. [1/h]

    Examples
    --------
    With everything available it is charge over current.

    >>> round(hours_to_available(50.0, 0.0, left_ah=10.0, current_a=8.0, share=1.0, rate_per_h=0.5), 9)
    5.0
    """
    charge = available_ah + bound_ah
    # q1(t) = level + bend e^-kt - I c t
    bend = available_ah - share * charge + current_a * (1 - share) / rate_per_h
    level = available_ah - bend
    falls = current_a * share
    # Convex: from the left. Concave: from where even the tangent at infinity has passed.
    hours = np.where(bend > 0, 0.0, np.maximum(level - left_ah, 0.0) / falls)
    over = np.asarray(available_ah <= left_ah)
    for _ in range(_NEWTON_STEPS):
        shrunk = np.exp(-rate_per_h * hours)
        miss = level + bend * shrunk - falls * hours - left_ah
        step = miss / (rate_per_h * bend * shrunk + falls)
        hours = np.where(over, 0.0, hours + step)
        if np.all(over | (np.abs(step) <= 1e-13 * (1e-3 + hours))):
            break
    return like(hours, available_ah)


def fit_wells(hours: Sequence[float], capacities_ah: Sequence[float], *, exact: int | None = None) -> WellFit:
    """Two wells that give given capacities in given times, each missed by the same measure in per cent.

    Source: kinetic-battery-model. For a rate k, one over the capacity is a straight line in the other two
    parameters: least squares there, and a golden-section search for k.

    Parameters
    ----------
    hours : sequence of float
        Times in which the battery is emptied, three or more. [h]
    capacities_ah : sequence of float
        Capacity in each. [Ah]
    exact : int or None
        Number of the capacity, from 0, that is to be met exactly; none: all are missed alike.

    Examples
    --------
    It finds what capacities were made from.

    >>> times = (1.0, 5.0, 20.0)
    >>> made = [capacity_in_time_ah(100.0, hours=t, share=0.4, rate_per_h=0.5) for t in times]
    >>> found = fit_wells(times, made)
    >>> round(found.total_ah, 3), round(found.share, 4), round(found.rate_per_h, 4)
    (100.0, 0.4, 0.5)
    """
    if len(hours) < 3 or len(hours) != len(capacities_ah):
        raise OutOfRangeError(
            "fit_wells", "number of capacities", len(capacities_ah), max(3, len(hours)), 1e6
        )
    for name, values in (("hours", hours), ("capacities_ah", capacities_ah)):
        if min(values) <= 0:
            raise OutOfRangeError("fit_wells", name, min(values), *POSITIVE)
    given = _Given(
        hours=np.asarray(hours, dtype=float), ah=np.asarray(capacities_ah, dtype=float), exact=exact
    )
    rate = _best_rate(given)
    line = given.line(rate)
    total = 1 / line.level
    share = 1 / (1 + line.slope * total * rate)
    made = capacity_in_time_ah(
        np.full_like(given.hours, total), hours=given.hours, share=share, rate_per_h=rate
    )
    miss = 100 * np.abs(made / given.ah - 1)
    return WellFit(
        total_ah=total,
        share=share,
        rate_per_h=rate,
        worst_pct=float(miss.max()),
        rms_pct=float(np.sqrt(np.mean(miss**2))),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """1 / C = slope (1 - e^-kT) / T + level."""

    slope: float
    level: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Given:
    hours: Array
    ah: Array
    exact: int | None

    def line(self, rate_per_h: float) -> _Line:
        """Least squares, weighted so that each capacity counts by its own size."""
        early = -np.expm1(-rate_per_h * self.hours) / self.hours
        if self.exact is None:
            columns = np.stack([early * self.ah, self.ah], axis=1)
            found = np.linalg.lstsq(columns, np.ones_like(self.ah), rcond=None)[0]
            return _Line(slope=float(found[0]), level=float(found[1]))
        at, level = float(early[self.exact]), 1 / float(self.ah[self.exact])
        column = self.ah * (early - at)
        slope = float(column @ (1 - self.ah * level) / (column @ column))
        return _Line(slope=slope, level=level - slope * at)

    def miss(self, rate_per_h: float) -> float:
        line = self.line(rate_per_h)
        early = -np.expm1(-rate_per_h * self.hours) / self.hours
        misses = self.ah * (line.slope * early + line.level) - 1
        return float(misses @ misses)


def _best_rate(given: _Given) -> float:
    grid = np.geomspace(*_RATES_PER_H, _GRID)
    best = min(range(_GRID), key=lambda number: given.miss(float(grid[number])))
    low, high = math.log(grid[max(best - 1, 0)]), math.log(grid[min(best + 1, _GRID - 1)])
    while high - low > 1e-10:
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        if given.miss(math.exp(left)) < given.miss(math.exp(right)):
            high = right
        else:
            low = left
    return math.exp((low + high) / 2)
