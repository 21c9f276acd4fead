"""ISO 10133, E = 0.0164 I L / S: most current for 3 % of 12 V, printed table (annex A, second-hand)."""

import pytest

from groundstrap.physics.drop import ISO_10133_OHM_MM2_PER_M, rule_current_a


@pytest.mark.parametrize(("area_mm2", "loop_m", "printed"), [(95, 5, 417), (25, 10, 55), (150, 6, 549)])
def test_most_current_as_printed(area_mm2: float, loop_m: float, printed: float) -> None:
    current_a = rule_current_a(
        area_mm2, loop_m=loop_m, drop_v=0.03 * 12, rule_ohm_mm2_per_m=ISO_10133_OHM_MM2_PER_M
    )
    assert current_a == pytest.approx(printed, abs=1)


def test_is_9_percent_kinder_than_the_american_rule() -> None:
    """0.0164 against 10.75 ohm circular mil per foot: the two standards differ by 9.0 %."""
    american = 10.75 * 5.067075e-4 / 0.3048
    assert american / ISO_10133_OHM_MM2_PER_M == pytest.approx(1.090, abs=0.001)
