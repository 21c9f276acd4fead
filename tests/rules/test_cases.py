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
