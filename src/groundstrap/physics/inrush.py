"""Starting currents and their heat integrals: a peak that decays, a ramp, capacitors behind a loop.

A filament and a motor start alike: from a peak towards the running current, one time constant.
"""

import math

from groundstrap.physics._numbers import Num
from groundstrap.physics._range import NOT_NEGATIVE, NOT_NEGATIVE_OR_ENDLESS, POSITIVE, within


@within(supply_v=NOT_NEGATIVE, motor_ohm=POSITIVE, loop_ohm=NOT_NEGATIVE)
def locked_rotor_a(supply_v: Num, *, motor_ohm: float, loop_ohm: float) -> Num:
    """Current of a permanent-magnet motor that stands still, through its own cable. [A]

    Source: Ohm's law; a motor that stands has no voltage of its own.

    Parameters
    ----------
    supply_v : float
        Volts at the supply without load. [V]
    motor_ohm : float
        Resistance of the winding with its brushes. [ohm]
    loop_ohm : float
        Supply, cables, return and contacts. [ohm]

    Examples
    --------
    By hand: 12.6 / (0.12 + 0.06).

    >>> round(locked_rotor_a(12.6, motor_ohm=0.12, loop_ohm=0.06), 1)
    70.0
    """
    return supply_v / (motor_ohm + loop_ohm)


@within(time_s=NOT_NEGATIVE_OR_ENDLESS, peak_a=NOT_NEGATIVE, steady_a=NOT_NEGATIVE, time_constant_s=POSITIVE)
def decaying_current_a(time_s: float, *, peak_a: float, steady_a: float, time_constant_s: float) -> float:
    r"""Current of a filament or a motor at a time after it is switched on. [A]

    Source: own-judgement: one time constant from the peak to the running current.

    .. math:: i(t) = I + (I_p - I) e^{-t/\tau}

    Parameters
    ----------
    time_s : float
        Time since it was switched on; inf for ever. [s]
    peak_a : float
        First current: of the cold filament, of the rotor at rest. [A]
    steady_a : float
        Running current. [A]
    time_constant_s : float
        Time in which the surplus falls to 37 %. [s]

    Examples
    --------
    By hand: 5 + 55 / e.

    >>> round(decaying_current_a(0.02, peak_a=60, steady_a=5, time_constant_s=0.02), 2)
    25.23
    """
    return steady_a + (peak_a - steady_a) * math.exp(-time_s / time_constant_s)


@within(time_s=NOT_NEGATIVE, peak_a=NOT_NEGATIVE, steady_a=NOT_NEGATIVE, time_constant_s=POSITIVE)
def decaying_a2s(time_s: float, *, peak_a: float, steady_a: float, time_constant_s: float) -> float:
    """Heat integral of a filament's or a motor's start up to a time. [A2 s]

    Source: ``decaying_current_a`` squared and integrated.

    Parameters
    ----------
    time_s : float
        Time since it was switched on. [s]
    peak_a : float
        First current. [A]
    steady_a : float
        Running current. [A]
    time_constant_s : float
        Time constant of the decay. [s]

    Examples
    --------
    By hand, nothing running and long after: 60^2 * 0.02 / 2, the share 1/2 of the exponential decay.

    >>> round(decaying_a2s(1.0, peak_a=60, steady_a=0, time_constant_s=0.02), 6)
    36.0
    """
    surplus_a = peak_a - steady_a
    spans = time_s / time_constant_s
    single = -math.expm1(-spans) * time_constant_s
    double = -math.expm1(-2 * spans) * time_constant_s / 2
    return steady_a**2 * time_s + 2 * steady_a * surplus_a * single + surplus_a**2 * double


@within(start_a=NOT_NEGATIVE, end_a=NOT_NEGATIVE, duration_s=NOT_NEGATIVE)
def ramp_a2s(start_a: float, *, end_a: float, duration_s: float) -> float:
    """Heat integral of a current that rises or falls in a straight line. [A2 s]

    Source: maker-fuse-data, wave shapes: (a^2 + a b + b^2) t / 3. A ceramic heater falls so from its peak, a
    soft-started compressor rises so.

    Parameters
    ----------
    start_a : float
        Current at the start. [A]
    end_a : float
        Current at the end. [A]
    duration_s : float
        How long it takes. [s]

    Examples
    --------
    By hand: (30^2 + 30 * 15 + 15^2) * 4 / 3.

    >>> ramp_a2s(30, end_a=15, duration_s=4)
    2100.0
    """
    return (start_a**2 + start_a * end_a + end_a**2) * duration_s / 3


@within(supply_v=NOT_NEGATIVE, least_ohm=POSITIVE, loop_ohm=NOT_NEGATIVE)
def ceramic_peak_a(supply_v: Num, *, least_ohm: float, loop_ohm: float) -> Num:
    """Highest current of a ceramic (PTC) heater, which falls to its least ohms before it heats up. [A]

    Source: Ohm's law at the least resistance of its curve.

    Parameters
    ----------
    supply_v : float
        Volts at the supply without load. [V]
    least_ohm : float
        Least resistance of the element. [ohm]
    loop_ohm : float
        Supply, cables, return and contacts. [ohm]

    Examples
    --------
    By hand: 13.5 / (0.4 + 0.05).

    >>> round(ceramic_peak_a(13.5, least_ohm=0.4, loop_ohm=0.05), 3)
    30.0
    """
    return supply_v / (least_ohm + loop_ohm)


@within(step_v=NOT_NEGATIVE, loop_ohm=POSITIVE)
def capacitor_peak_a(step_v: Num, *, loop_ohm: float) -> Num:
    """First current into an empty capacitor; nothing but the loop limits it. [A]

    Source: Ohm's law. The loop's inductance is left out, so the true peak is lower.

    Parameters
    ----------
    step_v : float
        Volts between supply and capacitor when the contact closes. [V]
    loop_ohm : float
        Supply, cables, contacts and the capacitor's own resistance. [ohm]

    Examples
    --------
    By hand: 48 / 0.016.

    >>> capacitor_peak_a(48.0, loop_ohm=0.016)
    3000.0
    """
    return step_v / loop_ohm


@within(step_v=NOT_NEGATIVE, capacitance_f=POSITIVE, loop_ohm=POSITIVE)
def capacitor_a2s(step_v: Num, *, capacitance_f: float, loop_ohm: float) -> Num:
    """Heat integral of charging an empty capacitor through a loop. [A2 s]

    Source: i = V/R exp(-t/RC), squared and integrated: V^2 C / (2 R).

    Parameters
    ----------
    step_v : float
        Volts between supply and capacitor when the contact closes. [V]
    capacitance_f : float
        Capacitance at the input. [F]
    loop_ohm : float
        Supply, cables, contacts and the capacitor's own resistance. [ohm]

    Examples
    --------
    By hand: 12^2 * 0.010 / (2 * 0.020).

    >>> round(capacitor_a2s(12.0, capacitance_f=0.010, loop_ohm=0.020), 6)
    36.0
    """
    return step_v * step_v * (capacitance_f / (2 * loop_ohm))
