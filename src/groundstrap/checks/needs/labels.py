"""What rules need to know about the volts on a load's label beside those that it gets."""

from __future__ import annotations

from typing import Final

from groundstrap.assess.failures import HIGHEST_SHARE
from groundstrap.assess.switching import nominal_class_v
from groundstrap.checks.facts import LoadSubject
from groundstrap.checks.stranded import is_stranded
from groundstrap.model import LoadKind, Supply, SupplyKind

__all__: list[str] = []

_CONVERTERS: Final = frozenset({SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER})


def goes_by_claims(subject: LoadSubject) -> bool:
    """Whether, without `works`, a claim names volts, or nobody wrote those of the converter before it."""
    if subject.load.works is not None or is_stranded(subject.facts, subject.load):
        return False
    return bool(_claimed(subject)) or unset_converter(subject) != ""


def claimed_v(subject: LoadSubject) -> float | None:
    """Most volts that a claim of it is for. [V]"""
    return max(_claimed(subject), default=None)


def claim_stands_v(subject: LoadSubject) -> float | None:
    """Volts that what is made for those of its claims, or of readings at its leads, stands. [V]"""
    claimed = _claimed(subject)
    read = [each.voltage_v for each in subject.load.measured if each.voltage_v is not None]
    return HIGHEST_SHARE * max(nominal_class_v(volts) for volts in (*claimed, *read)) if claimed else None


def runs_at_v(subject: LoadSubject) -> float | None:
    """Highest volts that it runs at for long. [V]"""
    running = [at.at_v for at in subject.vetted.at if at.what != "claim"] if subject.vetted else []
    return max(running, default=None)


def unset_converter(subject: LoadSubject) -> str:
    """A converter that alone feeds it, and whose volts nobody wrote; empty where there is none."""
    supply = subject.facts.supplies.get((subject.found.source if subject.found is not None else None) or "")
    alone = subject.vetted is not None and any(at.what == "regulated" for at in subject.vetted.at)
    return supply.name if alone and supply is not None and _is_unset(supply) else ""


def _claimed(subject: LoadSubject) -> list[float]:
    """Volts that its claims name; those of an inverter's power are of its output. [V]"""
    gives = subject.load.kind is LoadKind.INVERTER
    return [c.voltage_v for c in subject.load.claims if c.voltage_v and not (gives and c.power_w is not None)]


def _is_unset(supply: Supply) -> bool:
    return supply.kind in _CONVERTERS and supply.setpoint is None
