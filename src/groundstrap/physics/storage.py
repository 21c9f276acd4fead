"""A battery by its state: volts at rest, resistance, capacity, what it loses and takes, what turns an engine.

All on floats and on arrays of rows; points of curves come in as arrays with rising keys. The head of a well
is its charge over what it holds when full.
"""

from typing import Final

import numpy as np

from groundstrap.physics._numbers import Array, Num, like
from groundstrap.physics._range import ANY_FINITE, NOT_NEGATIVE, POSITIVE, check, within
from groundstrap.physics.battery import BATTERY_C

HEAD: Final = (-1e-6, 1 + 1e-6)
"""Heads of a well, with room for the rounding of an event's time. [1]"""

REFERENCE_C: Final = 25.0
"""Temperature that tables of volts, resistance and capacity stand for. [degC]"""

HOURS_PER_MONTH: Final = 730.5
"""A twelfth of 365.25 days. [h]"""

NEAR_EMPTY: Final = 0.05
"""Head that bends the resistance of an emptying battery; own judgement. [1]"""

KNOWN_HEAD: Final = 0.2
"""Head at which handbooks give the resistance of an emptying battery. [1]"""

_ROUNDING: Final = 1e-6


@within(x=ANY_FINITE)
def along(x: Num, *, keys: Array, values: Array) -> Num:
    """Value at a place of a curve given by points, straight between them. [unit of the values]

    Source: the points given; refused outside them, but for rounding.

    Parameters
    ----------
    x : float
        Place. [unit of the keys]
    keys : array of float
        Places of the points, rising. [unit of the keys]
    values : array of float
        Values there. [unit of the values]

    Examples
    --------
    By hand: halfway between 40 % at -18 degC and 65 % at 0 degC.

    >>> along(-9.0, keys=np.array([-18.0, 0.0]), values=np.array([40.0, 65.0]))
    52.5
    """
    low, high = float(keys[0]), float(keys[-1])
    room = _ROUNDING * (high - low)
    check("along", "x", x, (low - room, high + room))
    return like(np.interp(x, keys, values), x)


@within(head=HEAD, temp_c=BATTERY_C, per_k_v=(-0.02, 0.02))
def open_circuit_v(head: Num, *, temp_c: Num, heads: Array, volts_v: Array, per_k_v: float) -> Num:
    """Volts that a battery would show without load at the head of its available well. [V]

    Source: the points given, at 25 degC, and a straight line in the temperature.

    Parameters
    ----------
    head : float
        Head of the available well; of a rested battery, of both. [1]
    temp_c : float
        Temperature of the battery. [degC]
    heads : array of float
        Heads of the points, rising from 0 to 1. [1]
    volts_v : array of float
        Volts of the points. [V]
    per_k_v : float
        Change of the volts for each kelvin. [V/K]

    Examples
    --------
    By hand: halfway, and 25 K below: 12.1 - 25 * 0.0015.

    >>> points = {"heads": np.array([0.0, 1.0]), "volts_v": np.array([11.5, 12.7])}
    >>> round(open_circuit_v(0.5, temp_c=0.0, per_k_v=0.0015, **points), 4)
    12.0625
    """
    return like(np.interp(head, heads, volts_v), head) + per_k_v * (temp_c - REFERENCE_C)


@within(full_ohm=NOT_NEGATIVE, head=HEAD, ratio_at_20_pct=(1.0, 5.0))
def resistance_at_head_ohm(full_ohm: Num, *, head: Num, ratio_at_20_pct: float) -> Num:
    r"""Inner resistance of a battery at the head of its available well. [ohm]

    Source: battery handbooks for 20 % (from memory: 1.5 to 2); the shape is own judgement: near 1 until half
    is gone, and steep below a fifth.

    .. math:: R = R_{full} \left(1 + a \frac{1 - h}{h + 0.05}\right)

    Parameters
    ----------
    full_ohm : float
        Resistance of the full battery at the same temperature. [ohm]
    head : float
        Head of the available well. [1]
    ratio_at_20_pct : float
        Resistance at a head of 0.2 over that of a full one. [1]

    Examples
    --------
    By hand: what was given at 0.2; at 0.5, a = 0.75 * 0.25 / 0.8 and 1 + a * 0.5 / 0.55.

    >>> round(resistance_at_head_ohm(0.004, head=0.2, ratio_at_20_pct=1.75) * 1000, 6)
    7.0
    >>> round(resistance_at_head_ohm(1.0, head=0.5, ratio_at_20_pct=1.75), 4)
    1.2131
    """
    slope = (ratio_at_20_pct - 1) * (KNOWN_HEAD + NEAR_EMPTY) / (1 - KNOWN_HEAD)
    return full_ohm * (1 + slope * (1 - head) / (head + NEAR_EMPTY))


