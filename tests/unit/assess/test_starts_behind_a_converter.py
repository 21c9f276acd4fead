"""Several starts together behind a converter: no cable there sees more than the converter gives."""

from __future__ import annotations

from tests.rules.judged import assessed

JOB = """
supplies:
  battery: {kind: battery, at: a, capacity: 140 Ah}
  conv: {kind: dc-dc, at: a, current: 20 A, setpoint: 13.6 V}
places: {a: cabin}
gear: {block: {kind: block, at: a, ways: 6, rating: 60 A}}
loads:
  lamp: {kind: lamp, at: a, claims: {power: 60 W}}
  second lamp: {kind: lamp, at: a, claims: {power: 60 W}}
circuits:
  feed: {path: [battery, length: 15 cm, fuse: 20 A, conv], length: 1 m, wire: 4 mm2}
  out: {path: [conv, fuse: 30 A, block], length: 1 m, wire: 4 mm2}
  lamp: {path: [block 1, fuse: 7.5 A, lamp], length: 2 m, wire: 1 mm2}
  second lamp: {path: [block 2, fuse: 7.5 A, second lamp], length: 2 m, wire: 1 mm2}
"""


def test_no_start_behind_a_converter_is_above_its_limit() -> None:
    # A cold filament asks for ten times its current (iso-8820-3 users' handbooks, common practice): by hand
    # 44 A for one 60 W lamp. The converter folds back at the 20 A on its label.
    found = assessed(JOB, system="24 V")
    for name in ("out fuse", "lamp fuse", "second lamp fuse"):
        assert found.path[name].start_a == 20.0, name
