"""What a screen shows of an answer: the plan's own numbers, each with its working, pictures that add up."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.report.figures import amps, percent
from groundstrap.report.plan import Plan

_EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.fixture(scope="module")
def pickup() -> Plan:
    """The 12-circuit example, planned."""
    return api.plan(api.read_job_file(_EXAMPLES / "hive-pickup.job.yaml"))


def test_every_circuit_that_stays_has_a_row_with_the_plans_own_numbers(pickup: Plan) -> None:
    rows = {row.name: row for row in api.sheet(pickup).circuits}
    assert set(rows) == set(pickup.assessment.circuits)
    for name, found in pickup.assessment.circuits.items():
        assert rows[name].carries.text == amps(found.continuous_a)
        assert rows[name].drop.text == percent(found.drop.drop_pct)
        if found.drop.limit_v is not None and found.drop.drop_v is not None:
            assert rows[name].used == pytest.approx(found.drop.drop_v / found.drop.limit_v)


def test_a_row_bears_the_worst_that_stands_against_its_circuit(pickup: Plan) -> None:
    shown = api.sheet(pickup)
    rows = {row.name: row for row in shown.circuits}
    assert rows["honey warmer"].level == "caution"
    assert rows["hoist"].level == "note"
    assert rows["battery earth"].level == "clear"
    told = {circuit for cause in shown.against if cause.level == "caution" for circuit in cause.circuits}
    assert {name for name, row in rows.items() if row.level == "caution"} == told


def test_the_claim_that_cannot_be_is_told_with_its_reason(pickup: Plan) -> None:
    row = next(row for row in api.sheet(pickup).loads if row.name == "honey warmer")
    (claim,) = row.claims
    assert (claim.claimed, claim.verdict) == ("300 W", "impossible")
    assert "sure to open" in claim.why


@pytest.mark.parametrize("circuit", ["hoist", "honey warmer", "bed feed", "work lights"])
def test_the_pieces_of_a_stair_add_up_to_the_drop_that_is_printed(pickup: Plan, circuit: str) -> None:
    shown = api.circuit_sheet(pickup, circuit)
    texts = [each.text or "" for each in ET.fromstring(shown.volts).iter("{http://www.w3.org/2000/svg}text")]
    lost_mv = sum(float(found[1]) for text in texts if (found := re.fullmatch(r"([\d.]+)\smV", text)))
    drop_v = pickup.assessment.circuits[circuit].drop.drop_v
    # Each piece is printed to three figures.
    assert drop_v is not None
    assert lost_mv == pytest.approx(1000.0 * drop_v, rel=5e-3)
    assert shown.row.drop_v in shown.volts_words


def test_each_number_names_a_working_that_is_there(pickup: Plan) -> None:
    for row in api.sheet(pickup).circuits:
        shown = api.circuit_sheet(pickup, row.name)
        keys = {working.key for working in shown.workings}
        named = {each.working for each in (row.out, row.carries, row.drop) if each.text not in {"", "?"}}
        assert named <= keys, row.name
        if shown.curves:
            assert row.window.working in keys
        assert all(line.what and line.result for working in shown.workings for line in working.lines)


def test_a_load_is_shown_with_what_was_said_and_what_was_measured(pickup: Plan) -> None:
    shown = api.load_sheet(pickup, "honey warmer")
    texts = {each.text for each in ET.fromstring(shown.picture).iter("{http://www.w3.org/2000/svg}text")}
    assert {"claimed by seller, impossible", "what it really takes"} <= texts
    # The lead melts at 117 A only: it would leave no room for anything else on the scale.
    scale_w = [float(found[1]) for text in texts if text and (found := re.fullmatch(r"(\d+)\sW", text))]
    assert max(scale_w) > 1000.0, "its number is told all the same"
    assert shown.evidence
    assert shown.workings[0].key == "power"


def test_two_answers_beside_each_other_tell_what_is_longer_thicker_and_worse(pickup: Plan) -> None:
    text = (_EXAMPLES / "hive-pickup.job.yaml").read_text(encoding="utf-8")
    longer = text.replace("{from: bed, to: tailgate, length: 1.6 m", "{from: bed, to: tailgate, length: 4 m")
    assert longer != text
    found = api.comparison(pickup, api.plan(api.read_job(longer)))
    rows = {(row.about, str(row.what)): (row.left, row.right) for row in found.rows}
    before, now = rows["work lights", "length out"]
    assert float(now.split()[0]) - float(before.split()[0]) == pytest.approx(2.4)
    was, is_ = (float(size.split()[0]) for size in rows["bed feed", "cable out"])
    assert is_ > was, "the feeder they share gets thicker, for the same drop is allowed"
    assert float(found.right.copper.split()[0]) > float(found.left.copper.split()[0])
    assert api.comparison(pickup, pickup).rows == ()
    assert api.comparison(pickup, pickup).worse == ()


def test_a_name_that_is_not_there_is_told_with_the_nearest(pickup: Plan) -> None:
    with pytest.raises(CallError, match="honey warmer"):
        api.circuit_sheet(pickup, "honey warmr")
    with pytest.raises(CallError, match="hoist"):
        api.load_sheet(pickup, "hoits")


def test_a_claim_that_is_not_met_says_how_much_of_it_is_drawn() -> None:
    """An ideal resistor of 1.2 ohm takes V^2 / R: 120 W at 12 V (Ohm's law), 24 % of 500 W."""
    reading = "measured: [{current: 10 A, voltage: 12 V}]"
    text = (
        "groundstrap: 1\ntitle: Heater\nsystem: 12 V\nloads:\n"
        f"  heater: {{kind: heater, claims: {{power: 500 W, voltage: 12 V}}, {reading}}}\n"
        "circuits:\n  heater: {length: 2 m}\n"
    )
    load = api.sheet(api.plan(api.read_job(text))).loads[0]
    assert load.claims[0].verdict == "short"
    told = re.fullmatch(r"draws (\d+(?:\.\d+)?) % of it", str(load.claims[0].share))
    assert told is not None
    # It runs above 12 V at the battery's own voltage less the drop: at most 14.4 V, 1.44 times as much.
    assert 24.0 <= float(told[1]) <= 1.44 * 24.0


FOUND = """groundstrap: 1
title: Found
system: 12 V
supplies: {house battery: {kind: battery, at: battery box, capacity: 100 Ah}}
gear: {block: {kind: block, at: cabin, rating: 60 A}}
loads: {usb: {kind: charger, claims: {power: 36 W}, at: cabin}}
circuits:
  block feed: {path: [house battery, fuse, block], length: 2 m}
  usb: {path: [block, fuse, usb], length: 1 m}
"""
OLD_WIRE = "  old wire: {path: [house battery, unknown, chassis], state: existing}\n"


def test_a_found_wire_from_plus_to_the_body_is_one_stop_and_spoils_no_size() -> None:
    """Follow it or cut it off and insulate it before working: common practice."""
    before, after = (api.plan(api.read_job(text)) for text in (FOUND, FOUND + OLD_WIRE))
    assert before.design is not None
    assert after.design is not None
    assert after.design.sizes == before.design.sizes
    assert after.design.fuses == before.design.fuses
    stops = [each for each in api.sheet(after).against if each.level == "stop"]
    assert [each.rule for each in stops] == ["EXI006"]
    assert "may be a short from plus to negative" in stops[0].text
    assert "insulate both ends" in " ".join(stops[0].details)


def test_no_text_of_a_screen_names_a_command() -> None:
    for text in (FOUND, FOUND + OLD_WIRE, FOUND.replace("fuse, usb", "fuse, {wire: unknown}, usb")):
        shown = api.sheet(api.plan(api.read_job(text)))
        assert not [each.text for each in shown.open if "groundstrap" in each.text]
