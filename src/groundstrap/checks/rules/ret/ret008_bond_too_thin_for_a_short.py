"""A bond between body and battery stands every short to the body until its fuse has opened.

Why
---
A plus that chafes through touches the body, whatever way its load returns. All that its fuse lets through
comes back by the bond; one that is thinner than the fuse asks for burns in place of it.

Applies to
----------
Cable that alone joins the metal body to the minus of a battery whose circuits have fuses.

Known limits
------------
Where a second way joins the two, it shares the current and neither is judged. A strap that nobody drew is
not judged. The least short passes the body at its high end, the most at none of it.
"""

from __future__ import annotations

from groundstrap.checks.rule import (
    About,
    Caution,
    Level,
    Rule,
    Status,
    Verdict,
    failed,
    not_applicable,
    passed,
    unknown,
)
from groundstrap.checks.words import pair, quantity
from groundstrap.words import words

__all__ = ["RULE", "check"]

RULE = Rule(
    id="RET008",
    slug="bond-too-thin-for-a-short",
    topic="short to the body",
    status=Status.STABLE,
    since="0.1",
    about=About.WIRE,
    level=Level.STOP,
    needs=(
        "bonds_body",
        "is_existing",
        "bond_fuse",
        "bond_fuse_a",
        "bond_stands",
        "bond_fault_a",
        "bond_clears_s",
        "bond_stands_s",
        "bond_limit_c",
    ),
    only_where=("bonds_body",),
    sources=(
        "iec-60364-5-54, limits of a short circuit",
        "iso-6722, class + 50 K for six hours",
        "common-practice, a bond as thick as the largest plus that may touch the body",
    ),
    follows=("RET002", "RET001", "THM001"),
    remedy=words("Lay the bond as thick as the cable behind that fuse, or put a smaller fuse before it."),
    caution=Caution.LICENSED,
)


def check(
    *,
    bonds_body: bool,
    is_existing: bool,
    bond_fuse: str,
    bond_fuse_a: float | None,
    bond_stands: bool | None,
    bond_fault_a: float | None,
    bond_clears_s: float | None,
    bond_stands_s: float | None,
    bond_limit_c: float | None,
) -> Verdict:
    """Judge one wire."""
    if not bonds_body:
        return not_applicable("no short to the body comes back through it alone")
    if bond_stands is None:
        text = words(
            "what a short to the body does to it is not known: give its size, and rating and type of {fuse}",
            fuse=bond_fuse,
        )
        return unknown(text, level=Level.NOTE if is_existing else None, hangs_on=("bond_stands",))
    rated = "" if bond_fuse_a is None else words(" of {amps}", amps=quantity(bond_fuse_a, "A"))
    if bond_fault_a is None or bond_stands_s is None or bond_limit_c is None:
        return passed(f"it stands a short to the body behind {bond_fuse}{rated}, and behind every other fuse")
    told = pair(bond_clears_s or 0.0, bond_stands_s, "s")
    text = words(
        "a short to the body behind {fuse}{rated} sends {amps} back through it; it stands that for {stands}, "
        "up to {limit}, and the fuse {opens}",
        fuse=bond_fuse,
        rated=rated,
        amps=quantity(bond_fault_a, "A"),
        stands=told.limit,
        limit=quantity(bond_limit_c, "degC"),
        opens=words("may never open") if bond_clears_s is None else words("takes up to {s}", s=told.value),
    )
    judge = passed if bond_stands else failed
    return judge(text, bond_clears_s, bond_stands_s, "s")
