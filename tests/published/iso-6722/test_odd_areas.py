"""What 'thicker' means: fewer ohms a metre. By the label alone it holds within one system of sizes.

ISO 6722 prints the greatest resistance that a size may have, 2.5 to 15 % above pure copper of the nominal
area. A cable that is described by its metal (5.9 mm2, or strands) has no such allowance.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundstrap.tables import Ampacity, conductor_data, published_ampacity, show, standard_sizes

METRIC = [size.area_mm2 for size in standard_sizes("metric")]
PRINTED = show("road_cable_iso_6722").numbers("nominal_mm2")


def ohm(area_mm2: float) -> float:
    return conductor_data(area_mm2).ohm_per_m_20c


def rated_a(area_mm2: float, insulation_c: float) -> float:
    found = published_ampacity(basis="road", insulation_c=insulation_c, area_mm2=area_mm2, ambient_c=40)
    return found.value_a if isinstance(found, Ampacity) else 0.0


@pytest.mark.parametrize("system", ["metric", "awg"])
def test_within_one_system_a_thicker_size_has_fewer_ohms(system: str) -> None:
    found = [size.plain_ohm_per_m_20c for size in standard_sizes(system)]  # type: ignore[arg-type]
    assert all(thin > thick for thin, thick in pairwise(found))


def test_5_9_mm2_has_fewer_ohms_than_nominal_6_mm2_and_this_is_named() -> None:
    # ISO 6722: 6 mm2 is 3.14 mohm/m at most. 5.9 mm2 of metal at 1/58 and a lay of 2 to 3 % is some 3.0.
    assert ohm(6) * 1000 == pytest.approx(3.14)
    assert 1000 / 58 / 5.9 <= ohm(5.9) * 1000 < 3.14
    # It is less copper all the same: where a table rates by area it steps down, and never counts as 6 mm2.
    assert rated_a(5.9, 70) < rated_a(6, 70)
    assert rated_a(5.9, 105) == rated_a(6, 105)  # both step down to 10 AWG in the table of 33 CFR


@given(area_mm2=st.floats(0.5, 120))
def test_an_odd_area_is_never_worse_than_the_nominal_size_below_it(area_mm2: float) -> None:
    below = [size for size in METRIC if size <= area_mm2]
    for size in below[-1:]:
        assert ohm(area_mm2) <= ohm(size) * (1 + 1e-12)
        assert rated_a(area_mm2, 70) >= rated_a(size, 70)


@given(thin=st.floats(0.5, 119), more=st.floats(0.001, 60))
def test_odd_areas_among_themselves_fall_with_the_area(thin: float, more: float) -> None:
    odd = [area for area in (thin, thin + more) if all(abs(area / size - 1) > 2e-3 for size in PRINTED)]
    if len(odd) == 2:
        assert ohm(odd[0]) > ohm(odd[1])
