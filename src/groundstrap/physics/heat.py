"""Steady temperature and current capacity of one insulated conductor, from its heat balance.

The conductor lies horizontally in still air, free on all sides. Its heat goes through the insulation and
leaves the surface by natural convection and radiation.
Published ampacities come first; this serves other ambients, times and looms, and runs 0 to 20 % above the
tables for sizes from 10 mm2 up (tests/published shows by how much).

No steady temperature is looked for above ``MODEL_TOP_C``: where the balance needs more, the answer is
``math.inf``, 'the conductor goes on heating'.
"""

import math
from typing import Final

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics._root import crossing
from groundstrap.physics.convection import (
    PRESSURE_PA,
    SEA_LEVEL_PA,
    ZERO_C_K,
    Nusselt,
    convection_w_per_m,
    nusselt_morgan,
)
from groundstrap.records import dataclass

STEFAN_BOLTZMANN_W_PER_M2_K4: Final = 5.670374419e-8
"""Source: SI brochure (2019), from the defined constants."""
MODEL_TOP_C: Final = 400.0
"""Hottest conductor of the balance; the linear law of resistance is 3 % low for copper there. [degC]"""
AMBIENT_C: Final = (-60.0, 250.0)
BALANCE_C: Final = (-60.0, MODEL_TOP_C)
DIAMETER_MM: Final = (0.05, 300.0)
EMISSIVITY: Final = (0.01, 1.0)

_TOLERANCE_K: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatBalance:
    """A conductor in balance: what it gives off is what its current makes."""

    conductor_c: float
    surface_c: float
    heat_w_per_m: float
    thermal_resistance_k_m_per_w: float


@within(conductor_d_mm=DIAMETER_MM, outer_d_mm=DIAMETER_MM, insulation_w_per_m_k=(0.01, 5.0))
def wall_k_m_per_w(conductor_d_mm: float, outer_d_mm: float, *, insulation_w_per_m_k: float) -> float:
    r"""Thermal resistance of a wall of insulation, per metre of cable. [K m/W]

    Source: conduction through a round wall; the same as T1 of IEC 60287-2-1.

    .. math:: T_1 = \ln(D / d) / (2 \pi k)

    Parameters
    ----------
    conductor_d_mm : float
        Diameter under the wall. [mm]
    outer_d_mm : float
        Diameter over the wall; the same means bare. [mm]
    insulation_w_per_m_k : float
        Conductivity of the insulation. [W/(m K)]

    Examples
    --------
    By hand: ln(3.6 / 2.2) / (2 pi 0.17).

    >>> round(wall_k_m_per_w(2.2, 3.6, insulation_w_per_m_k=0.17), 4)
    0.4611
    """
    return math.log(outer_d_mm / conductor_d_mm) / (2 * math.pi * insulation_w_per_m_k)


