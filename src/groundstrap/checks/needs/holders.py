"""What rules need to know about the holder of a fuse and the cable at it."""

from __future__ import annotations

from typing import Final

from groundstrap.checks.facts import FuseSubject
from groundstrap.model import PartKind, Wire
from groundstrap.tables import CableOfTest, cable_of_test, fuse_family, fuse_family_names

__all__: list[str] = []

_BLADE: Final = "regular blade"
_LEAST_TESTED_A: Final = 40.0


def tested_on_cable(subject: FuseSubject) -> bool:
    """Whether it is of a type and rating whose test cable was read."""
    return _test(subject) is not None


def test_cable_mm2(subject: FuseSubject) -> float | None:
    """Thinnest cable on which the figures of its type were taken at 40 A. [mm2]"""
    found = _test(subject)
    return found.low_mm2 if found is not None else None


def cable_at_fuse_mm2(subject: FuseSubject) -> float | None:
    """Thinnest of the cables that end at it. [mm2]"""
    areas = [wire.area_mm2 for wire in _beside(subject)]
    known = [area for area in areas if area is not None]
    return min(known) if known and len(known) == len(areas) else None


def is_inline_blade(subject: FuseSubject) -> bool:
    """Whether it is a regular blade between two pieces of cable, so in a holder with leads."""
    part = subject.part
    family = part.family or (subject.found.family if subject.found is not None else None)
    return part.kind is PartKind.FUSE and family == _BLADE and len(_beside(subject)) > 1


def holder_load_a(subject: FuseSubject) -> float | None:
    """Continuous current through its holder. [A]"""
    return subject.found.continuous_a if subject.found is not None else None


def known_holder_load_a(subject: FuseSubject) -> float | None:
    """The same of the loads that are known. [A]"""
    return subject.found.known_a if subject.found is not None else None


def _test(subject: FuseSubject) -> CableOfTest | None:
    """The test cable of its type at 40 A, where it is of that rating or above; none thinner was used."""
    part, found = subject.part, subject.found
    family = part.family or (found.family if found is not None else None)
    rating_a = part.rating_a if part.rating_a is not None else (found.rating_a if found is not None else None)
    if family is None or family not in fuse_family_names():
        return None
    if rating_a is None or rating_a < _LEAST_TESTED_A:
        return None
    iso_type = fuse_family(family).iso_type
    if iso_type is None:
        return None
    cable = cable_of_test(iso_type, _LEAST_TESTED_A)
    return cable if isinstance(cable, CableOfTest) else None


def _beside(subject: FuseSubject) -> list[Wire]:
    ends = {subject.part.start, subject.part.end}
    circuit = subject.facts.circuits.get(subject.part.circuit)
    return [wire for wire in (circuit.wires if circuit is not None else ()) if ends & {wire.start, wire.end}]
