"""What a load draws at another voltage, by the law it follows.

Every law here is ``I = I0 (V / V0)^n``: n is -1 for constant power, 0 for constant current, 0.55 for a
filament lamp, 1 for a resistance, 1.5 for a fan or pump.
"""

from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num, power, square_root
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within

CONSTANT_POWER: Final = -1.0
CONSTANT_CURRENT: Final = 0.0
FILAMENT: Final = 0.55
"""Current of a filament lamp. Source: standard handbook for electrical engineers."""
RESISTANCE: Final = 1.0
FAN_OR_PUMP: Final = 1.5
"""Current of a permanent-magnet motor on a load that grows with speed squared. Common practice."""
FILAMENT_LIGHT: Final = 3.4
"""Light of a filament lamp. Source: standard handbook for electrical engineers (3.4 to 3.5)."""

EXPONENT: Final = (-1.0, 4.0)


@within(current_a=NOT_NEGATIVE, at_v=POSITIVE, to_v=POSITIVE, exponent=EXPONENT)
def current_at_voltage_a(current_a: Num, *, at_v: float, to_v: float, exponent: float) -> Num:
    r"""Current of a load at another voltage. [A]

    Source: power law of the load; the exponents of this module.

    .. math:: I = I_0 (V / V_0)^n

    Parameters
    ----------
    current_a : float
        Current that is known. [A]
    at_v : float
        Voltage at which it is known. [V]
    to_v : float
        Voltage for which it is wanted. [V]
    exponent : float
        Exponent of the law. [1]

    Examples
    --------
    By hand, a resistance: 4 A * 12 / 14.

    >>> round(current_at_voltage_a(4.0, at_v=14, to_v=12, exponent=RESISTANCE), 4)
    3.4286
    """
    return current_a * power(to_v / at_v, exponent)


@within(power_w=NOT_NEGATIVE, at_v=POSITIVE, to_v=POSITIVE, exponent=EXPONENT)
def power_at_voltage_w(power_w: Num, *, at_v: float, to_v: float, exponent: float) -> Num:
    r"""Power of a load at another voltage. [W]

    Source: P = V I with the power law of the current.

    .. math:: P = P_0 (V / V_0)^{n + 1}

    Parameters
    ----------
    power_w : float
        Power that is known. [W]
    at_v : float
        Voltage at which it is known. [V]
    to_v : float
        Voltage for which it is wanted. [V]
    exponent : float
        Exponent of the current's law. [1]

    Examples
    --------
    By hand, a resistance: 150 W * (13.8 / 12)^2.

    >>> round(power_at_voltage_w(150.0, at_v=12, to_v=13.8, exponent=RESISTANCE), 3)
    198.375
    """
    return power_w * power(to_v / at_v, exponent + 1)


@within(voltage_v=NOT_NEGATIVE, cold_ohm=POSITIVE, hot_over_cold=(0.5, 20.0))
def resistance_power_w(voltage_v: Num, cold_ohm: float, *, hot_over_cold: float) -> Num:
    """Power of a resistance that was measured cold. [W]

    Source: Ohm and Joule; the resistance at work is the cold one times the ratio of the alloy.

    Parameters
    ----------
    voltage_v : float
        Voltage across it. [V]
    cold_ohm : float
        Resistance as measured, cold. [ohm]
    hot_over_cold : float
        Resistance at work over cold; 1.0 to 1.03 for nickel-chrome, 1.14 for lean alloys. [1]

    Examples
    --------
    By hand: 12.6^2 / 2.0.

    >>> round(resistance_power_w(12.6, 2.0, hot_over_cold=1.0), 2)
    79.38
    """
    return voltage_v**2 / (cold_ohm * hot_over_cold)


