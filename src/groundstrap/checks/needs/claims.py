"""What rules need to know about a claim and its verdict."""

from __future__ import annotations

from groundstrap.checks.facts import ClaimSubject
from groundstrap.checks.words import quantity
from groundstrap.model import State
from groundstrap.vet import EvidenceKind
from groundstrap.words import words

__all__: list[str] = []


def verdict(subject: ClaimSubject) -> str:
    """What became of the claim."""
    return subject.claim.verdict.value


def draws_more(subject: ClaimSubject) -> bool:
    """Whether the load was measured to take far more than is claimed."""
    return subject.claim.draws_more


def takes_pct(subject: ClaimSubject) -> float | None:
    """What it was measured to take of the claim, at the claim's volts; None where nobody measured. [%]"""
    return None if subject.claim.share is None else 100.0 * subject.claim.share


def claim(subject: ClaimSubject) -> str:
    """What was claimed, with its unit."""
    if subject.claim.power_w is not None:
        said = quantity(subject.claim.power_w, "W")
    elif subject.claim.current_a is not None:
        said = quantity(subject.claim.current_a, "A")
    else:
        said = subject.claim.text
    return words("{said} by {by}", said=said, by=subject.claim.by) if subject.claim.by else said


def is_owned(subject: ClaimSubject) -> bool | None:
    """Whether the device is in hand: it is in the vehicle already, or somebody measured it."""
    return subject.load.state is State.EXISTING or bool(subject.load.measured)


def is_measured(subject: ClaimSubject) -> bool:
    """Whether some reading says what the load takes."""
    vetted = subject.facts.vetting.loads.get(subject.load.name)
    evidence = vetted.evidence if vetted is not None else ()
    return any(each.kind is EvidenceKind.MEASURED and each.weight > 0.0 for each in evidence)


def was_read(subject: ClaimSubject) -> bool:
    """Whether somebody took a reading of the load at all, be it one that settles nothing."""
    vetted = subject.facts.vetting.loads.get(subject.load.name)
    evidence = vetted.evidence if vetted is not None else ()
    return any(each.kind is EvidenceKind.MEASURED for each in evidence)


def why(subject: ClaimSubject) -> str:
    """Why the verdict is as it is, in words and numbers."""
    return subject.claim.why
