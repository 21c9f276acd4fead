"""Ohms beside amps: what has no weight raises nothing, and what was measured stands for itself.

The heater is invented; that a ceramic heater limits itself and that cold ohms do not tell its power is common
practice.
"""

from __future__ import annotations

import pytest

from groundstrap.checks import Judgement, trees
from groundstrap.job import read_job
from groundstrap.vet import Verdict, vet
from tests.rules.judged import judged, rules_failed

OHMS = "{resistance: 0.9 ohm, meter: handheld}"
AMPS = "{current: 9.8 A, voltage: 12.9 V, meter: handheld}"


def _heater(kind: str, *measured: str, watts: float = 400.0, fitted: str = "{plug: lighter}") -> str:
    return (
        f"loads: {{warmer: {{kind: {kind}, claims: {{power: {watts:g} W, by: label}}, fitted: {fitted}, "
        f"measured: [{', '.join(measured)}]}}}}\n"
    )


def _roots(judgement: Judgement) -> set[str]:
    return {tree.root.rule for tree in trees(judgement.findings)}


@pytest.mark.parametrize("kind", ["ptc heater", "lamp", "motor", "electronics"])
def test_leads_in_ohms_that_tell_nothing_are_nobodys_concern(kind: str) -> None:
    assert "LOD008" not in rules_failed(judged(_heater(kind, OHMS)))
    assert "LOD008" not in rules_failed(judged(_heater(kind, OHMS, AMPS)))


def test_leads_in_ohms_are_let_go_where_amps_decide() -> None:
    assert "LOD008" in rules_failed(judged(_heater("heater", OHMS)))
    assert "LOD008" not in rules_failed(judged(_heater("heater", OHMS, AMPS)))


def test_ohms_too_few_beside_their_leads_still_ask_for_the_leads() -> None:
    assert "LOD008" in rules_failed(judged(_heater("heater", "{resistance: 0.5 ohm, meter: basic}")))


def test_amps_above_the_plug_that_were_measured_are_a_cause_of_their_own() -> None:
    """126 W at 12.6 V is 10 A and more below it, through a contact good for 10 A by the hour."""
    judgement = judged(_heater("heater", AMPS.replace("9.8", "12.5")))
    assert {"LOD002", "LOD003"} <= _roots(judgement)


def test_amps_that_nobody_measured_follow_from_the_claim_that_can_not_be() -> None:
    judgement = judged(_heater("ptc heater", OHMS))
    assert "LOD003" in rules_failed(judgement)
    assert "LOD003" not in _roots(judgement)


def test_a_claim_that_is_proven_short_is_a_cause_of_its_own() -> None:
    """1.6 ohm less 0.2 to 0.5 ohm of leads is 103 to 111 W cold at 12 V, and 180 W are claimed."""
    judgement = judged(_heater("heater", "{resistance: 1.6 ohm, meter: handheld}", watts=180, fitted="{}"))
    assert {"LOD001", "LOD008"} <= _roots(judgement)


@pytest.mark.parametrize(("measured", "says"), [((OHMS,), "Measure amps"), ((AMPS,), "as measured")])
def test_what_to_reckon_with_is_what_was_measured_where_something_was(
    measured: tuple[str, ...], says: str
) -> None:
    findings = judged(_heater("ptc heater", *measured)).of("LOD002")
    assert [says in finding.remedy for finding in findings] == [True]


def test_ohms_that_promise_more_than_the_amps_show_ask_for_a_ceramic_heater() -> None:
    text = "groundstrap: 1\ntitle: warmer\nsystem: 12 V\n" + _heater("heater", OHMS, AMPS)
    warmer = vet(read_job(text).installation).loads["warmer"]
    assert not warmer.consistent.flag
    assert "write `kind: ptc heater`" in warmer.estimate.why
    assert warmer.claims[0].verdict is Verdict.IMPOSSIBLE
    assert "within" not in warmer.claims[0].why
    assert "somewhere from" in warmer.claims[0].why


def test_two_currents_that_disagree_ask_for_no_ceramic_heater() -> None:
    text = "groundstrap: 1\ntitle: warmer\nsystem: 12 V\n" + _heater(
        "heater", AMPS, AMPS.replace("9.8", "15.8")
    )
    warmer = vet(read_job(text).installation).loads["warmer"]
    assert not warmer.consistent.flag
    assert "ptc" not in warmer.estimate.why
