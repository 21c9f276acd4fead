"""Returns, earths and bonds, each as a small job of our own.

That negatives are drawn and sized as cable, that a bond must stand what the largest fuse lets through, and
that a strap is judged by its millivolts under load is common practice of the trade; the vehicles, names and
figures are invented here.
"""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.checks import FindingOutcome
from tests.rules.judged import assessed, failed, judged
from tests.rules.test_found_in_the_field import Found

HOUSE = """
return: negative bus
supplies:
  battery: {kind: battery, at: engine bay, capacity: 70 Ah, state: existing}
  house battery: {kind: battery, at: seat box, chemistry: agm, capacity: 200 Ah}
gear: {negative bus: {kind: block, at: seat box, rating: 400 A}}
loads: {inverter: {kind: inverter, at: seat box, claims: {power: 1500 W}, efficiency: 90 %, works: 11..15 V}}
circuits:
  inverter:
    path: [house battery, length: 15 cm, {fuse: 250 A, family: class T}, inverter]
    wire: 95 mm2
    length: 1.5 m
  bus negative: {path: [negative bus, wire: 95 mm2, house battery -], length: 40 cm}
  bond: {path: [negative bus, wire: BOND, chassis at seat box], length: 40 cm}
"""
HOIST = """
supplies: {battery: {kind: battery, at: engine bay, capacity: 90 Ah}}
loads: {hoist: {kind: motor, at: bed, claims: {current: AMPS}}}
circuits:
  hoist:
    path: [battery, length: 15 cm, {fuse: 100 A, family: bolt-down strip 51 mm}, hoist]
    return: chassis at bed
    wire: 35 mm2
    length: 4 m
"""
READ = """
readings:
  - {when: driving, using: [hoist], meter: handheld, values: [battery - to chassis at engine bay: 0.02 V]}
"""
BRIDGE = """
return: negative bus
supplies:
  battery: {kind: battery, at: engine bay, capacity: 140 Ah, bank: 2 in series}
  converter: {kind: dc-dc, at: dash, current: 10 A, setpoint: 13.4 V}
gear:
  panel: {kind: block, at: dash, ways: 6, rating: 150 A}
  negative bus: {kind: block, at: dash, rating: 150 A}
loads:
  heater: {kind: heater, at: dash, claims: {power: 1000 W}}
  radio: {kind: electronics, at: dash, claims: {current: 4 A}}
circuits:
  panel feed:
    path: [battery, length: 15 cm, {fuse: 100 A, family: class T}, panel]
    length: 4 m
    wire: 35 mm2
  bus negative: {path: [negative bus, wire: 35 mm2, battery -], length: 4 m}
  heater: {path: [panel 1, {fuse: 60 A, family: class T}, heater], length: 2 m, wire: 16 mm2}
  converter feed:
    path: [panel 2, {fuse: 15 A, family: regular blade}, converter]
    length: 1 m
    wire: 4 mm2
    return: BACK
  radio: {path: [converter, {fuse: 7.5 A, family: regular blade}, radio], length: 1 m, wire: 1.5 mm2}
"""

