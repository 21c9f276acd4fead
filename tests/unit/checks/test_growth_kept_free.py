"""`spare` on a block: growth that the job sets aside counts against the block's rating."""

from __future__ import annotations

import pytest

from groundstrap.api import plan, read_job

PANEL = """groundstrap: 1
title: A panel with room to grow
system: 12 V
supplies:
  battery: {{kind: battery, at: room, capacity: 110 Ah}}
  alternator: none
zones: {{room: {{ambient: 15..30 degC}}}}
places: {{bench: room}}
return: minus
gear:
  panel: {{kind: block, at: bench, rating: 60 A, ways: 4{spare}}}
  minus: {{kind: block, at: bench, rating: 100 A}}
loads:
  one: {{at: bench, kind: heater, measured: [{{current: 25.00 A, voltage: 14.80 V, meter: bench}}]}}
  two: {{at: bench, kind: heater, measured: [{{current: 25.00 A, voltage: 14.80 V, meter: bench}}]}}
circuits:
  main: {{path: [battery, fuse, panel], length: 2 m}}
  main return: {{path: [minus, battery -], length: 2 m}}
  one: {{path: [panel 1, fuse, one], length: 1 m}}
  two: {{path: [panel 2, fuse, two], length: 1 m}}
"""


@pytest.mark.parametrize(
    ("spare", "outcome"), [(", spare: 25 %", "fail"), (", spare: 10 %", "pass"), ("", "none")]
)
def test_50_a_through_a_panel_of_60_a(spare: str, outcome: str) -> None:
    # By hand: 60 A less 25 % is 45 A, less 10 % 54 A; two heaters take 25 A each at 14.8 V.
    found = plan(read_job(PANEL.format(spare=spare)))
    seen = [f for f in found.judgement.findings if f.rule == "GER004" and f.where == "panel"]
    failed = [f for f in seen if f.outcome.value == "fail"]
    assert bool(failed) is (outcome == "fail")
    for each in failed:
        assert each.level.value == "caution"
        assert each.limit == pytest.approx(45.0)
        assert each.value == pytest.approx(50.0, rel=0.01)
