"""What rules need to know about a reading that was taken, beside what sound vehicles show."""

from __future__ import annotations

from groundstrap.checks.facts import ReadingSubject
from groundstrap.checks.words import quantity
from groundstrap.locate import other_unit

__all__: list[str] = []

_WHOLE_V = 4.0
"""From here on a reading is one of the supply's volts, below it one of what is lost. [V]"""


def reading(subject: ReadingSubject) -> float:
    """What the meter showed, in volts or amps."""
    return subject.taken.measured


def reading_unit(subject: ReadingSubject) -> str:
    """Unit of the reading, its name."""
    return "V" if subject.taken.kind.value == "voltage" else "A"


def reads_less(subject: ReadingSubject) -> bool:
    """Whether it is less than what is expected."""
    return subject.taken.measured < subject.taken.sound.expected


def look_end(subject: ReadingSubject) -> float:
    """End on its side of what 95 % of sound vehicles show, in volts or amps."""
    look = subject.taken.sound.look
    return look.low if reads_less(subject) else look.high


def fail_end(subject: ReadingSubject) -> float | None:
    """End on its side of what 99.9 % of sound vehicles show, in volts or amps; None at a battery's posts."""
    fails = subject.taken.sound.fails
    if fails is None:
        return None
    return fails.low if reads_less(subject) else fails.high


def fits_turned(subject: ReadingSubject) -> bool:
    """Whether it would fit with the other sign."""
    return subject.taken.sound.look.holds(-subject.taken.measured)


def meant(subject: ReadingSubject) -> str:
    """What was meant where it would fit in another unit, such as `180 mV` for `180 V`; empty else."""
    taken, look = subject.taken, subject.taken.sound.look
    times = other_unit(taken.measured, taken.kind, look.low, look.high, subject.facts.installation.system_v)
    unit = reading_unit(subject)
    if times is None:
        return ""
    return quantity(taken.measured, f"m{unit}") if times < 1.0 else quantity(times * taken.measured, unit)


def weighs(subject: ReadingSubject) -> bool:
    """Whether more is lost than its circuit may lose, or more flows than its cable may carry."""
    taken, sound = subject.taken, subject.taken.sound
    found = subject.facts.assessment.circuits.get(subject.circuit_name or "")
    if found is None:
        return False
    # Points may be written the other way round: then what is lost, and what flows, counts below nothing.
    sign = -1.0 if sound.expected < 0.0 else 1.0
    if reading_unit(subject) == "A":
        most_a = sound.look.high if sign > 0.0 else -sound.look.low
        return found.ampacity_a is not None and abs(taken.measured) > max(found.ampacity_a, most_a)
    whole = abs(sound.expected) > _WHOLE_V
    lost_v = sign * (sound.expected - taken.measured) if whole else abs(taken.measured)
    return found.drop.limit_v is not None and lost_v > found.drop.limit_v
