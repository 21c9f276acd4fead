"""How a conductor heats in time: from a pre-load, for a short while, in a train of pulses.

One body, one thermal resistance to the ambient, resistance rising with temperature: the temperature then
follows an exponential whose speed and end depend on the heat share ``x = kappa I^2``. With x at 1 or above
no end exists and the temperature rises without bound; such answers are ``math.inf``.
"""

import math
from collections.abc import Callable
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._range import (
    NOT_NEGATIVE,
    NOT_NEGATIVE_OR_ENDLESS,
    POSITIVE,
    POSITIVE_OR_ENDLESS,
    within,
)
from groundstrap.physics._root import crossing

RISE_K: Final = (0.0, 2000.0)
HEAT_SHARE_PER_RISE_PER_K: Final = (0.0, 0.01)


@within(
    conductor_area_mm2=POSITIVE,
    conductor_j_per_m3_k=(1e5, 1e7),
    insulation_area_mm2=NOT_NEGATIVE,
    insulation_j_per_m3_k=(1e5, 1e7),
)
def heat_capacity_j_per_m_k(
    conductor_area_mm2: float,
    insulation_area_mm2: float,
    *,
    conductor_j_per_m3_k: float,
    insulation_j_per_m3_k: float,
) -> float:
    """Heat that warms a metre of cable by a kelvin. [J/(m K)]

    Source: sum of the parts; 3.45e6 J/(m3 K) for copper is that of IEC 60364-5-54 annex A.

    Parameters
    ----------
    conductor_area_mm2 : float
        Metal cross-section. [mm2]
    insulation_area_mm2 : float
        Cross-section of the insulation; 0 for a bare conductor. [mm2]
    conductor_j_per_m3_k : float
        Volumetric heat of the metal. [J/(m3 K)]
    insulation_j_per_m3_k : float
        Volumetric heat of the insulation. [J/(m3 K)]

    Examples
    --------
    By hand: 1.5e-6 * 3.45e6 + 4.5e-6 * 1.7e6.

    >>> round(heat_capacity_j_per_m_k(1.5, 4.5, conductor_j_per_m3_k=3.45e6, insulation_j_per_m3_k=1.7e6), 3)
    12.825
    """
    return (conductor_area_mm2 * conductor_j_per_m3_k + insulation_area_mm2 * insulation_j_per_m3_k) / 1e6


@within(conductor_d_mm=POSITIVE, outer_d_mm=POSITIVE)
def ring_area_mm2(conductor_d_mm: float, outer_d_mm: float) -> float:
    """Cross-section of the insulation about a conductor. [mm2]

    Source: geometry of the circle.

    Parameters
    ----------
    conductor_d_mm : float
        Diameter under the insulation. [mm]
    outer_d_mm : float
        Diameter over it. [mm]

    Examples
    --------
    By hand: pi/4 * (3.0^2 - 1.8^2).

    >>> round(ring_area_mm2(1.8, 3.0), 3)
    4.524
    """
    return math.pi / 4 * (outer_d_mm**2 - conductor_d_mm**2)


@within(heat_capacity_j_per_m_k=POSITIVE, thermal_resistance_k_m_per_w=POSITIVE)
def time_constant_s(heat_capacity_j_per_m_k: float, thermal_resistance_k_m_per_w: float) -> float:
    """Time constant of a cable whose resistance would not rise. [s]

    Source: one body of uniform temperature (the Biot number of wires is well under 0.1).

    Parameters
    ----------
    heat_capacity_j_per_m_k : float
        Heat that warms a metre by a kelvin. [J/(m K)]
    thermal_resistance_k_m_per_w : float
        Rise for each watt per metre. [K m/W]

    Examples
    --------
    By hand: 12.9 * 4.825.

    >>> round(time_constant_s(12.9, 4.825), 1)
    62.2
    """
    return heat_capacity_j_per_m_k * thermal_resistance_k_m_per_w


