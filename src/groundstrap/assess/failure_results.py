"""What one single failure does, and which source feeds a fault on a conductor: frozen values."""

from __future__ import annotations

from enum import StrEnum

from groundstrap.model import Situation
from groundstrap.records import dataclass

__all__ = ["EndFeed", "FailureAssessment", "FailureKind", "VictimKind"]


class FailureKind(StrEnum):
    """What fails; the closed list."""

    OPENS = "opens"
    """A joint, strap, way back, link or relay no longer conducts."""
    WELDED = "welded"
    """A relay stays closed."""
    CLOSED_IN_CRANKING = "closed while cranking"
    """A link between batteries that is meant to be open then."""


class VictimKind(StrEnum):
    """What suffers; the closed list."""

    WIRE = "wire"
    PART = "part"
    """A contact above its rating, or a fuse that opens."""
    LOAD = "load"
    """More volts than it is made for, less than it works from, or on with nobody there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureAssessment:
    """One single failure with one victim, everything on that may run in its situation."""

    kind: FailureKind
    element: str
    """The piece that fails: of pieces in a row that fail alike the first cable, else the first other one."""
    place: str
    """The circuit of a cable, the part, or the point of a joint that it is."""
    situation: Situation
    victim: str
    victim_kind: VictimKind
    current_a: float | None = None
    """Through the victim, before anything has warmed. [A]"""
    before_a: float | None = None
    """The same with nothing failed. [A]"""
    limit_a: float | None = None
    """Ampacity of a cable, all parallel ones together; rating of a part. [A]"""
    after_s: float | None = None
    """Until a cable is beyond its limit; inf where it stays within class + 50 K for ever. [s]"""
    limit_c: float | None = None
    """That limit: of a short circuit up to 5 s, class + 50 K from then on. [degC]"""
    opened_by: str | None = None
    """The fuse that is sure to end it before."""
    opened_s: float | None = None
    """Longest time in which it opens. [s]"""
    voltage_v: float | None = None
    """At a load; negative where plus and minus have changed places. [V]"""
    limit_v: float | None = None
    sure: bool = True
    """False where the resistance of a body that nobody measured decides, or a converter that is left off."""
    rests_on: tuple[str, ...] = ()
    """Cable of unknown size that takes part, for which a size stands in."""

    @property
    def overheats(self) -> bool:
        """Whether a cable passes its limit with no fuse sure to open before."""
        ends = self.after_s is not None and self.after_s < float("inf")
        return self.victim_kind is VictimKind.WIRE and ends and self.opened_by is None


@dataclass(frozen=True, slots=True, kw_only=True)
class EndFeed:
    """One source that feeds a fault on one conductor, and from which of its ends."""

    source: str
    from_end: bool
    """Whether it comes in at the end that the job writes last."""
    opened_by: str | None
    """The device nearest to the fault on the way; None where there is none, or none that it could open."""
    through: tuple[str, ...] = ()
    """Relays, switches and isolators on the way: it feeds while all of them are closed."""
    limit_a: float | None = None
    """Of a source that limits its own current: what it gives without end. [A]"""
