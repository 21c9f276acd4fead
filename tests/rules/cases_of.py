"""Reads the case files: what is given, what is expected, which words must be there."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from groundstrap.checks.catalogue import entries

FOLDER = Path(__file__).parent / "cases"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One case of a rule's file; a need that is not given arrives as None."""

    rule: str
    name: str
    given: dict[str, Any]
    expect: str
    says: tuple[str, ...]
    level: str | None

    def values(self) -> dict[str, Any]:
        """Every need of the rule with its value."""
        return {need: self.given.get(need) for need in entries()[self.rule].rule.needs}


def cases_of(rule: str) -> tuple[Case, ...]:
    """All cases of one rule, in the order of its file."""
    text = (FOLDER / f"{rule}.toml").read_text(encoding="utf-8")
    return tuple(
        Case(
            rule=rule,
            name=entry["name"],
            given=entry.get("given", {}),
            expect=entry["expect"],
            says=tuple(entry.get("says", ())),
            level=entry.get("level"),
        )
        for entry in tomllib.loads(text)["case"]
    )


def all_cases() -> list[Case]:
    """All cases of all rules."""
    return [case for path in sorted(FOLDER.glob("*.toml")) for case in cases_of(path.stem)]