@within(capacity_a=POSITIVE, limit_rise_k=(1e-3, 2000.0), coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K)
def rise_of_capacity_k_per_a2(capacity_a: float, limit_rise_k: float, *, coefficient_per_k: float) -> float:
    """Rise for each ampere squared of a conductor whose published current capacity is known. [K/A2]

    Source: ``rise_after_k`` for ever, solved for its constant: at the capacity the conductor settles at its
    limit. So the table decides and the law gives only the shape in time.

    Parameters
    ----------
    capacity_a : float
        Continuous current that brings the conductor to its limit. [A]
    limit_rise_k : float
        Rise of the limit over the ambient. [K]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient. [1/K]

    Examples
    --------
    By hand, without resistance rise: 40 K / (20 A)^2.

    >>> rise_of_capacity_k_per_a2(20, 40, coefficient_per_k=0.0)
    0.1
    """
    return limit_rise_k / (1 + coefficient_per_k * limit_rise_k) / capacity_a**2


@within(
    current_a=NOT_NEGATIVE,
    time_s=NOT_NEGATIVE_OR_ENDLESS,
    start_rise_k=RISE_K,
    rise_k_per_a2=POSITIVE,
    coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K,
    time_constant_s=POSITIVE,
)
def rise_after_k(
    current_a: float,
    time_s: float,
    *,
    start_rise_k: float,
    rise_k_per_a2: float,
    coefficient_per_k: float,
    time_constant_s: float,
) -> float:
    r"""Rise of a conductor over its ambient after a time at a current; inf where it has no end. [K]

    Source: C dr/dt = I^2 R0 (1 + alpha' r) - r / R_th, one body; solved in closed form.

    .. math:: r(t) = r_0 e^{-s u} + a \frac{1 - e^{-s u}}{s}, \quad a = I^2 R'_0 R'_{th},
        \; s = 1 - \alpha' a, \; u = t / \tau

    Parameters
    ----------
    current_a : float
        Current from the start on. [A]
    time_s : float
        How long it flows; inf for ever. [s]
    start_rise_k : float
        Rise over the ambient at the start, from a pre-load. [K]
    rise_k_per_a2 : float
        Resistance of a metre at ambient times thermal resistance: the rise for each ampere squared before
        the resistance rises. [K/A2]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient (alpha'). [1/K]
    time_constant_s : float
        Time constant without resistance rise. [s]

    Examples
    --------
    Without resistance rise, after one time constant, 1 - 1/e of the end: 40 K * 0.63212.

    >>> round(rise_after_k(20, 60, start_rise_k=0, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                    time_constant_s=60), 3)
    25.285
    """
    unhindered_k = current_a**2 * rise_k_per_a2
    return _rise_after(unhindered_k, start_rise_k, coefficient_per_k, time_s / time_constant_s)


def _rise_after(unhindered_k: float, start_k: float, coefficient_per_k: float, spans: float) -> float:
    """Closed form over ``spans`` time constants; the exponent is kept from overflowing."""
    slack = 1 - coefficient_per_k * unhindered_k
    if math.isinf(spans):
        return unhindered_k / slack if slack > 0 else math.inf
    exponent = -slack * spans
    if exponent > 700:
        return math.inf if unhindered_k > 0 or start_k > 0 else 0.0
    gained = spans if slack == 0 else -math.expm1(exponent) / slack
    return start_k * math.exp(exponent) + unhindered_k * gained


@within(
    current_a=NOT_NEGATIVE,
    limit_rise_k=RISE_K,
    start_rise_k=RISE_K,
    rise_k_per_a2=POSITIVE,
    coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K,
    time_constant_s=POSITIVE,
)
def time_to_rise_s(
    current_a: float,
    limit_rise_k: float,
    *,
    start_rise_k: float,
    rise_k_per_a2: float,
    coefficient_per_k: float,
    time_constant_s: float,
) -> float:
    """Time after which a conductor reaches a rise over its ambient; inf where it never does. [s]

    Source: ``rise_after_k`` solved for the time. 0 where the conductor starts at the limit or above.

    Parameters
    ----------
    current_a : float
        Current from the start on. [A]
    limit_rise_k : float
        Rise that is looked for. [K]
    start_rise_k : float
        Rise over the ambient at the start. [K]
    rise_k_per_a2 : float
        Resistance of a metre at ambient times thermal resistance. [K/A2]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient. [1/K]
    time_constant_s : float
        Time constant without resistance rise. [s]

    Examples
    --------
    Half of the end is reached after tau ln 2.

    >>> round(time_to_rise_s(20, 20, start_rise_k=0, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                      time_constant_s=60), 3)
    41.589
    """
    if start_rise_k >= limit_rise_k:
        return 0.0
    unhindered_k = current_a**2 * rise_k_per_a2
    slack = 1 - coefficient_per_k * unhindered_k
    speed_at_limit = unhindered_k - slack * limit_rise_k
    if speed_at_limit <= 0:
        return math.inf
    if abs(slack) < 1e-12:
        return time_constant_s * (limit_rise_k - start_rise_k) / unhindered_k
    covered = slack * (limit_rise_k - start_rise_k) / speed_at_limit
    return time_constant_s * math.log1p(covered) / slack


