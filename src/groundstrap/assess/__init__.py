"""An installation becomes networks, its situations are solved, its circuits rated.

`assess` does all of it; the other names are what a chooser of sizes works with.
"""

from groundstrap.assess.currents import (
    DesignCurrents,
    DrawDesign,
    PieceCurrents,
)
from groundstrap.assess.dropbase import nominal_of
from groundstrap.assess.drops import (
    DropRows,
    assess_drop,
    drop_cases,
    solve_drops,
)
from groundstrap.assess.failure_results import (
    EndFeed,
    FailureAssessment,
    FailureKind,
    VictimKind,
)
from groundstrap.assess.forced import (
    pushed_limits,
    shared_returns,
)
from groundstrap.assess.ladders import Candidate, candidates, carries_share
from groundstrap.assess.limits import (
    DropLimit,
    drop_limit,
    is_charging,
    is_feeder,
)
from groundstrap.assess.part_results import (
    BundleAssessment,
    CoilAssessment,
    LoadOnContact,
    PartAssessment,
    PathStep,
    SwitchAssessment,
    WireEnd,
    WireLaying,
)
from groundstrap.assess.rating import (
    assess,
    assess_wiring,
)
from groundstrap.assess.regions import (
    Guard,
    guards,
)
from groundstrap.assess.results import (
    Assessment,
    CircuitAssessment,
    DropAssessment,
    ElementDrop,
    Factor,
    FuseAssessment,
    GearAssessment,
    LegalLimit,
    LoadAssessment,
    Outcome,
    Reason,
    ReasonKind,
    SituationAssessment,
    StretchAmpacity,
    SupplyAssessment,
    Unprotected,
    Window,
    WireAssessment,
)
from groundstrap.assess.return_results import ThroughConverter
from groundstrap.assess.situations import (
    situation_case,
    solve_situations,
)
from groundstrap.assess.timecurrent import (
    FuseCurves,
    LoadCurve,
    TimeCurve,
    WireCurve,
    time_current_curves,
)
from groundstrap.assess.topology import (
    Piece,
    PieceKind,
    Topology,
)
from groundstrap.assess.tree import (
    CircuitTree,
    Feeding,
)
from groundstrap.assess.windows import fuse_window, lead_ampacity_a
from groundstrap.assess.wires import (
    minimum_mm2,
    thermal_need_a,
)
from groundstrap.assess.wiring import (
    Case,
    Level,
    Warmth,
    Wiring,
    is_open,
    parameters,
    parameters_rows,
    wire_up,
    wire_values,
)

__all__ = [
    "Assessment",
    "BundleAssessment",
    "Candidate",
    "Case",
    "CircuitAssessment",
    "CircuitTree",
    "CoilAssessment",
    "DesignCurrents",
    "DrawDesign",
    "DropAssessment",
    "DropLimit",
    "DropRows",
    "ElementDrop",
    "EndFeed",
    "Factor",
    "FailureAssessment",
    "FailureKind",
    "Feeding",
    "FuseAssessment",
    "FuseCurves",
    "GearAssessment",
    "Guard",
    "LegalLimit",
    "Level",
    "LoadAssessment",
    "LoadCurve",
    "LoadOnContact",
    "Outcome",
    "PartAssessment",
    "PathStep",
    "Piece",
    "PieceCurrents",
    "PieceKind",
    "Reason",
    "ReasonKind",
    "SituationAssessment",
    "StretchAmpacity",
    "SupplyAssessment",
    "SwitchAssessment",
    "ThroughConverter",
    "TimeCurve",
    "Topology",
    "Unprotected",
    "VictimKind",
    "Warmth",
    "Window",
    "WireAssessment",
    "WireCurve",
    "WireEnd",
    "WireLaying",
    "Wiring",
    "assess",
    "assess_drop",
    "assess_wiring",
    "candidates",
    "carries_share",
    "drop_cases",
    "drop_limit",
    "fuse_window",
    "guards",
    "is_charging",
    "is_feeder",
    "is_open",
    "lead_ampacity_a",
    "minimum_mm2",
    "nominal_of",
    "parameters",
    "parameters_rows",
    "pushed_limits",
    "shared_returns",
    "situation_case",
    "solve_drops",
    "solve_situations",
    "thermal_need_a",
    "time_current_curves",
    "wire_up",
    "wire_values",
]
