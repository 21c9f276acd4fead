"""Readings to fault: which place explains them, how sure that is, what to read next."""

from groundstrap.locate.counted import Counted, counted
from groundstrap.locate.engine import locate
from groundstrap.locate.faults import FaultKind
from groundstrap.locate.growth import Growth, Measured, Reach, Trend, compare
from groundstrap.locate.mends import mendable, mends_of
from groundstrap.locate.ohms import OhmsFound, OhmsRead, ohms_read
from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.results import (
    AsWire,
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
from groundstrap.locate.slips import other_unit

__all__ = [
    "AsWire",
    "CheckedReading",
    "Complaint",
    "Counted",
    "FaultKind",
    "Fit",
    "Growth",
    "Location",
    "Measured",
    "OhmsFound",
    "OhmsRead",
    "ProbeKind",
    "Proposal",
    "Reach",
    "SegmentKind",
    "Suspect",
    "Trend",
    "Way",
    "WouldMean",
    "compare",
    "counted",
    "locate",
    "mendable",
    "mends_of",
    "ohms_read",
    "other_unit",
]
