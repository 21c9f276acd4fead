"""Rules and tables as a fitter reads them: listed by area, and no word of the machine in them."""

from __future__ import annotations

import re

import pytest

from groundstrap import api
from groundstrap.checks import Status, rules

RULES = rules()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_reads_like_a_text_of_the_trade(rule: object) -> None:
    text = api.rule_text(rule)  # type: ignore[arg-type]
    assert not [line for line in text.splitlines() if len(line) > 80]
    assert re.findall(r"\w_\w|\bNone\b|\bTrue\b|\bFalse\b|\bnan\b", text) == []
    for heading in ("Why", "Applies to", "Known limits", "What it looks at", "Sources"):
        assert f"\n{heading}\n  " in text, heading


def test_every_rule_is_listed_once_under_its_area() -> None:
    text = api.rules_text()
    listed = re.findall(r"^  ([A-Z]{3})\d{3} ", text, flags=re.MULTILINE)
    assert listed == [rule.id[:3] for rule in RULES if rule.status is not Status.RETIRED]
    headings = re.findall(r"^[A-Z ]{4,}(?=:|$)", text, flags=re.MULTILINE)
    assert len(headings) == len(set(listed))
