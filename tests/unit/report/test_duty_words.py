"""A winch's fuse is held to what flows while it runs: said where it sets the cable, with what would help."""

from __future__ import annotations

from groundstrap import api

WINCH = """groundstrap: 1
title: A winch
system: 12 V
supplies: {battery: {kind: battery, at: bay, chemistry: agm, capacity: 100 Ah, cranking: 800 A EN}}
places: {bay: engine bay, front: outside}
loads: {winch: {kind: motor, at: front, claims: {current: 150 A}, duty: DUTY}}
circuits: {winch: {path: [battery, fuse, winch], return: battery -, length: 2 m}}
"""


def _text(duty: str) -> str:
    answer = api.plan(api.read_job(WINCH.replace("DUTY", duty)))
    return " ".join(api.plan_text(answer).split())


def test_runs_of_a_minute_are_told_with_the_fuse_s_place() -> None:
    text = _text("{run: 60 s, every: 10 min}")
    assert "150 A flow for 60 s at a time. The cable rests in between" in text
    # 85 degC leave a fuse about 70 to 75 % of its rating (maker-fuse-data, re-rating by temperature).
    assert "in cooler air more" in text


def test_what_runs_on_has_no_such_line() -> None:
    assert "at a time. The cable rests" not in _text("continuous")


def test_the_cable_of_short_runs_is_no_thicker_than_that_of_long_ones() -> None:
    brief = api.plan(api.read_job(WINCH.replace("DUTY", "{run: 60 s, every: 10 min}"))).design
    long = api.plan(api.read_job(WINCH.replace("DUTY", "continuous"))).design
    assert brief is not None
    assert long is not None
    assert brief.copper_cm3 <= long.copper_cm3
