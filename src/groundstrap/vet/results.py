"""What `vet` says about a load: its evidence, its real power, and a verdict on every claim; all frozen.

Powers and currents are those of all pieces of a load together (`count`). A value that does not apply is None.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from groundstrap.model import Assumption, LoadEstimate, Uncertain
from groundstrap.records import dataclass

__all__ = [
    "AtVoltage",
    "Bound",
    "BoundKind",
    "ClaimVerdict",
    "Consistency",
    "Evidence",
    "EvidenceKind",
    "Overload",
    "Trust",
    "Verdict",
    "VettedLoad",
    "Vetting",
]


class EvidenceKind(StrEnum):
    """Where a piece of evidence comes from."""

    CLAIM = "claim"
    MEASURED = "measured"
    FITTED = "fitted"


class Trust(StrEnum):
    """What a piece of evidence is good for."""

    FULL = "full"
    WEAK = "weak"
    """Counts only where nothing better is there: a claim, or what a load took that takes what is asked."""
    BOUND = "upper bound"
    NONE = "none"


class Verdict(StrEnum):
    """What becomes of a claim."""

    MET = "met"
    SHORT = "short"
    IMPOSSIBLE = "impossible"
    CONFLICTING = "conflicting"
    UNPROVEN = "unproven"


class BoundKind(StrEnum):
    """What limits the current of a load from outside of it."""

    PLUG = "plug"
    FUSE = "fuse"
    """The fuse that the load came with."""
    WIRE = "wire"
    """The lead that the load came with."""
    CIRCUIT_FUSE = "circuit fuse"
    """A fuse that is in the vehicle already, where the load plugs in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One claim, reading or fitted part, and what it is worth.

    `says` holds what was written, each under a name with its unit. `standard_uncertainty` is in the unit of
    the quantity said (the first of `says`), `standard_uncertainty_w` that of the power made of it.
    """

    kind: EvidenceKind
    says: Mapping[str, float | str]
    trust: Trust
    weight: float
    """Share in the estimate, 0 to 1."""
    remark: str
    power_w: float | None = None
    """At the estimate's voltage, all pieces together. [W]"""
    standard_uncertainty: float | None = None
    standard_uncertainty_w: float | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What a part lets through: by the hour, by its rating, and at the most before it opens or melts."""

    kind: BoundKind
    name: str
    rating_a: float | None
    """Up to here it is used as it is meant to be. None where no table answers. [A]"""
    most_a: float | None
    """Above this it is sure to open or melt in the time that the load runs. None where nobody knows. [A]"""
    hours_a: float | None = None
    """What a spring contact is good for by the hour. [A]"""
    remark: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overload:
    """A fitted part or existing fuse that the load asks more of than it is made for."""

    bound: BoundKind
    name: str
    current_a: Uncertain
    """What the load takes, at the resting or charging voltage, whichever is more. [A]"""
    limit_a: float
    rating_a: float | None
    probability: float
    """Chance that the true current lies above the limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Consistency:
    """Whether the evidence that counts agrees with itself: chi-square of the residuals."""

    flag: bool
    chi2: float
    degrees: int
    p: float
    """Chance of evidence that disagrees more, if all of it were right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtVoltage:
    """The estimate at another voltage."""

    what: str
    """`resting`, `charging`, `regulated` or `claim`."""
    at_v: float
    power_w: Uncertain
    current_a: Uncertain


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimVerdict:
    """A claim and what becomes of it; exactly one of `power_w` and `current_a` is there, as it was claimed.

    The claim is that of one piece, as written; `why` says where several count.
    """

    by: str | None
    text: str
    power_w: float | None
    current_a: float | None
    at_v: float | None
    """Voltage that it was claimed at, None where nobody said. [V]"""
    verdict: Verdict
    probability: float | None
    """Chance that the claim holds; None where nothing says."""
    why: str
    draws_more: bool = False
    """Whether the load was measured to take far more than is claimed; the verdict is then `conflicting`."""
    share: float | None = None
    """Of the claim, what it was measured to take at the claim's volts; None where nobody measured. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class VettedLoad:
    """Everything that the evidence says about one load."""

    name: str
    count: int
    estimate: LoadEstimate
    current_a: Uncertain | None
    """At the estimate's voltage. [A]"""
    resistance_ohm: Uncertain | None
    """Of all pieces side by side, where the load is a resistance. [ohm]"""
    at: tuple[AtVoltage, ...]
    evidence: tuple[Evidence, ...]
    bounds: tuple[Bound, ...]
    consistent: Consistency
    claims: tuple[ClaimVerdict, ...]
    overloads: tuple[Overload, ...]
    remark: str = ""
    """What the trade knows of readings on this kind of load."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Vetting:
    """All loads of an installation, with what was assumed on the way."""

    loads: Mapping[str, VettedLoad]
    assumptions: tuple[Assumption, ...] = ()
    used_sources: tuple[str, ...] = ()
