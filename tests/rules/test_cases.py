"""One runner for every rule's case file: plain values in, the outcome and the words out."""

from __future__ import annotations

import pytest

from groundstrap.checks.catalogue import entries
from groundstrap.checks.rule import Outcome
from tests.rules.cases_of import Case, all_cases


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: f"{case.rule}-{case.name}")
def test_case(case: Case) -> None:
    verdict = entries()[case.rule].check(**case.values())
    assert verdict.outcome is Outcome[case.expect], verdict.text
    for words in case.says:
        assert words in verdict.text
    if case.level is not None:
        assert (verdict.level or entries()[case.rule].rule.level).value == case.level


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: f"{case.rule}-{case.name}")
def test_a_rule_does_not_apply_where_it_says_that_it_does_not(case: Case) -> None:
    """The engine does not ask a rule there, so the rule itself has to say so whatever the rest is."""
    entry = entries()[case.rule]
    values = case.values()
    assert set(entry.rule.only_where) <= set(values)
    for name in entry.rule.only_where:
        nothing = (
            {bool: False, str: "", int: 0, float: 0.0}[type(values[name])] if values[name] else values[name]
        )
        for given in {nothing, None}:
            assert entry.check(**{**values, name: given}).outcome is Outcome.NOT_APPLICABLE
    applies = all(values[name] for name in entry.rule.only_where)
    assert applies or Outcome[case.expect] is Outcome.NOT_APPLICABLE
