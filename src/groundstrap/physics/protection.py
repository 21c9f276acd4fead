"""Whether a fuse's slowest curve lies below everything that a conductor stands, at every current.

In logarithms the current that a conductor stands for a time is a convex function of that time: heat needs
the integral of dT / (I^2 R - P), and each part of it is convex. So the secants of a few exact points bound
the curve from below between them, and what is found holds at every current, not only at those of a grid.
"""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.physics._gates import check_gates
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics.adiabatic import ADIABATIC_S
from groundstrap.physics.transient import HEAT_SHARE_PER_RISE_PER_K, RISE_K
from groundstrap.records import dataclass

Floats = NDArray[np.float64]

_POINTS: Final = 65
_CLOSEST: Final = 1e-7
"""Nearest that an exact point comes to the current for ever, as a share of the way to that for 5 s."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Endurance:
    """What a conductor stands: for ever, for each time from 5 s on, and in less than 5 s without loss."""

    for_ever_a: float
    brief_a2s: float
    log_time_s: Floats
    log_current_a: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class HighestRating:
    """Highest rating of a fuse that saves a conductor, and the current where the two curves come closest."""

    rating_a: float
    guaranteed_a: float
    """The same by the staircase that the gates alone guarantee. [A]"""
    multiple: float
    """Of the rating, where the curves touch. [1]"""
    time_s: float
    """Slowest opening there; inf where it is the current that never opens the fuse. [s]"""


@within(
    start_rise_k=RISE_K,
    limit_rise_k=RISE_K,
    rise_k_per_a2=POSITIVE,
    coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K,
    time_constant_s=POSITIVE,
    brief_a2s=NOT_NEGATIVE,
)
def endurance(
    *,
    start_rise_k: float,
    limit_rise_k: float,
    rise_k_per_a2: float,
    coefficient_per_k: float,
    time_constant_s: float,
    brief_a2s: float,
) -> Endurance:
    """Return the current that a conductor stands for each time, as a bound from below.

    Source: ``transient.rise_after_k`` for 5 s and more, IEC 60364-5-54 without loss for less; own proof that
    the first is convex in logarithms.

    Parameters
    ----------
    start_rise_k : float
        Rise over the ambient at the start, from a pre-load. [K]
    limit_rise_k : float
        Rise that an overload may reach. [K]
    rise_k_per_a2 : float
        Resistance of a metre at ambient times thermal resistance. [K/A2]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient. [1/K]
    time_constant_s : float
        Time constant without resistance rise. [s]
    brief_a2s : float
        Heat integral to the short-circuit limit. [A2 s]

    Examples
    --------
    By hand, without resistance rise: sqrt(90 K / 0.1 K/A2) for ever.

    >>> stands = endurance(start_rise_k=0, limit_rise_k=90, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                    time_constant_s=60, brief_a2s=1e5)
    >>> round(stands.for_ever_a, 6)
    30.0
    """
    if start_rise_k >= limit_rise_k:
        nothing = np.zeros(0)
        return Endurance(for_ever_a=0.0, brief_a2s=0.0, log_time_s=nothing, log_current_a=nothing)
    steady_k = limit_rise_k / (1 + coefficient_per_k * limit_rise_k)
    # With the loss at the limit all along the heating takes no longer: this one reaches it within 5 s.
    most_k = limit_rise_k + time_constant_s * (limit_rise_k - start_rise_k) / ADIABATIC_S
    heat_k = steady_k + (most_k - steady_k) * np.geomspace(_CLOSEST, 1.0, _POINTS)
    slack = 1 - coefficient_per_k * heat_k
    slack = np.where(np.abs(slack) < 1e-9, 1e-9, slack)
    covered = (limit_rise_k - start_rise_k) / ((1 + coefficient_per_k * limit_rise_k) * (heat_k - steady_k))
    time_s = time_constant_s * np.log1p(slack * covered) / slack
    log_time_s, log_current_a = _below(np.log(time_s)[::-1], 0.5 * np.log(heat_k / rise_k_per_a2)[::-1])
    return Endurance(
        for_ever_a=math.sqrt(steady_k / rise_k_per_a2),
        brief_a2s=brief_a2s,
        log_time_s=log_time_s,
        log_current_a=log_current_a,
    )


def _below(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Points of a polygon that lies nowhere above the convex curve through these points.

    Between two points the secants of the neighbours, drawn on, meet below the curve. Before the first its
    slope is at least -1/2 (no loss), after the last at most 0 (for ever).
    """
    slope = np.diff(y) / np.diff(x)
    left = np.concatenate(([-0.5], slope[:-1]))
    right = np.concatenate((slope[1:], [0.0]))
    bend = np.maximum(right - left, 1e-12)
    met = x[:-1] + np.clip((y[:-1] - y[1:] + right * np.diff(x)) / bend, 0.0, np.diff(x))
    low = np.minimum(y[:-1] + left * (met - x[:-1]), y[1:] + right * (met - x[1:]))
    points = np.empty(2 * len(x) - 1)
    values = np.empty(2 * len(x) - 1)
    points[::2], points[1::2] = x, met
    values[::2], values[1::2] = y, low
    return points, values


