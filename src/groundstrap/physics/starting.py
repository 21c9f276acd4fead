"""A start against a fuse's fastest curve: loads that start together, and what that takes of its holding time.

Each current falls from its peak to its running value, so the sum falls too and passes each gate of the fuse
once. A fuse holds as long as the times spent between its gates, each as a share of the shortest time in
which it may open there, do not add up to one.
"""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._gates import check_gates
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics._root import crossing
from groundstrap.records import dataclass

_ENDS: Final = 7.0
"""Time constants after which less than a thousandth of a decay is left."""
_FIRST: Final = 1e-4
"""First point of the grid, as a share of the shortest time in a sum of starts."""
_POINTS: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Surge:
    """A current that falls from its peak to its running value.

    With a time constant, or in a straight line over ``time_s`` where ``ramp`` says so.
    """

    peak_a: float
    running_a: float
    time_s: float
    ramp: bool = False

    @property
    def ends_s(self) -> float:
        """Time after which it only runs. [s]"""
        return self.time_s if self.ramp else _ENDS * self.time_s

    def at_a(self, time_s: float) -> float:
        """Current at a time after it was switched on. [A]"""
        left = max(0.0, 1 - time_s / self.time_s) if self.ramp else math.exp(-time_s / self.time_s)
        return self.running_a + (self.peak_a - self.running_a) * left


def _check(function: str, surges: Sequence[Surge]) -> None:
    for surge in surges:
        if not 0 < surge.time_s < math.inf:
            raise OutOfRangeError(function, "time_s", surge.time_s, 0, math.inf)
        if not 0 <= surge.running_a <= surge.peak_a < math.inf:
            raise OutOfRangeError(function, "peak_a", surge.peak_a, surge.running_a, math.inf)


@within(rest_a=NOT_NEGATIVE)
def starting_current_a(time_s: float, *, surges: Sequence[Surge], rest_a: float) -> float:
    """Current of loads that start together, beside what runs already. [A]

    Source: sum of the currents; voltages are taken to stay as they are.

    Parameters
    ----------
    time_s : float
        Time since they were switched on. [s]
    surges : sequence of Surge
        What each of them takes.
    rest_a : float
        What else flows. [A]

    Examples
    --------
    By hand: 2 + 4 + 16 / e.

    >>> pump = Surge(peak_a=20, running_a=4, time_s=0.1)
    >>> round(starting_current_a(0.1, surges=[pump], rest_a=2), 3)
    11.886
    """
    _check("starting_current_a", surges)
    return rest_a + sum(surge.at_a(time_s) for surge in surges)


@within(rating_a=POSITIVE, rest_a=NOT_NEGATIVE)
def holding_share(
    surges: Sequence[Surge],
    *,
    rating_a: float,
    rest_a: float,
    gate_multiples: Sequence[float],
    gate_least_s: Sequence[float],
) -> float:
    r"""Share that a start takes of the shortest time in which a fuse may open; from 1 on it may. [1]

    Source: own-judgement: the staircase of the lower gates with the heat integral beyond the last
    (``fuse.fastest_opening_s``), shares of times added up as for a rectangle of current.

    .. math:: \int \frac{dt}{t_{fast}(i(t))}

    What the running currents alone take is not counted: that is no matter of the start.

    Parameters
    ----------
    surges : sequence of Surge
        What the loads take that start together.
    rating_a : float
        Rating of the fuse, re-rated for the air about it. [A]
    rest_a : float
        What else flows through it. [A]
    gate_multiples : sequence of float
        Multiples of the gates that have a least time, rising. [1]
    gate_least_s : sequence of float
        Least time at each, falling. [s]

    Examples
    --------
    By hand, a start in a straight line from 30 A to 10 A in 0.4 s on a fuse of 10 A that holds 1 s up to
    twice its rating and 0.2 s up to four times: 0.2 s of it above 20 A, 0.2 s below: 0.2 / 0.2 + 0.2 / 1.

    >>> start = Surge(peak_a=30, running_a=10, time_s=0.4, ramp=True)
    >>> share = holding_share([start], rating_a=10, rest_a=0, gate_multiples=(1.0, 2.0, 4.0),
    ...                       gate_least_s=(360000, 1.0, 0.2))
    >>> round(share, 4)
    1.2
    """
    _check("holding_share", surges)
    check_gates("holding_share", gate_multiples, gate_least_s)
    first_a = rest_a + sum(surge.peak_a for surge in surges)
    if not surges or first_a <= rating_a * gate_multiples[0]:
        return 0.0
    end_s = max(surge.ends_s for surge in surges)
    after_s = _below_s(surges, rest_a, rating_a * gate_multiples[-1], end_s)
    total = 0.0
    if after_s > 0.0:
        heat_a2s = _heat_a2s(surges, rest_a, after_s)
        total = heat_a2s / (gate_least_s[-1] * (rating_a * gate_multiples[-1]) ** 2)
    for place in range(len(gate_multiples) - 1, 0, -1):
        until_s = _below_s(surges, rest_a, rating_a * gate_multiples[place - 1], end_s)
        total += (until_s - after_s) / gate_least_s[place]
        after_s = until_s
    return total - _running_share(surges, rest_a / rating_a, rating_a, gate_multiples, gate_least_s) * end_s


