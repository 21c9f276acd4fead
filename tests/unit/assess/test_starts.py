"""Starts through fuses by hand: what a kind takes, what starts together, what a neighbour's volts do."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from groundstrap.assess import Assessment, ReasonKind, assess
from groundstrap.design import choose
from groundstrap.job import read_job
from groundstrap.vet import estimates
from tests.rules.judged import assessed

BLADE_20 = "{fuse: 20 A, family: regular blade}"
HEAD = "groundstrap: 1\ntitle: starts by hand\nsystem: 12 V\n"


def _one(kind: str, current: str, fuse: str, more: str = "") -> str:
    return f"""
loads: {{thing: {{kind: {kind}, at: cabin, claims: {{current: {current}, voltage: 12 V}}{more}}}}}
circuits:
  thing:
    path: [battery, length: 10 cm, {fuse}, thing]
    return: battery -
    length: 3 m
    wire: 4 mm2
"""


def test_a_kind_starts_in_the_middle_of_what_such_loads_do() -> None:
    """Tabled for pumps: 3 to 5 times for 0.1 to 0.2 s (maker-appliance-data); geometric middles."""
    found = assessed(_one("pump", "4 A", "{fuse: 10 A, family: regular blade}")).starting
    start = found.loads["thing"]
    assert start.nominal.peak_a / start.nominal.running_a == pytest.approx(math.sqrt(15.0))
    assert start.nominal.time_s == pytest.approx(math.sqrt(0.02) / 3.0)
    assert start.most.peak_a / start.nominal.running_a == pytest.approx(5.0)
    assert not start.written
    heater = assessed(_one("heater", "4 A", "{fuse: 10 A, family: regular blade}")).starting
    assert heater.loads == {}
    assert heater.fuses["thing fuse"] == ()


def test_a_written_start_counts_as_it_is_for_each_piece() -> None:
    job = _one(
        "motor",
        "4 A",
        "{fuse: 20 A, family: regular blade}",
        ", count: 2, inrush: {current: 30 A, time: 80 ms}",
    )
    start = assessed(job).starting.loads["thing"]
    assert (start.nominal.peak_a, start.nominal.time_s, start.written) == (60.0, 0.08, True)
    assert start.most == start.nominal


TOGETHER = """
loads:
  left lamps: {kind: lamp, at: cabin, claims: {power: 55 W}}
  right lamps: {kind: lamp, at: cabin, claims: {power: 55 W}}
  horn: {kind: motor, at: cabin, claims: {current: 5 A}}
gear:
  box: {kind: block, at: cabin, rating: 60 A}
  lamp relay: {kind: relay, at: cabin, rating: 30 A, coil: 0.15 A}
circuits:
  feed: {path: [battery, length: 10 cm, {fuse: 40 A, family: E}, box], length: 2 m, wire: 10 mm2}
  lamps: {path: [box, {fuse: 15 A, family: regular blade}, lamp relay, left lamps, right lamps], length: 3 m}
  horn: {path: [box, {fuse: 15 A, family: regular blade}, horn], length: 3 m, wire: 4 mm2}
