"""Dry air and the natural convection that a horizontal cylinder sets up in it.

The air is that of the U.S. Standard Atmosphere 1976. A correlation takes the Rayleigh and the Prandtl number
and gives the Nusselt number; a caller passes the one wanted as a function.
"""

import math
from collections.abc import Callable
from typing import Final

from groundstrap.physics._range import within
from groundstrap.records import dataclass

STANDARD_GRAVITY_M_PER_S2: Final = 9.80665
"""Source: ISO 80000-3."""
SEA_LEVEL_PA: Final = 101_325.0
"""Source: U.S. Standard Atmosphere 1976."""
AIR_GAS_CONSTANT_J_PER_KG_K: Final = 287.0529
"""Source: U.S. Standard Atmosphere 1976: 8314.32 / 28.9644."""
AIR_HEAT_J_PER_KG_K: Final = 3.5 * AIR_GAS_CONSTANT_J_PER_KG_K
"""Source: U.S. Standard Atmosphere 1976, diatomic gas: 7/2 of the gas constant."""
ZERO_C_K: Final = 273.15
PRESSURE_PA: Final = (20_000.0, 120_000.0)

MORGAN_LAWS: Final = ((0.675, 0.058), (1.02, 0.148), (0.850, 0.188), (0.480, 0.250), (0.125, 0.333))
"""Factor and exponent of Nu = C Ra^n. Source: Morgan 1975, from memory."""

Nusselt = Callable[[float, float], float]
"""A correlation: Rayleigh number and Prandtl number to Nusselt number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Properties of air at one temperature and pressure."""

    conductivity_w_per_m_k: float
    kinematic_viscosity_m2_per_s: float
    prandtl: float


@within(temp_c=(-90.0, 700.0), pressure_pa=PRESSURE_PA)
def air(temp_c: float, *, pressure_pa: float = SEA_LEVEL_PA) -> Air:
    """Conductivity, kinematic viscosity and Prandtl number of dry air. [W/(m K), m2/s, 1]

    Source: U.S. Standard Atmosphere 1976, equations 51 (viscosity) and 53 (conductivity); ideal gas.

    Parameters
    ----------
    temp_c : float
        Temperature of the air, for a film the mean of surface and ambient. [degC]
    pressure_pa : float
        Pressure of the air; sea level where left out. [Pa]

    Examples
    --------
    By hand at 300 K: viscosity 1.458e-6 * 5196.2 / 410.4 = 1.846e-5 Pa s, density 1.1766 kg/m3.

    >>> dry = air(26.85)
    >>> round(dry.kinematic_viscosity_m2_per_s * 1e6, 2), round(dry.conductivity_w_per_m_k, 5)
    (15.69, 0.02625)
    """
    conductivity, viscosity, prandtl = _film(temp_c + ZERO_C_K, pressure_pa)
    return Air(conductivity_w_per_m_k=conductivity, kinematic_viscosity_m2_per_s=viscosity, prandtl=prandtl)


def _film(temp_k: float, pressure_pa: float) -> tuple[float, float, float]:
    root = temp_k * math.sqrt(temp_k)
    conductivity = 2.64638e-3 * root / (temp_k + 245.4 * math.pow(10, -12 / temp_k))
    dynamic = 1.458e-6 * root / (temp_k + 110.4)
    density = pressure_pa / (AIR_GAS_CONSTANT_J_PER_KG_K * temp_k)
    return conductivity, dynamic / density, dynamic * AIR_HEAT_J_PER_KG_K / conductivity


def nusselt_morgan(rayleigh: float, prandtl: float) -> float:  # noqa: ARG001 - one face for all correlations
    """Nusselt number of a horizontal cylinder in still air. [1]

    Source: Morgan 1975 (Advances in Heat Transfer 11), his five power laws, from memory. The largest of the
    five is taken: neighbours cross within 10 % of the printed bounds, so that no value moves by more than
    1 % and the curve has no steps.

    Parameters
    ----------
    rayleigh : float
        Rayleigh number on the diameter. [1]
    prandtl : float
        Prandtl number; not used. [1]

    Examples
    --------
    By hand: 0.85 * 1000^0.188.

    >>> round(nusselt_morgan(1000.0, 0.7), 3)
    3.115
    """
    return max(factor * math.pow(rayleigh, exponent) for factor, exponent in MORGAN_LAWS)


def nusselt_churchill_chu(rayleigh: float, prandtl: float) -> float:
    """Nusselt number of a horizontal cylinder in still air. [1]

    Source: Churchill and Chu 1975 (International Journal of Heat and Mass Transfer 18), from memory; for
    Rayleigh numbers of 1e-5 to 1e12.

    Parameters
    ----------
    rayleigh : float
        Rayleigh number on the diameter. [1]
    prandtl : float
        Prandtl number. [1]

    Examples
    --------
    By hand: (0.60 + 0.387 * 3.1623 / 1.2068)^2.

    >>> round(nusselt_churchill_chu(1000.0, 0.7), 3)
    2.608
    """
    base = math.pow(1 + math.pow(0.559 / prandtl, 9 / 16), 8 / 27)
    return math.pow(0.60 + 0.387 * math.pow(rayleigh, 1 / 6) / base, 2)


def convection_w_per_m(
    surface_c: float, ambient_c: float, outer_d_mm: float, /, *, pressure_pa: float, nusselt: Nusselt
) -> float:
    """Heat that natural convection takes from a metre of horizontal cylinder in still air. [W/m]

    Source: the correlation given, properties of air at the mean of surface and ambient. The range is that of
    whoever calls: this runs inside root searches.

    Parameters
    ----------
    surface_c : float
        Temperature of the surface; not below the ambient. [degC]
    ambient_c : float
        Temperature of the air. [degC]
    outer_d_mm : float
        Diameter of the cylinder. [mm]
    pressure_pa : float
        Pressure of the air. [Pa]
    nusselt : callable
        The correlation.

    Examples
    --------
    By hand: Ra = 114, Nu = 1.02 * 114^0.148 = 2.056 and 0.850 * 114^0.188 = 2.071; the larger counts:
    pi * 0.02787 * 2.071 * 35.7.

    >>> round(convection_w_per_m(65.7, 30, 3.6, pressure_pa=101325, nusselt=nusselt_morgan), 2)
    6.47
    """
    rise_k = surface_c - ambient_c
    film_k = (surface_c + ambient_c) / 2 + ZERO_C_K
    conductivity, viscosity, prandtl = _film(film_k, pressure_pa)
    buoyancy = STANDARD_GRAVITY_M_PER_S2 * rise_k / film_k
    rayleigh = buoyancy * (outer_d_mm / 1000) ** 3 / viscosity**2 * prandtl
    return math.pi * conductivity * nusselt(rayleigh, prandtl) * rise_k
