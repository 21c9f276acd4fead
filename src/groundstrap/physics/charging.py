"""What charges a battery: alternator by speed, heat and control, the sun over a span, a charger."""

import math
from typing import Final

import numpy as np

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num, like
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, check, within
from groundstrap.records import dataclass

SHARE: Final = (0.0, 1.5)
"""Shares of a rating; an alternator gives a little more than its rating at high speed. [1]"""

AIR_C: Final = (-60.0, 90.0)
VOLTS: Final = (1.0, 100.0)

REGULATOR_C: Final = 20.0
"""Temperature that a regulator's volts stand for. [degC]"""

REGULATOR_PER_K_V: Final = -0.01
"""Change of a 12 V regulator's volts. Service manual of a marine diesel: -0.1 V for each 10 degC. [V/K]"""

STANDARD_CELL_C: Final = 25.0
"""Cell temperature that a panel's power stands for, in 1000 W/m2. [degC]"""

_HALF_SINE: Final = 2 / math.pi
_STEEPEST: Final = 1e6
_HALVINGS: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeRange:
    """Charging current with every part at one end, as is typical, and at the other end. [A]"""

    low_a: float
    typical_a: float
    high_a: float


@within(engine_rpm=NOT_NEGATIVE, ratio=(0.5, 10.0))
def shaft_speed_rpm(engine_rpm: Num, *, ratio: float) -> Num:
    """Speed of an alternator's shaft. [1/min]

    Source: the pulleys' ratio; 2.2 to 3.0 in cars, 1.8 to 2.0 on boats (handbooks, from memory).

    Parameters
    ----------
    engine_rpm : float
        Speed of the engine. [1/min]
    ratio : float
        Diameter of the engine's pulley over the alternator's. [1]

    Examples
    --------
    >>> shaft_speed_rpm(800.0, ratio=2.5)
    2000.0
    """
    return engine_rpm * ratio


@within(rated_a=POSITIVE, speed_share=SHARE, hot_share=SHARE)
def alternator_limit_a(rated_a: Num, *, speed_share: Num, hot_share: Num) -> Num:
    """Most current that an alternator gives. [A]

    Source: iso-8854 rates it at 6000 1/min and 23 degC; shares of that by speed and by its own heat.

    Parameters
    ----------
    rated_a : float
        Rated current. [A]
    speed_share : float
        Share of it at the speed of the shaft. [1]
    hot_share : float
        Share of that when hot; 1 for a cold one. [1]

    Examples
    --------
    By hand: 90 * 0.5 * 0.85.

    >>> round(alternator_limit_a(90.0, speed_share=0.5, hot_share=0.85), 9)
    38.25
    """
    return rated_a * speed_share * hot_share


@within(setpoint_v=VOLTS, regulator_c=AIR_C, cells=(1, 60))
def setpoint_at_v(setpoint_v: Num, *, regulator_c: Num, cells: int = 6) -> Num:
    """Regulated volts of an alternator whose setpoint at 20 degC is written. [V]

    Source: handbook-workshop: -0.1 V for each 10 degC of the regulator at 12 V, which is six cells.

    Parameters
    ----------
    setpoint_v : float
        Volts at 20 degC. [V]
    regulator_c : float
        Temperature of the regulator. [degC]
    cells : int
        Lead-acid cells in series: 6 at 12 V.

    Examples
    --------
    By hand: 14.2 - 0.4 in the heat of an engine bay at 60 degC.

    >>> round(setpoint_at_v(14.2, regulator_c=60.0), 9)
    13.8
    """
    return setpoint_v + REGULATOR_PER_K_V * cells / 6 * (regulator_c - REGULATOR_C)


@within(
    state_pct=(-50.0, 101.0), held_pct=(0.0, 100.0), charge_v=VOLTS, cruise_v=VOLTS, width_pct=(0.1, 50.0)
)
def controlled_setpoint_v(
    state_pct: Num, *, held_pct: float, charge_v: Num, cruise_v: Num, width_pct: float = 5.0
) -> Num:
    """Volts that the engine computer sets in cruise, by the state of the battery. [V]

    Source: handbook-workshop: held at about 80 %, so that there is room for what the overrun gives; the
    straight line between is own judgement.

    Parameters
    ----------
    state_pct : float
        State of the battery. [%]
    held_pct : float
        State above which it only carries the loads. [%]
    charge_v : float
        Volts while the battery is to be charged. [V]
    cruise_v : float
        Volts while it is not. [V]
    width_pct : float
        Below the held state, over so much of it, it goes from one to the other. [%]

    Examples
    --------
    By hand: halfway from 14.4 at 75 % to 12.6 at 80 %.

    >>> at = {"held_pct": 80.0, "charge_v": 14.4, "cruise_v": 12.6}
    >>> controlled_setpoint_v(77.5, **at), controlled_setpoint_v(50.0, **at)
    (13.5, 14.4)
    """
    way = like(np.clip((state_pct - (held_pct - width_pct)) / width_pct, 0.0, 1.0), state_pct)
    return charge_v + way * (cruise_v - charge_v)