@within(temp_c=BATTERY_C, pct_per_k=(0.0, 2.0))
def capacity_share(temp_c: Num, *, pct_per_k: float) -> Num:
    """Capacity of a battery at a temperature over that at 25 degC. [1]

    Source: a straight line by the coefficient given; refused where nothing would be left.

    Parameters
    ----------
    temp_c : float
        Temperature of the battery. [degC]
    pct_per_k : float
        Change for each kelvin. [%/K]

    Examples
    --------
    By hand: 35 K below at 0.8 %.

    >>> round(capacity_share(-10.0, pct_per_k=0.8), 3)
    0.72
    """
    share = 1 + pct_per_k / 100 * (temp_c - REFERENCE_C)
    check("capacity_share", "share left", share, (0.05, 2.0))
    return share


@within(capacity_ah=NOT_NEGATIVE, temp_c=BATTERY_C, pct_per_month_20c=(0.0, 100.0))
def self_discharge_a(capacity_ah: Num, *, temp_c: Num, pct_per_month_20c: float) -> Num:
    """Current that a battery loses inside. [A]

    Source: battery handbook: twice as much for each 10 K; a month is 730.5 h.

    Parameters
    ----------
    capacity_ah : float
        Capacity. [Ah]
    temp_c : float
        Temperature of the battery. [degC]
    pct_per_month_20c : float
        Loss in a month at 20 degC. [%]

    Examples
    --------
    By hand: 6 % of 100 Ah in 730.5 h at 20 degC, half at 10.

    >>> round(self_discharge_a(100.0, temp_c=20.0, pct_per_month_20c=6) * 1000, 2)
    8.21
    >>> round(self_discharge_a(100.0, temp_c=10.0, pct_per_month_20c=6) * 1000, 2)
    4.11
    """
    return (
        capacity_ah * (pct_per_month_20c / 100 / HOURS_PER_MONTH) * like(np.exp2((temp_c - 20) / 10), temp_c)
    )


@within(missing_ah=NOT_NEGATIVE, temp_c=BATTERY_C, per_h=POSITIVE)
def accepted_a(missing_ah: Num, *, temp_c: Num, per_h: float) -> Num:
    """Current that a battery takes at its absorption volts. [A]

    Source: common practice, from memory: in proportion to what is missing, half of it for each 10 K below
    25 degC; no more than at 25 degC above.

    Parameters
    ----------
    missing_ah : float
        What is missing to a full battery. [Ah]
    temp_c : float
        Temperature of the battery. [degC]
    per_h : float
        Current over what is missing, at 25 degC. [1/h]

    Examples
    --------
    By hand: 0.8 / h of 20 Ah; a quarter at 5 degC.

    >>> accepted_a(20.0, temp_c=25.0, per_h=0.8), accepted_a(20.0, temp_c=5.0, per_h=0.8)
    (16.0, 4.0)
    """
    slowed = like(np.exp2(np.minimum(temp_c - REFERENCE_C, 0.0) / 10), temp_c)
    return missing_ah * per_h * slowed


@within(accepted_a=NOT_NEGATIVE, emf_v=POSITIVE, ohmic_ohm=POSITIVE, absorption_v=POSITIVE)
def charge_resistance_ohm(
    accepted_a: Num, *, emf_v: Num, ohmic_ohm: Num, absorption_v: float, least_a: float = 1e-6
) -> Num:
    """Resistance by which a battery at its absorption volts takes just what it accepts. [ohm]

    Source: Ohm's law; never under the ohmic resistance.

    Parameters
    ----------
    accepted_a : float
        Current that it takes there. [A]
    emf_v : float
        Its open-circuit volts. [V]
    ohmic_ohm : float
        Its ohmic resistance. [ohm]
    absorption_v : float
        Absorption volts. [V]
    least_a : float
        Current that a full one still takes; it keeps the answer finite. [A]

    Examples
    --------
    By hand: (14.4 - 12.4) / 10; a battery that would take anything is left with its own resistance.

    >>> round(charge_resistance_ohm(10.0, emf_v=12.4, ohmic_ohm=0.005, absorption_v=14.4), 6)
    0.2
    >>> charge_resistance_ohm(1e4, emf_v=12.4, ohmic_ohm=0.005, absorption_v=14.4)
    0.005
    """
    check("charge_resistance_ohm", "least_a", least_a, POSITIVE)
    taken = np.maximum(accepted_a, least_a)
    return like(np.maximum((absorption_v - emf_v) / taken, ohmic_ohm), accepted_a)


