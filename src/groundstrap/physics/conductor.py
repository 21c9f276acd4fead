"""Resistance of a conductor by temperature, strand and material; areas and diameters.

One linear law of temperature serves for all metals here. Between -60 and 250 degC it stays within 2 % of
the measured resistivity of copper; the range is enforced, which also catches temperatures in kelvin.
"""

import math
from typing import Final

from groundstrap.physics._numbers import Num
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within

COPPER_OHM_MM2_PER_M: Final = 1 / 58
"""Annealed copper at 20 degC. [ohm mm2/m] Source: IEC 60028 (100 % IACS), 1/58."""
COPPER_PER_K: Final = 0.00393
"""Temperature coefficient of annealed copper at 20 degC. [1/K] Source: IEC 60028."""
MM2_PER_CIRCULAR_MIL: Final = math.pi / 4 * 0.0254**2
"""Area of a circle of a thousandth of an inch, in mm2; 1 inch is 25.4 mm."""
M_PER_FOOT: Final = 0.3048

CONDUCTOR_C: Final = (-60.0, 250.0)
"""Where the linear law of resistance is used. [degC]"""
COEFFICIENT_PER_K: Final = (-0.001, 0.01)


@within(temp_c=CONDUCTOR_C, alpha20_per_k=COEFFICIENT_PER_K)
def resistance_ratio(temp_c: Num, *, alpha20_per_k: float) -> Num:
    r"""Resistance at a temperature over that at 20 degC. [1]

    Source: IEC 60028, linear law about 20 degC.

    .. math:: R / R_{20} = 1 + \alpha_{20} (\theta - 20)

    Parameters
    ----------
    temp_c : float
        Temperature of the conductor, not of the air. [degC]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]

    Examples
    --------
    By hand: 1 + 0.00393 * 55 for copper at 75 degC.

    >>> round(resistance_ratio(75.0, alpha20_per_k=0.00393), 5)
    1.21615
    """
    return 1 + alpha20_per_k * (temp_c - 20)


@within(ratio=POSITIVE, alpha20_per_k=(1e-6, 0.01))
def temperature_of_ratio_c(ratio: Num, *, alpha20_per_k: float) -> Num:
    """Temperature that a conductor has when its resistance stands in a ratio to that at 20 degC. [degC]

    Source: IEC 60028, linear law about 20 degC, solved for the temperature.

    Parameters
    ----------
    ratio : float
        Resistance over resistance at 20 degC. [1]
    alpha20_per_k : float
        Temperature coefficient at 20 degC; not zero, or the ratio says nothing. [1/K]

    Examples
    --------
    >>> round(temperature_of_ratio_c(1.21615, alpha20_per_k=0.00393), 6)
    75.0
    """
    return 20 + (ratio - 1) / alpha20_per_k


@within(alpha20_per_k=COEFFICIENT_PER_K, temp_c=CONDUCTOR_C)
def coefficient_at_per_k(alpha20_per_k: float, *, temp_c: Num) -> Num:
    r"""Temperature coefficient about another temperature than 20 degC. [1/K]

    Source: the linear law of IEC 60028 written about that temperature.

    .. math:: \alpha' = \alpha_{20} / (1 + \alpha_{20} (\theta - 20))

    Parameters
    ----------
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    temp_c : float
        The other temperature. [degC]

    Examples
    --------
    By hand: 0.00393 / (1 + 0.00393 * 40).

    >>> round(coefficient_at_per_k(0.00393, temp_c=60.0), 6)
    0.003396
    """
    return alpha20_per_k / (1 + alpha20_per_k * (temp_c - 20))


@within(
    area_mm2=POSITIVE,
    temp_c=CONDUCTOR_C,
    rho20_ohm_mm2_per_m=POSITIVE,
    alpha20_per_k=COEFFICIENT_PER_K,
    lay_factor=(1.0, 1.3),
)
def ohm_per_m(
    area_mm2: Num,
    temp_c: float,
    *,
    rho20_ohm_mm2_per_m: float,
    alpha20_per_k: float,
    lay_factor: float,
) -> Num:
    r"""Resistance of a metre of conductor. [ohm/m]

    Source: IEC 60028 (resistivity, linear law); the lay factor is that of the strand.

    .. math:: R' = f \, \rho_{20} / A \, [1 + \alpha_{20} (\theta - 20)]

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]
    temp_c : float
        Temperature of the conductor. [degC]
    rho20_ohm_mm2_per_m : float
        Resistivity at 20 degC. [ohm mm2/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    lay_factor : float
        Length of the strands over length of the cable; 1 for solid wire, about 1.02 stranded. [1]

    Examples
    --------
    By hand: 1.02 / (58 * 2.5) ohm/m at 20 degC.

    >>> round(ohm_per_m(2.5, 20, rho20_ohm_mm2_per_m=1/58, alpha20_per_k=0.00393, lay_factor=1.02) * 1000, 4)
    7.0345
    """
    ratio = 1 + alpha20_per_k * (temp_c - 20)
    return rho20_ohm_mm2_per_m * lay_factor * ratio / area_mm2


