"""Heating in a fault, too fast for any heat to get away.

Holds up to about 5 s; beyond that it is on the safe side, since heat that leaves is left out. The limits
themselves (start and end temperature of an insulation) come from tables.
"""

import math
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Num
from groundstrap.physics._range import POSITIVE, within

ADIABATIC_S: Final = 5.0
"""Longest time for which heat loss may be left out. [s] Source: IEC 60364-4-43, 434.5.2."""
COPPER_RECIPROCAL_C: Final = 234.5
COPPER_J_PER_MM3_K: Final = 3.45e-3
COPPER_OHM_MM: Final = 17.241e-6
ALUMINIUM_RECIPROCAL_C: Final = 228.0
ALUMINIUM_J_PER_MM3_K: Final = 2.5e-3
ALUMINIUM_OHM_MM: Final = 28.264e-6
"""Constants of the metals. Source: IEC 60364-5-54 table A.54.1, from memory."""

FAULT_C: Final = (-60.0, 1084.0)
"""From deep frost to the melting point of copper. [degC]"""


@within(
    start_c=FAULT_C,
    end_c=FAULT_C,
    reciprocal_c=(100.0, 400.0),
    heat_j_per_mm3_k=POSITIVE,
    rho20_ohm_mm=POSITIVE,
)
def k_factor(
    start_c: float, end_c: float, *, reciprocal_c: float, heat_j_per_mm3_k: float, rho20_ohm_mm: float
) -> float:
    r"""Current density that heats a metal from one temperature to another in a second. [A s^0.5/mm2]

    Source: IEC 60364-5-54 annex A.

    .. math:: k = \sqrt{\frac{Q_c (\beta + 20)}{\rho_{20}} \ln\frac{\beta + \theta_f}{\beta + \theta_i}}

    Parameters
    ----------
    start_c : float
        Temperature before the fault. [degC]
    end_c : float
        Temperature allowed at its end; above the start. [degC]
    reciprocal_c : float
        Reciprocal of the temperature coefficient at 0 degC (beta); 234.5 for copper. [degC]
    heat_j_per_mm3_k : float
        Volumetric heat of the metal. [J/(mm3 K)]
    rho20_ohm_mm : float
        Resistivity at 20 degC. [ohm mm]

    Examples
    --------
    Copper in PVC from 70 to 160 degC; the standard prints 115.

    >>> round(k_factor(70, 160, reciprocal_c=234.5, heat_j_per_mm3_k=3.45e-3, rho20_ohm_mm=17.241e-6), 1)
    114.8
    """
    if end_c <= start_c:
        raise OutOfRangeError("k_factor", "end_c", end_c, math.nextafter(start_c, math.inf), FAULT_C[1])
    span = math.log((reciprocal_c + end_c) / (reciprocal_c + start_c))
    return math.sqrt(heat_j_per_mm3_k * (reciprocal_c + 20) / rho20_ohm_mm * span)


@within(area_mm2=POSITIVE, k_a_sqrt_s_per_mm2=POSITIVE)
def let_through_limit_a2s(area_mm2: Num, *, k_a_sqrt_s_per_mm2: float) -> Num:
    """Heat integral that a conductor stands. [A2 s]

    Source: IEC 60364-4-43, 434.5.2: I^2 t up to k^2 S^2.

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]
    k_a_sqrt_s_per_mm2 : float
        Factor of metal and temperatures. [A s^0.5/mm2]

    Examples
    --------
    By hand: 115^2 * 1.5^2.

    >>> let_through_limit_a2s(1.5, k_a_sqrt_s_per_mm2=115)
    29756.25
    """
    return (k_a_sqrt_s_per_mm2 * area_mm2) ** 2


@within(current_a=POSITIVE, area_mm2=POSITIVE, k_a_sqrt_s_per_mm2=POSITIVE)
def withstand_time_s(current_a: Num, *, area_mm2: float, k_a_sqrt_s_per_mm2: float) -> Num:
    """Time for which a conductor stands a fault current without heat loss. [s]

    Source: IEC 60364-4-43, 434.5.2, t = (k S / I)^2; for times above 5 s it says less than is true.

    Parameters
    ----------
    current_a : float
        Fault current. [A]
    area_mm2 : float
        Metal cross-section. [mm2]
    k_a_sqrt_s_per_mm2 : float
        Factor of metal and temperatures. [A s^0.5/mm2]

    Examples
    --------
    By hand: (115 * 2.5 / 500)^2.

    >>> round(withstand_time_s(500.0, area_mm2=2.5, k_a_sqrt_s_per_mm2=115), 4)
    0.3306
    """
    return (k_a_sqrt_s_per_mm2 * area_mm2 / current_a) ** 2


@within(let_through_a2s=POSITIVE, k_a_sqrt_s_per_mm2=POSITIVE)
def least_area_mm2(let_through_a2s: float, *, k_a_sqrt_s_per_mm2: float) -> float:
    """Smallest cross-section that stands a heat integral. [mm2]

    Source: IEC 60364-5-54, 543.1.2: S = sqrt(I^2 t) / k.

    Parameters
    ----------
    let_through_a2s : float
        Heat integral of the fault. [A2 s]
    k_a_sqrt_s_per_mm2 : float
        Factor of metal and temperatures. [A s^0.5/mm2]

    Examples
    --------
    By hand: sqrt(29756.25) / 115.

    >>> least_area_mm2(29756.25, k_a_sqrt_s_per_mm2=115)
    1.5
    """
    return math.sqrt(let_through_a2s) / k_a_sqrt_s_per_mm2


@within(
    start_c=FAULT_C,
    area_mm2=POSITIVE,
    reciprocal_c=(100.0, 400.0),
    heat_j_per_mm3_k=POSITIVE,
    rho20_ohm_mm=POSITIVE,
)
def end_temperature_c(
    let_through_a2s: float,
    *,
    start_c: float,
    area_mm2: float,
    reciprocal_c: float,
    heat_j_per_mm3_k: float,
    rho20_ohm_mm: float,
) -> float:
    """Temperature of a conductor after a heat integral; inf above the melting point of copper. [degC]

    Source: IEC 60364-5-54 annex A, solved for the end temperature.

    Parameters
    ----------
    let_through_a2s : float
        Heat integral of the fault. [A2 s]
    start_c : float
        Temperature before the fault. [degC]
    area_mm2 : float
        Metal cross-section. [mm2]
    reciprocal_c : float
        Reciprocal of the temperature coefficient at 0 degC. [degC]
    heat_j_per_mm3_k : float
        Volumetric heat of the metal. [J/(mm3 K)]
    rho20_ohm_mm : float
        Resistivity at 20 degC. [ohm mm]

    Examples
    --------
    The heat integral of k = 114.8 on 1.5 mm2 brings PVC wire from 70 to 160 degC.

    >>> round(end_temperature_c((114.83 * 1.5)**2, start_c=70, area_mm2=1.5, reciprocal_c=234.5,
    ...                         heat_j_per_mm3_k=3.45e-3, rho20_ohm_mm=17.241e-6), 0)
    160.0
    """
    per_area = let_through_a2s / area_mm2**2
    exponent = per_area * rho20_ohm_mm / (heat_j_per_mm3_k * (reciprocal_c + 20))
    if exponent > math.log((reciprocal_c + FAULT_C[1]) / (reciprocal_c + start_c)):
        return math.inf
    return (reciprocal_c + start_c) * math.exp(exponent) - reciprocal_c
