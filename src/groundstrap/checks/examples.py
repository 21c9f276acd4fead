"""Worked examples of a rule: a case that fails, one that passes, one that stays unknown, one on the limit.

They are the rule's own test cases, so that what is shown is what is tested. In a checkout they lie among
the tests; an installed package carries a copy.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from groundstrap.checks.catalogue import entries
from groundstrap.checks.rule import Outcome, Verdict
from groundstrap.records import dataclass

__all__ = ["Example", "examples"]

_PACKED = Path(__file__).with_name("cases")
_CHECKOUT = Path(__file__).parents[3] / "tests" / "rules" / "cases"


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """One case of a rule with what the rule says to it."""

    kind: str
    """`fails`, `passes`, `unknown` or `boundary`."""
    name: str
    verdict: Verdict


@cache
def examples(rule_id: str) -> tuple[Example, ...]:
    """Return the first failing, passing and unknown case of a rule and the first on its limit.

    A rule that compares no two values has no limit; the cases are left out that its record rules out.
    """
    judged = [(case["name"], _verdict(rule_id, case)) for case in _cases(rule_id)]
    at_limit = [each for each in judged if each[1].value is not None and each[1].value == each[1].limit]
    # The case on the limit has its own line: where another one passes too, that one is shown beside it.
    plain = [each for each in judged if each not in at_limit] + at_limit
    wanted = {"fails": Outcome.FAIL, "passes": Outcome.PASS, "unknown": Outcome.UNDETERMINED}
    shown = {kind: [each for each in plain if each[1].outcome is wanted[kind]] for kind in wanted}
    shown["boundary"] = at_limit
    return tuple(
        Example(kind=kind, name=name, verdict=verdict)
        for kind, cases in shown.items()
        for name, verdict in cases[:1]
    )


def _cases(rule_id: str) -> list[dict[str, Any]]:
    folder = _PACKED if _PACKED.is_dir() else _CHECKOUT
    cases: list[dict[str, Any]] = tomllib.loads((folder / f"{rule_id}.toml").read_text(encoding="utf-8"))[
        "case"
    ]
    return cases


def _verdict(rule_id: str, case: dict[str, Any]) -> Verdict:
    """What the rule says to a case; a need that is not given arrives as None."""
    entry = entries()[rule_id]
    given = case.get("given", {})
    return entry.check(**{need: given.get(need) for need in entry.rule.needs})
