"""Bands of readings: what is expected of them and the meter's accuracy, put together by hand."""

import math
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.model import Situation, Uncertain
from groundstrap.report.plan import Plan
from groundstrap.report.test_points import Method, TestPoint, banded, live_points


@pytest.fixture(scope="module", name="pickup")
def _pickup() -> Plan:
    return api.plan(api.read_job(Path("examples/hive-pickup.job.yaml").read_text(encoding="utf-8")))


def _point(plan: Plan, red: str, when: Situation, meter: str = "handheld") -> TestPoint:
    return next(p for p in live_points(plan, meter) if p.red == red and p.when is when and p.black == "")


def test_band_of_a_current_with_a_clamp(pickup):
    """JCGM 100: a clamp of 3 % and ten digits of 0.1 A is a rectangle of that half-width, over root 3.

    Within 4 %: the load's spread is one of its logarithm, and the source's volts move its current too.
    """
    point = _point(pickup, "honey warmer", Situation.DRIVING)
    drawn = pickup.assessment.loads["honey warmer"].current_a
    clamp = (0.03 * drawn.value + 10 * 0.1) / math.sqrt(3.0)
    spread = (drawn.high - drawn.value) / 1.96
    assert point.method is Method.CLAMP
    assert point.look.high == pytest.approx(drawn.value + 1.96 * math.hypot(clamp, spread), rel=0.04)
    assert point.fails.high == pytest.approx(drawn.value + 3.2905 * math.hypot(clamp, spread), rel=0.06)


def test_a_small_current_is_read_in_series(pickup):
    """Up to half of the 10 A range; a clamp of 0.1 A a digit says nothing of 0.75 A."""
    assert _point(pickup, "hive monitor", Situation.DRIVING).method is Method.SERIES


def test_the_normal_distribution_holds_what_is_said():
    """95 % within 1.960, 99.9 % within 3.291 standard uncertainties: jcgm-100, table G.2."""
    for bound, share in ((1.96, 0.95), (3.2905, 0.999)):
        assert math.erf(bound / math.sqrt(2.0)) == pytest.approx(share, abs=2e-5)
    look, fails = banded(Uncertain(10.0, 9.0, 11.0), "voltage", "bench")
    assert look.high == pytest.approx(11.0, abs=0.01)
    assert fails.high == pytest.approx(10.0 + 3.2905 / 1.96, abs=0.01)


def test_the_nearer_of_a_rule_s_limit_and_of_chance_counts(pickup):
    """Each leg fails at what the drop's limit leaves of it (common practice, 5 %), or beyond 99.9 %."""
    points = live_points(pickup, "handheld")
    nearer = {}
    for name in ("honey warmer", "syrup pump"):
        drop = pickup.assessment.circuits[name].drop
        legs = [p for p in points if p.circuit == name and p.black and not p.part]
        assert len(legs) == 2
        lost = sum(p.expected for p in legs)
        for point in legs:
            allowed = drop.limit_v - (lost - point.expected)
            assert point.fails.high <= allowed + 1e-9
            nearer[point.red] = point.fails.high == pytest.approx(allowed, rel=1e-6)
    assert nearer == {
        "battery +": True,
        "honey warmer -": False,
        "syrup pump -": False,
    }


def test_the_sheet_s_band_is_the_one_that_a_reading_is_held_against(pickup):
    """What the sheet accepts no finding refuses: both come from the same network."""
    text = Path("examples/hive-pickup.job.yaml").read_text(encoding="utf-8")
    point = next(p for p in live_points(pickup, "handheld") if p.red == "honey warmer -")
    using = ", ".join(name for name in point.using if not name.endswith(" coil"))
    text += (
        f"\nreadings:\n  - when: driving\n    using: [{using}]\n    meter: handheld\n"
        f"    values: [honey warmer - to battery -: {point.look.high:.2f} V]\n"
    )
    (held,) = api.plan(api.read_job(text)).judged.readings
    assert held.sound.expected == pytest.approx(point.expected, rel=1e-3)
    assert held.sound.look.high == pytest.approx(point.look.high, rel=0.01)
    assert held.sound.fails.high == pytest.approx(point.fails.high, rel=0.01)


def test_what_sleeps_is_read_once(pickup):
    """20 mA of the vehicle and 15 mA of the monitor, as the job says; half as much again asks for a look."""
    point = _point(pickup, "battery -", Situation.RESTING)
    assert point.expected == pytest.approx(0.035)
    assert point.look.high == pytest.approx(0.0525)


def test_no_contact_is_too_good(pickup):
    """A part that loses less than its kind does is sound."""
    across = [p for p in live_points(pickup, "handheld") if p.part]
    assert across
    assert all(p.look.low is None and p.fails.low is None for p in across)
    assert all(p.expected <= p.look.high <= p.fails.high for p in across)


SWAP = """groundstrap: 1
title: Another battery
system: 12 V
supplies:
  old battery: {kind: battery, at: bay, capacity: 60 Ah, state: remove}
  battery: {kind: battery, at: bay, capacity: 70 Ah, standing: 20 mA}
  alternator: none
places: {bay: engine bay, back: cabin}
loads: {lamp: {kind: lamp, at: back, claims: {power: 21 W}}}
circuits: {lamp: {path: [battery, fuse, lamp], return: battery -, length: 4 m}}
"""


def test_a_battery_that_goes_hides_no_reading():
    """The 20 mA that the job says of the battery that stays."""
    point = _point(api.plan(api.read_job(SWAP)), "battery -", Situation.RESTING)
    assert point.expected == pytest.approx(0.02)


def test_the_volts_at_a_coil_are_what_its_legs_leave_of_the_battery(pickup):
    """Kirchhoff: lost before it, across it and behind it are the battery's volts, in one situation."""
    points = {(p.red, p.black): p for p in live_points(pickup, "handheld") if p.when is Situation.DRIVING}
    for coil in ("hoist solenoid coil", "work light relay coil"):
        round_it = [("battery +", f"{coil} +"), (f"{coil} +", f"{coil} -"), (f"{coil} -", "battery -")]
        lost = sum(points[pair].expected for pair in round_it)
        assert lost == pytest.approx(points["battery +", "battery -"].expected)
        at_it = points[f"{coil} +", f"{coil} -"]
        # Both ends count: too little does not close it, too much burns it.
        assert at_it.fails.low < at_it.look.low < at_it.expected < at_it.look.high < at_it.fails.high
        # DIN 72552 (from memory): 86 is where a coil's winding begins, 85 where it ends.
        assert at_it.note == f"86 and 85 of {coil.removesuffix(' coil')}, where they are numbered"


def test_a_feed_to_a_block_has_a_row_of_its_own(pickup):
    """What it loses is a part of what each load behind its block loses on the way out."""
    points = {(p.red, p.black): p for p in live_points(pickup, "handheld") if p.when is Situation.DRIVING}
    feed = points["battery +", "bed block"]
    assert feed.circuit == "bed feed"
    assert points["bed feed fuse in", "bed feed fuse out"].expected < feed.expected
    for load in ("syrup pump", "honey warmer", "work lights"):
        assert feed.expected < points["battery +", f"{load} +"].expected
    assert feed.look.low is None
    assert feed.look.high < feed.fails.high
