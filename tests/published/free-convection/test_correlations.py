"""Natural convection beside the `ht` library's Morgan (1975) and Churchill and Chu (1975)."""

import math

import pytest
from ht import Nu_horizontal_cylinder_Churchill_Chu, Nu_horizontal_cylinder_Morgan

from groundstrap.physics.convection import nusselt_churchill_chu, nusselt_morgan

RAYLEIGH = [10.0 ** (tenth / 10) for tenth in range(-50, 80)]
BOUNDS = (1e-2, 1e2, 1e4, 1e7)


@pytest.mark.parametrize("prandtl", [0.69, 0.71])
def test_churchill_chu(prandtl: float) -> None:
    for rayleigh in RAYLEIGH:
        library = Nu_horizontal_cylinder_Churchill_Chu(prandtl, rayleigh / prandtl)
        assert nusselt_churchill_chu(rayleigh, prandtl) == pytest.approx(library, rel=1e-12)


def test_morgan_away_from_his_bounds() -> None:
    for rayleigh in RAYLEIGH:
        if all(abs(math.log10(rayleigh / bound)) > 0.05 for bound in BOUNDS):
            library = Nu_horizontal_cylinder_Morgan(0.7, rayleigh / 0.7)
            assert nusselt_morgan(rayleigh, 0.7) == pytest.approx(library, rel=1e-12)


def test_morgan_at_his_bounds_without_the_steps() -> None:
    """His five laws leave steps of up to 0.7 % where they meet; the larger of two neighbours has none."""
    for bound in BOUNDS:
        for side in (0.9, 0.999, 1.001, 1.1):
            library = Nu_horizontal_cylinder_Morgan(0.7, bound * side / 0.7)
            assert nusselt_morgan(bound * side, 0.7) == pytest.approx(library, rel=0.008)


def test_handbook_example() -> None:
    """Boetcher 2014 works Morgan's law at Pr 0.69, Gr 2.63e9: 151.4."""
    assert nusselt_morgan(0.69 * 2.63e9, 0.69) == pytest.approx(151.388, abs=0.001)