@within(
    limit_rise_k=RISE_K,
    time_s=POSITIVE_OR_ENDLESS,
    start_rise_k=RISE_K,
    rise_k_per_a2=POSITIVE,
    coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K,
    time_constant_s=POSITIVE,
)
def short_time_current_a(
    limit_rise_k: float,
    time_s: float,
    *,
    start_rise_k: float,
    rise_k_per_a2: float,
    coefficient_per_k: float,
    time_constant_s: float,
) -> float:
    """Current that brings a conductor to a rise in a time; 0 where it starts at the limit or above. [A]

    Source: ``rise_after_k`` solved for the current, by search.

    Parameters
    ----------
    limit_rise_k : float
        Rise over the ambient that is allowed. [K]
    time_s : float
        How long the current flows; inf for ever. [s]
    start_rise_k : float
        Rise over the ambient at the start. [K]
    rise_k_per_a2 : float
        Resistance of a metre at ambient times thermal resistance. [K/A2]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient. [1/K]
    time_constant_s : float
        Time constant without resistance rise. [s]

    Examples
    --------
    By hand, without resistance rise, from cold, one time constant: 20 A / sqrt(1 - 1/e).

    >>> round(short_time_current_a(40, 60, start_rise_k=0, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                            time_constant_s=60), 3)
    25.155
    """
    if start_rise_k >= limit_rise_k:
        return 0.0
    spans = time_s / time_constant_s
    return _current_for(
        lambda unhindered_k: _rise_after(unhindered_k, start_rise_k, coefficient_per_k, spans),
        limit_rise_k,
        spans,
        rise_k_per_a2,
    )


def _current_for(
    rise_of: Callable[[float], float], limit_rise_k: float, spans: float, rise_k_per_a2: float
) -> float:
    """Search the current at which a rise that grows with I^2 meets the limit within so many time constants.

    Without resistance rise and from cold the limit needs the most current: that is the upper end.
    """
    if rise_of(0.0) >= limit_rise_k:
        return 0.0
    most_k = limit_rise_k / -math.expm1(-spans)
    unhindered_k = crossing(
        lambda x: min(rise_of(x), 1e9) - limit_rise_k, 0.0, most_k * (1 + 1e-9), tolerance=1e-14 * most_k
    )
    return math.sqrt(unhindered_k / rise_k_per_a2)


@within(continuous_a=POSITIVE, preload_a=NOT_NEGATIVE, time_s=POSITIVE, time_constant_s=POSITIVE)
def short_time_current_simple_a(
    continuous_a: float, time_s: float, *, preload_a: float, time_constant_s: float
) -> float:
    r"""Short-time rating by the textbook form, in which the resistance does not rise. [A]

    Source: textbook form, from memory. Kept to compare; within 10 % of
    ``short_time_current_a``.

    .. math:: I_t = I_c \sqrt{\frac{1 - (I_0 / I_c)^2 e^{-t/\tau}}{1 - e^{-t/\tau}}}

    Parameters
    ----------
    continuous_a : float
        Continuous current capacity. [A]
    time_s : float
        How long the current flows. [s]
    preload_a : float
        Current that flowed long before; not above the continuous one. [A]
    time_constant_s : float
        Time constant. [s]

    Examples
    --------
    By hand: 20 / sqrt(1 - 1/e).

    >>> round(short_time_current_simple_a(20, 60, preload_a=0, time_constant_s=60), 3)
    25.155
    """
    left = math.exp(-time_s / time_constant_s)
    if preload_a > continuous_a:
        raise OutOfRangeError("short_time_current_simple_a", "preload_a", preload_a, 0, continuous_a)
    return continuous_a * math.sqrt((1 - (preload_a / continuous_a) ** 2 * left) / (1 - left))


