"""The catalogue of rules is complete: ids, words, needs, sources, cases and messages of all rules at once."""

from __future__ import annotations

import ast
import inspect
import re
from importlib import import_module
from pathlib import Path
from typing import Any, get_type_hints

import pytest

from groundstrap import api
from groundstrap.checks import examples
from groundstrap.checks.catalogue import entries, rules, wiring_entries
from groundstrap.checks.needs import NEEDS
from groundstrap.checks.rule import Outcome, Rule, Status, Verdict
from groundstrap.checks.words import length, pair
from groundstrap.sources import all_sources
from tests.contract.source_tree import PACKAGE
from tests.rules.cases_of import FOLDER, cases_of

CHECKS = PACKAGE / "checks"
IDS = (CHECKS / "ids.txt").read_text(encoding="utf-8").split()
RULES = rules()
PARTS = ("Why", "Applies to", "Known limits")
UNITS = ("_a", "_v", "_w", "_ohm", "_m", "_mm2", "_c", "_pct", "_s")


def _file(rule: Rule) -> Path:
    file = inspect.getsourcefile(import_module(entries()[rule.id].module))
    assert file is not None
    return Path(file)


def _verdicts(rule: Rule) -> list[Verdict]:
    return [entries()[rule.id].check(**case.values()) for case in cases_of(rule.id)]


def _takes_none(annotation: Any) -> bool:
    return type(None) in getattr(annotation, "__args__", ())


def test_there_are_at_least_twenty_rules() -> None:
    assert len(RULES) >= 20


def test_ids_are_listed_once_and_every_listed_one_has_a_rule() -> None:
    assert len(IDS) == len(set(IDS))
    assert {rule.id for rule in RULES} == set(IDS)
    assert all(re.fullmatch(r"[A-Z]{3}\d{3}", name) for name in IDS)


def test_slugs_are_their_own_and_readable() -> None:
    slugs = [rule.slug for rule in RULES]
    assert len(slugs) == len(set(slugs))
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)+", slug) for slug in slugs)


