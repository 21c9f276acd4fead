"""The engine: order, counts, waivers, what the whole amounts to, and numbers that are none."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from groundstrap.assess import assess
from groundstrap.checks import (
    Counts,
    Finding,
    FindingOutcome,
    Judgement,
    Level,
    Outcome,
    Status,
    Worst,
    rule,
    rules,
    run,
    worst,
)
from groundstrap.checks.asking import Columns, _verdict
from groundstrap.checks.catalogue import entries
from groundstrap.checks.facts import Facts, WireSubject
from groundstrap.checks.rule import About, Verdict, failed, overall
from groundstrap.errors import UnknownNameError
from groundstrap.job import read_job
from groundstrap.model import Basis, Installation, Waiver
from groundstrap.sources import all_sources
from groundstrap.vet import vet
from groundstrap.words import Name, Words, words

UNFUSED = """groundstrap: 1
title: lamp on the tailgate
system: 12 V
loads: {lamp: {kind: led, claims: {power: 60 W}}}
circuits: {lamp: {path: [battery, lamp], length: 3 m, wire: 2.5 mm2}}
"""


def _judge(installation: Installation) -> Judgement:
    vetting = vet(installation)
    estimates = {name: load.estimate for name, load in vetting.loads.items()}
    return run(installation, vetting, assess(installation, estimates))


def _with(*waivers: Waiver) -> Judgement:
    return _judge(replace(read_job(UNFUSED).installation, waivers=waivers))


def _waiver(name: str, where: str) -> Waiver:
    return Waiver(rule=name, where=where, reason="the battery is fused at its post", by="the owner")


def _finding(**more: object) -> Finding:
    values: dict[str, object] = {
        "rule": "PRT001",
        "slug": "fuse-above-loop",
        "status": Status.STABLE,
        "outcome": FindingOutcome.FAIL,
        "level": Level.STOP,
        "where": "lamp",
        "text": "text",
        "remedy": "remedy",
        "value": None,
        "limit": None,
        "unit": "",
        "margin_pct": None,
        "source": "own-judgement, of a test",
        "weight": "own-judgement",
    }
    return Finding(**{**values, **more})  # type: ignore[arg-type]


def _judgement(*findings: Finding, counts: Counts | None = None) -> Judgement:
    return Judgement(findings=findings, counts=counts or Counts(passed=1, failed=len(findings)))


def test_the_worst_comes_first() -> None:
    findings = _with().findings
    weights = [finding.level.weight for finding in findings if finding.decides]
    assert weights == sorted(weights, reverse=True)
    assert findings[0].rule == "PRT006"
    for level in Level:
        outcomes = [f.outcome for f in findings if f.level is level and f.decides]
        assert outcomes == sorted(outcomes, key=lambda outcome: outcome is FindingOutcome.UNKNOWN)


def test_every_application_is_counted_once() -> None:
    judgement = _with()
    counts = judgement.counts
    assert counts.failed == len([f for f in judgement.findings if f.outcome is FindingOutcome.FAIL])
    assert counts.unknown == len([f for f in judgement.findings if f.outcome is FindingOutcome.UNKNOWN])
    assert counts.applied == counts.passed + counts.failed + counts.unknown
    assert counts.passed > 0
    assert counts.not_applicable > 0


@pytest.mark.parametrize("name", ["PRT006", "prt006", "circuit-without-fuse"])
def test_a_waiver_names_its_rule_by_id_or_slug_and_does_not_hide_the_finding(name: str) -> None:
    judgement = _with(_waiver(name, "lamp"))
    [finding] = judgement.of("PRT006")
    assert finding.waiver is not None
    assert finding.waiver.reason == "the battery is fused at its post"
    assert finding.outcome is FindingOutcome.FAIL
    assert not finding.decides
    assert not judgement.unused_waivers
    assert worst(_with()) is Worst.STOP
    assert worst(judgement) is Worst.CLEAR


def test_a_waiver_for_another_place_waives_nothing_and_is_told() -> None:
    elsewhere = _waiver("PRT006", "hoist")
    judgement = _with(elsewhere)
    assert judgement.unused_waivers == (elsewhere,)
    assert worst(judgement) is Worst.STOP


def test_a_waiver_of_a_circuit_covers_its_wires() -> None:
    job = UNFUSED.replace("2.5 mm2", "0.5 mm2")
    installation = replace(read_job(job).installation, waivers=(_waiver("THM004", "lamp"),))
    found = _judge(installation).of("THM004")
    assert len(found) == 2
    assert all(finding.waiver is not None for finding in found)


def test_a_waiver_for_a_rule_that_does_not_exist_is_refused_with_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as refused:
        _with(_waiver("circuit-without-fues", "lamp"))
    assert refused.value.nearest == "circuit-without-fuse"


def test_of_nothing_at_all_nothing_is_clear() -> None:
    assert overall([]) is Outcome.UNDETERMINED
    assert worst(_judgement(counts=Counts())) is Worst.UNDECIDED


@pytest.mark.parametrize(
    ("finding", "expected"),
    [
        (_finding(), Worst.STOP),
        (_finding(level=Level.CAUTION), Worst.CLEAR),
        (_finding(outcome=FindingOutcome.UNKNOWN), Worst.UNDECIDED),
        (_finding(outcome=FindingOutcome.UNKNOWN, level=Level.NOTE), Worst.CLEAR),
        (_finding(status=Status.DRAFT), Worst.CLEAR),
        (_finding(waiver=_waiver("PRT001", "lamp")), Worst.CLEAR),
    ],
)
def test_what_the_findings_amount_to(finding: Finding, expected: Worst) -> None:
    assert worst(_judgement(finding)) is expected


def test_a_stop_weighs_more_than_what_is_undecided() -> None:
    undecided = _finding(outcome=FindingOutcome.UNKNOWN)
    assert worst(_judgement(undecided, _finding())) is Worst.STOP


def test_exit_statuses_are_those_of_the_contract() -> None:
    assert {found.value: found.exit_status for found in Worst} == {"clear": 0, "stop": 1, "undecided": 4}


def test_the_law_for_boats_is_no_authority_on_the_road() -> None:
    road = _judge(read_job(UNFUSED).installation)
    for finding in road.findings:
        assert all_sources()[finding.source.split(",")[0]].kind.value == finding.weight
        assert not finding.source.startswith(("cfr-", "abyc-")), finding.rule


def test_on_a_boat_the_law_is_named() -> None:
    boat = replace(read_job(UNFUSED).installation, basis=Basis.BOAT)
    [finding] = _judge(boat).of("PRT006")
    assert finding.source.startswith("cfr-33-183-455")
    assert finding.weight == "law"
    assert finding.limit == pytest.approx(0.1778)  # 7 in, 33 CFR 183.455 (b)


@pytest.mark.parametrize("wrong", [math.nan, math.inf])
def test_a_number_that_is_none_arrives_as_none(wrong: float) -> None:
    installation = read_job(UNFUSED).installation
    vetting = vet(installation)
    found = assess(installation, {name: load.estimate for name, load in vetting.loads.items()})
    subject = next(iter(Facts(installation, vetting, found).subjects(About.WIRE)))
    assert isinstance(subject, WireSubject)
    assert subject.found is not None
    broken = replace(subject, found=replace(subject.found, conductor_c=wrong))
    needs = entries()["THM002"].rule.needs
    (row,) = Columns(About.WIRE, (broken,)).rows(needs, range(1))
    values = dict(zip(needs, row, strict=True))
    assert values["conductor_c"] is None
    assert entries()["THM002"].check(**values).outcome is Outcome.UNDETERMINED


def test_a_rule_is_found_by_id_and_slug() -> None:
    for known in rules():
        assert rule(known.id) is known
        assert rule(known.slug) is known
    with pytest.raises(UnknownNameError):
        rule("PRT999")


def test_outcomes_rise_in_the_order_that_decides() -> None:
    assert Outcome.NOT_APPLICABLE < Outcome.PASS < Outcome.UNDETERMINED < Outcome.FAIL
    assert overall([Outcome.PASS, Outcome.FAIL, Outcome.UNDETERMINED]) is Outcome.FAIL


def test_a_kept_verdict_is_not_one_of_a_name_that_reads_like_a_word() -> None:
    def said(*, what: str) -> Verdict:
        return failed(words("{what} is missing", what=what))

    for what in (words("battery"), Name("battery")):
        text = _verdict(said, ("what",), what).text
        assert isinstance(text, Words)
        assert type(text.fields["what"]) is type(what)


def test_words_that_read_alike_in_english_alone_are_no_reason_to_share_a_verdict(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one, other = words("{a} at {b}", a="lamp", b="rear"), words("{whole}", whole="lamp at rear")
    assert (one, one.fields) != (other, other.fields)
    assert one == other
    columns = Columns(About.WIRE, (one, other))  # type: ignore[arg-type]
    monkeypatch.setattr(columns, "_known", {"itself": lambda it: it, "size": len})
    rows = list(columns.rows(("size", "itself"), range(2)))
    assert [row[1] for row in rows] == [one, other]
    assert columns.tell_apart(("size",))
    assert not columns.tell_apart(("size", "itself"))
