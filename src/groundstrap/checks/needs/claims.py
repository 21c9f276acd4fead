"""What rules need to know about a claim and its verdict."""

from __future__ import annotations

from groundstrap.checks import words
from groundstrap.checks.facts import ClaimSubject
from groundstrap.model import State

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


def is_owned(subject: ClaimSubject) -> bool | None:
    """Whether the device is in hand: it is in the vehicle already, or somebody measured it."""
    return subject.load.state is State.EXISTING or bool(subject.load.measured)


def why(subject: ClaimSubject) -> str:
    """Why the verdict is as it is, in words and numbers."""
    return subject.claim.why
