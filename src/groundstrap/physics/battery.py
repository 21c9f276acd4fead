"""Volts, resistance and run time of a battery; the curves themselves come from tables."""

import math
from collections.abc import Sequence
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num, power
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within

CONDUCTANCE_OHM_A: Final = 3.0
"""Ohmic resistance times SAE cranking current near 25 degC, for 12 V. Battery handbooks, from memory."""

STATE_PCT: Final = (0.0, 100.0)
BATTERY_C: Final = (-50.0, 80.0)


@within(state_pct=STATE_PCT)
def rested_voltage_v(state_pct: float, *, states_pct: Sequence[float], volts_v: Sequence[float]) -> float:
    """Volts of a rested battery at a state of charge, straight between given points. [V]

    Source: the points given; refused outside them.

    Parameters
    ----------
    state_pct : float
        State of charge. [%]
    states_pct : sequence of float
        States of the points, rising. [%]
    volts_v : sequence of float
        Volts of the points. [V]

    Examples
    --------
    By hand: halfway between 12.2 at 50 % and 12.4 at 75 %.

    >>> round(rested_voltage_v(62.5, states_pct=(50, 75, 100), volts_v=(12.2, 12.4, 12.65)), 3)
    12.3
    """
    return _between("rested_voltage_v", "state_pct", state_pct, states_pct, volts_v)


@within(rested_v=POSITIVE)
def state_of_charge_pct(rested_v: float, *, states_pct: Sequence[float], volts_v: Sequence[float]) -> float:
    """State of charge of a rested battery from its volts, straight between given points. [%]

    Source: the points given; refused outside them, where volts say nothing about the state.

    Parameters
    ----------
    rested_v : float
        Volts after rest. [V]
    states_pct : sequence of float
        States of the points. [%]
    volts_v : sequence of float
        Volts of the points, rising. [V]

    Examples
    --------
    >>> round(state_of_charge_pct(12.3, states_pct=(50, 75, 100), volts_v=(12.2, 12.4, 12.65)), 3)
    62.5
    """
    return _between("state_of_charge_pct", "rested_v", rested_v, volts_v, states_pct)


