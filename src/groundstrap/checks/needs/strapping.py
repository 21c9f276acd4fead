"""What rules need to know about a battery's strap to the body that nobody drew."""

from __future__ import annotations

from groundstrap.checks.facts import SupplySubject
from groundstrap.checks.rule import above
from groundstrap.checks.words import WORTH_READING_A
from groundstrap.model import Reading, ReadingSet, Situation

__all__: list[str] = []


def strap_a(subject: SupplySubject) -> float | None:
    """What comes back through its strap that nobody drew; None where there is none. [A]"""
    return subject.facts.assessment.returns.straps_a.get(subject.supply.name)


def strap_measured(subject: SupplySubject) -> bool | None:
    """True where volts between its minus and the body are written, read while enough was on, else None."""
    sets = (taken for taken in subject.facts.installation.readings if _loaded(subject, taken))
    readings = (one for taken in sets for one in taken.values)
    return True if any(_over_strap(subject, one) for one in readings) else None


def _loaded(subject: SupplySubject, taken: ReadingSet) -> bool:
    """Whether a starter or enough of the job's loads ran: over an idle strap any joint reads nothing."""
    if taken.when is Situation.CRANKING:
        return True
    found = subject.facts.assessment.loads
    amps = sum(found[name].continuous_a or 0.0 for name in taken.using if name in found)
    return above(amps, WORTH_READING_A)


def _over_strap(subject: SupplySubject, reading: Reading) -> bool:
    """Whether it lies between its minus and the body or what stands on it, such as the engine."""
    facts, minus = subject.facts, subject.facts.point(subject.supply.minus)
    metal = {*facts.installation.chassis_points}
    metal |= {gear.name for gear in facts.installation.gear.values() if gear.kind.value == "chassis"}
    ends = {facts.point(point) for point in (reading.red, reading.black) if point is not None}
    return reading.kind == "voltage" and minus in ends and bool(ends & {facts.point(p) for p in metal})