@within(power_w=POSITIVE, voltage_v=POSITIVE)
def resistance_of_power_ohm(power_w: Num, *, voltage_v: float) -> Num:
    """Resistance that takes a power at a voltage. [ohm]

    Source: Ohm and Joule.

    Parameters
    ----------
    power_w : float
        The power. [W]
    voltage_v : float
        The voltage. [V]

    Examples
    --------
    By hand: 12^2 / 150.

    >>> resistance_of_power_ohm(150.0, voltage_v=12)
    0.96
    """
    return voltage_v**2 / power_w


@within(emf_v=POSITIVE, series_ohm=POSITIVE)
def most_power_w(emf_v: Num, *, series_ohm: float) -> Num:
    """Most power that any load can take through a resistance; at half the voltage. [W]

    Source: maximum power theorem, E^2 / 4R.

    Parameters
    ----------
    emf_v : float
        Voltage of the source without load. [V]
    series_ohm : float
        Everything in series with the load. [ohm]

    Examples
    --------
    By hand: 12.6^2 / 0.08.

    >>> round(most_power_w(12.6, series_ohm=0.020), 1)
    1984.5
    """
    return emf_v**2 / (4 * series_ohm)


@within(power_w=NOT_NEGATIVE, emf_v=POSITIVE, series_ohm=POSITIVE)
def constant_power_voltage_v(power_w: float, *, emf_v: float, series_ohm: float) -> float:
    r"""Voltage at a constant-power load behind a resistance, the upper and stable one. [V]

    Source: Kirchhoff's voltage law. Refused above E^2 / 4R, where no working point exists.

    .. math:: V = (E + \sqrt{E^2 - 4 R P}) / 2

    Parameters
    ----------
    power_w : float
        Power that the load takes. [W]
    emf_v : float
        Voltage of the source without load. [V]
    series_ohm : float
        Everything in series with the load, out and back. [ohm]

    Examples
    --------
    By hand: (12.6 + sqrt(158.76 - 48)) / 2.

    >>> round(constant_power_voltage_v(600, emf_v=12.6, series_ohm=0.020), 3)
    11.562
    """
    most_w = most_power_w(emf_v, series_ohm=series_ohm)
    if power_w > most_w:
        raise OutOfRangeError("constant_power_voltage_v", "power_w", power_w, 0, most_w)
    return (emf_v + square_root(emf_v**2 - 4 * series_ohm * power_w)) / 2


@within(output_w=NOT_NEGATIVE, efficiency=(0.01, 1.0), input_v=POSITIVE)
def converter_input_a(output_w: Num, *, efficiency: float, input_v: float) -> Num:
    """Current that a converter or inverter takes for an output. [A]

    Source: conservation of energy.

    Parameters
    ----------
    output_w : float
        Power it gives. [W]
    efficiency : float
        Output over input. [1]
    input_v : float
        Voltage at its input. [V]

    Examples
    --------
    By hand: 2000 / 0.87 / 12.0.

    >>> round(converter_input_a(2000.0, efficiency=0.87, input_v=12.0), 1)
    191.6
    """
    return output_w / (efficiency * input_v)


@within(supply_v=NOT_NEGATIVE, motor_ohm=POSITIVE)
def stall_current_a(supply_v: Num, *, motor_ohm: float) -> Num:
    """Current of a permanent-magnet motor that stands still. [A]

    Source: V = k w + I R at w = 0.

    Parameters
    ----------
    supply_v : float
        Voltage at its terminals. [V]
    motor_ohm : float
        Resistance of the winding with its brushes. [ohm]

    Examples
    --------
    >>> stall_current_a(12.0, motor_ohm=0.1)
    120.0
    """
    return supply_v / motor_ohm


@within(peak_a=NOT_NEGATIVE, steady_a=POSITIVE)
def inrush_multiple(peak_a: Num, *, steady_a: float) -> Num:
    """Starting current over running current. [1]

    Source: definition.

    Parameters
    ----------
    peak_a : float
        Highest current at the start. [A]
    steady_a : float
        Current while running. [A]

    Examples
    --------
    >>> inrush_multiple(90.0, steady_a=20)
    4.5
    """
    return peak_a / steady_a
