"""A conductor whose own heat raises its resistance, in closed form.

With the temperature rise in proportion to the heat, the voltage along a conductor is
``R0 I / (1 - kappa I^2)``: one number, ``kappa``, holds all that the heat does. ``kappa I^2`` is the heat
share: 0 for a cold conductor, 1 where no steady temperature exists any more.
"""

import math
from typing import Final

from groundstrap.physics._numbers import Num, square_root
from groundstrap.physics._range import ANY_FINITE, NOT_NEGATIVE, POSITIVE, check, within
from groundstrap.physics.conductor import COEFFICIENT_PER_K, CONDUCTOR_C

HEAT_SHARE: Final = (0.0, math.nextafter(1.0, 0.0))
"""Heat shares at which a steady temperature exists. [1]"""


@within(
    ohm_per_m_ambient=POSITIVE,
    thermal_resistance_k_m_per_w=NOT_NEGATIVE,
    alpha20_per_k=COEFFICIENT_PER_K,
    ambient_c=CONDUCTOR_C,
)
def kappa_per_a2(
    ohm_per_m_ambient: Num,
    thermal_resistance_k_m_per_w: Num,
    *,
    alpha20_per_k: float,
    ambient_c: float,
) -> Num:
    r"""Heat share for each ampere squared. [1/A2]

    Source: linear law of resistance (IEC 60028) with a rise of R_th times the heat. The length cancels:
    resistance grows with it and thermal resistance falls.

    .. math:: \kappa = \alpha' R'_0 R'_{th}, \quad \alpha' = \alpha_{20} / (1 + \alpha_{20} (\theta_a - 20))

    Parameters
    ----------
    ohm_per_m_ambient : float
        Resistance of a metre at the temperature of the ambient. [ohm/m]
    thermal_resistance_k_m_per_w : float
        Rise of the conductor over the ambient for each watt per metre. [K m/W]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    ambient_c : float
        Temperature of what surrounds the conductor. [degC]

    Examples
    --------
    By hand: 0.00393 * 0.010 * 4.0 at 20 degC.

    >>> round(kappa_per_a2(0.010, 4.0, alpha20_per_k=0.00393, ambient_c=20), 7)
    0.0001572
    """
    coefficient = alpha20_per_k / (1 + alpha20_per_k * (ambient_c - 20))
    return coefficient * ohm_per_m_ambient * thermal_resistance_k_m_per_w


@within(voltage_v=ANY_FINITE, cold_ohm=POSITIVE, kappa_per_a2=NOT_NEGATIVE)
def heated_current_a(voltage_v: Num, *, cold_ohm: float, kappa_per_a2: float) -> Num:
    r"""Current that a voltage drives through a conductor that heats itself. [A]

    Source: V = R0 I / (1 - kappa I^2) solved for I; exists at every voltage.

    .. math:: I = 2 V / (R_0 + \sqrt{R_0^2 + 4 \kappa V^2})

    Parameters
    ----------
    voltage_v : float
        Voltage along the conductor. [V]
    cold_ohm : float
        Its resistance at ambient temperature. [ohm]
    kappa_per_a2 : float
        Heat share for each ampere squared. [1/A2]

    Examples
    --------
    By hand: R0 = 1, kappa = 0.75, V = 2: I = 4 / (1 + sqrt(1 + 12)).

    >>> round(heated_current_a(2.0, cold_ohm=1, kappa_per_a2=0.75), 6)
    0.868517
    """
    root = square_root(cold_ohm**2 + 4 * kappa_per_a2 * voltage_v**2)
    return 2 * voltage_v / (cold_ohm + root)


@within(current_a=ANY_FINITE, cold_ohm=POSITIVE, kappa_per_a2=NOT_NEGATIVE)
def heated_voltage_v(current_a: Num, *, cold_ohm: float, kappa_per_a2: float) -> Num:
    r"""Voltage along a conductor that heats itself. [V]

    Source: V = R I with R = R0 (1 + alpha' R_th V I). Refused where kappa I^2 reaches 1: no steady
    temperature exists there.

    .. math:: V = R_0 I / (1 - \kappa I^2)

    Parameters
    ----------
    current_a : float
        Current through the conductor. [A]
    cold_ohm : float
        Its resistance at ambient temperature. [ohm]
    kappa_per_a2 : float
        Heat share for each ampere squared. [1/A2]

    Examples
    --------
    By hand: 0.010 * 50 / (1 - 0.25).

    >>> round(heated_voltage_v(50.0, cold_ohm=0.010, kappa_per_a2=1e-4), 6)
    0.666667
    """
    share = kappa_per_a2 * current_a**2
    check("heated_voltage_v", "kappa I^2", share, HEAT_SHARE)
    return cold_ohm * current_a / (1 - share)


@within(voltage_v=ANY_FINITE, cold_ohm=POSITIVE, kappa_per_a2=NOT_NEGATIVE)
def heated_slope_per_ohm(voltage_v: Num, *, cold_ohm: float, kappa_per_a2: float) -> Num:
    r"""Slope dI/dV of a conductor that heats itself, in time for the heat to settle. [1/ohm]

    Source: derivative of V = R0 I / (1 - kappa I^2).

    .. math:: dI/dV = (1 - x)^2 / (R_0 (1 + x)), \quad x = \kappa I^2

    Parameters
    ----------
    voltage_v : float
        Voltage along the conductor. [V]
    cold_ohm : float
        Its resistance at ambient temperature. [ohm]
    kappa_per_a2 : float
        Heat share for each ampere squared. [1/A2]

    Examples
    --------
    A conductor that doesn't heat has the slope 1/R0.

    >>> heated_slope_per_ohm(1.0, cold_ohm=0.5, kappa_per_a2=0.0)
    2.0
    """
    current_a = heated_current_a(voltage_v, cold_ohm=cold_ohm, kappa_per_a2=kappa_per_a2)
    share = kappa_per_a2 * current_a**2
    return (1 - share) ** 2 / (cold_ohm * (1 + share))


@within(share=HEAT_SHARE, alpha20_per_k=(1e-6, 0.01), ambient_c=CONDUCTOR_C)
def rise_of_heat_share_k(share: Num, *, alpha20_per_k: float, ambient_c: float) -> Num:
    r"""Rise of a conductor over its ambient that belongs to a heat share. [K]

    Source: R = R0 / (1 - x) and R = R0 (1 + alpha' rise), with x the heat share kappa I^2.

    .. math:: \Delta\theta = \frac{x}{1 - x} \cdot \frac{1}{\alpha'}

    Parameters
    ----------
    share : float
        Heat share kappa I^2. [1]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    ambient_c : float
        Temperature of what surrounds the conductor. [degC]

    Examples
    --------
    By hand: (0.1 / 0.9) / 0.00393 at 20 degC.

    >>> round(rise_of_heat_share_k(0.1, alpha20_per_k=0.00393, ambient_c=20), 3)
    28.273
    """
    coefficient = alpha20_per_k / (1 + alpha20_per_k * (ambient_c - 20))
    return share / (1 - share) / coefficient