@within(full_sun_h=NOT_NEGATIVE, span_h=POSITIVE)
def sun_amplitude(full_sun_h: float, *, span_h: float) -> float:
    r"""Height of the half sine over a span that holds so many hours of full sun. [1]

    Source: own judgement: a half sine, cut off at full sun where it would pass it. Up to 2 / pi of the span
    nothing is cut.

    .. math:: \int_0^T \min(1, A \sin(\pi t / T))\,dt = H

    Parameters
    ----------
    full_sun_h : float
        Hours of full sun; not more than the span. [h]
    span_h : float
        Length of the span. [h]

    Examples
    --------
    By hand: 3 h in 14: 3 / 14 * pi / 2.

    >>> round(sun_amplitude(3.0, span_h=14.0), 4)
    0.3366
    """
    if full_sun_h > span_h:
        raise OutOfRangeError("sun_amplitude", "full_sun_h", full_sun_h, 0, span_h)
    share = full_sun_h / span_h
    if share <= _HALF_SINE:
        return share / _HALF_SINE
    low, high = 0.0, math.log(_STEEPEST)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if sun_hours(1.0, span_h=1.0, amplitude=math.exp(middle)) < share:
            low = middle
        else:
            high = middle
    return math.exp(high)


@within(hours_in=NOT_NEGATIVE, span_h=POSITIVE, amplitude=NOT_NEGATIVE)
def sun_share(hours_in: Num, *, span_h: float, amplitude: float) -> Num:
    """Share of full sun at a time within a span. [1]

    Source: own judgement, see `sun_amplitude`.

    Parameters
    ----------
    hours_in : float
        Time since the span began; not beyond it. [h]
    span_h : float
        Length of the span. [h]
    amplitude : float
        Height of the half sine, by `sun_amplitude`. [1]

    Examples
    --------
    >>> sun_share(7.0, span_h=14.0, amplitude=0.3366), sun_share(7.0, span_h=14.0, amplitude=2.0)
    (0.3366, 1.0)
    """
    check("sun_share", "hours_in", hours_in, (0.0, span_h * (1 + 1e-9)))
    return like(np.clip(amplitude * np.sin(math.pi * hours_in / span_h), 0.0, 1.0), hours_in)


@within(hours_in=NOT_NEGATIVE, span_h=POSITIVE, amplitude=NOT_NEGATIVE)
def sun_hours(hours_in: Num, *, span_h: float, amplitude: float) -> Num:
    """Hours of full sun from the beginning of a span to a time in it, in closed form. [h]

    Source: the integral of `sun_share`.

    Parameters
    ----------
    hours_in : float
        Time since the span began; not beyond it. [h]
    span_h : float
        Length of the span. [h]
    amplitude : float
        Height of the half sine, by `sun_amplitude`. [1]

    Examples
    --------
    Half by the middle, all at the end.

    >>> half = sun_hours(7.0, span_h=14.0, amplitude=sun_amplitude(3.0, span_h=14.0))
    >>> whole = sun_hours(14.0, span_h=14.0, amplitude=sun_amplitude(3.0, span_h=14.0))
    >>> round(half, 9), round(whole, 9)
    (1.5, 3.0)
    """
    check("sun_hours", "hours_in", hours_in, (0.0, span_h * (1 + 1e-9)))
    angle = math.pi * hours_in / span_h
    cut = math.asin(1 / amplitude) if amplitude > 1 else math.pi / 2
    rising = amplitude * (1 - np.cos(np.minimum(angle, cut)))
    flat = np.clip(angle - cut, 0.0, math.pi - 2 * cut)
    past = np.maximum(angle, math.pi - cut)
    falling = amplitude * (math.cos(math.pi - cut) - np.cos(past))
    return like((rising + flat + falling) * span_h / math.pi, hours_in)