CASES = (
    Found(
        "a converter whose input comes back on the body and whose output on a bus",
        BRIDGE.replace("BACK", "chassis at dash"),
        (("RET010", "converter"),),
        system="24 V",
    ),
    Found(
        "a converter whose negatives come back to one bus",
        BRIDGE.replace("BACK", "negative bus"),
        (),
        system="24 V",
        silent=("RET010",),
    ),
    Found(
        "a thin bond on the bus of an inverter, whose negative itself is thick",
        HOUSE.replace("BOND", "6 mm2"),
        (("RET008", "negative bus to chassis at seat box"),),
    ),
    Found("a bond as thick as its plus", HOUSE.replace("BOND", "95 mm2"), (), silent=("RET008",)),
    Found(
        "no bond: nothing of the house battery comes back by the body",
        HOUSE[: HOUSE.index("  bond:")],
        (),
        silent=("RET008", "RET009"),
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_found(case: Found) -> None:
    judgement = judged(case.job, system=case.system)
    found = failed(judgement)
    assert set(case.finds) <= found, found
    assert not {rule for rule, _ in found} & set(case.silent), found


def asked(job: str, rule: str) -> list[str]:
    """Places at which a rule is undecided."""
    undecided = FindingOutcome.UNKNOWN
    return [f.where for f in judged(job).findings if f.rule == rule and f.outcome is undecided]


def test_the_strap_of_a_vehicle_is_asked_for_once() -> None:
    assert asked(HOIST.replace("AMPS", "60 A"), "RET009") == ["battery"]
    assert asked(HOIST.replace("AMPS", "60 A") + READ, "RET009") == []
    # Ohm's law: without current a corroded joint reads 0 V as a sound one does.
    idle = READ.replace("using: [hoist], ", "")
    assert asked(HOIST.replace("AMPS", "60 A") + idle, "RET009") == ["battery"]
    # 5 A over a sound strap is 1.5 mV: nothing that a meter in the hand would tell
    assert asked(HOIST.replace("AMPS", "5 A"), "RET009") == []


def test_what_a_forgotten_negative_hides_is_asked_for_and_not_passed() -> None:
    """A job without it is undecided, one with it drawn thin fails: forgetting never looks better."""
    drawn = "  earth: {path: [chassis at seat box, {wire: 1.5 mm2, length: 50 cm}, house battery -]}\n"
    job = HOUSE[: HOUSE.index("gear:")].replace("return: negative bus", "return: chassis")
    job += HOUSE[HOUSE.index("loads:") : HOUSE.index("  bus negative:")]
    place = "chassis at seat box to house battery -"
    assert asked(job, "RET008") == [place]
    assert ("RET008", place) in failed(judged(job + drawn))


def test_a_cable_that_is_sized_for_others_says_so_and_is_not_pinned() -> None:
    job = "groundstrap: 1\ntitle: bridge\nsystem: 24 V\n" + BRIDGE.replace("BACK", "chassis at dash")
    job = job.replace("    wire: 4 mm2\n    return", "    return")
    read = api.read_job(job)
    answer = api.plan(read)
    told = " ".join(api.plan_text(answer).split())
    assert "sized for" in told
    assert "of heater, which come back through the negative of converter" in told
    assert "RET010" in api.pin(read, answer).left_open["converter feed"]


BESIDE = """
supplies: {battery: {kind: battery, at: engine bay, capacity: 90 Ah}}
gear: {box: {kind: block, at: bench, rating: 60 A}}
loads: {lamp: {kind: lamp, at: bench, claims: {power: 60 W}}}
circuits:
  feed: {path: [battery, fuse: 30 A, box], wire: 6 mm2, length: 2.4 m}
  lamp: {path: [box, fuse: 10 A, lamp], wire: 2.5 mm2, length: 60 cm}
"""
BESIDE_ROUTE = "routes: [{from: bench, to: engine bay, length: 2 m}]\n"


def test_a_lamp_beside_its_box_asks_how_far_its_negative_has_to_go() -> None:
    """The negative like the positive is measured along the way that it takes: common practice."""
    asked = [f for f in judged(BESIDE).findings if f.rule == "RET011"]
    assert [(f.where, f.outcome) for f in asked] == [("lamp", FindingOutcome.UNKNOWN)]
    measured = judged(BESIDE + BESIDE_ROUTE)
    assert not [f for f in measured.findings if f.rule == "RET011"]


def test_a_negative_that_goes_further_than_its_positive_loses_more() -> None:
    """2 m instead of 60 cm: 1.4 m of 2.5 mm2 more, 7.41 mohm each at 20 degC and 32 % more at 100 degC.

    Resistance of plain copper of class 2 and 0.393 % a kelvin by IEC 60228.
    """
    near, far = (
        next(e for e in assessed(text).circuits["lamp"].drop.elements if e.name == "lamp return 1")
        for text in (BESIDE, BESIDE + BESIDE_ROUTE)
    )
    more_ohm = far.drop_v / far.current_a - near.drop_v / near.current_a
    assert 1.4 * 7.41e-3 < more_ohm < 1.4 * 7.41e-3 * 1.32