@within(
    surface_c=BALANCE_C,
    ambient_c=AMBIENT_C,
    outer_d_mm=DIAMETER_MM,
    emissivity=EMISSIVITY,
    pressure_pa=PRESSURE_PA,
)
def surface_heat_w_per_m(
    surface_c: float,
    ambient_c: float,
    *,
    outer_d_mm: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> float:
    r"""Heat that a metre of horizontal cable gives to still air and to walls of its temperature. [W/m]

    Source: natural convection by the correlation given, radiation by the Stefan-Boltzmann law.

    .. math:: q = \pi D h (\theta_s - \theta_a) + \pi D \epsilon \sigma (T_s^4 - T_a^4)

    Parameters
    ----------
    surface_c : float
        Temperature of the cable's surface; not below the ambient. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    outer_d_mm : float
        Diameter over the insulation. [mm]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    A cable of 3.6 mm, 36 K over air of 30 degC, gives off about 9 W/m.

    >>> round(surface_heat_w_per_m(65.7, 30, outer_d_mm=3.6, emissivity=0.9), 1)
    9.2
    """
    return _surface_heat(surface_c, (ambient_c, outer_d_mm, emissivity, pressure_pa, nusselt))


_Place = tuple[float, float, float, float, Nusselt]
"""Ambient [degC], diameter [mm], emissivity, pressure [Pa], correlation."""


def _surface_heat(surface_c: float, place: _Place) -> float:
    ambient_c, outer_d_mm, emissivity, pressure_pa, nusselt = place
    rise_k = surface_c - ambient_c
    if rise_k <= 0.0:
        return 0.0
    surface_k, ambient_k, diameter_m = surface_c + ZERO_C_K, ambient_c + ZERO_C_K, outer_d_mm / 1000
    convection = convection_w_per_m(
        surface_c, ambient_c, outer_d_mm, pressure_pa=pressure_pa, nusselt=nusselt
    )
    radiation = emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * (surface_k**4 - ambient_k**4)
    return convection + math.pi * diameter_m * radiation


@within(
    conductor_c=BALANCE_C,
    ambient_c=AMBIENT_C,
    outer_d_mm=DIAMETER_MM,
    wall_k_m_per_w=NOT_NEGATIVE,
    emissivity=EMISSIVITY,
    pressure_pa=PRESSURE_PA,
)
def balance_at(
    conductor_c: float,
    ambient_c: float,
    *,
    outer_d_mm: float,
    wall_k_m_per_w: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> HeatBalance:
    """Heat balance of a cable whose conductor has a temperature. [degC, W/m, K m/W]

    Source: the same heat goes through the wall and leaves the surface.

    Parameters
    ----------
    conductor_c : float
        Temperature of the conductor; not below the ambient. At the ambient itself the thermal resistance is
        that of radiation and wall alone, the limit of the law. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    outer_d_mm : float
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float
        Thermal resistance of the insulation, per metre; 0 for a bare conductor. [K m/W]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    >>> balance = balance_at(70, 30, outer_d_mm=3.6, wall_k_m_per_w=0.4611, emissivity=0.9)
    >>> round(balance.surface_c, 1), round(balance.heat_w_per_m, 1)
    (65.7, 9.2)
    """
    place = (ambient_c, outer_d_mm, emissivity, pressure_pa, nusselt)
    rise_k = _checked_rise_k("balance_at", conductor_c, ambient_c)
    if rise_k == 0.0:
        return HeatBalance(
            conductor_c=conductor_c,
            surface_c=ambient_c,
            heat_w_per_m=0.0,
            thermal_resistance_k_m_per_w=wall_k_m_per_w + _radiation_k_m_per_w(place),
        )
    surface_c = crossing(
        lambda s: s + _surface_heat(s, place) * wall_k_m_per_w - conductor_c,
        ambient_c,
        conductor_c,
        tolerance=_TOLERANCE_K,
    )
    heat = _surface_heat(surface_c, place)
    return HeatBalance(
        conductor_c=conductor_c,
        surface_c=surface_c,
        heat_w_per_m=heat,
        thermal_resistance_k_m_per_w=rise_k / heat,
    )


def _radiation_k_m_per_w(place: _Place) -> float:
    ambient_c, outer_d_mm, emissivity, *_ = place
    per_k = 4 * emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * (ambient_c + ZERO_C_K) ** 3
    return 1 / (math.pi * outer_d_mm / 1000 * per_k)


def _checked_rise_k(function: str, conductor_c: float, ambient_c: float) -> float:
    if conductor_c < ambient_c:
        raise OutOfRangeError(function, "conductor_c", conductor_c, ambient_c, MODEL_TOP_C)
    return conductor_c - ambient_c


def thermal_resistance_k_m_per_w(
    conductor_c: float,
    ambient_c: float,
    *,
    outer_d_mm: float,
    wall_k_m_per_w: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> float:
    """Rise of a conductor over the air for each watt per metre, at one conductor temperature. [K m/W]

    Source: heat balance, see ``balance_at``, whose ranges hold. It falls slowly as the conductor gets hotter.

    Parameters
    ----------
    conductor_c : float
        Temperature of the conductor; not below the ambient. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    outer_d_mm : float
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float
        Thermal resistance of the insulation, per metre. [K m/W]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    By hand: 40 K / 9.225 W/m.

    >>> r = thermal_resistance_k_m_per_w(70, 30, outer_d_mm=3.6, wall_k_m_per_w=0.4611, emissivity=0.9)
    >>> round(r, 2)
    4.34
    """
    balance = balance_at(
        conductor_c,
        ambient_c,
        outer_d_mm=outer_d_mm,
        wall_k_m_per_w=wall_k_m_per_w,
        emissivity=emissivity,
        pressure_pa=pressure_pa,
        nusselt=nusselt,
    )
    return balance.thermal_resistance_k_m_per_w


@within(ohm_per_m_20c=POSITIVE, alpha20_per_k=(0.0, 0.01))
def ampacity_a(
    limit_c: float,
    ambient_c: float,
    *,
    ohm_per_m_20c: float,
    alpha20_per_k: float,
    outer_d_mm: float,
    wall_k_m_per_w: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> float:
    r"""Continuous current that brings a conductor to a temperature. [A]

    Source: heat balance, see ``balance_at``, whose ranges hold; I^2 R at the limit equals the heat given off.

    .. math:: I = \sqrt{q / (R'_{20} [1 + \alpha_{20} (\theta_c - 20)])}

    Parameters
    ----------
    limit_c : float
        Temperature of the conductor. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    ohm_per_m_20c : float
        Resistance of a metre at 20 degC. [ohm/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    outer_d_mm : float
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float
        Thermal resistance of the insulation, per metre. [K m/W]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    2.5 mm2 with a thick wall of 70 degC PVC at 30 degC; VDE 0298-4 prints 32 A.

    >>> round(ampacity_a(70, 30, ohm_per_m_20c=0.0076, alpha20_per_k=0.00393, outer_d_mm=3.6,
    ...                  wall_k_m_per_w=0.4611, emissivity=0.9), 1)
    31.8
    """
    heat = balance_at(
        limit_c,
        ambient_c,
        outer_d_mm=outer_d_mm,
        wall_k_m_per_w=wall_k_m_per_w,
        emissivity=emissivity,
        pressure_pa=pressure_pa,
        nusselt=nusselt,
    ).heat_w_per_m
    return math.sqrt(heat / (ohm_per_m_20c * (1 + alpha20_per_k * (limit_c - 20))))


@within(
    current_a=NOT_NEGATIVE,
    ambient_c=AMBIENT_C,
    ohm_per_m_20c=POSITIVE,
    alpha20_per_k=(0.0, 0.01),
    outer_d_mm=DIAMETER_MM,
    wall_k_m_per_w=NOT_NEGATIVE,
    emissivity=EMISSIVITY,
    pressure_pa=PRESSURE_PA,
)
def steady_temperature_c(
    current_a: float,
    ambient_c: float,
    *,
    ohm_per_m_20c: float,
    alpha20_per_k: float,
    outer_d_mm: float,
    wall_k_m_per_w: float,
    emissivity: float,
    pressure_pa: float = SEA_LEVEL_PA,
    nusselt: Nusselt = nusselt_morgan,
) -> float:
    """Temperature at which a conductor settles under a continuous current; inf above 400 degC. [degC]

    Source: heat balance; the heat made rises with the conductor's temperature, that given off faster. Where
    no balance stands at or under ``MODEL_TOP_C`` the answer is ``math.inf``.

    Parameters
    ----------
    current_a : float
        Continuous current. [A]
    ambient_c : float
        Temperature of the air. [degC]
    ohm_per_m_20c : float
        Resistance of a metre at 20 degC. [ohm/m]
    alpha20_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    outer_d_mm : float
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float
        Thermal resistance of the insulation, per metre. [K m/W]
    emissivity : float
        Share of a black surface's radiation. [1]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]
    nusselt : callable
        The correlation of natural convection; Morgan's where left out.

    Examples
    --------
    The current that ``ampacity_a`` gives for 70 degC brings the cable there.

    >>> round(steady_temperature_c(31.84, 30, ohm_per_m_20c=0.0076, alpha20_per_k=0.00393, outer_d_mm=3.6,
    ...                            wall_k_m_per_w=0.4611, emissivity=0.9), 1)
    70.0
    """
    place = (ambient_c, outer_d_mm, emissivity, pressure_pa, nusselt)
    made_20c = current_a**2 * ohm_per_m_20c

    def surplus(surface_c: float) -> float:
        given = _surface_heat(surface_c, place)
        conductor_c = surface_c + given * wall_k_m_per_w
        return given - made_20c * (1 + alpha20_per_k * (conductor_c - 20))

    if made_20c == 0.0:
        return ambient_c
    if surplus(MODEL_TOP_C) <= 0.0:
        return math.inf
    surface_c = crossing(surplus, ambient_c, MODEL_TOP_C, tolerance=_TOLERANCE_K)
    conductor_c = surface_c + _surface_heat(surface_c, place) * wall_k_m_per_w
    return conductor_c if conductor_c <= MODEL_TOP_C else math.inf


@within(limit_c=AMBIENT_C, from_ambient_c=AMBIENT_C, to_ambient_c=AMBIENT_C)
def ambient_factor(limit_c: float, *, from_ambient_c: float, to_ambient_c: float) -> float:
    r"""Factor on a current capacity that is known at another ambient. [1]

    Source: square-root rule (Neher and McGrath 1957; NEC 310.15). It is the rule behind the printed factors
    of 33 CFR 183.425 note 1, VDE 0298-4 table 17 and the NEC, to 0.01.

    .. math:: f = \sqrt{(\theta_c - \theta_{a2}) / (\theta_c - \theta_{a1})}

    Parameters
    ----------
    limit_c : float
        Temperature of the conductor at which the capacity is given; above both ambients. [degC]
    from_ambient_c : float
        Ambient at which the capacity is known. [degC]
    to_ambient_c : float
        Ambient for which it is wanted. [degC]

    Examples
    --------
    By hand: sqrt(20 / 40) for 70 degC insulation at 50 degC; VDE 0298-4 prints 0.71.

    >>> round(ambient_factor(70, from_ambient_c=30, to_ambient_c=50), 3)
    0.707
    """
    for name, ambient_c in (("from_ambient_c", from_ambient_c), ("to_ambient_c", to_ambient_c)):
        if ambient_c >= limit_c:
            raise OutOfRangeError("ambient_factor", name, ambient_c, AMBIENT_C[0], limit_c)
    return math.sqrt((limit_c - to_ambient_c) / (limit_c - from_ambient_c))
