"""Relays and contacts: pick-up with a hot coil, release with a part across it, contact heat, precharge."""

import math
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within

COPPER_ZERO_C: Final = 234.5
"""Degrees under zero at which copper's resistance would vanish on its straight line. Source: iec-60028."""
COIL_C: Final = (-60.0, 250.0)


@within(cold_v=POSITIVE, coil_c=COIL_C, cold_c=COIL_C)
def pick_up_v(cold_v: Num, *, coil_c: float, cold_c: float) -> Num:
    r"""Volts at which a relay pulls in when its coil is at another temperature. [V]

    Source: iec-60028: it pulls in at the same current, and a copper coil's ohms follow the temperature.

    .. math:: V = V_0 \frac{234.5 + \theta}{234.5 + \theta_0}

    Parameters
    ----------
    cold_v : float
        Pick-up voltage on the data sheet. [V]
    coil_c : float
        Temperature of the coil: of the place, and its own heat if it was on before. [degC]
    cold_c : float
        Temperature that the data sheet names, mostly 20 or 23. [degC]

    Examples
    --------
    By hand: 7.2 * 319.5 / 257.5.

    >>> round(pick_up_v(7.2, coil_c=85, cold_c=23), 2)
    8.93
    """
    return cold_v * ((COPPER_ZERO_C + coil_c) / (COPPER_ZERO_C + cold_c))


@within(available_v=NOT_NEGATIVE, cold_v=POSITIVE, coil_c=COIL_C, cold_c=COIL_C)
def pull_in_margin_v(available_v: Num, *, cold_v: float, coil_c: float, cold_c: float) -> Num:
    """Volts left over the pick-up voltage of a hot coil; below nought it need not pull in. [V]

    Source: ``pick_up_v``.

    Parameters
    ----------
    available_v : float
        Volts at the coil, such as while cranking. [V]
    cold_v : float
        Pick-up voltage on the data sheet. [V]
    coil_c : float
        Temperature of the coil. [degC]
    cold_c : float
        Temperature that the data sheet names. [degC]

    Examples
    --------
    By hand: 8.0 - 7.2 * 319.5 / 257.5.

    >>> round(pull_in_margin_v(8.0, cold_v=7.2, coil_c=85, cold_c=23), 2)
    -0.93
    """
    return available_v - pick_up_v(cold_v, coil_c=coil_c, cold_c=cold_c)


@within(supply_v=NOT_NEGATIVE, cold_ohm=POSITIVE, coil_c=COIL_C, cold_c=COIL_C)
def coil_current_a(supply_v: Num, *, cold_ohm: float, coil_c: float, cold_c: float) -> Num:
    """Current of a relay's coil at a temperature. [A]

    Source: Ohm's law with a copper coil, iec-60028.

    Parameters
    ----------
    supply_v : float
        Volts at the coil. [V]
    cold_ohm : float
        Resistance of the coil on the data sheet. [ohm]
    coil_c : float
        Temperature of the coil. [degC]
    cold_c : float
        Temperature that the data sheet names. [degC]

    Examples
    --------
    By hand: 12 / (100 * 319.5 / 254.5).

    >>> round(coil_current_a(12.0, cold_ohm=100, coil_c=85, cold_c=20), 4)
    0.0956
    """
    return supply_v * ((COPPER_ZERO_C + cold_c) / (COPPER_ZERO_C + coil_c)) / cold_ohm


@within(coil_a=NOT_NEGATIVE, resistor_ohm=POSITIVE)
def suppression_peak_v(coil_a: Num, *, resistor_ohm: float) -> Num:
    """Peak volts across a coil with a resistor beside it, at the moment it is switched off. [V]

    Source: Ohm's law: the coil's current goes on through the resistor. The opening contact sees the supply's
    volts on top.

    Parameters
    ----------
    coil_a : float
        Current of the coil just before. [A]
    resistor_ohm : float
        Resistor beside the coil. [ohm]

    Examples
    --------
    By hand: 0.1 * 680.

    >>> round(suppression_peak_v(0.1, resistor_ohm=680), 6)
    68.0
    """
    return coil_a * resistor_ohm


