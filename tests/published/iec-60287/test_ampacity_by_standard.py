"""The T1/T4 method beside VDE 0298-4 table 11 column 2; constants of IEC 60287-2-1 from memory.

Insulation of 5.0 K m/W; conductor and cable diameters of DIN ISO 6722-3; 70 degC at 30 degC.
"""

from typing import Any

import pytest

from groundstrap.physics.cable_standard import CLIPPED_TO_WALL, FREE, ampacity_by_standard_a
from groundstrap.physics.heat import wall_k_m_per_w

# mm2, conductor mm, outer mm, milliohm/m at 20 degC, A printed by VDE 0298-4, clipped over printed
CABLES = (
    (1, 1.5, 2.7, 18.5, 19, 0.88),
    (2.5, 2.2, 3.6, 7.6, 32, 0.91),
    (6, 3.4, 5.0, 3.14, 54, 0.95),
    (10, 4.5, 6.5, 1.82, 73, 1.02),
    (25, 7.8, 10.4, 0.743, 129, 1.08),
    (50, 10.5, 13.5, 0.368, 198, 1.10),
    (120, 16.5, 19.7, 0.153, 344, 1.14),
)


@pytest.mark.parametrize("cable", CABLES, ids=lambda cable: f"{cable[0]} mm2")
def test_clipped_to_a_wall_against_the_table(cable: tuple[float, ...]) -> None:
    _, conductor_d_mm, outer_d_mm, milliohm_per_m, printed, known = cable
    wire: dict[str, Any] = {
        "ohm_per_m_20c": milliohm_per_m / 1000,
        "alpha20_per_k": 0.00393,
        "outer_d_mm": outer_d_mm,
        "wall_k_m_per_w": wall_k_m_per_w(conductor_d_mm, outer_d_mm, insulation_w_per_m_k=0.2),
    }
    clipped = ampacity_by_standard_a(70, 30, mounting=CLIPPED_TO_WALL, **wire)
    assert clipped / printed == pytest.approx(known, abs=0.006)
    assert ampacity_by_standard_a(70, 30, mounting=FREE, **wire) > clipped
