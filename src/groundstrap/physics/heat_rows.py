"""Heat balance of many conductors at once: the laws of ``heat`` on arrays, row by row.

Any argument may be an array of rows or one number for all; natural convection is Morgan's. A row that
settles nowhere at or under ``MODEL_TOP_C`` is inf, as in ``heat``.
"""

import numpy as np

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._numbers import Array
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics._root import crossing_rows
from groundstrap.physics.convection import (
    AIR_GAS_CONSTANT_J_PER_KG_K,
    AIR_HEAT_J_PER_KG_K,
    MORGAN_LAWS,
    SEA_LEVEL_PA,
    STANDARD_GRAVITY_M_PER_S2,
    ZERO_C_K,
)
from groundstrap.physics.heat import (
    AMBIENT_C,
    BALANCE_C,
    DIAMETER_MM,
    EMISSIVITY,
    MODEL_TOP_C,
    STEFAN_BOLTZMANN_W_PER_M2_K4,
)

Rows = Array | float

_TOLERANCE_K = 1e-8


def _surface_heat_rows(surface_c: Array, ambient_c: Array, outer_d_mm: Array, emissivity: Array) -> Array:
    surface_k, ambient_k, diameter_m = surface_c + ZERO_C_K, ambient_c + ZERO_C_K, outer_d_mm / 1000
    film_k, rise_k = (surface_k + ambient_k) / 2, np.maximum(surface_c - ambient_c, 0.0)
    root = film_k * np.sqrt(film_k)
    conductivity = 2.64638e-3 * root / (film_k + 245.4 * np.power(10.0, -12 / film_k))
    dynamic = 1.458e-6 * root / (film_k + 110.4)
    viscosity = dynamic * AIR_GAS_CONSTANT_J_PER_KG_K * film_k / SEA_LEVEL_PA
    prandtl = dynamic * AIR_HEAT_J_PER_KG_K / conductivity
    rayleigh = STANDARD_GRAVITY_M_PER_S2 * rise_k / film_k * diameter_m**3 / viscosity**2 * prandtl
    nusselt = np.maximum.reduce([factor * rayleigh**exponent for factor, exponent in MORGAN_LAWS])
    radiation = emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * (surface_k**4 - ambient_k**4)
    heat: Array = np.pi * conductivity * nusselt * rise_k + np.pi * diameter_m * radiation
    return heat


def _rows(*numbers: Rows) -> list[Array]:
    """The same length for all, as floats of their own."""
    return [np.array(row, dtype=float) for row in np.broadcast_arrays(*np.atleast_1d(*numbers))]


