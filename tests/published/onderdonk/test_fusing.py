"""Onderdonk's melting currents (from memory) beside the formula of IEC 60364-5-54 taken to 1083 degC."""

import math

import pytest

from groundstrap.physics.adiabatic import (
    COPPER_J_PER_MM3_K,
    COPPER_OHM_MM,
    COPPER_RECIPROCAL_C,
    k_factor,
)
from groundstrap.physics.conductor import MM2_PER_CIRCULAR_MIL
from groundstrap.physics.fusing import onderdonk_current_a, onderdonk_time_s

# gauge: circular mils, A in 0.1 s, 1 s, 5 s from 25 degC, by arithmetic with 234 + start
COMPUTED = {
    "18": (1624.3, 751.4, 237.6, 106.3),
    "14": (4106.8, 1899.9, 600.8, 268.7),
    "10": (10383, 4803.5, 1519.0, 679.3),
}


@pytest.mark.parametrize("gauge", COMPUTED)
def test_by_arithmetic(gauge: str) -> None:
    circular_mils, *currents = COMPUTED[gauge]
    for time_s, current_a in zip((0.1, 1, 5), currents, strict=True):
        ours = onderdonk_current_a(circular_mils * MM2_PER_CIRCULAR_MIL, time_s, start_c=25)
        assert ours == pytest.approx(current_a, rel=5e-4)


def test_a_printed_example_with_the_wrong_sign_is_not_reproduced() -> None:
    """2,581 circular mils, 5 s, 25 degC: a worked example takes 234 - 25 and prints 178 A; it is 169 A."""
    ours = onderdonk_current_a(2581 * MM2_PER_CIRCULAR_MIL, 5, start_c=25)
    assert ours == pytest.approx(168.9, abs=0.2)
    assert abs(ours - 178) > 8
    wrong = 2581 * math.sqrt(math.log10((1083 - 25) / (234 - 25) + 1) / (33 * 5))
    assert wrong == pytest.approx(178, abs=0.6)


def test_agrees_with_the_standards_formula_to_half_a_percent() -> None:
    ours = onderdonk_current_a(1.0, 1, start_c=25)
    standard = k_factor(
        25,
        1083,
        reciprocal_c=COPPER_RECIPROCAL_C,
        heat_j_per_mm3_k=COPPER_J_PER_MM3_K,
        rho20_ohm_mm=COPPER_OHM_MM,
    )
    assert ours == pytest.approx(288.7, abs=0.2)
    assert ours == pytest.approx(standard, rel=0.005)


def test_time_undoes_current() -> None:
    current_a = onderdonk_current_a(2.081, 3.0, start_c=40)
    assert onderdonk_time_s(2.081, current_a, start_c=40) == pytest.approx(3.0, rel=1e-12)