@within(start_a=POSITIVE, hold_a=POSITIVE, inductance_h=POSITIVE, loop_ohm=POSITIVE, clamp_v=NOT_NEGATIVE)
def release_delay_s(
    start_a: float, *, hold_a: float, inductance_h: float, loop_ohm: float, clamp_v: float
) -> float:
    r"""Time that a coil's current takes to fall to where the relay lets go. [s]

    Source: L di/dt = -(R i + V), solved. The armature moves after that; a coil whose inductance changes as it
    opens takes longer or shorter.

    .. math:: t = \frac{L}{R} \ln\frac{I_0 + V/R}{I_h + V/R}

    Parameters
    ----------
    start_a : float
        Current of the coil just before. [A]
    hold_a : float
        Current at which the relay lets go: drop-out volts over the coil's ohms; not above ``start_a``. [A]
    inductance_h : float
        Inductance of the coil, pulled in. [H]
    loop_ohm : float
        Resistance in the loop: coil, and the resistor beside it if there is one. [ohm]
    clamp_v : float
        Volts of the diode, and of the zener with it; 0 with a resistor. [V]

    Examples
    --------
    By hand, diode: 0.5 / 100 * ln((0.12 + 0.007) / (0.012 + 0.007)).

    >>> round(release_delay_s(0.12, hold_a=0.012, inductance_h=0.5, loop_ohm=100, clamp_v=0.7) * 1000, 3)
    9.499
    """
    if hold_a > start_a:
        raise OutOfRangeError("release_delay_s", "hold_a", hold_a, 0, start_a)
    offset_a = clamp_v / loop_ohm
    return inductance_h / loop_ohm * math.log((start_a + offset_a) / (hold_a + offset_a))


@within(current_a=NOT_NEGATIVE, contact_ohm=NOT_NEGATIVE)
def contact_heat_w(current_a: Num, *, contact_ohm: float) -> Num:
    """Heat in a contact or joint. [W]

    Source: P = I^2 R.

    Parameters
    ----------
    current_a : float
        Current through it. [A]
    contact_ohm : float
        Its resistance. [ohm]

    Examples
    --------
    By hand: 10^2 * 0.1: such a socket overheats.

    >>> contact_heat_w(10.0, contact_ohm=0.1)
    10.0
    """
    return current_a * current_a * contact_ohm


@within(resistor_ohm=POSITIVE, capacitance_f=POSITIVE, time_constants=(0.1, 20.0))
def precharge_time_s(resistor_ohm: Num, *, capacitance_f: float, time_constants: float) -> Num:
    """Time to charge an input's capacitors through a resistor. [s]

    Source: charging of a capacitor; after five time constants 99.3 % is reached, see ``charged_share``.

    Parameters
    ----------
    resistor_ohm : float
        Precharge resistor and the rest of the loop. [ohm]
    capacitance_f : float
        Capacitance at the input. [F]
    time_constants : float
        How many time constants to wait, commonly 5. [1]

    Examples
    --------
    By hand: 5 * 10 * 0.020.

    >>> precharge_time_s(10.0, capacitance_f=0.020, time_constants=5)
    1.0
    """
    return resistor_ohm * capacitance_f * time_constants


@within(time_constants=(0.0, 700.0))
def charged_share(time_constants: float) -> float:
    """Share of the supply's volts that a capacitor has reached after so many time constants. [1]

    Source: charging of a capacitor through a resistor, 1 - exp(-t / RC).

    Parameters
    ----------
    time_constants : float
        Time over resistance times capacitance. [1]

    Examples
    --------
    By hand: 1 - e^-5.

    >>> round(charged_share(5), 4)
    0.9933
    """
    return -math.expm1(-time_constants)


@within(voltage_v=NOT_NEGATIVE, capacitance_f=POSITIVE)
def stored_energy_j(voltage_v: Num, *, capacitance_f: float) -> Num:
    """Energy that a charged capacitor holds, and gives to whatever shorts it. [J]

    Source: C V^2 / 2.

    Parameters
    ----------
    voltage_v : float
        Volts across it. [V]
    capacitance_f : float
        Capacitance. [F]

    Examples
    --------
    By hand: 0.5 * 0.020 * 48^2.

    >>> round(stored_energy_j(48.0, capacitance_f=0.020), 6)
    23.04
    """
    return voltage_v * voltage_v * (capacitance_f / 2)
