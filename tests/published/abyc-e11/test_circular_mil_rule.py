"""ABYC E-11, 11.14.2.6 (K = 10.75), and the cells of its printed 12 V tables, in feet and circular mils."""

import pytest

from groundstrap.physics.conductor import M_PER_FOOT, MM2_PER_CIRCULAR_MIL
from groundstrap.physics.drop import ABYC_OHM_MM2_PER_M, rule_area_mm2

# amperes, feet out and back, share of 12 V, circular mils by the rule
CELLS = (
    (10, 20, 0.03, 5972), (15, 30, 0.03, 13438), (20, 20, 0.03, 11944), (50, 20, 0.03, 29861),
    (20, 20, 0.10, 3583), (10, 30, 0.10, 2688), (100, 20, 0.10, 17917),
)  # fmt: skip


def circular_mils(current_a: float, loop_ft: float, share: float) -> float:
    area_mm2 = rule_area_mm2(
        current_a, loop_m=loop_ft * M_PER_FOOT, drop_v=12 * share, rule_ohm_mm2_per_m=ABYC_OHM_MM2_PER_M
    )
    return area_mm2 / MM2_PER_CIRCULAR_MIL


@pytest.mark.parametrize(("current_a", "loop_ft", "share", "printed"), CELLS)
def test_circular_mils_as_printed(current_a: float, loop_ft: float, share: float, printed: float) -> None:
    assert circular_mils(current_a, loop_ft, share) == pytest.approx(printed, abs=1)


def test_bilge_pump_between_table_and_formula() -> None:
    """10 A, 11 ft out and 10 ft back: 6,271 and 1,881 circular mils, 12 and 16 AWG.

    The table has no 21 ft and goes up to 25: 7,465, which is 10 AWG. A size thinner is not wrong, but must
    say so.
    """
    assert circular_mils(10, 21, 0.03) == pytest.approx(6271, abs=1)
    assert circular_mils(10, 21, 0.10) == pytest.approx(1881, abs=1)
    assert circular_mils(10, 25, 0.03) == pytest.approx(7465, abs=1)
    # ASTM B258: 12 AWG 6,530, 14 AWG 4,107; 16 AWG 2,583, 18 AWG 1,624 circular mils.
    assert 4107 < circular_mils(10, 21, 0.03) <= 6530
    assert 1624 < circular_mils(10, 21, 0.10) <= 2583
