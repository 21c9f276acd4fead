"""ISO 6722 (DIN ISO 6722-3): resistance and diameters of road-vehicle cable."""

from __future__ import annotations

import pytest

from groundstrap.tables import conductor_data, standard_sizes

# Source: table of road-vehicle cable after DIN ISO 6722-3, secondary copy: size, greatest bare resistance
# in mohm/m, greatest conductor diameter and outside diameter over a thick wall in mm. The thirteen sizes
# that were read.
READ = [
    (1, 18.5, 1.5, 2.7), (1.5, 12.7, 1.8, 3.0),
    (2.5, 7.60, 2.2, 3.6), (4, 4.71, 2.8, 4.4), (6, 3.14, 3.4, 5.0),
    (10, 1.82, 4.5, 6.5), (16, 1.16, 6.3, 8.3), (25, 0.743, 7.8, 10.4), (35, 0.527, 9.0, 11.6),
    (50, 0.368, 10.5, 13.5), (70, 0.259, 12.5, 15.5), (95, 0.196, 14.8, 18.0), (120, 0.153, 16.5, 19.7),
]  # fmt: skip


@pytest.mark.parametrize(("area_mm2", "mohm_per_m", "conductor_d_mm", "outer_d_mm"), READ)
def test_sizes_that_were_read(
    area_mm2: float, mohm_per_m: float, conductor_d_mm: float, outer_d_mm: float
) -> None:
    found = conductor_data(area_mm2)
    assert found.ohm_per_m_20c * 1000 == pytest.approx(mohm_per_m, rel=1e-12)
    assert found.conductor_d_mm == conductor_d_mm
    assert found.thick_outer_d_mm == outer_d_mm
    assert found.known == "verified"


def test_sizes_that_were_not_read_say_so() -> None:
    # From memory: ISO 6722-1:2011, 0.75 mm2 is 24.7 mohm/m.
    assert conductor_data(0.75).ohm_per_m_20c == pytest.approx(0.0247)
    assert conductor_data(0.75).known == "from memory"


def test_the_maxima_lie_above_pure_copper_of_the_nominal_area() -> None:
    # ISO 6722 maxima are 2.5 to 15 % above 1/58 over the nominal area.
    for size in standard_sizes("metric"):
        assert 1.02 < size.plain_ohm_per_m_20c * 58 * size.area_mm2 < 1.15, size.label


def test_tinned_is_one_to_four_percent_above_plain() -> None:
    for size in standard_sizes("metric"):
        assert 1.01 <= size.tinned_ohm_per_m_20c / size.plain_ohm_per_m_20c <= 1.04, size.label
