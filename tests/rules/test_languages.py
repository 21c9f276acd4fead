"""What rules say against a job can be translated to the last word."""

from __future__ import annotations

import pytest

from groundstrap.checks.catalogue import entries
from groundstrap.checks.rule import Outcome
from tests.rules.cases_of import Case, all_cases
from tests.support.marked import exactly, slipped

SAID = tuple(case for case in all_cases() if Outcome[case.expect] in {Outcome.FAIL, Outcome.UNDETERMINED})
_KEYS = ("by", "date")
"""Keys of the job file that a rule names without a mark."""


@pytest.mark.parametrize("case", SAID, ids=lambda case: f"{case.rule}-{case.name}")
def test_a_verdict_holds_no_plain_english(case: Case) -> None:
    entry = entries()[case.rule]
    verdict = entry.check(**case.values())
    given = {value for value in case.values().values() if isinstance(value, str) and value} | {*_KEYS}
    told = (verdict.text, verdict.remedy or entry.rule.remedy)
    assert slipped(iter(told), exactly(sorted(given, key=len, reverse=True))) == []
