"""33 CFR 183.455: place of the device (b) and its rating against table 5 (c)."""

from __future__ import annotations

import pytest

from groundstrap.tables import overcurrent_limit, placement_limit

METRE_PER_INCH = 0.0254


def test_within_seven_inches_or_forty_in_a_sheath() -> None:
    """(b)(1) and (b)(2)."""
    assert placement_limit("boat").most_m == pytest.approx(7 * METRE_PER_INCH)
    assert placement_limit("boat", sheathed=True).most_m == pytest.approx(40 * METRE_PER_INCH)


def test_below_50_v_a_conductor_of_30_a_takes_45_a() -> None:
    """(c)(1): 150 % of table 5; (c)(2): from 50 V the table's value."""
    assert 30 * overcurrent_limit(12).most_pct / 100 == 45
    assert 30 * overcurrent_limit(48).most_pct / 100 == 45
    assert 30 * overcurrent_limit(50).most_pct / 100 == 30
