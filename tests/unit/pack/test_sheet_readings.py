"""What the test sheet does not ask for, since no hand meter reads it, and what it expects where it may."""

import pytest

from groundstrap import api
from groundstrap.model import Situation
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.test_sheet import sheet_section
from groundstrap.report.dead_points import dead_points
from groundstrap.report.figures import Display
from groundstrap.report.test_points import live_points

BENCH = (
    "groundstrap: 1\ntitle: Bench\nsystem: 12 V\n"
    "supplies:\n  battery: {kind: battery, chemistry: agm, capacity: 100 Ah}\n"
    "gear:\n  works: {kind: relay, rating: 40 A, coil: 0.15 A, suppressor: SUPPRESSOR}\n"
    "loads:\n  heater: {kind: heater, claims: {power: POWER, voltage: 12 V}}\n"
    "circuits:\n  heater: {path: [battery, fuse, works, heater], length: 2 m}\n"
    "  control: {path: [battery, fuse, switch, works coil], length: 2 m}\n"
)


def _plan(suppressor="none", power="600 W", more=""):
    text = BENCH.replace("SUPPRESSOR", suppressor).replace("POWER", power)
    return api.plan(api.read_job(text.replace("gear:\n", f"{more}gear:\n")))


def _coil(plan):
    points = dead_points(plan, Telling(plan, Display()).workings, "handheld")
    return next(point for point in points if point.how.startswith("Coils"))


def test_a_resistor_across_a_coil_lowers_its_ohms():
    """By hand: 12 V and 0.15 A are 80 ohm; beside 680 ohm that is 80 x 680 / 760 = 71.6 ohm."""
    bare, lower = _coil(_plan("none")), _coil(_plan("resistor"))
    assert lower.expected == pytest.approx(1 / (1 / bare.expected + 1 / 680))
    assert "680" in lower.note
    assert "diode" in _coil(_plan("diode")).note


def test_ohms_of_a_heavy_way_back_are_not_asked_for():
    """2 m of 10 mm2 are some 4 mohm; a meter of a tenth of an ohm shows nothing of it: common practice."""
    plan = _plan()
    points = dead_points(plan, Telling(plan, Display()).workings, "handheld")
    assert not any(p.how.startswith("Ways back") and p.circuit == "heater" for p in points)
    section = sheet_section(plan, Display())
    told = [str(block.text) for part in section.parts for block in part.blocks if hasattr(block, "text")]
    assert any(text.startswith("Ways back of heater") and "under load" in text for text in told)
    # What stands in its place is on the sheet: volts from the load's minus to the battery's.
    assert any(p.red == "heater -" and p.unit == "V" for p in live_points(plan, "handheld"))


def _battery(plan):
    points = live_points(plan, "handheld")
    return next(p for p in points if p.circuit is None and p.when is Situation.RESTING and p.unit == "V")


def test_a_battery_that_is_drawn_on_hard_has_no_single_value():
    """A lead battery sinks lower than its ohms say, to 1.75 V a cell at worst; common practice."""
    hard, light = _battery(_plan(power="1100 W")), _battery(_plan(power="60 W"))
    assert hard.expected is None
    assert hard.look.low == 10.5
    assert light.expected == pytest.approx(13.0, abs=0.05)


def test_no_engine_is_spoken_of_where_there_is_none():
    titles = [str(part.title) for part in sheet_section(_plan(more="  alternator: none\n"), Display()).parts]
    assert not any("working speed" in title for title in titles)
    assert all("engine" not in title or "no engine" in title for title in titles)
    engine = "  alternator: {kind: alternator, rating: 90 A}\n"
    titles = [str(part.title) for part in sheet_section(_plan(more=engine), Display()).parts]
    assert "Driving: engine at working speed" in titles