"""


def test_what_one_relay_closes_starts_together_beside_what_runs_already() -> None:
    found = assessed(TOGETHER).starting
    lamps = found.fuses["lamps fuse"][0]
    assert lamps.loads == ("left lamps", "right lamps")
    assert lamps.switch == "lamp relay"
    starts = found.loads
    together = starts["left lamps"].nominal.peak_a + starts["right lamps"].nominal.peak_a
    assert lamps.peak_a == pytest.approx(together)
    above = next(each for each in found.fuses["feed fuse"] if each.loads == lamps.loads)
    assert above.rest_a == pytest.approx(5.0, rel=0.01)
    assert above.peak_a == pytest.approx(together + above.rest_a)
    assert above.share is not None
    assert lamps.share is not None
    assert above.share < lamps.share


def test_a_feeder_of_a_dash_never_sees_a_start_twice() -> None:
    found = assessed(TOGETHER).starting.fuses["feed fuse"]
    assert sorted(load for start in found for load in start.loads) == ["horn", "left lamps", "right lamps"]


def test_a_makers_curve_without_fastest_times_leaves_the_start_open(tmp_path: Path) -> None:
    job = _one("motor", "6 A", "{fuse: 10 A, family: regular blade, curve: maker.csv}")
    found = {}
    for name, text in {
        "with": "current,fastest,slowest\n13.5 A,60 s,600 s\n20 A,2 s,5 s\n60 A,0.1 s,0.2 s\n",
        "without": "current,slowest\n13.5 A,600 s\n20 A,5 s\n60 A,0.2 s\n",
    }.items():
        (tmp_path / "maker.csv").write_text(text, encoding="utf-8")
        installation = read_job(HEAD + job, folder=tmp_path).installation
        found[name] = assess(installation, estimates(installation)).starting.fuses["thing fuse"][0]
    assert found["with"].share is not None
    assert found["without"].share is None
    assert "fastest" in found["without"].why


def _planned(job: str) -> tuple[float, Assessment]:
    """With a battery so weak that a blade breaks its fault."""
    weak = "supplies: {battery: {kind: battery, at: cabin, resistance: 20 mohm}}\n"
    installation = read_job(HEAD + weak + job).installation
    design = choose(installation, estimates(installation))
    return design.fuses["thing fuse"].rating_a, assess(design.installation, estimates(installation))


def test_plan_takes_a_rating_that_holds_through_the_start() -> None:
    """A fan of 2.2 A at 12 V runs through 5 A; its start of 3 to 8 times asks for more."""
    open_fuse = _one("fan", "2.2 A", "fuse").replace("wire: 4 mm2", "")
    rating_a, found = _planned(open_fuse)
    soft_a, _ = _planned(open_fuse.replace("12 V}", "12 V}, inrush: {current: 3 A, time: 1 s}"))
    assert rating_a > soft_a
    fuse = found.circuits["thing"].fuses["thing fuse"]
    assert fuse.window.least_reason.kind is ReasonKind.INRUSH
    share = found.starting.fuses["thing fuse"][0].share
    assert share is not None
    assert share < 1.0


def test_a_start_of_a_minute_is_a_run_at_its_current() -> None:
    """A heater of 4 A glows at 12 A for 60 s: by 80 % for hours (common practice) 15 A, 20 A in heat."""
    glow = ", inrush: {current: 12 A, time: 60 s}"
    rating_a, found = _planned(_one("fan", "4 A", "fuse", glow).replace("wire: 4 mm2", ""))
    fuse = found.circuits["thing"].fuses["thing fuse"]
    assert fuse.window.least_limit_a == pytest.approx(12.0)
    assert fuse.window.least_reason.kind is ReasonKind.CONTINUOUS
    assert rating_a * 0.8 >= 12.0
    assert rating_a <= 20.0
    assert found.starting.fuses["thing fuse"] == ()
    brief_a, _ = _planned(
        _one("fan", "4 A", "fuse", glow.replace("60 s", "100 ms")).replace("wire: 4 mm2", "")
    )
    assert brief_a < rating_a


def test_an_assumed_start_never_asks_for_more_than_the_maker_allows() -> None:
    job = _one("fan", "2.2 A", "fuse", ", largest_fuse: 5 A").replace("wire: 4 mm2", "")
    rating_a, _ = _planned(job)
    assert rating_a == 5.0


def test_a_dip_by_hand() -> None:
    """The surge times what both share: 4 m out and back of 10 mm2, hot, and the battery."""
    job = """
supplies: {battery: {kind: battery, at: cabin, resistance: 6 mohm}}
loads:
  winch: {kind: motor, at: cabin, claims: {current: 30 A}, inrush: {current: 130 A, time: 300 ms}}
  radio: {kind: electronics, at: cabin, claims: {current: 1 A}, works: 10..16 V}
gear: {box: {kind: block, at: cabin, rating: 150 A}, bar: {kind: block, at: cabin, rating: 150 A}}
circuits:
  feed: {path: [battery, length: 10 cm, {fuse: 80 A, family: E}, box], length: 4 m, wire: 10 mm2}
  back: {path: [bar, battery -], length: 4 m, wire: 10 mm2}
  winch: {path: [box, {fuse: 50 A, family: E}, winch], return: bar, length: 1 m, wire: 10 mm2}
  radio: {path: [box, {fuse: 5 A, family: regular blade}, radio], return: bar, length: 1 m, wire: 1.5 mm2}
"""
    dip = assessed(job).starting.dips["radio"]
    assert (dip.by, dip.written, dip.surge_a) == ("winch", True, 100.0)
    copper_ohm = 8.0 / 56.0 / 10.0
    least_v = 100.0 * (0.006 + copper_ohm)
    # Hot copper has up to a third more ohms; fuse, holder and rings of the feeder add a few milliohms.
    assert least_v < dip.before_v - dip.volts_v < 100.0 * (0.006 + 1.35 * copper_ohm + 0.006)


def test_no_motor_starts_with_more_than_it_takes_blocked() -> None:
    """A motor that begins to turn has no counter-voltage, like a blocked one (handbook-electrical-engineers).

    Of its kind a pump would take 3 to 5 times its 4 A; blocked this one takes 14 A.
    """
    start = assessed(
        _one("pump", "4 A", "{fuse: 10 A, family: regular blade}", ", stall: 14 A")
    ).starting.loads["thing"]
    assert (start.nominal.peak_a, start.most.peak_a, start.written) == (14.0, 14.0, False)
    more = assessed(_one("pump", "4 A", "{fuse: 10 A, family: regular blade}", ", stall: 40 A")).starting
    assert more.loads["thing"].most.peak_a == pytest.approx(5.0 * more.loads["thing"].nominal.running_a)


def test_a_start_beyond_the_source_leaves_nothing_and_turns_no_volts_round() -> None:
    """By hand: 13 V less 14 A more, through a converter that folds back at 20 A, are below zero."""
    job = """
