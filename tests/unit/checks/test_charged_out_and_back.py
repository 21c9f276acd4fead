"""A battery is charged only where the current also comes back: Kirchhoff: a plus alone carries none."""

from __future__ import annotations

import pytest

from groundstrap import api

JOB = """groundstrap: 1
title: a caravan on the tow vehicle's plus
system: 12 V
return: bus
supplies:
  battery: {kind: battery, at: engine bay, chemistry: agm, capacity: 80 Ah, state: existing}
  caravan battery: {kind: battery, at: locker, chemistry: agm, capacity: 100 Ah}
places: {locker: outside}
gear: {bus: {kind: block, at: locker, rating: 100 A}}
loads: {lights: {kind: led, at: locker, claims: {power: 20 W}}}
circuits:
  charge: {path: [battery, length: 20 cm, fuse, fuse, length: 20 cm, caravan battery], length: 9 m}
  lights: {path: [caravan battery, length: 20 cm, fuse, lights], length: 2 m}
  bus negative: {path: [bus, caravan battery -], length: 30 cm}
"""


@pytest.mark.parametrize(
    ("negative", "charged"),
    [
        ("", False),
        ("  common: {path: [bus, battery -], length: 9 m}\n", True),
        ("  earth: {path: [bus, chassis at locker], length: 30 cm}\n", True),
    ],
)
def test_a_plus_alone_charges_nothing(negative: str, *, charged: bool) -> None:
    findings = api.check(api.read_job(JOB + negative)).judgement.findings
    failed = {(f.rule, f.where) for f in findings if f.outcome == "fail"}
    assert (("SUP013", "caravan battery") not in failed) is charged