@within(rated_w=POSITIVE, sun=(0.0, 1.5), air_c=AIR_C, rise_k=(0.0, 60.0), pct_per_k=(-1.0, 0.0))
def panel_power_w(rated_w: Num, *, sun: Num, air_c: Num, rise_k: float, pct_per_k: float, kept: float) -> Num:
    """Power that a panel gives behind its regulator. [W]

    Source: handbook-photovoltaic, from memory: power in proportion to the sun, less by the temperature of the
    cells over 25 degC, which rises over the air in proportion to the sun.

    Parameters
    ----------
    rated_w : float
        Power in full sun at 25 degC. [W]
    sun : float
        Share of full sun. [1]
    air_c : float
        Temperature of the air. [degC]
    rise_k : float
        Cells over air in full sun. [K]
    pct_per_k : float
        Change of power for each kelvin. [%/K]
    kept : float
        Share that regulator, dirt and wiring leave. [1]

    Examples
    --------
    By hand: cells at 25 + 30; 100 * (1 - 0.0041 * 30) * 0.9.

    >>> round(panel_power_w(100.0, sun=1.0, air_c=25.0, rise_k=30.0, pct_per_k=-0.41, kept=0.9), 2)
    78.93
    """
    check("panel_power_w", "kept", kept, (0.0, 1.0))
    cell_c = air_c + rise_k * sun
    return rated_w * sun * kept * (1 + pct_per_k / 100 * (cell_c - STANDARD_CELL_C))


@within(setpoint_v=VOLTS, emf_v=VOLTS, loop_ohm=POSITIVE, limit_a=NOT_NEGATIVE)
def charge_through_loop_a(setpoint_v: Num, *, emf_v: Num, loop_ohm: Num, limit_a: Num) -> Num:
    """Current that a regulated source drives into a battery that takes all it gets. [A]

    Source: Ohm's law, up to the limit of the source; nothing flows back.

    Parameters
    ----------
    setpoint_v : float
        Volts of the source. [V]
    emf_v : float
        Open-circuit volts of the battery. [V]
    loop_ohm : float
        Source, cable out and back, joints and battery. [ohm]
    limit_a : float
        Most that the source gives, less its other loads. [A]

    Examples
    --------
    By hand: 1 V over 20 milliohm, where the source gives no more than 45 A.

    >>> round(charge_through_loop_a(14.2, emf_v=13.2, loop_ohm=0.020, limit_a=90.0), 6)
    50.0
    >>> charge_through_loop_a(14.2, emf_v=13.2, loop_ohm=0.020, limit_a=45.0)
    45.0
    """
    driven = np.maximum(setpoint_v - emf_v, 0.0) / loop_ohm
    return like(np.minimum(driven, limit_a), setpoint_v)


def charge_range(
    setpoint_v: tuple[float, float, float],
    *,
    emf_v: tuple[float, float, float],
    loop_ohm: tuple[float, float, float],
    limit_a: tuple[float, float, float],
) -> ChargeRange:
    """Range of the current into a battery that takes all it gets, such as lithium on a plain alternator. [A]

    Source: `charge_through_loop_a` with every part at the end that gives least, as is typical, and at the end
    that gives most.

    Parameters
    ----------
    setpoint_v : tuple of float
        Low, typical and high volts of the source. [V]
    emf_v : tuple of float
        Low, typical and high open-circuit volts. [V]
    loop_ohm : tuple of float
        Low, typical and high resistance of the loop. [ohm]
    limit_a : tuple of float
        Low, typical and high limit of the source. [A]

    Examples
    --------
    By hand: 0.4 V over 40 milliohm, 1 V over 20, 1.5 V over 10.

    >>> found = charge_range(
    ...     (13.7, 14.2, 14.6), emf_v=(13.1, 13.2, 13.3), loop_ohm=(0.01, 0.02, 0.04), limit_a=(90, 90, 90)
    ... )
    >>> round(found.low_a, 6), round(found.typical_a, 6), found.high_a
    (10.0, 50.0, 90.0)
    """
    ends = ((0, 2, 2, 0), (1, 1, 1, 1), (2, 0, 0, 2))
    least, usual, most = (
        charge_through_loop_a(setpoint_v[a], emf_v=emf_v[b], loop_ohm=loop_ohm[c], limit_a=limit_a[d])
        for a, b, c, d in ends
    )
    return ChargeRange(low_a=least, typical_a=usual, high_a=most)