@within(
    current_a=NOT_NEGATIVE,
    ambient_c=AMBIENT_C,
    ohm_per_m_20c=POSITIVE,
    alpha20_per_k=(0.0, 0.01),
    outer_d_mm=DIAMETER_MM,
    wall_k_m_per_w=NOT_NEGATIVE,
    emissivity=EMISSIVITY,
)
def steady_temperatures_c(
    current_a: Rows,
    ambient_c: Rows,
    *,
    ohm_per_m_20c: Rows,
    alpha20_per_k: Rows,
    outer_d_mm: Rows,
    wall_k_m_per_w: Rows,
    emissivity: Rows,
) -> Array:
    """Temperatures at which conductors settle under continuous currents; inf above 400 degC. [degC]

    Source: heat balance, as ``heat.steady_temperature_c``.

    Parameters
    ----------
    current_a : float or array
        Continuous current. [A]
    ambient_c : float or array
        Temperature of the air. [degC]
    ohm_per_m_20c : float or array
        Resistance of a metre at 20 degC. [ohm/m]
    alpha20_per_k : float or array
        Temperature coefficient at 20 degC. [1/K]
    outer_d_mm : float or array
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float or array
        Thermal resistance of the insulation, per metre. [K m/W]
    emissivity : float or array
        Share of a black surface's radiation. [1]

    Examples
    --------
    >>> steady_temperatures_c(np.array([0.0, 31.84]), 30, ohm_per_m_20c=0.0076, alpha20_per_k=0.00393,
    ...                       outer_d_mm=3.6, wall_k_m_per_w=0.4611, emissivity=0.9).round(1).tolist()
    [30.0, 70.0]
    """
    current, ambient, ohm, alpha, outer, wall, shine = _rows(
        current_a, ambient_c, ohm_per_m_20c, alpha20_per_k, outer_d_mm, wall_k_m_per_w, emissivity
    )
    made_20c = current**2 * ohm

    def surplus(surface_c: Array) -> Array:
        given = _surface_heat_rows(surface_c, ambient, outer, shine)
        return given - made_20c * (1 + alpha * (surface_c + given * wall - 20))

    top = np.full_like(current, MODEL_TOP_C)
    settles = surplus(top) > 0
    high = np.where(settles, top, ambient)
    surface = crossing_rows(
        lambda s: np.where(settles, surplus(s), 0.0), ambient, high, tolerance=_TOLERANCE_K
    )
    conductor = surface + _surface_heat_rows(surface, ambient, outer, shine) * wall
    conductor = np.where(made_20c == 0, ambient, conductor)
    return np.where(settles & (conductor <= MODEL_TOP_C), conductor, np.inf)


@within(
    limit_c=BALANCE_C,
    ambient_c=AMBIENT_C,
    ohm_per_m_20c=POSITIVE,
    alpha20_per_k=(0.0, 0.01),
    outer_d_mm=DIAMETER_MM,
    wall_k_m_per_w=NOT_NEGATIVE,
    emissivity=EMISSIVITY,
)
def ampacities_a(
    limit_c: Rows,
    ambient_c: Rows,
    *,
    ohm_per_m_20c: Rows,
    alpha20_per_k: Rows,
    outer_d_mm: Rows,
    wall_k_m_per_w: Rows,
    emissivity: Rows,
) -> Array:
    """Continuous currents that bring conductors to a temperature. [A]

    Source: heat balance, as ``heat.ampacity_a``.

    Parameters
    ----------
    limit_c : float or array
        Temperature of the conductor; not under the ambient. [degC]
    ambient_c : float or array
        Temperature of the air. [degC]
    ohm_per_m_20c : float or array
        Resistance of a metre at 20 degC. [ohm/m]
    alpha20_per_k : float or array
        Temperature coefficient at 20 degC. [1/K]
    outer_d_mm : float or array
        Diameter over the insulation. [mm]
    wall_k_m_per_w : float or array
        Thermal resistance of the insulation, per metre. [K m/W]
    emissivity : float or array
        Share of a black surface's radiation. [1]

    Examples
    --------
    >>> ampacities_a(70, np.array([30.0, 50.0]), ohm_per_m_20c=0.0076, alpha20_per_k=0.00393,
    ...              outer_d_mm=3.6, wall_k_m_per_w=0.4611, emissivity=0.9).round(1).tolist()
    [31.8, 22.1]
    """
    limit, ambient, ohm, alpha, outer, wall, shine = _rows(
        limit_c, ambient_c, ohm_per_m_20c, alpha20_per_k, outer_d_mm, wall_k_m_per_w, emissivity
    )
    if (limit < ambient).any():
        place = int(np.argmax(limit < ambient))
        raise OutOfRangeError(
            "ampacities_a", "limit_c", float(limit[place]), float(ambient[place]), MODEL_TOP_C
        )
    surface = crossing_rows(
        lambda s: s + _surface_heat_rows(s, ambient, outer, shine) * wall - limit,
        ambient,
        limit,
        tolerance=_TOLERANCE_K,
    )
    heat = _surface_heat_rows(surface, ambient, outer, shine)
    currents: Array = np.sqrt(heat / (ohm * (1 + alpha * (limit - 20))))
    return currents
