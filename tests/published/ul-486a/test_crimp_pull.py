"""Pull on crimps: UL 486A, the military class and ABYC E-11, as makers and a handbook print them."""

from __future__ import annotations

import pytest

from groundstrap.tables import CrimpPull, crimp_pull, show
from groundstrap.units import awg_area_mm2

NEWTON_PER_POUND = 4.4482216

# lbf by gauge; makers' tensile tables, boat: handbook's table 6.7 after E-11
PRINTED = {
    ("commercial", "12"): 70, ("commercial", "8"): 90, ("military", "12"): 110, ("boat", "12"): 35,
    ("boat", "1"): 100, ("boat", "16"): 15,
}  # fmt: skip


@pytest.mark.parametrize(("standard", "gauge"), PRINTED)
def test_pull_by_gauge(standard: str, gauge: str) -> None:
    found = crimp_pull(awg_area_mm2(gauge), standard)
    assert isinstance(found, CrimpPull)
    assert found.pull_n == pytest.approx(PRINTED[standard, gauge] * NEWTON_PER_POUND, rel=0.012)


def test_every_row_says_the_same_in_both_units() -> None:
    """Printed newtons are rounded from pounds at 4.45: within 1.2 %."""
    for row in show("crimp_pull"):
        if row.text("pull_lbf"):
            newton = row.number("pull_lbf") * NEWTON_PER_POUND
            assert row.number("pull_n") == pytest.approx(newton, rel=0.012), row


@pytest.mark.parametrize("standard", ["commercial", "military", "boat", "metric"])
def test_a_thicker_conductor_is_pulled_no_less(standard: str) -> None:
    areas = (0.9, 1.4, 2.2, 3.4, 5.3)
    pulls = [crimp_pull(area, standard) for area in areas]
    newtons = [pull.pull_n for pull in pulls if isinstance(pull, CrimpPull)]
    assert len(newtons) == len(areas)
    assert newtons == sorted(newtons)
