"""What `assess` says about an installation: frozen values with names, nothing rounded and nothing in words.

A value that applies and could not be reckoned is None, and its name stands in `unknown` of the same
object; a value that does not apply is None and is not named there. Points are the texts of the model.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from enum import StrEnum

from groundstrap.assess.failure_results import EndFeed, FailureAssessment
from groundstrap.assess.part_results import BundleAssessment, PartAssessment, PathStep, WireEnd, WireLaying
from groundstrap.assess.return_results import ReturnsAssessment
from groundstrap.assess.saving import Protection
from groundstrap.assess.start_results import StartAssessment
from groundstrap.model import Assumption, Basis, Situation, Uncertain
from groundstrap.records import dataclass

__all__ = [
    "Assessment",
    "CircuitAssessment",
    "DropAssessment",
    "ElementDrop",
    "Factor",
    "FuseAssessment",
    "GearAssessment",
    "LegalLimit",
    "LoadAssessment",
    "Outcome",
    "Reason",
    "ReasonKind",
    "SituationAssessment",
    "StretchAmpacity",
    "SupplyAssessment",
    "Unprotected",
    "Window",
    "WireAssessment",
]


class ReasonKind(StrEnum):
    """What set a limit or stopped a choice; the closed list that words are made from elsewhere."""

    AMPACITY = "ampacity"
    """Published ampacity of a wire after every derating."""
    OVERLOAD = "overload temperature"
    """Steady temperature at the current that may never open the fuse, against class + 50 K."""
    CURVE = "curve of the fuse"
    """Some current that the fuse lets through for too long: its slowest curve against what a wire stands."""
    TABLE_SHARE = "share of the table value"
    """150 % of the corrected table value (boat)."""
    LEAD = "lead of the load"
    CONTACT = "contact rating"
    """Rating of a connector, switch, relay or other part in the loop."""
    LARGEST_FUSE = "largest fuse"
    """What the load's maker allows ahead of it."""
    CONTINUOUS = "continuous current"
    """The load's continuous current within the share of its rating that the fuse may carry where it sits."""
    INRUSH = "inrush"
    FAMILY = "family"
    """Smallest or largest rating that is made."""
    MINIMUM = "minimum size"
    CONDUCTOR = "conductor temperature"
    UNSUITABLE = "insulation"
    """Insulation class below the air that it lies in."""
    WINDOW = "window"
    """No standard rating carries the load and still protects the loop."""
    SOURCE = "source's limit"
    """What a source that limits itself gives without end; no fuse opens on it."""
    RETURNS = "shared return"
    """Sum of the fuses of the circuits that come back through it."""
    DROP = "drop"
    FUSE = "fuse"
    """The fuse that is written stands outside the window."""
    UNFED = "no source"
    """No source that is drawn feeds it: what it would carry shows nowhere."""
    PARTED = "no way back"
    """It joins batteries whose minus posts nothing joins: what it is to carry shows nowhere."""
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why a limit stands where it stands: `value` against `limit`, both in the unit of the kind."""

    kind: ReasonKind
    where: str = ""
    """The wire, part, load or zone that it is about."""
    value: float | None = None
    limit: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One factor that a table value was multiplied with."""

    name: str
    value: float
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchAmpacity:
    """Ampacity of one piece of a wire in one zone, after every derating, all parallel wires together."""

    zone: str
    ambient_c: float
    length_m: float
    loaded_conductors: int
    """In its bundle, itself and its return included."""
    ampacity_a: float | None
    """None where no table answers, and where the insulation does not suit the zone."""
    corrected_a: float | None
    """The table value with the corrections of its own notes; what the 150 % rule of boats starts from. [A]"""
    printed_a: float | None
    """The table value as it is printed, before any factor but that of the metal, all parallel wires. [A]"""
    lasting_limit_a: float | None
    """The part of it that may go on round the clock. [A]"""
    suitable: bool | None
    """False where the insulation class lies below the zone's air; None where the insulation is not known."""
    insulation_c: float | None = None
    factors: tuple[Factor, ...] = ()
    source: str = ""
    known: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireAssessment:
    """One piece of cable."""

    name: str
    circuit: str
    start: str
    end: str
    returning: bool
    length_m: float
    area_mm2: float | None
    """Of all parallel wires together. [mm2]"""
    ohm_per_m_20c: float | None
    """Of all parallel wires together. [ohm/m]"""
    insulation: str | None
    insulation_c: float | None
    continuous_a: float | None
    """Design current for ampacity, the same for every size; None where a load behind it is not known."""
    known_a: float
    """The same of the loads that are known: it carries that at least. [A]"""
    drop_a: float | None
    """Design current for the drop at the supply's low end."""
    peak_a: float | None
    """With the largest switch-on current of one load on top."""
    thermal_a: float | None
    """Steady current that heats as much as the duty of the loads does."""
    known_thermal_a: float
    """The same of the loads that are known. [A]"""
    loads: tuple[str, ...]
    """Loads whose current it carries."""
    bounds_back: tuple[str, ...]
    """Circuits whose fuses bound what comes back through it."""
    stretches: tuple[StretchAmpacity, ...]
    ampacity_a: float | None
    weakest_zone: str | None
    ampacity_best_a: float | None
    """With the best insulation that is usual, where nobody wrote it, and without pieces that no table answers
    for; else the same. What exceeds this fails for certain. [A]"""
    insulation_assumed: bool
    """Whether it is in the vehicle already and nobody wrote its insulation."""
    overload_a: float | None
    """What brings it to class + 50 K for ever, so that it stands it where no fuse opens. [A]"""
    lasting_a: float
    """What goes on round the clock, of loads that are known. [A]"""
    lasting_limit_a: float | None
    """The most that may: less than the ampacity where the class stands for 3,000 h. [A]"""
    minimum_mm2: float
    conductor_c: float | None
    """Hottest temperature that the design current brings it to. [degC]"""
    class_c: float | None
    """Temperature that its insulation stands for its whole life. [degC]"""
    shared: bool = False
    """Whether it closes a loop, so that its current depends on the sizes."""
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The ratings that carry the load and still protect the thinnest piece of the loop.

    `least_a` and `most_a` are standard ratings; where no rating does, the end is None and its reason says
    what stands against it. `most_limit_a` and `least_limit_a` are the currents before rounding to ratings.
    """

    family: str | None
    least_a: float | None
    least_limit_a: float | None
    least_reason: Reason
    most_a: float | None
    most_limit_a: float | None
    most_reason: Reason
    ratings: tuple[float, ...] = ()
    """Every standard rating from least to most, of the families that the part may be of."""
    loop_limit_a: float | None = None
    """As `most_limit_a` for the loop alone: without loads' own leads and what their makers allow."""
    loop_reason: Reason | None = None

    @property
    def known(self) -> bool:
        """Whether both ends could be reckoned."""
        return ReasonKind.UNKNOWN not in {self.least_reason.kind, self.most_reason.kind}

    @property
    def empty(self) -> bool:
        """Whether both ends are known and no standard rating lies between them."""
        return self.known and not self.ratings


