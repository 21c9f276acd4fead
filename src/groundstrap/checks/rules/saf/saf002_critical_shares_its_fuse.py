"""What must not fail shares its fuse with nothing that may.

Why
---
A chafed lead on the radio puts the bilge pump out.

Applies to
----------
Loads whose loss is dangerous.

Known limits
------------
Looks at the nearest fuse before it; a main fuse is shared by all.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Outcome,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
)
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="SAF002",
    slug="critical-shares-its-fuse",
    status=Status.STABLE,
    since="0.1",
    about=About.LOAD,
    level=Level.CAUTION,
    needs=(
        "is_critical",
        "shares_fuse_with",
    ),
    only_where=("is_critical",),
    sources=(
        "common-practice, safety equipment has its own fuse",
        "iso-10133, a device for each circuit, clause from memory",
    ),
    follows=("BOA002",),
    remedy=words("Give it a fuse of its own."),
    caution=Caution.LICENSED,
    never=frozenset({Outcome.UNDETERMINED}),
)


def check(
    *,
    is_critical: bool,
    shares_fuse_with: str,
) -> Verdict:
    """Judge one load."""
    if not is_critical:
        return not_applicable("its loss is not dangerous")
    if shares_fuse_with:
        return failed(
            words("a fault at {shares_fuse_with} opens the same fuse", shares_fuse_with=shares_fuse_with)
        )
    return passed("nothing that may fail hangs on its fuse")