@within(rating_a=POSITIVE, has_pct=(1.0, 200.0), rated_has_pct=(1.0, 200.0), end_v=POSITIVE, full_v=POSITIVE)
def cranking_resistance_at_ohm(
    rating_a: Num, *, has_pct: Num, rated_has_pct: float, full_v: Num, end_v: float
) -> Num:
    """Resistance of a full battery while it turns an engine, at a temperature. [ohm]

    Source: definition of the rating (SAE J537 7.2 V, EN 50342-1 7.5 V, both at -18 degC), and the current
    that it holds at another temperature in proportion to the power a service handbook gives.

    Parameters
    ----------
    rating_a : float
        Cold cranking rating. [A]
    has_pct : float
        Cranking power at the temperature. [%]
    rated_has_pct : float
        Cranking power at the temperature of the rating. [%]
    full_v : float
        Open-circuit volts of the full battery at the temperature. [V]
    end_v : float
        Volts that the rating holds. [V]

    Examples
    --------
    By hand: at its own -18 degC (12.6 - 7.2) / 600; at 0 degC, 65 % for 40 %, it holds 975 A.

    >>> at = {"rated_has_pct": 40.0, "full_v": 12.6, "end_v": 7.2}
    >>> round(cranking_resistance_at_ohm(600.0, has_pct=40.0, **at) * 1000, 3)
    9.0
    >>> round(cranking_resistance_at_ohm(600.0, has_pct=65.0, **at) * 1000, 3)
    5.538
    """
    drop = full_v - end_v
    check("cranking_resistance_at_ohm", "full_v - end_v", drop, POSITIVE)
    return drop / (rating_a * has_pct / rated_has_pct)


@within(emf_v=POSITIVE, end_v=POSITIVE, resistance_ohm=POSITIVE)
def cranking_held_a(emf_v: Num, *, end_v: float, resistance_ohm: Num) -> Num:
    """Current that a battery holds at the volts a starter still needs; nothing where it rests below them. [A]

    Source: Ohm's law.

    Parameters
    ----------
    emf_v : float
        Open-circuit volts. [V]
    end_v : float
        Volts to be held. [V]
    resistance_ohm : float
        Resistance of the battery while it turns the engine. [ohm]

    Examples
    --------
    By hand: (12.6 - 7.2) / 0.009.

    >>> round(cranking_held_a(12.6, end_v=7.2, resistance_ohm=0.009))
    600
    >>> cranking_held_a(7.0, end_v=7.2, resistance_ohm=0.009)
    0.0
    """
    return like(np.maximum(emf_v - end_v, 0.0), emf_v) / resistance_ohm


@within(asked_a=POSITIVE, asks_pct=POSITIVE, claimed_asks_pct=POSITIVE)
def cranking_asked_a(asked_a: Num, *, asks_pct: Num, claimed_asks_pct: Num) -> Num:
    """Current that an engine asks for at a temperature, from what it asks for at another. [A]

    Source: in proportion to the power that a service handbook gives.

    Parameters
    ----------
    asked_a : float
        Current at the temperature of the claim. [A]
    asks_pct : float
        Power asked for at the temperature, of that at 27 degC. [%]
    claimed_asks_pct : float
        The same at the temperature of the claim. [%]

    Examples
    --------
    By hand: 160 A warm is 160 * 2.1 at -18 degC.

    >>> round(cranking_asked_a(160.0, asks_pct=210.0, claimed_asks_pct=100.0), 9)
    336.0
    """
    return asked_a * asks_pct / claimed_asks_pct


@within(limit_v=POSITIVE)
def seconds_below(limit_v: float, *, times_s: Array, volts_v: Array) -> float:
    """How long a course of volts, straight between its points, lies below a limit. [s]

    Source: geometry.

    Parameters
    ----------
    limit_v : float
        Volts that a device needs. [V]
    times_s : array of float
        Times of the points, rising. [s]
    volts_v : array of float
        Volts there. [V]

    Examples
    --------
    By hand: 12 V falls to 8 in 4 s and comes back in 4: below 10 V for 2 s either way.

    >>> seconds_below(10.0, times_s=np.array([0.0, 4.0, 8.0]), volts_v=np.array([12.0, 8.0, 12.0]))
    4.0
    """
    low = np.minimum(volts_v[:-1], volts_v[1:])
    high = np.maximum(volts_v[:-1], volts_v[1:])
    # A level piece lies below as a whole or not at all.
    share = np.where(high > low, (limit_v - low) / np.where(high > low, high - low, 1.0), limit_v > low)
    return float(np.sum(np.clip(share, 0.0, 1.0) * np.diff(times_s)))