@dataclass(frozen=True, slots=True, kw_only=True)
class LegalLimit:
    """What the law of boats allows a fuse at most; good practice asks for less."""

    most_a: float
    """On the table value that is corrected for its place: the lower reading, which decides. [A]"""
    printed_most_a: float
    """On the table value as it is printed. [A]"""
    share_pct: float
    """Share of the table value that the law allows. [%]"""
    where: str
    """The wire that sets it."""
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseAssessment:
    """A fuse or breaker: what it carries, what it protects, and the window its rating must lie in."""

    name: str
    circuit: str
    family: str | None
    rating_a: float | None
    continuous_a: float | None
    known_a: float
    """Continuous current of the loads that are known: it carries that at least. [A]"""
    window: Window
    protects: tuple[str, ...]
    """Wires and loads' leads that stand behind it, up to the next fuse, ways back included."""
    thinnest: str | None
    """The piece that sets the upper end."""
    legal: LegalLimit | None
    """What the law allows at most, where one holds and everything behind the fuse is known."""
    carries_pct: float | None
    """Share of its rating that it may carry for ever where it sits. [%]"""
    distance_m: float
    fault_most_a: float | None
    """Prospective current with it bridged. [A]"""
    fault_sure_a: float | None
    """The same with batteries and cable whose size nobody knows at their weakest. [A]"""
    highest_v: float
    """Most volts that may stand at it. [V]"""
    made_for_v: float | None
    """As written, or of a new one the make to be bought; None where not known or there is none. [V]"""
    closest: Protection | None = None
    """Its whole curve against the cable that it saves with the least margin; None without rating or cable."""
    closest_at: str = ""
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementDrop:
    """Volts lost in one piece of a circuit, with the amps that lose them."""

    name: str
    start: str
    end: str
    drop_v: float
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DropAssessment:
    """Drop of one circuit, source to load and back, in the worst case that the question asks for."""

    drop_v: float | None
    drop_pct: float | None
    limit_v: float | None
    limit_pct: float | None
    limit_source: str
    limit_why: str
    load: str | None
    """The load (or the point, for a feeder) that it was found at."""
    load_v: float | None
    """Volts at that load's terminals then. [V]"""
    source: str | None
    """Supply that it counts from. """
    source_v: float | None
    situation: Situation | None
    low_v: float | None = None
    """Smallest drop with joints and chassis at their low end. [V]"""
    high_v: float | None = None
    """Largest drop with joints and chassis at their high end. [V]"""
    decided: bool | None = None
    """True: within the limit; False: above; None: the chassis' interval decides, or it is not known."""
    elements: tuple[ElementDrop, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Unprotected:
    """Cable that a source reaches without a fuse or breaker between."""

    point: str
    length_m: float
    wire: str
    source: str
    length_known: bool = True

    @property
    def metres(self) -> float | None:
        """Its length; None where nobody knows it and another one is reckoned with. [m]"""
        return self.length_m if self.length_known else None


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitAssessment:
    """One circuit, out and back."""

    name: str
    length_m: float
    source: str | None
    """Supply that feeds it."""
    feeders: tuple[str, ...]
    """Circuits that carry its current before it, nearest the source first; ways back included."""
    loads: tuple[str, ...]
    """Loads whose current passes it, those of circuits behind it included."""
    in_loop: bool
    charging: bool
    """Whether it brings current to a battery."""
    continuous_a: float | None
    known_a: float
    """Continuous current of the loads that are known: it carries that at least. [A]"""
    peak_a: float | None
    drop: DropAssessment
    ampacity_a: float | None
    weakest: str | None
    """Point at the start of the weakest wire. """
    conductor_c: float | None
    fault_least_a: float | None
    fault_best_a: float | None
    """The far-end fault with body, batteries and cable that nobody knows at their best. [A]"""
    fault_most_a: float | None
    clearing_s: float | None
    """Longest time in which the last fuse before its far end opens on the least fault there; inf where that
    may never open it. [s]"""
    unprotected: tuple[Unprotected, ...]
    spare_a: float | None
    wires: Mapping[str, WireAssessment]
    fuses: Mapping[str, FuseAssessment]
    hangs_on: tuple[str, ...] = ()
    """Pieces between batteries that nobody knows, so that nobody knows what it carries."""
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAssessment:
    """A load at the voltage that stands at it while it runs, and at the highest that may."""

    name: str
    known: bool
    source: str | None
    circuits: tuple[str, ...]
    power_w: Uncertain | None
    current_a: Uncertain | None
    working_v: float | None
    """In the situation `working_in`, as solved. [V]"""
    working_in: Situation | None
    lowest_v: float | None
    """With the supply at its low end and everything on that may run. [V]"""
    highest_each_v: Mapping[str, float]
    """Highest volts of each load, found when somebody asks. [V]"""
    continuous_a: float | None
    """Design current for ampacity. [A]"""
    drop_a: float | None
    """Design current for the drop. [A]"""
    unknown: tuple[str, ...] = ()

    @property
    def highest_v(self) -> float | None:
        """Alone on a cold network with the supply at its high end. [V]"""
        return self.highest_each_v.get(self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyAssessment:
    """A supply as the network sees it."""

    name: str
    nominal_v: float
    low_v: float
    high_v: float
    emf_v: float
    resistance_ohm: float
    continuous_a: float | None
    """Current that the loads on it take together, in the worst situation. [A]"""
    known_a: float
    """The same of the loads that are known. [A]"""
    capability_a: float | None
    """What it gives without end, where it limits itself. [A]"""
    fault_a: float | None
    taps_v: tuple[float, ...] = ()
    """Volts at the points inside a bank, from the negative end up, at rest. [V]"""
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class GearAssessment:
    """A block or a part with a name."""

    name: str
    rating_a: float | None
    continuous_a: float | None
    known_a: float
    """Continuous current of the loads that are known: it carries that at least. [A]"""
    spare_a: float | None
    circuits: tuple[str, ...]
    unknown: tuple[str, ...] = ()


class Outcome(StrEnum):
    """How a situation ends; the closed list."""

    WORKS = "works"
    WORKS_WITHOUT = "works without"
    CYCLES = "cycles"
    NO_WORKING_POINT = "no working point"
    DOES_NOT_START_COLD = "does not start cold"
    TOO_HOT = "too hot to settle"
    UNSOLVED = "unsolved"


@dataclass(frozen=True, slots=True, kw_only=True)
class SituationAssessment:
    """One situation as solved: volts against the reference at every point, amps through every circuit."""

    situation: Situation
    outcome: Outcome
    without: tuple[str, ...]
    """Loads that end switched off, or that cycle."""
    volts_v: Mapping[str, float]
    """Point -> volts; points that no source reaches are left out."""
    circuits_a: Mapping[str, float]
    """Circuit -> amps at its start, the way out counted positive."""
    loads_a: Mapping[str, float]
    loads_v: Mapping[str, float]
    supplies_a: Mapping[str, float]
    """Amps out of each supply; charging is negative."""
    running: frozenset[str]
    culprit: str | None = None
    """Where there is no working point: the load whose smallest cut restores one."""
    culprit_power_w: float | None = None
    culprit_v: float | None = None
    alternatives: tuple[frozenset[str], ...] = ()
    """Other largest sets of running loads that hold too."""
    rests_on: tuple[str, ...] = ()
    """Wires whose size nobody knows and for which one stands in: nothing behind them is certain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """Everything that is said about an installation before rules judge it."""

    system_v: float
    basis: Basis
    circuits: Mapping[str, CircuitAssessment]
    loads: Mapping[str, LoadAssessment]
    supplies: Mapping[str, SupplyAssessment]
    gear: Mapping[str, GearAssessment]
    situations: Mapping[Situation, SituationAssessment]
    assumptions: tuple[Assumption, ...] = ()
    used_sources: tuple[str, ...] = ()
    unknown_loads: tuple[str, ...] = field(default=())
    """Loads of which nothing says what they take."""
    parts: Mapping[str, PartAssessment] = field(default_factory=dict)
    """Every part of a path, by its name."""
    path: Mapping[str, PathStep] = field(default_factory=dict)
    """What passes every wire and every part of a path, by its name."""
    ends: Mapping[str, tuple[WireEnd, WireEnd]] = field(default_factory=dict)
    """What each wire ends in, by its name: at its start and at its end."""
    laying: Mapping[str, WireLaying] = field(default_factory=dict)
    starting: StartAssessment = field(default_factory=StartAssessment)
    bundles: tuple[BundleAssessment, ...] = ()
    feeds: Mapping[str, tuple[EndFeed, ...]] = field(default_factory=dict)
    """What feeds a fault on each cable, once for each end that it comes from, by the cable's name."""
    unfused_m: Mapping[str, float] = field(default_factory=dict)
    """Cable that each battery reaches with no fuse or breaker between, by the battery's name. [m]"""
    failures: tuple[FailureAssessment, ...] = ()
    """Single failures of joints, straps, ways back, links and relays that harm something."""
    returns: ReturnsAssessment = field(default_factory=ReturnsAssessment)
