"""Evidence about a device to a power with its uncertainty, and a verdict on each claim.

Every claim, reading and fitted part is evidence. Readings become powers and are combined with what they
share; claims stand in only where nobody measured; plug, fuse and lead are upper bounds. Which reading may be
trusted for which kind of load is knowledge of the trade: ohms on a cold lamp, a ceramic heater, a motor or
electronics do not give a power.
"""

from groundstrap.vet.engine import estimates, vet
from groundstrap.vet.results import (
    AtVoltage,
    Bound,
    BoundKind,
    ClaimVerdict,
    Consistency,
    Evidence,
    EvidenceKind,
    Overload,
    Trust,
    Verdict,
    VettedLoad,
    Vetting,
)

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
    "estimates",
    "vet",
]
