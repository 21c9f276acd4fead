"""What rules need to know about a claim and its verdict."""

from __future__ import annotations

from groundstrap.checks import words
from groundstrap.checks.facts import ClaimSubject

__all__: list[str] = []


def verdict(subject: ClaimSubject) -> str:
    """What became of the claim."""
    return subject.claim.verdict.value


def claim(subject: ClaimSubject) -> str:
    """What was claimed, with its unit."""
    if subject.claim.power_w is not None:
        said = words.quantity(subject.claim.power_w, "W")
    elif subject.claim.current_a is not None:
        said = words.quantity(subject.claim.current_a, "A")
    else:
        said = subject.claim.text
    return f"{said} by {subject.claim.by}" if subject.claim.by else said


def why(subject: ClaimSubject) -> str:
    """Why the verdict is as it is, in words and numbers."""
    return subject.claim.why