def _running_share(
    surges: Sequence[Surge],
    rest: float,
    rating_a: float,
    multiples: Sequence[float],
    least_s: Sequence[float],
) -> float:
    """What each second of the running currents takes where they alone lie above the first gate. [1/s]"""
    running = rest + sum(surge.running_a for surge in surges) / rating_a
    if running <= multiples[0]:
        return 0.0
    if running > multiples[-1]:
        return (running / multiples[-1]) ** 2 / least_s[-1]
    return 1 / least_s[next(place for place, gate in enumerate(multiples) if gate >= running)]


def _below_s(surges: Sequence[Surge], rest_a: float, level_a: float, end_s: float) -> float:
    """Time from which the sum stays at a level or below; the end where it runs above it. [s]"""

    def over_a(time_s: float) -> float:
        return rest_a + sum(surge.at_a(time_s) for surge in surges) - level_a

    if over_a(0.0) <= 0.0:
        return 0.0
    if over_a(end_s) >= 0.0:
        return end_s
    if len(surges) == 1:
        only = surges[0]
        left = (level_a - rest_a - only.running_a) / (only.peak_a - only.running_a)
        return only.time_s * ((1 - left) if only.ramp else -math.log(left))
    return crossing(over_a, 0.0, end_s, tolerance=1e-9 * end_s)


def _heat_a2s(surges: Sequence[Surge], rest_a: float, until_s: float) -> float:
    """Heat integral from the start to a time; starts that last very differently share one grid. [A2 s]"""
    first_s = min(_FIRST * min(surge.time_s for surge in surges), 0.5 * until_s)
    times_s = np.concatenate(([0.0], np.geomspace(first_s, until_s, _POINTS)))
    amps = np.full(times_s.shape, rest_a)
    for surge in surges:
        spans = times_s / surge.time_s
        left = np.maximum(0.0, 1 - spans) if surge.ramp else np.exp(-spans)
        amps = amps + surge.running_a + (surge.peak_a - surge.running_a) * left
    return float(np.trapezoid(amps**2, times_s))


@within(melting_a2s=POSITIVE, time_constant_s=POSITIVE)
def surge_swing(surges: Sequence[Surge], *, melting_a2s: float, time_constant_s: float) -> float:
    r"""Highest share of melting that starts add to what the running currents alone do. [1]

    Source: own-judgement: the element as one body (``pulses.share_after``), its state with the starts less
    that without them. Makers' pulse rule is about such swings, not about running currents.

    .. math:: \max_t \frac{1}{A} \int_0^t (i^2 - I^2) e^{-(t-s)/\tau} ds

    Parameters
    ----------
    surges : sequence of Surge
        What the loads take that start together; what else flows is not in it.
    melting_a2s : float
        Nominal melting integral of the fuse. [A2 s]
    time_constant_s : float
        Time constant of its element. [s]

    Examples
    --------
    A short start adds its heat integral: by hand 60^2 * 0.02 / 2 over 308, less 0.7 % lost on the way.

    >>> lamp = Surge(peak_a=60, running_a=0, time_s=0.02)
    >>> round(surge_swing([lamp], melting_a2s=308, time_constant_s=10), 4)
    0.1161
    """
    _check("surge_swing", surges)
    if not surges:
        return 0.0
    end_s = max(surge.ends_s for surge in surges)
    first_s = _FIRST * min(surge.time_s for surge in surges)
    times_s = np.concatenate(([0.0], np.geomspace(first_s, end_s, _POINTS)))
    amps = np.zeros(times_s.shape)
    for surge in surges:
        spans = times_s / surge.time_s
        left = np.maximum(0.0, 1 - spans) if surge.ramp else np.exp(-spans)
        amps = amps + surge.running_a + (surge.peak_a - surge.running_a) * left
    running_a = sum(surge.running_a for surge in surges)
    inflow = (amps**2 - running_a**2) / melting_a2s
    steps_s = np.diff(times_s)
    kept = np.exp(-steps_s / time_constant_s)
    gained = 0.5 * (inflow[:-1] * kept + inflow[1:]) * steps_s
    state = most = 0.0
    for share, gain in zip(kept.tolist(), gained.tolist(), strict=True):
        state = state * share + gain
        most = max(most, state)
    return most
