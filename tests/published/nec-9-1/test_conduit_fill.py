"""NFPA 70 chapter 9 table 1: 53, 31 and 40 % of the bore; note 2: three cables jam between 2.8 and 3.2."""

from __future__ import annotations

import math

import pytest

from groundstrap.physics.laying import conduit_fill_pct, jam_ratio
from groundstrap.tables import conduit_fill, conduit_jam


def test_three_wires_fill_40_of_100_mm2() -> None:
    """Worked: a bore of 100 mm2 and three wires of 40 mm2 together."""
    bore_mm = math.sqrt(400 / math.pi)
    wire_mm = math.sqrt(40 / 3 * 4 / math.pi)
    assert conduit_fill_pct((wire_mm,) * 3, bore_mm=bore_mm) == pytest.approx(conduit_fill(3).fill_pct)


def test_shares_by_count() -> None:
    assert [conduit_fill(count).fill_pct for count in (1, 2, 3, 4, 20)] == [53, 31, 40, 40, 40]


def test_three_cables_jam_where_they_lie_in_a_row() -> None:
    """Three in a row are three diameters: in the middle of the printed range."""
    jam = conduit_jam()
    assert jam.low_ratio < jam_ratio(12.0, outer_d_mm=4.0) < jam.high_ratio