supplies:
  battery: {kind: battery, at: cabin}
  conv: {kind: dc-dc, at: cabin, current: 20 A, setpoint: 13 V}
loads:
  pump: {kind: pump, at: cabin, claims: {current: 6 A}, inrush: {current: 30 A, time: 100 ms}}
  till: {kind: electronics, at: cabin, claims: {current: 2 A}, works: 10..15 V}
gear: {box: {kind: block, at: cabin, rating: 50 A}}
circuits:
  feed: {path: [battery, length: 10 cm, {fuse: 20 A, family: regular blade}, conv], length: 1 m, wire: 4 mm2}
  out: {path: [conv, {fuse: 20 A, family: regular blade}, box], length: 1 m, wire: 4 mm2}
  pump: {path: [box, {fuse: 10 A, family: regular blade}, pump], length: 1 m, wire: 1.5 mm2}
  till: {path: [box, {fuse: 5 A, family: regular blade}, till], length: 1 m, wire: 1.5 mm2}
"""
    assert assessed(job, system="24 V").starting.dips["till"].volts_v == 0.0


def test_no_start_takes_more_from_an_alternator_than_it_gives() -> None:
    """A machine limits its own current (iso-8854, rated output): 25 A, whatever starts beside it."""
    job = """
supplies:
  battery: {kind: battery, at: cabin, cranking: 600 A EN}
  machine: {kind: alternator, at: cabin, rating: 25 A, setpoint: 14.2 V}
loads: {winch: {kind: motor, at: cabin, claims: {current: 30 A}, inrush: {current: 200 A, time: 300 ms}}}
circuits:
  charge:
    path: [machine, {fuse: 40 A, family: regular blade}, length: 10 cm, battery]
    length: 2 m
    wire: 10 mm2
  winch:
    path: [battery, length: 10 cm, {fuse: 60 A, family: E}, winch]
    return: [battery -]
    length: 2 m
    wire: 16 mm2
"""
    found = assessed(job)
    assert found.path["charge fuse"].start_a == found.circuits["charge"].peak_a == 25.0
    assert found.path["winch fuse"].start_a == 200.0


def test_how_long_a_blocked_motor_draws_by_the_printed_gate() -> None:
    """ISO 8820-3: a type C opens within 0.5 s at 3.5 times; the fuse sits at its test air or warmer."""
    job = _one(
        "motor", "8 A", "{fuse: 20 A, family: regular blade}", ", stall: {current: 70 A, survives: no}"
    )
    job = "zones: {mild: {ambient: 20..40 degC}}\nplaces: {cabin bench: mild}\n" + job.replace(
        "at: cabin", "at: cabin bench"
    )
    cleared_s = assessed(job).starting.stall_clears_s["thing"]
    assert cleared_s is not None
    assert 0.4 < cleared_s < 30.0
    own = assessed(job.replace("stall:", "fitted: {fuse: 20 A}, stall:"))
    assert own.starting.stall_clears_s["thing"] == pytest.approx(0.5)


def test_a_breaker_holds_its_rating_and_no_more() -> None:
    """SAE J553 lists 30 s at 135 % as its least: just above its rating it may open then."""
    job = """
loads:
  lamp: {kind: led, at: cabin, claims: {power: 60 W}}
  radio: {kind: electronics, at: cabin, claims: {current: 1 A}}
gear: {box: {kind: block, at: cabin, rating: 60 A}}
circuits:
  feed:
    path: [battery, length: 10 cm, {breaker: 20 A, family: thermal breaker}, box]
    length: 2 m
    wire: 10 mm2
  lamp: {path: [box, {fuse: 15 A, family: regular blade}, lamp], length: 2 m, wire: 4 mm2}
  radio: {path: [box, {fuse: 3 A, family: regular blade}, radio], length: 2 m, wire: 1.5 mm2}
"""
    pairs = {pair.lower: pair for pair in assessed(job).starting.series["feed breaker"]}
    ranges = pairs["lamp fuse"].ranges
    assert ranges
    assert ranges[0].low_a == pytest.approx(20.0)
    assert ranges[0].high_a > 20.0
