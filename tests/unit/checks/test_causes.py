"""Cause and consequence: a failure hangs under the mistake that it follows from, nothing is lost."""

from __future__ import annotations

from graphlib import TopologicalSorter

import pytest

from groundstrap.checks import Because, FindingOutcome, Judgement, Level, Tree, Worst, rules, trees, worst
from groundstrap.checks.causes import bears_on, own
from groundstrap.checks.rule import About
from tests.rules.judged import judged, looked_at


def _roots(judgement: Judgement) -> set[tuple[str, str]]:
    return {(tree.root.rule, tree.root.where) for tree in trees(judgement.findings)}


def _under(judgement: Judgement, rule: str) -> set[str]:
    return {
        each.rule
        for tree in trees(judgement.findings)
        if tree.root.rule == rule
        for each in tree.consequences
    }


THIN_RETURN = """
loads: {charger: {kind: charger, at: cabin, claims: {current: 24 A}}}
circuits:
  line:
    path: [battery, length: 15 cm, {fuse: 40 A, family: bolt-down strip 30 mm}, charger]
    return: [{wire: 0.75 mm2}, battery -]
    length: 3 m
    wire: 10 mm2
    insulation: 105 degC
"""
THIN_ALL = THIN_RETURN.replace("    return: [{wire: 0.75 mm2}, battery -]\n", "").replace("10 mm2", "1.5 mm2")
LARGE_FUSE = THIN_ALL.replace("1.5 mm2", "6 mm2").replace("40 A", "80 A")


def test_a_thin_return_is_the_cause_of_what_heat_and_drop_follow() -> None:
    judgement = judged(THIN_RETURN)
    assert _roots(judgement) == {("RET001", "charger - to battery -")}
    assert {"THM001", "THM002", "PRT001", "VDP001"} <= _under(judgement, "RET001")


def test_a_wire_too_thin_for_its_load_is_the_cause_and_its_fuse_follows() -> None:
    judgement = judged(THIN_ALL)
    assert {rule for rule, _ in _roots(judgement)} == {"THM001"}
    assert len(_roots(judgement)) == 1, "out and back are one cable, chosen once"
    assert {"PRT001", "VDP001", "THM002"} <= _under(judgement, "THM001")


def test_a_fuse_too_large_for_a_wire_that_carries_its_load_is_a_cause_itself() -> None:
    assert ("PRT001", "line fuse") in _roots(judged(LARGE_FUSE))
    assert not judged(LARGE_FUSE).of("THM001")


def test_two_mistakes_in_two_circuits_stay_two() -> None:
    both = judged("""
loads:
  lamp: {kind: led, at: cabin, claims: {power: 60 W}}
  fan: {kind: fan, at: cabin, claims: {current: 4 A}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, lamp]
    length: 2 m
    wire: 1.5 mm2
  fan:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, fan]
    length: 2 m
    wire: 1.5 mm2
""")
    assert {where for rule, where in _roots(both) if rule == "PRT001"} == {"lamp fuse", "fan fuse"}


FEEDER = """
gear: {panel: {kind: block, at: trailer}}
loads:
  a: {kind: led, at: trailer, claims: {power: 40 W}}
  b: {kind: led, at: trailer, claims: {power: 40 W}}
  c: {kind: led, at: trailer, claims: {power: 40 W}}
circuits:
  feed:
    path: [battery, length: 10 cm, {fuse: 15 A, family: regular blade}, panel]
    length: 12 m
    wire: 2.5 mm2
  a: {path: [panel, {fuse: 7.5 A, family: regular blade}, a], length: 1 m, wire: 2.5 mm2}
  b: {path: [panel, {fuse: 7.5 A, family: regular blade}, b], length: 1 m, wire: 2.5 mm2}
  c: {path: [panel, {fuse: 7.5 A, family: regular blade}, c], length: 1 m, wire: 2.5 mm2}
"""


def test_a_feeder_that_loses_too_much_is_told_once_and_not_at_every_load() -> None:
    judgement = judged(FEEDER)
    failing = {f.where for f in judgement.of("VDP001") if f.outcome is FindingOutcome.FAIL}
    assert {"a", "b", "c"} <= failing
    assert [root for root in _roots(judgement) if root[0] == "VDP001"] == [("VDP001", "feed")]


