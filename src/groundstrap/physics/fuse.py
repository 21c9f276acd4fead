"""Opening time of a fuse from its gates.

A gate is a multiple of the rating with the least and the most time in which a fuse may open there. The
slowest fuse decides whether a wire is protected, the fastest whether a load starts. Gates come from tables
or from a maker's curve.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._gates import check_gates
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.records import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Slowest:
    """Longest time to opening at one current: by the curve between the gates, and as the gates guarantee."""

    chord_s: float
    guaranteed_s: float


@within(multiple=NOT_NEGATIVE)
def slowest_opening_s(
    multiple: float, *, gate_multiples: Sequence[float], gate_most_s: Sequence[float]
) -> Slowest:
    """Longest time in which a fuse opens; inf below the first gate, where it may never. [s]

    Source: own judgement on the gates of ISO 8820: between gates the straight line in logarithms (single
    thermal elements are convex there), beyond the last gate its heat integral; beside it the staircase that
    the gates alone guarantee.

    Parameters
    ----------
    multiple : float
        Current over rating. [1]
    gate_multiples : sequence of float
        Multiples at which the fuse is sure to open, rising. [1]
    gate_most_s : sequence of float
        Most time at each, falling. [s]

    Examples
    --------
    ISO 8820-3 type C: at 2 times within 5 s, at 3.5 times within 0.5 s; halfway in logarithms sqrt(2.5) s.

    >>> slow = slowest_opening_s(7**0.5, gate_multiples=(1.35, 2, 3.5, 6), gate_most_s=(600, 5, 0.5, 0.15))
    >>> round(slow.chord_s, 4), slow.guaranteed_s
    (1.5811, 5.0)
    """
    check_gates("slowest_opening_s", gate_multiples, gate_most_s)
    if multiple < gate_multiples[0]:
        return Slowest(chord_s=math.inf, guaranteed_s=math.inf)
    if multiple >= gate_multiples[-1]:
        time_s = gate_most_s[-1] * (gate_multiples[-1] / multiple) ** 2
        return Slowest(chord_s=time_s, guaranteed_s=time_s)
    left = bisect_right(gate_multiples, multiple) - 1
    share = math.log(multiple / gate_multiples[left]) / math.log(
        gate_multiples[left + 1] / gate_multiples[left]
    )
    chord_s = gate_most_s[left] * (gate_most_s[left + 1] / gate_most_s[left]) ** share
    return Slowest(chord_s=chord_s, guaranteed_s=float(gate_most_s[left]))


@within(multiple=NOT_NEGATIVE)
def fastest_opening_s(
    multiple: float, *, gate_multiples: Sequence[float], gate_least_s: Sequence[float]
) -> float:
    """Shortest time in which a fuse may open: the staircase of the lower gates. [s]

    Source: own judgement on the gates of ISO 8820: at a current between two gates it opens no sooner than at
    the upper one; beyond the last gate its heat integral.

    Parameters
    ----------
    multiple : float
        Current over rating. [1]
    gate_multiples : sequence of float
        Multiples of the gates that have a least time, rising. [1]
    gate_least_s : sequence of float
        Least time at each, falling. [s]

    Examples
    --------
    Held for 100 h at 1.1 times, at least 0.75 s at 1.35 times: at 1.2 times at least 0.75 s.

    >>> fastest_opening_s(1.2, gate_multiples=(1.1, 1.35, 2), gate_least_s=(360000, 0.75, 0.15))
    0.75
    """
    check_gates("fastest_opening_s", gate_multiples, gate_least_s)
    if multiple > gate_multiples[-1]:
        return gate_least_s[-1] * (gate_multiples[-1] / multiple) ** 2
    return float(gate_least_s[bisect_left(gate_multiples, multiple)])


@within(time_s=POSITIVE)
def multiple_sure_to_open(
    time_s: float, *, gate_multiples: Sequence[float], gate_most_s: Sequence[float]
) -> float:
    """Smallest multiple of the rating that opens a fuse within a time, by the chord. [1]

    Source: ``slowest_opening_s`` solved for the multiple.

    Parameters
    ----------
    time_s : float
        Time allowed. [s]
    gate_multiples : sequence of float
        Multiples at which the fuse is sure to open, rising. [1]
    gate_most_s : sequence of float
        Most time at each, falling. [s]

    Examples
    --------
    >>> multiple_sure_to_open(5, gate_multiples=(1.35, 2, 3.5, 6), gate_most_s=(600, 5, 0.5, 0.15))
    2.0
    """
    check_gates("multiple_sure_to_open", gate_multiples, gate_most_s)
    if time_s >= gate_most_s[0]:
        return float(gate_multiples[0])
    if time_s <= gate_most_s[-1]:
        return gate_multiples[-1] * math.sqrt(gate_most_s[-1] / time_s)
    right = next(place for place, most_s in enumerate(gate_most_s) if most_s <= time_s)
    slow_s, quick_s = gate_most_s[right - 1], gate_most_s[right]
    share = math.log(time_s / slow_s) / math.log(quick_s / slow_s)
    return float(gate_multiples[right - 1] * (gate_multiples[right] / gate_multiples[right - 1]) ** share)


@within(pulse_a=NOT_NEGATIVE, time_s=NOT_NEGATIVE, shape=(0.1, 1.0))
def pulse_let_through_a2s(pulse_a: float, time_s: float, *, shape: float) -> float:
    """Heat integral of a starting pulse. [A2 s]

    Source: integral of the current squared: 1 for a rectangle, 1/2 for a half sine or an exponential decay
    (time constant), 1/3 for a ramp.

    Parameters
    ----------
    pulse_a : float
        Highest current. [A]
    time_s : float
        How long it lasts. [s]
    shape : float
        Share of the rectangle. [1]

    Examples
    --------
    By hand: 90^2 * 0.040 / 2.

    >>> pulse_let_through_a2s(90, 0.040, shape=0.5)
    162.0
    """
    return shape * pulse_a**2 * time_s


@within(melting_a2s=POSITIVE, pulses=(1.0, 1e6))
def pulse_budget_a2s(melting_a2s: float, *, pulses: float) -> float:
    """Heat integral that a fuse stands so many times. [A2 s]

    Source: fuse makers' pulse rule: 0.48, 0.38, 0.29, 0.22 of the melting integral for 100, 1,000, 10,000,
    100,000 pulses with 10 s between them; the next larger number counts, and more than 100,000 is refused.

    Parameters
    ----------
    melting_a2s : float
        Nominal melting integral of the fuse. [A2 s]
    pulses : float
        Number of pulses in its life. [1]

    Examples
    --------
    By hand: 0.38 * 308.

    >>> round(pulse_budget_a2s(308, pulses=1000), 2)
    117.04
    """
    for most, share in ((100, 0.48), (1_000, 0.38), (10_000, 0.29), (100_000, 0.22)):
        if pulses <= most:
            return share * melting_a2s
    raise OutOfRangeError("pulse_budget_a2s", "pulses", pulses, 1, 100_000)


@within(ambient_c=(-60.0, 150.0), tested_c=(-60.0, 150.0), melts_c=(150.0, 1100.0))
def cold_growth(ambient_c: float, *, tested_c: float, melts_c: float) -> float:
    r"""Share by which the current that melts an element grows in air colder than that of its test. [1]

    Source: heat that leaves the element grows with its rise; in warmer air no credit is given, own judgement.

    .. math:: g = \sqrt{\frac{\theta_m - \theta_a}{\theta_m - \theta_{test}}} \ge 1

    Parameters
    ----------
    ambient_c : float
        Air about the fuse. [degC]
    tested_c : float
        Air in which its gates were taken. [degC]
    melts_c : float
        Melting point of the element. [degC]

    Examples
    --------
    Zinc at -30 degC, by hand: sqrt(449.5 / 396.5).

    >>> round(cold_growth(-30, tested_c=23, melts_c=419.5), 4)
    1.0647
    """
    return max(1.0, math.sqrt((melts_c - ambient_c) / (melts_c - tested_c)))