@within(
    length_m=NOT_NEGATIVE,
    area_mm2=POSITIVE,
    temp_c=CONDUCTOR_C,
    rho20_ohm_mm2_per_m=POSITIVE,
    alpha20_per_k=COEFFICIENT_PER_K,
)
def conductor_ohm(
    length_m: Num,
    area_mm2: float,
    temp_c: float,
    *,
    rho20_ohm_mm2_per_m: float,
    alpha20_per_k: float,
) -> Num:
    r"""Resistance of one solid conductor, one way. [ohm]

    Source: IEC 60028 (resistivity, linear law about 20 degC).

    .. math:: R = \rho_{20}\,\frac{l}{A}\,[1 + \alpha_{20}(\theta - 20)]

    Parameters
    ----------
    length_m : float
        Conductor length, one way. [m]
    area_mm2 : float
        Metal cross-section. [mm2]
    temp_c : float
        Temperature of the conductor, not of the air. [degC]
    rho20_ohm_mm2_per_m : float
        Resistivity at 20 degC. [ohm mm2/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]

    Examples
    --------
    By hand: 5 m of 16 mm2 at 20 degC is 5 / (58 * 16) ohm.

    >>> r = conductor_ohm(5.0, 16, 20, rho20_ohm_mm2_per_m=1/58, alpha20_per_k=0.00393)
    >>> round(r * 1000, 3)      # milliohm
    5.388
    """
    ratio = 1 + alpha20_per_k * (temp_c - 20)
    return length_m * (rho20_ohm_mm2_per_m / area_mm2 * ratio)


@within(ohm_20c=NOT_NEGATIVE, temp_c=CONDUCTOR_C, alpha20_per_k=COEFFICIENT_PER_K)
def ohm_at_temperature(ohm_20c: Num, temp_c: float, *, alpha20_per_k: float) -> Num:
    """Resistance at a temperature, from that at 20 degC. [ohm]

    Source: IEC 60028, linear law about 20 degC.

    Parameters
    ----------
    ohm_20c : float
        Resistance at 20 degC; a resistance per metre gives one per metre. [ohm]
    temp_c : float
        Temperature of the conductor. [degC]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]

    Examples
    --------
    By hand: 0.010 * (1 + 0.00393 * 50).

    >>> round(ohm_at_temperature(0.010, 70, alpha20_per_k=0.00393), 6)
    0.011965
    """
    return ohm_20c * (1 + alpha20_per_k * (temp_c - 20))


@within(strands=(1, 100_000), strand_mm=(0.005, 20.0))
def strands_area_mm2(strands: int, strand_mm: float) -> float:
    """Metal cross-section of a number of round strands. [mm2]

    Source: geometry of the circle.

    Parameters
    ----------
    strands : int
        How many strands. [1]
    strand_mm : float
        Diameter of one bare strand. [mm]

    Examples
    --------
    By hand: 84 * pi/4 * 0.30^2.

    >>> round(strands_area_mm2(84, 0.30), 3)
    5.938
    """
    return strands * math.pi / 4 * strand_mm**2


@within(area_mm2=POSITIVE)
def solid_diameter_mm(area_mm2: float) -> float:
    """Diameter of a solid round wire. [mm]

    Source: geometry of the circle.

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]

    Examples
    --------
    >>> round(solid_diameter_mm(3.3088), 4)    # 12 AWG by ASTM B258
    2.0525
    """
    return 2 * math.sqrt(area_mm2 / math.pi)


@within(area_mm2=POSITIVE, fill=(0.5, 1.0))
def stranded_diameter_mm(area_mm2: float, *, fill: float) -> float:
    """Outer diameter of a stranded conductor without its insulation. [mm]

    Source: geometry; the metal fills a share of the circle about the strands (common practice: about 0.756,
    a diameter 1.15 times the solid one).

    Parameters
    ----------
    area_mm2 : float
        Metal cross-section. [mm2]
    fill : float
        Share of the circle that is metal. [1]

    Examples
    --------
    By hand: 2 * sqrt(2.5 / (pi * 0.756)).

    >>> round(stranded_diameter_mm(2.5, fill=0.756), 3)
    2.052
    """
    return 2 * math.sqrt(area_mm2 / (math.pi * fill))


@within(measured_ohm=POSITIVE, length_m=POSITIVE, temp_c=CONDUCTOR_C)
def area_of_resistance_mm2(
    measured_ohm: float,
    length_m: float,
    temp_c: float,
    *,
    rho20_ohm_mm2_per_m: float,
    alpha20_per_k: float,
) -> float:
    """Metal cross-section that a measured resistance speaks of. [mm2]

    Source: IEC 60028, solved for the area. An area well under the label's means an undersized or clad
    wire, or a bad joint inside the measured length.

    Parameters
    ----------
    measured_ohm : float
        Resistance of the length. [ohm]
    length_m : float
        Conductor length, the whole of what was measured. [m]
    temp_c : float
        Temperature of the conductor. [degC]
    rho20_ohm_mm2_per_m : float
        Resistivity at 20 degC. [ohm mm2/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]

    Examples
    --------
    By hand: 10 m / (58 * 0.0431 ohm).

    >>> round(area_of_resistance_mm2(0.0431, 10, 20, rho20_ohm_mm2_per_m=1/58, alpha20_per_k=0.00393), 2)
    4.0
    """
    ratio = 1 + alpha20_per_k * (temp_c - 20)
    return rho20_ohm_mm2_per_m * ratio * length_m / measured_ohm
