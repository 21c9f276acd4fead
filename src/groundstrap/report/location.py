"""A whole answer about where a fault sits, with everything that its report is made from."""

from __future__ import annotations

from groundstrap.locate import Location
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.report.plan import Plan

__all__ = ["LocationAnswer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LocationAnswer:
    """Suspects for a complaint, by the readings of a job on the wires of its plan."""

    plan: Plan
    location: Location

    @property
    def installation(self) -> Installation:
        """With the choices of its plan in."""
        return self.plan.installation

    @property
    def fingerprint(self) -> str:
        """Hash of the job's text, the version and the reference tables."""
        return self.plan.fingerprint
