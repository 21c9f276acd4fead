"""The installation as frozen dataclasses in SI units; what every layer above reads.

Points of the network are plain texts, the same that job files and results use:
`battery +`, `battery -`; a bank's inner joints `battery 1 +` (the plus of its lowest battery);
`converter in +`, `converter in -`, `converter out +`, `converter out -`; `warmer +`, `warmer -` of a load;
`panel` for a block whatever the way; `chassis at boot`, `chassis`; `engine block` for a chassis of its own;
`warmer relay in`, `warmer relay out`, `windlass solenoid up` (a way's own side), `bulkhead plug 1 in`;
`warmer fuse in`, `warmer fuse 2 out` for parts without a name; `warmer relay coil +`, `warmer relay coil -`;
`deck feed joint 1` between two pieces of cable with nothing between; `yellow wire end` for an end that
nobody found.
"""

from groundstrap.model.circuit import FUSES, Circuit, Element, Part, PartKind, Passage, Stretch, Wire
from groundstrap.model.equipment import (
    Claim,
    Duty,
    Fitted,
    Gear,
    GearKind,
    Inrush,
    Load,
    LoadKind,
    Measurement,
    MeterSpec,
    Stall,
    Supply,
    SupplyKind,
    Zone,
)
from groundstrap.model.estimate import LoadEstimate, LoadLaw
from groundstrap.model.installation import (
    CurvePoint,
    DaySpan,
    FuseCurve,
    Installation,
    Reading,
    ReadingSet,
    Stock,
    StockItem,
    Tie,
    Waiver,
    newest_readings,
)
from groundstrap.model.values import Assumption, Basis, Origin, Situation, Span, State, Uncertain

__all__ = [
    "FUSES",
    "Assumption",
    "Basis",
    "Circuit",
    "Claim",
    "CurvePoint",
    "DaySpan",
    "Duty",
    "Element",
    "Fitted",
    "FuseCurve",
    "Gear",
    "GearKind",
    "Inrush",
    "Installation",
    "Load",
    "LoadEstimate",
    "LoadKind",
    "LoadLaw",
    "Measurement",
    "MeterSpec",
    "Origin",
    "Part",
    "PartKind",
    "Passage",
    "Reading",
    "ReadingSet",
    "Situation",
    "Span",
    "Stall",
    "State",
    "Stock",
    "StockItem",
    "Stretch",
    "Supply",
    "SupplyKind",
    "Tie",
    "Uncertain",
    "Waiver",
    "Wire",
    "Zone",
    "newest_readings",
]