def highest_rating(
    stands: Endurance, *, gate_multiples: Sequence[float], gate_most_s: Sequence[float]
) -> HighestRating:
    """Return the highest rating whose slowest curve a conductor stands at every current.

    Source: own judgement on the gates of ISO 8820 as ``fuse.slowest_opening_s`` reads them; limits by IEC
    60364-5-54 up to 5 s and ISO 6722 beyond.

    Parameters
    ----------
    stands : Endurance
        What the conductor stands.
    gate_multiples : sequence of float
        Multiples at which the fuse is sure to open, rising. [1]
    gate_most_s : sequence of float
        Most time at each, falling. [s]

    Examples
    --------
    By hand: what stands 30 A for ever and opens for sure at 1.35 times is at most 30 / 1.35.

    >>> stands = endurance(start_rise_k=0, limit_rise_k=90, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                    time_constant_s=600, brief_a2s=1e6)
    >>> found = highest_rating(stands, gate_multiples=(1.35, 2, 3.5, 6), gate_most_s=(600, 5, 0.5, 0.15))
    >>> round(found.rating_a, 3), found.multiple, found.time_s
    (22.222, 1.35, inf)
    """
    check_gates("highest_rating", gate_multiples, gate_most_s)
    first = float(gate_multiples[0])
    if stands.for_ever_a <= 0.0:
        return HighestRating(rating_a=0.0, guaranteed_a=0.0, multiple=first, time_s=math.inf)
    log_m, log_t = np.log(np.asarray(gate_multiples, float)), np.log(np.asarray(gate_most_s, float))
    x, m, stood = _meetings(stands, log_m, log_t)
    room = stood - m
    place = int(room.argmin()) if len(room) else -1
    never = math.log(stands.for_ever_a / first)
    chord = min(never, float(room[place])) if len(room) else never
    on_chord = len(room) > 0 and room[place] < never
    # Just before the next gate the staircase still has the time of this one.
    steps = _stands_log_a(stands, log_t)[:-1] - log_m[1:]
    return HighestRating(
        rating_a=math.exp(chord),
        guaranteed_a=math.exp(min(chord, float(steps.min()) if len(steps) else chord)),
        multiple=math.exp(float(m[place])) if on_chord else first,
        time_s=math.exp(float(x[place])) if on_chord else math.inf,
    )


def _meetings(stands: Endurance, log_m: Floats, log_t: Floats) -> tuple[Floats, Floats, Floats]:
    """Times at which the curves can come closest, with the fuse's multiple and what the conductor stands.

    Both sides are straight between these: corners of the bound, gates, and 5 s by either limit. Beyond the
    last gate both fall with the heat integral where nothing is lost, so no shorter time is needed.
    """
    edge = math.log(ADIABATIC_S)
    corners = stands.log_time_s
    inner = corners[(corners > edge) & (corners < log_t[0])]
    at_edge = np.array([edge]) if edge < log_t[0] else np.zeros(0)
    slow = np.concatenate((inner, at_edge))
    x = np.concatenate((slow, at_edge, log_t))
    m = np.concatenate((_log_multiple(np.concatenate((slow, at_edge)), log_m, log_t), log_m))
    lossy = np.interp(slow, corners, stands.log_current_a, right=math.log(stands.for_ever_a))
    brief = 0.5 * (math.log(stands.brief_a2s) - at_edge) if stands.brief_a2s > 0.0 else at_edge - np.inf
    return x, m, np.concatenate((lossy, brief, _stands_log_a(stands, log_t)))


def _log_multiple(x: Floats, log_m: Floats, log_t: Floats) -> Floats:
    """Multiple at which the fuse takes a time, by the chord and beyond the last gate by its integral."""
    between = np.interp(x, log_t[::-1], log_m[::-1])
    return np.where(x < log_t[-1], log_m[-1] + 0.5 * (log_t[-1] - x), between)


def _stands_log_a(stands: Endurance, x: Floats) -> Floats:
    """Current that the conductor stands for a time, by the limit of that time."""
    with np.errstate(divide="ignore"):
        brief = 0.5 * (np.log(stands.brief_a2s) - x)
    lossy = np.interp(x, stands.log_time_s, stands.log_current_a, right=math.log(stands.for_ever_a))
    return np.where(x <= math.log(ADIABATIC_S) + 1e-12, brief, lossy)
