"""The whole heat balance solved again from the `ht`, `fluids` and `scipy` libraries alone."""

import math
from collections.abc import Callable
from typing import Any

import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from ht import Nu_horizontal_cylinder_Churchill_Chu, Nu_horizontal_cylinder_Morgan
from scipy.constants import R, Stefan_Boltzmann, g
from scipy.optimize import brentq

from groundstrap.physics.convection import Nusselt, nusselt_churchill_chu, nusselt_morgan
from groundstrap.physics.heat import balance_at

WALL, EMISSIVITY, SEA_LEVEL_PA = 0.4, 0.9, 101_325.0
AIR_J_PER_KG_K = 3.5 * R / 0.0289644


def heat_by_libraries(
    law: Callable[..., Any], diameter_m: float, conductor_c: float, ambient_c: float
) -> float:
    def heat(surface_c: float) -> float:
        film_k = (surface_c + ambient_c) / 2 + 273.15
        conductivity = ATMOSPHERE_1976.thermal_conductivity(film_k)
        density = ATMOSPHERE_1976.density(film_k, SEA_LEVEL_PA)
        viscosity = ATMOSPHERE_1976.viscosity(film_k)
        prandtl = viscosity * AIR_J_PER_KG_K / conductivity
        rise_k = surface_c - ambient_c
        grashof = g * rise_k / film_k * diameter_m**3 * density**2 / viscosity**2
        convection = law(prandtl, grashof) * conductivity / diameter_m * rise_k
        radiation = EMISSIVITY * Stefan_Boltzmann * ((surface_c + 273.15) ** 4 - (ambient_c + 273.15) ** 4)
        return float(math.pi * diameter_m * (convection + radiation))

    surface_c = brentq(lambda s: s + WALL * heat(s) - conductor_c, ambient_c + 1e-9, conductor_c)
    return heat(surface_c)


@pytest.mark.parametrize("outer_d_mm", [2.7, 5.0, 10.4, 19.7])
@pytest.mark.parametrize(("ambient_c", "conductor_c"), [(30, 70), (30, 105), (85, 125), (-20, 40)])
@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (nusselt_morgan, Nu_horizontal_cylinder_Morgan),
        (nusselt_churchill_chu, Nu_horizontal_cylinder_Churchill_Chu),
    ],
    ids=["Morgan", "Churchill-Chu"],
)
def test_heat_of_a_cable(
    ours: Nusselt, theirs: Callable[..., Any], outer_d_mm: float, ambient_c: float, conductor_c: float
) -> None:
    balance = balance_at(
        conductor_c,
        ambient_c,
        outer_d_mm=outer_d_mm,
        wall_k_m_per_w=WALL,
        emissivity=EMISSIVITY,
        nusselt=ours,
    )
    library = heat_by_libraries(theirs, outer_d_mm / 1000, conductor_c, ambient_c)
    # The atmosphere of 1976 has the gas constant of its year, 7e-6 under today's.
    assert balance.heat_w_per_m == pytest.approx(library, rel=2e-5)