def test_what_follows_never_hides_a_worse_level_and_all_of_it_counts() -> None:
    judgement = judged("""
loads: {amplifier: {kind: electronics, at: cabin, claims: {current: 20 A}}}
circuits:
  amplifier:
    path: [battery, length: 10 cm, {fuse: 30 A, family: regular blade}, amplifier]
    length: 4 m
    wire: 6 mm2
    material: copper-clad aluminium
    insulation: 70 degC
""")
    [tree] = trees(judgement.findings)
    assert (tree.root.rule, tree.root.level) == ("MAT001", Level.CAUTION)
    assert tree.level is Level.STOP
    assert worst(judgement) is Worst.STOP
    assert 1 + len(tree.consequences) == judgement.counts.failed


def test_a_cause_that_somebody_answers_for_takes_nothing_with_it() -> None:
    waived = THIN_RETURN + (
        "waivers: [{rule: RET001, where: charger - to battery -, reason: it is short, by: the fitter}]\n"
    )
    judgement = judged(waived)
    [answered] = judgement.of("RET001")
    assert answered.waiver is not None
    assert not answered.decides
    assert ("THM001", "charger - to battery -") in _roots(judgement)
    assert all(f.because is None or f.because.rule != "RET001" for f in judgement.findings)


def test_every_consequence_names_a_root_that_is_no_consequence() -> None:
    for job in (THIN_RETURN, THIN_ALL, LARGE_FUSE, FEEDER):
        findings = judged(job).findings
        named = {Because(f.rule, f.where, f.circuit) for f in findings if f.because is None}
        assert {f.because for f in findings} - {None} <= named


def test_the_same_job_hangs_the_same_way_each_time() -> None:
    assert judged(THIN_ALL).findings == judged(THIN_ALL).findings


def test_no_rule_follows_itself_round_a_corner_and_each_that_is_named_exists() -> None:
    known = {rule.id for rule in rules()}
    graph = {rule.id: [name for name in rule.follows if name != rule.id] for rule in rules()}
    assert {name for names in graph.values() for name in names} <= known
    assert set(TopologicalSorter(graph).static_order()) == known
    assert all(len(set(rule.follows)) == len(rule.follows) for rule in rules())


@pytest.mark.parametrize("about", list(About), ids=str)
def test_every_kind_of_thing_has_names_and_places_where_a_fault_in_it_shows(about: About) -> None:
    for subject in looked_at(FEEDER.replace("40 W}}", "40 W, by: seller}}")).subjects(about):
        assert own(subject)
        assert bears_on(subject) is not None


def test_trees_of_a_part_of_the_findings_keep_every_one() -> None:
    findings = judged(THIN_RETURN).findings
    kept = [f for f in findings if f.because is not None]
    assert [tree.root for tree in trees(kept)] == kept
    assert all(isinstance(tree, Tree) and not tree.consequences for tree in trees(kept))


TAPPED = """
gear: {dash: {kind: block, at: cabin}, socket: {kind: connector, at: cabin, rating: 15 A}}
loads:
  charger: {kind: charger, at: cabin, claims: {current: 5 A}}
  warmer: {kind: heater, at: cabin, claims: {current: 12 A}}
circuits:
  feed:
    path: [battery, length: 15 cm, {fuse: 60 A, family: bolt-down strip 30 mm}, dash]
    length: 2 m
    wire: 4 mm2
  charger: {path: [dash, {fuse: 15 A, family: regular blade}, charger], length: 1 m, wire: 2.5 mm2}
  warmer tap: {path: [charger fuse in, {fuse: 15 A, holder: tap}, warmer], length: 1 m, wire: 2.5 mm2}
"""


def test_a_tap_is_no_cause_of_a_fuse_too_large_in_its_feeder() -> None:
    judgement = judged(TAPPED)
    assert {("PRT001", "feed fuse"), ("TAP002", "warmer tap")} <= _roots(judgement)
