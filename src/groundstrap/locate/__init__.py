"""Readings to fault: which place explains them, how sure that is, what to read next."""

from groundstrap.locate.engine import locate
from groundstrap.locate.faults import FaultKind
from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.results import (
    CheckedReading,
    Fit,
    Location,
    Proposal,
    Suspect,
    Way,
    WouldMean,
)
from groundstrap.locate.search import Complaint
from groundstrap.locate.segments import SegmentKind

__all__ = [
    "CheckedReading",
    "Complaint",
    "FaultKind",
    "Fit",
    "Location",
    "ProbeKind",
    "Proposal",
    "SegmentKind",
    "Suspect",
    "Way",
    "WouldMean",
    "locate",
]
