"""Cable that charges comes back to what gives its current: drawn in where nobody drew it, else refused.

By hand: a booster of 30 A sends 30 A through its cable out and through its negative; a circuit that is not
closed carries nothing, and a size for nothing would burn once somebody closes it. Own judgement: a negative
that is left out is cable of the work.
"""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.assess import ReasonKind
from groundstrap.report.plan import Plan

JOB = """groundstrap: 1
title: Booster whose negative nobody drew
system: 12 V
body: fibreglass
supplies:
  battery: {kind: battery, at: bow, chemistry: agm, capacity: 80 Ah}
  alternator: {kind: alternator, at: bow, rating: 120 A}
  leisure: {kind: battery, at: stern, chemistry: agm, capacity: 100 Ah}
  booster: {kind: dc-dc, at: stern, current: 30 A, setpoint: 14.4 V, isolated: yes}
places: {bow: cabin, stern: cabin}
routes: [{from: bow, to: stern, length: 4 m, laid: loom}]
gear: {neg: {kind: block, at: stern, rating: 100 A}}
loads: {light: {kind: led, at: stern, claims: {power: 20 W}}}
circuits:
  feed: {path: [battery, length: 15 cm, fuse, booster]}
  charge: {path: [booster, length: 50 cm, fuse, leisure]}
  light: {path: [leisure, fuse, light], return: neg}
  house negative: {path: [neg, length: 30 cm, leisure -]}
"""


def _plan(text: str) -> Plan:
    return api.plan(api.read_job(text))


@pytest.mark.parametrize("isolated", [", isolated: yes", ""])
def test_its_negative_is_drawn_to_the_battery_that_it_charges(isolated: str) -> None:
    answer = _plan(JOB.replace(", isolated: yes", isolated))
    circuit = answer.installation.circuits["booster negative"]
    assert (circuit.start, circuit.end) == ("leisure -", "booster out -")
    found = answer.assessment.circuits
    assert found["charge"].continuous_a == pytest.approx(30.0)
    assert found["booster negative"].continuous_a == pytest.approx(30.0)
    wires = answer.installation.circuits["charge"].wires
    assert all(wire.area_mm2 == answer.design.sizes[wire.name].area_mm2 for wire in wires if answer.design)
    assert "NEG005" not in {f.rule for f in answer.judgement.findings}


def test_a_negative_that_leads_elsewhere_is_refused() -> None:
    # Drawn to the battery that feeds it: nothing joins that one's minus to the other's.
    wrong = "  wrong: {path: [battery -, booster out -], length: 4 m}\n"
    answer = _plan(JOB + wrong)
    assert answer.design is not None
    lost = {each.circuit: each.where for each in answer.design.unsolved}
    assert lost["charge"] == "booster"
    assert "charge fuse" not in answer.design.fuses
    told = [f for f in answer.judgement.of("NEG005") if f.where == "charge"]
    assert [f.outcome.value for f in told] == ["fail"]
    assert "charges nothing" in told[0].text


def test_a_panel_behind_its_charger_is_no_such_circuit() -> None:
    solar = JOB.replace("  booster: {kind: dc-dc", "  booster: {kind: solar charger").replace(
        "supplies:", "supplies:\n  panel: {kind: solar, at: stern, power: 100 W, voltage: 18 V}"
    )
    answer = _plan(solar.replace("[battery, length: 15 cm, fuse, booster]", "[panel, booster]"))
    assert not [f for f in answer.judgement.of("NEG005") if f.outcome.value == "fail"]


SPLIT = """groundstrap: 1
title: Two batteries joined by a relay, plus alone
system: 12 V
body: fibreglass
supplies:
  starter: {kind: battery, at: bow, chemistry: agm, capacity: 80 Ah}
  alternator: {kind: alternator, at: bow, rating: 70 A}
  leisure: {kind: battery, at: stern, chemistry: agm, capacity: 100 Ah}
places: {bow: cabin, stern: cabin}
routes: [{from: bow, to: stern, length: 4 m, laid: free}]
gear:
  split: {kind: relay, at: bow, rating: 100 A, closes: 13.3 V, opens: 12.8 V}
  neg: {kind: block, at: stern, rating: 100 A}
loads: {light: {kind: led, at: stern, claims: {power: 20 W}}}
circuits:
  join: {path: [starter, length: 15 cm, fuse, split, fuse, length: 15 cm, leisure]}
  light: {path: [leisure, fuse, light], return: neg}
  house negative: {path: [neg, length: 30 cm, leisure -]}
"""


def test_a_join_of_plus_posts_alone_gets_no_size_for_no_current() -> None:
    # Kirchhoff: with nothing between the minus posts nothing flows; 1 mm2 and a fuse of 1 A would stand
    # there when somebody joins them.
    answer = _plan(SPLIT)
    assert answer.design is not None
    lost = [each for each in answer.design.unsolved if each.circuit == "join"]
    assert [(each.kind, each.where) for each in lost] == [(ReasonKind.PARTED, "leisure -")]
    assert not [name for name in answer.design.fuses if name.startswith("join")]
    told = " ".join(api.plan_text(answer).split())
    assert "no way leads from leisure - to the minus of the other battery" in told
    assert "light" in {w.split(" wire")[0] for w in answer.design.sizes}, "the rest is chosen all the same"


def test_the_join_is_sized_once_the_minus_posts_are_joined() -> None:
    answer = _plan(SPLIT + "  strap: {path: [leisure -, starter -]}\n")
    assert answer.design is not None
    assert not answer.design.unsolved
    assert answer.assessment.circuits["join"].continuous_a == pytest.approx(
        answer.assessment.circuits["strap"].continuous_a or 0.0
    )
    # 0.2 A of each Ah is the least that makers name for charging agm (handbook-battery, from memory).
    assert (answer.assessment.circuits["join"].continuous_a or 0.0) > 20.0
