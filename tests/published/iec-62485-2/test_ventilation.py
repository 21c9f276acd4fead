"""IEC 62485-2: gassing currents of its table; the flow's formula from memory."""

from __future__ import annotations

import pytest

from groundstrap.physics.ventilation import vent_flow_m3_per_h
from groundstrap.tables import battery_gassing


def test_100_ah_of_vented_lead_at_boost_need_0_6_m3_an_hour() -> None:
    """Worked: 0.05 x 6 cells x 20 mA/Ah x 100 Ah / 1000."""
    gassing = battery_gassing("vented", "boost").ma_per_ah
    assert vent_flow_m3_per_h(100, cells=6, gassing_ma_per_ah=gassing) == pytest.approx(0.6)


def test_currents_of_the_table() -> None:
    printed = {("vented", "float"): 5, ("valve-regulated", "float"): 1, ("valve-regulated", "boost"): 8}
    assert {pair: battery_gassing(*pair).ma_per_ah for pair in printed} == printed
