"""What nobody knows of an old cable stands as not known wherever it is printed, and never as if measured."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.pack.lists.fuses import fuse_map_section, slots_of
from groundstrap.pack.texts.circuit_sheet import circuit_section
from groundstrap.pack.texts.commandless import question_said
from groundstrap.pack.texts.cover import done_sentence
from groundstrap.pack.texts.first_power import unswitched
from groundstrap.pack.texts.make_dead import dead_section
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.report.unknown_text import questions

JOB = """
groundstrap: 1
title: A wire that nobody knows
system: 12 V
supplies:
  battery: {kind: battery, at: bay, capacity: 90 Ah}
  second battery: {kind: battery, at: rear, chemistry: agm, capacity: 95 Ah}
  alternator: {kind: alternator, at: bay}
gear: {split relay: {kind: relay, at: bay, rating: 140 A, closes: 13.3 V}}
loads: {lights: {claims: {power: 72 W}, at: rear}}
circuits:
  lights: {path: [second battery, fuse, lights], length: 2 m}
  link: {path: [battery, fuse: 100 A, wire: 50 mm2, split relay, wire: 50 mm2, fuse: 100 A, \
{wire: 50 mm2, length: 20 cm}, second battery], length: 4.5 m}
  second battery negative: {path: [chassis at rear, wire: 35 mm2, second battery -], length: 0.5 m}
  old wire: {path: [battery, unknown], length: unknown, wire: unknown, fuse: unknown, state: existing}
"""


@pytest.fixture(scope="module")
def plan() -> Plan:
    return api.plan(api.read_job(JOB))


def test_a_length_and_a_fuse_that_nobody_knows_are_no_figures(plan: Plan) -> None:
    telling = Telling(plan, Display())
    circuit = plan.installation.circuits["old wire"]
    assert circuit.metres is None
    assert "; ? of size not known" in done_sentence(telling, circuit)
    assert telling.no_fuse(circuit) == "?"
    assert telling.no_fuse(plan.installation.circuits["second battery negative"]) == "none"
    told = repr((dead_section(plan, Display()), circuit_section(plan, Display())))
    assert "3 m" not in told


def test_whether_an_unknown_fuse_is_missing_stays_open_though_its_length_is_written() -> None:
    job = JOB.replace("length: unknown, wire: unknown", "length: 3 m, wire: 2.5 mm2")
    judged = api.plan(api.read_job(job)).judgement
    (found,) = [each for each in judged.findings if (each.rule, each.where) == ("PRT006", "old wire")]
    assert found.outcome.value == "unknown"
    assert [str(ask.what) for ask in found.asks] == ["the fuse of old wire"]


def test_the_fuse_map_names_the_cable_of_its_own_circuit_first(plan: Plan) -> None:
    # Worked by hand: the link is 50 mm2; the 35 mm2 negative of the other battery carries its fault too.
    slots = {slot.circuit: slot for slot in slots_of(plan)}
    link = slots["link"]
    assert link.size is not None
    assert link.thinner is not None
    assert (link.size.text, link.thinner.text, link.of_circuit) == (
        "50 mm2",
        "35 mm2",
        "second battery negative",
    )
    assert slots["lights"].thinner is None
    told = repr(fuse_map_section(plan, Display()))
    assert "50 mm2; behind it also 35 mm2 of second battery negative" in told


def test_a_cable_of_no_known_size_behind_a_fuse_is_never_passed_over() -> None:
    negative = "wire: 35 mm2, second battery -], length: 0.5 m}"
    assert negative in JOB
    old = "wire: unknown, second battery -], length: 0.5 m, state: existing}"
    told = repr(fuse_map_section(api.plan(api.read_job(JOB.replace(negative, old))), Display()))
    assert "50 mm2; behind it also second battery negative, size not known" in told


def test_nothing_on_paper_names_a_command_and_what_nothing_fits_says_why() -> None:
    # A contact of no rating is taken with 5 mohm, common practice: at 40 A that is over half of 3 % of 12 V.
    job = JOB.replace(" rating: 140 A,", "").replace(
        "fuse: 100 A, wire: 50 mm2, split relay, wire: 50 mm2, fuse: 100 A", "fuse, split relay, fuse"
    )
    plan = api.plan(api.read_job(job))
    telling = Telling(plan, Display())
    told = [str(question_said(telling, each)) for each in questions(plan.judgement.findings)]
    assert not [text for text in told if "`groundstrap" in text]
    assert any("link: nothing fits: split relay" in text for text in told)


def test_first_power_says_what_no_switch_keeps_off(plan: Plan) -> None:
    telling = Telling(plan, Display())
    (told,) = unswitched(telling, plan.installation.circuits["lights"])
    assert "no switch is drawn for" in told
    assert not list(unswitched(telling, plan.installation.circuits["link"]))
