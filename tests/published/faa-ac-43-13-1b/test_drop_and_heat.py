"""Worked examples of FAA AC 43.13-1B chapter 11: tables 11-7 and 11-8, paragraph 11-66, its known misprints.

Resistances of tinned copper at 20 degC from table 11-9, ohm per 1,000 ft; run lengths are the whole wire.
"""

from typing import Any

import pytest

from groundstrap.physics.conductor import M_PER_FOOT
from groundstrap.physics.drop import (
    FAA_ALUMINIUM_RECIPROCAL_C,
    FAA_COPPER_RECIPROCAL_C,
    faa_conductor_c,
    hot_run_m,
    loop_drop_v,
    part_load_conductor_c,
)
from groundstrap.physics.heat import ampacity_a, wall_k_m_per_w

OHM_PER_1000_FT = {"16": 4.81, "14": 3.06, "12": 2.02, "10": 1.26, "8": 0.70, "6": 0.44}


def drop_v(gauge: str, current_a: float, run_ft: float) -> float:
    ohm_per_m = OHM_PER_1000_FT[gauge] / (1000 * M_PER_FOOT)
    return loop_drop_v(current_a, loop_m=run_ft * M_PER_FOOT, ohm_per_m=ohm_per_m, joints_ohm=0.0)


def test_one_volt_over_107_feet_takes_number_6() -> None:
    """Table 11-7, 1 V: printed No. 6 and 0.942 V."""
    assert drop_v("6", 20, 107) == pytest.approx(0.942, abs=0.001)
    assert drop_v("8", 20, 107) == pytest.approx(1.498, abs=0.001)


def test_seven_volts_over_100_feet_takes_number_14() -> None:
    """Table 11-7, 7 V: printed No. 14 and 6.12 V. The drop alone must never be the last test: 20 A is twice
    what the same document lets this wire carry in a bundle."""
    assert drop_v("14", 20, 100) == pytest.approx(6.12, abs=0.001)
    assert drop_v("16", 20, 100) == pytest.approx(9.62, abs=0.001)


def test_other_printed_drops() -> None:
    """Tables 11-7 and 11-8: 3.60 V (printed from a rounded resistance) and 6.88 V."""
    assert drop_v("12", 20, 88) == pytest.approx(3.555, abs=0.001)
    assert drop_v("10", 20, 273) == pytest.approx(6.88, abs=0.005)


def test_the_misprint_of_table_11_8_is_not_reproduced() -> None:
    """Prints 0.366 V for No. 10, 19.5 ft, 20 A; its own resistance gives 0.491 V."""
    ours = drop_v("10", 20, 19.5)
    assert ours == pytest.approx(0.491, abs=0.001)
    assert abs(ours - 0.366) > 0.1


def test_free_air_wire_of_the_bundle_example() -> None:
    """Example 2 of 11-66: No. 14, 200 degC wire, 50 degC ambient. The curve reads 47 A.

    Outer diameter 2.2 mm, conductor 1.84 mm, wall 0.2 W/(m K): own judgement on such wire. Within 8 %.
    """
    wall = wall_k_m_per_w(1.84, 2.2, insulation_w_per_m_k=0.2)
    wire: dict[str, Any] = {
        "ohm_per_m_20c": 3.06 / (1000 * M_PER_FOOT),
        "alpha20_per_k": 0.00393,
        "outer_d_mm": 2.2,
        "wall_k_m_per_w": wall,
        "emissivity": 0.9,
    }
    sea_level = ampacity_a(200, 50, **wire)
    assert sea_level == pytest.approx(47, rel=0.08)
    # 20,000 ft: 46.6 kPa by the U.S. Standard Atmosphere. The document's curve reads 0.91, printed 42.77 A.
    altitude = ampacity_a(200, 50, pressure_pa=46_600, **wire)
    assert altitude / sea_level == pytest.approx(0.91, abs=0.03)
    assert altitude == pytest.approx(42.77, rel=0.08)
    # In a bundle of 8 at 60 % load the printed factor 0.6 multiplies: 26 A.
    assert altitude * 0.6 == pytest.approx(26, rel=0.08)


def test_hot_run_lengths() -> None:
    """11-66 d: 254.5 / (234.5 + T) for copper, 258.1 / (238.1 + T) for aluminium."""
    copper = hot_run_m(1.0, conductor_c=105, reciprocal_c=FAA_COPPER_RECIPROCAL_C)
    assert copper == pytest.approx(254.5 / 339.5, rel=1e-12)
    aluminium = hot_run_m(1.0, conductor_c=105, reciprocal_c=FAA_ALUMINIUM_RECIPROCAL_C)
    assert aluminium == pytest.approx(258.1 / 343.1, rel=1e-12)


def test_part_load_temperature_is_a_known_difference() -> None:
    """11-66 d (6) takes the root of the current, 182 degC; heat goes with its square, 139 degC."""
    load = {"most_a": 26, "ambient_c": 50, "rated_c": 200}
    assert faa_conductor_c(20, **load) == pytest.approx(182, abs=0.5)
    assert part_load_conductor_c(20.0, **load) == pytest.approx(139, abs=0.5)
