"""Air of the heat balance beside the `fluids` library's U.S. Standard Atmosphere and handbook values."""

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from groundstrap.physics.convection import SEA_LEVEL_PA, air


@pytest.mark.parametrize("temp_k", [230.0, 288.15, 300.0, 350.0, 400.0, 500.0])
def test_conductivity_and_viscosity_as_the_library_has_them(temp_k: float) -> None:
    ours = air(temp_k - 273.15)
    density = ATMOSPHERE_1976.density(temp_k, SEA_LEVEL_PA)
    assert ours.conductivity_w_per_m_k == pytest.approx(
        ATMOSPHERE_1976.thermal_conductivity(temp_k), rel=1e-12
    )
    viscosity = ATMOSPHERE_1976.viscosity(temp_k) / density
    assert ours.kinematic_viscosity_m2_per_s == pytest.approx(viscosity, rel=1e-5)


# Heat-transfer handbook, table of dry air at 1 atm, from memory: W/(m K), m2/s, Prandtl number.
HANDBOOK = {
    300: (26.3e-3, 15.89e-6, 0.707),
    350: (30.0e-3, 20.92e-6, 0.700),
    400: (33.8e-3, 26.41e-6, 0.690),
}


@pytest.mark.parametrize("temp_k", HANDBOOK)
def test_within_2_percent_of_a_handbook(temp_k: int) -> None:
    conductivity, viscosity, prandtl = HANDBOOK[temp_k]
    ours = air(temp_k - 273.15)
    assert ours.conductivity_w_per_m_k == pytest.approx(conductivity, rel=0.02)
    assert ours.kinematic_viscosity_m2_per_s == pytest.approx(viscosity, rel=0.02)
    assert ours.prandtl == pytest.approx(prandtl, rel=0.02)
