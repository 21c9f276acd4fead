"""The first screen: each fuse with its kind, drops against their limits, and why nothing fits."""

from __future__ import annotations

from groundstrap import api

JOB = """groundstrap: 1
title: Two lamps
system: 12 V
body: fibreglass
supplies: {battery: {kind: battery, at: bay, capacity: 70 Ah}, alternator: none}
places: {bay: cabin, back: cabin}
loads:
  lamp: {kind: lamp, at: back, critical: yes, claims: {power: 60 W}}
  fan: {kind: fan, at: back, claims: {power: 24 W}}
circuits:
  lamp: {path: [battery, fuse, {switch: 10 A, resistance: 5 mohm}, lamp], return: battery -, length: 5 m}
  fan: {path: [battery, {fuse: 10 A, family: regular blade}, fan], return: battery -, length: 3 m}
"""


def _screen(text: str) -> str:
    answer = api.plan(api.read_job(text))
    shown = api.plan_text(answer)
    return shown[shown.index("CIRCUITS") : shown.index("LOADS")]


def test_each_fuse_stands_with_its_kind() -> None:
    shown = _screen(JOB)
    assert "30 A terminal" in shown
    assert "10 A blade" in shown


def test_the_drop_stands_against_its_limit_and_no_line_is_wide() -> None:
    shown = _screen(JOB)
    assert "/3.0 %" in shown
    assert "/5.0 %" in shown
    assert all(len(line) <= 80 for line in shown.splitlines())


def test_why_nothing_fits_stands_below_the_table_with_what_would_do() -> None:
    shown = " ".join(_screen(JOB.replace("5 mohm", "90 mohm")).split())
    assert "NOTHING FITS" in shown
    assert "lamp: nothing fits: lamp switch (90 mohm) takes" in shown
    assert "would do" in shown


def test_gauges_keep_their_unit() -> None:
    assert "AWG" in _screen(JOB.replace("system: 12 V", "system: 12 V\nsizes: awg"))


def test_what_could_be_far_thinner_stands_below_the_table() -> None:
    shown = " ".join(_screen(JOB.replace("5 mohm", "30 mohm")).split())
    assert "lamp: lamp switch (30 mohm) takes" in shown
    assert "would do" in shown


def test_circuits_that_one_change_would_help_share_a_line() -> None:
    block = JOB.replace("places:", "gear: {block: {kind: block, at: back}}\nplaces:")
    fed = block.replace("path: [battery, ", "path: [block, ").replace("length: 3 m}", "length: 30 cm}")
    text = f"{fed}  feed: {{path: [battery, fuse, block], length: 9 m, wire: 1 mm2}}\n"
    shown = " ".join(_screen(text).split())
    assert "lamp, fan: nothing fits: the 1 mm2 in feed" in shown or "fan, lamp: nothing fits" in shown