def test_a_plan_reads_every_rule_on_wiring_and_no_other() -> None:
    late = {rule.id for rule in RULES if rule.about.of_days or rule.about.of_readings}
    assert late == entries().keys() - wiring_entries().keys()
    assert wiring_entries().keys() <= entries().keys()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_file_is_named_after_id_and_slug(rule: Rule) -> None:
    path = _file(rule)
    assert path.stem == f"{rule.id.lower()}_{rule.slug.replace('-', '_')}"
    assert path.parent.name == rule.id[:3].lower()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_docstring_has_its_parts_in_order(rule: Rule) -> None:
    words = inspect.getdoc(import_module(entries()[rule.id].module)) or ""
    assert re.findall(r"^(.+)\n-+$", words, flags=re.MULTILINE) == list(PARTS)
    assert rule.statement.endswith(".")
    assert rule.statement.count(".") - len(re.findall(r"\d\.\d", rule.statement)) == 1
    assert rule.why
    assert rule.applies_to
    assert rule.known_limits


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_parameters_are_the_needs_and_each_can_be_fetched(rule: Rule) -> None:
    check = entries()[rule.id].check
    parameters = inspect.signature(check).parameters
    assert tuple(parameters) == rule.needs
    assert all(p.kind is inspect.Parameter.KEYWORD_ONLY for p in parameters.values())
    hints = get_type_hints(check)
    for need in rule.needs:
        fetched = get_type_hints(NEEDS[rule.about][need])["return"]
        assert fetched == hints[need], f"{need}: fetched as {fetched}, taken as {hints[need]}"


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_sources_are_known_and_carry_the_status(rule: Rule) -> None:
    assert rule.sources
    found = [all_sources().get(name.split(",")[0]) for name in rule.sources]
    assert None not in found, rule.sources
    assert all("," in name for name in rule.sources), "each source says where in it, or what of it"
    carrying = [source for source in found if source is not None and source.may_carry_a_stable_rule]
    if rule.status is Status.STABLE:
        assert carrying, "second-hand and remembered sources may carry a draft only"


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_sources_of_verdicts_are_among_those_of_the_rule(rule: Rule) -> None:
    known = {name.split(",")[0] for name in rule.sources}
    assert {verdict.source for verdict in _verdicts(rule)} - {None} <= known


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_cases_show_every_outcome_that_can_occur(rule: Rule) -> None:
    shown = {Outcome[case.expect] for case in cases_of(rule.id)}
    assert shown == set(Outcome) - rule.never


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_explain_says_what_why_on_whose_word_and_shows_a_case_of_each_kind(rule: Rule) -> None:
    """Statement, reason, source, and a failing, passing, unknown and boundary case: none may be missing."""
    text = " ".join(api.rule_text(rule).split())
    for words in (rule.statement, rule.why, rule.applies_to, rule.known_limits):
        assert words
        assert " ".join(words.split()) in text
    assert "Sources - " in text
    kinds = {"fails": Outcome.FAIL, "passes": Outcome.PASS, "unknown": Outcome.UNDETERMINED}
    wanted = {kind for kind, outcome in kinds.items() if outcome not in rule.never}
    if any(v.value is not None and v.limit is not None for v in _verdicts(rule)):
        wanted.add("boundary")
    shown = examples(rule.id)
    assert {each.kind for each in shown} == wanted
    assert all(" ".join(f"{each.name}: {each.verdict.text}".split()) in text for each in shown)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_cases_give_what_is_always_known_and_nothing_else(rule: Rule) -> None:
    hints = get_type_hints(entries()[rule.id].check)
    always = {need for need in rule.needs if not _takes_none(hints[need])}
    for case in cases_of(rule.id):
        assert set(case.given) <= set(rule.needs), case.name
        assert always <= set(case.given), case.name


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_what_is_compared_has_a_case_on_its_limit_that_does_not_fail(rule: Rule) -> None:
    verdicts = _verdicts(rule)
    compared = [v for v in verdicts if v.value is not None and v.limit is not None]
    if compared:
        assert [v for v in compared if v.value == v.limit and v.outcome is Outcome.PASS]
        assert [v for v in compared if v.outcome in {Outcome.FAIL, Outcome.UNDETERMINED}]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_messages_hold_the_compared_values_with_units(rule: Rule) -> None:
    for verdict in _verdicts(rule):
        assert verdict.text
        assert not re.search(r"\bNone\b|\bnan\b|\d\.\d{5,}", verdict.text), verdict.text
        if verdict.value is None or verdict.limit is None:
            continue
        assert verdict.unit
        told = pair(verdict.value, verdict.limit, verdict.unit)
        if verdict.unit == "m":
            assert length(verdict.value) in verdict.text
            assert length(verdict.limit) in verdict.text
        else:
            assert told.value in verdict.text
            assert told.limit in verdict.text


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_unknown_and_failing_messages_say_what_to_look_for(rule: Rule) -> None:
    for case in cases_of(rule.id):
        if case.expect in {"FAIL", "UNDETERMINED"}:
            assert case.says, f"{case.name}: which words must be there?"
    assert rule.remedy.endswith(".")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_missing_numbers_never_pass(rule: Rule) -> None:
    """Every number that a passing comparison used, taken away alone, leaves no pass."""
    hints = get_type_hints(entries()[rule.id].check)
    optional = [need for need in rule.needs if _takes_none(hints[need]) and need.endswith(UNITS)]
    for case in cases_of(rule.id):
        verdict = entries()[rule.id].check(**case.values())
        if verdict.outcome is not Outcome.PASS or verdict.value is None:
            continue
        for need in optional:
            given = case.values()
            if given[need] not in {verdict.value, verdict.limit}:
                continue
            again = entries()[rule.id].check(**{**given, need: None})
            assert again.outcome is not Outcome.PASS or again.value is None or rule.id == "PRT014", need


def test_no_rule_imports_another_and_none_reads_the_model() -> None:
    for rule in RULES:
        for node in ast.walk(ast.parse(_file(rule).read_text(encoding="utf-8"))):
            module = node.module or "" if isinstance(node, ast.ImportFrom) else ""
            if module.startswith("groundstrap"):
                own = module.removeprefix("groundstrap.")
                assert own in {"checks.rule", "checks.words", "words"}, rule.id
            assert not isinstance(node, ast.Import), rule.id


def test_every_case_file_belongs_to_a_rule() -> None:
    assert {path.stem for path in FOLDER.glob("*.toml")} == set(IDS)


def test_every_need_is_asked_by_some_rule() -> None:
    asked = {(rule.about, need) for rule in RULES for need in rule.needs}
    offered = {(about, need) for about, functions in NEEDS.items() for need in functions}
    assert not offered - asked