def _between(function: str, name: str, x: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    if not xs[0] <= x <= xs[-1]:
        raise OutOfRangeError(function, name, x, xs[0], xs[-1])
    for x0, x1, y0, y1 in zip(xs, xs[1:], ys, ys[1:], strict=False):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return ys[-1]


@within(ohm_25c=POSITIVE, temp_c=BATTERY_C, ratio=(1.0, 5.0))
def resistance_at_temperature_ohm(ohm_25c: Num, temp_c: float, *, ratio: float) -> Num:
    r"""Resistance of a battery at a temperature. [ohm]

    Source: an exponential through 25 degC and the ratio at -18 degC (battery handbooks, from memory: 1.8 to
    2.5 for lead-acid).

    .. math:: R = R_{25} \, r^{(25 - \theta) / 43}

    Parameters
    ----------
    ohm_25c : float
        Resistance at 25 degC. [ohm]
    temp_c : float
        Temperature of the battery. [degC]
    ratio : float
        Resistance at -18 degC over that at 25 degC. [1]

    Examples
    --------
    >>> resistance_at_temperature_ohm(0.005, -18, ratio=2.0)
    0.01
    """
    return ohm_25c * power(ratio, (25 - temp_c) / 43)


@within(cranking_a=POSITIVE, emf_v=POSITIVE, end_v=POSITIVE)
def cranking_resistance_ohm(cranking_a: Num, *, emf_v: float, end_v: float) -> Num:
    """Most resistance that a cranking rating allows at -18 degC. [ohm]

    Source: definition of the rating (SAE J537: 7.2 V after 30 s; EN 50342-1: 7.5 V after 10 s); it includes
    what the battery sags in that time.

    Parameters
    ----------
    cranking_a : float
        Cranking current. [A]
    emf_v : float
        Rested volts; 12.5 to 12.7 for a full one. [V]
    end_v : float
        Volts held at the end of the test; under the rested volts. [V]

    Examples
    --------
    By hand: (12.6 - 7.2) / 650.

    >>> round(cranking_resistance_ohm(650.0, emf_v=12.6, end_v=7.2) * 1000, 2)
    8.31
    """
    if end_v >= emf_v:
        raise OutOfRangeError("cranking_resistance_ohm", "end_v", end_v, 0, emf_v)
    return (emf_v - end_v) / cranking_a


@within(cranking_a=POSITIVE)
def conductance_resistance_ohm(cranking_a: Num) -> Num:
    """Ohmic resistance of a 12 V lead-acid battery near 25 degC, by its SAE cranking rating. [ohm]

    Source: battery handbooks, from memory: 3000 milliohm over the rating, 2500 to 3200; about half of what
    the rating itself allows.

    Parameters
    ----------
    cranking_a : float
        SAE cranking current. [A]

    Examples
    --------
    >>> conductance_resistance_ohm(600.0)
    0.005
    """
    return CONDUCTANCE_OHM_A / cranking_a


@within(emf_v=POSITIVE, battery_ohm=POSITIVE, loop_ohm=NOT_NEGATIVE)
def fault_current_a(emf_v: Num, *, battery_ohm: float, loop_ohm: float) -> Num:
    """Current that a battery drives into a fault. [A]

    Source: Ohm's law.

    Parameters
    ----------
    emf_v : float
        Rested volts. [V]
    battery_ohm : float
        Resistance of the battery. [ohm]
    loop_ohm : float
        Everything outside it, out and back. [ohm]

    Examples
    --------
    By hand: 14 V behind 3.75 milliohm.

    >>> round(fault_current_a(14.0, battery_ohm=0.00375, loop_ohm=0))
    3733
    """
    return emf_v / (battery_ohm + loop_ohm)


@within(capacity_ah=POSITIVE, rate_h=POSITIVE, current_a=POSITIVE, exponent=(1.0, 2.0))
def run_time_h(capacity_ah: Num, *, rate_h: float, current_a: float, exponent: float) -> Num:
    r"""Hours that a battery gives a current, by Peukert's rule. [h]

    Source: Peukert 1897 with the capacity rated at its own time. The form C / I^k, which goes about, puts
    rated ampere-hours where the 1 A capacity belongs and gives half of the truth.

    .. math:: t = H \left(\frac{C}{I H}\right)^k

    Parameters
    ----------
    capacity_ah : float
        Rated capacity. [Ah]
    rate_h : float
        Time at which it is rated; 20 h for most. [h]
    current_a : float
        Current taken. [A]
    exponent : float
        Peukert's exponent; 1 for an ideal battery. [1]

    Examples
    --------
    At the rated current it is the rated time for any exponent.

    >>> run_time_h(100.0, rate_h=20, current_a=5, exponent=1.2)
    20.0
    """
    return rate_h * power(capacity_ah / (current_a * rate_h), exponent)


@within(capacity_ah=POSITIVE, nominal_v=POSITIVE, power_w=POSITIVE, usable_pct=(1.0, 100.0))
def ideal_run_time_h(capacity_ah: Num, *, nominal_v: float, power_w: float, usable_pct: float) -> Num:
    """Hours that a battery gives a power if its volts and capacity never changed. [h]

    Source: conservation of energy.

    Parameters
    ----------
    capacity_ah : float
        Capacity. [Ah]
    nominal_v : float
        Volts. [V]
    power_w : float
        Power taken. [W]
    usable_pct : float
        Share of the capacity that may be taken. [%]

    Examples
    --------
    By hand: 51 * 12 / 27.

    >>> round(ideal_run_time_h(51.0, nominal_v=12, power_w=27, usable_pct=100), 2)
    22.67
    """
    return capacity_ah * nominal_v * usable_pct / (100 * power_w)


@within(rested_v=POSITIVE, loaded_v=NOT_NEGATIVE, current_a=POSITIVE)
def resistance_of_sag_ohm(rested_v: float, *, loaded_v: float, current_a: float) -> float:
    """Resistance between two readings of a source, without load and with. [ohm]

    Source: Ohm's law; a sag that grows while one looks is not resistance.

    Parameters
    ----------
    rested_v : float
        Volts without load. [V]
    loaded_v : float
        Volts at the current; not above. [V]
    current_a : float
        The current. [A]

    Examples
    --------
    By hand: (11.3 - 10.53) / 160.

    >>> round(resistance_of_sag_ohm(11.3, loaded_v=10.53, current_a=160) * 1000, 2)
    4.81
    """
    if loaded_v > rested_v:
        raise OutOfRangeError("resistance_of_sag_ohm", "loaded_v", loaded_v, 0, rested_v)
    return (rested_v - loaded_v) / current_a


@within(reserve_min=(1.0, 1000.0))
def capacity_of_reserve_ah(reserve_min: float) -> float:
    """Capacity at 20 h from the minutes at 25 A. [Ah]

    Source: IEC 60095-1, from memory: C20 = sqrt(17778 + 208.3 RC) - 133.3.

    Parameters
    ----------
    reserve_min : float
        Reserve capacity. [min]

    Examples
    --------
    By hand: sqrt(17778 + 24996) - 133.3.

    >>> round(capacity_of_reserve_ah(120), 1)
    73.5
    """
    return math.sqrt(17778 + 208.3 * reserve_min) - 133.3