@within(
    run_a=NOT_NEGATIVE,
    run_s=POSITIVE,
    every_s=POSITIVE,
    rest_a=NOT_NEGATIVE,
    rise_k_per_a2=POSITIVE,
    coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K,
    time_constant_s=POSITIVE,
)
def pulse_peak_rise_k(
    run_a: float,
    *,
    run_s: float,
    every_s: float,
    rest_a: float,
    rise_k_per_a2: float,
    coefficient_per_k: float,
    time_constant_s: float,
) -> float:
    """Highest rise over the ambient in an endless train of pulses; inf where it has no end. [K]

    Source: ``rise_after_k`` for pulse and pause in turn, solved for the cycle that repeats itself.

    Parameters
    ----------
    run_a : float
        Current of the pulse. [A]
    run_s : float
        How long the pulse lasts. [s]
    every_s : float
        From the start of one pulse to the next; not under ``run_s``. [s]
    rest_a : float
        Current between pulses. [A]
    rise_k_per_a2 : float
        Resistance of a metre at ambient times thermal resistance. [K/A2]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient. [1/K]
    time_constant_s : float
        Time constant without resistance rise. [s]

    Examples
    --------
    By hand, without resistance rise: 40 K * (1 - e^-1) / (1 - e^-2) for 60 s in 120 s, tau 60 s.

    >>> round(pulse_peak_rise_k(20, run_s=60, every_s=120, rest_a=0, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                         time_constant_s=60), 3)
    29.242
    """
    if run_s > every_s:
        raise OutOfRangeError("pulse_peak_rise_k", "run_s", run_s, 0, every_s)
    spans = (run_s / time_constant_s, (every_s - run_s) / time_constant_s)
    return _pulse_peak(run_a**2 * rise_k_per_a2, rest_a**2 * rise_k_per_a2, coefficient_per_k, spans)


def _pulse_peak(run_k: float, rest_k: float, coefficient_per_k: float, spans: tuple[float, float]) -> float:
    run_spans, rest_spans = spans
    exponent = (coefficient_per_k * run_k - 1) * run_spans + (coefficient_per_k * rest_k - 1) * rest_spans
    if exponent >= 0:
        return math.inf
    from_rest = _rise_after(rest_k, 0.0, coefficient_per_k, rest_spans)
    return _rise_after(run_k, from_rest, coefficient_per_k, run_spans) / -math.expm1(exponent)


@within(
    limit_rise_k=RISE_K,
    run_s=POSITIVE,
    every_s=POSITIVE,
    rise_k_per_a2=POSITIVE,
    coefficient_per_k=HEAT_SHARE_PER_RISE_PER_K,
    time_constant_s=POSITIVE,
)
def pulse_current_a(
    limit_rise_k: float,
    *,
    run_s: float,
    every_s: float,
    rise_k_per_a2: float,
    coefficient_per_k: float,
    time_constant_s: float,
) -> float:
    """Pulse current whose endless train, without current in between, peaks at a rise. [A]

    Source: ``pulse_peak_rise_k`` solved for the current, by search.

    Parameters
    ----------
    limit_rise_k : float
        Rise over the ambient that is allowed. [K]
    run_s : float
        How long the pulse lasts. [s]
    every_s : float
        From the start of one pulse to the next; not under ``run_s``. [s]
    rise_k_per_a2 : float
        Resistance of a metre at ambient times thermal resistance. [K/A2]
    coefficient_per_k : float
        Temperature coefficient of the metal about the ambient. [1/K]
    time_constant_s : float
        Time constant without resistance rise. [s]

    Examples
    --------
    By hand, without resistance rise: 20 A / sqrt((1 - e^-1) / (1 - e^-2)).

    >>> round(pulse_current_a(40, run_s=60, every_s=120, rise_k_per_a2=0.1, coefficient_per_k=0,
    ...                       time_constant_s=60), 3)
    23.391
    """
    if run_s > every_s:
        raise OutOfRangeError("pulse_current_a", "run_s", run_s, 0, every_s)
    spans = (run_s / time_constant_s, (every_s - run_s) / time_constant_s)
    return _current_for(
        lambda run_k: _pulse_peak(run_k, 0.0, coefficient_per_k, spans), limit_rise_k, spans[0], rise_k_per_a2
    )
