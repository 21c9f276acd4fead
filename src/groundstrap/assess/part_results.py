"""What `assess` says about parts, ends of cable and bundles: frozen values, nothing rounded."""

from __future__ import annotations

from groundstrap.model import PartKind, Uncertain
from groundstrap.records import dataclass

__all__ = [
    "BundleAssessment",
    "CoilAssessment",
    "LoadOnContact",
    "PartAssessment",
    "PathStep",
    "SwitchAssessment",
    "WireEnd",
    "WireLaying",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadOnContact:
    """One load that a contact makes and breaks, and how much rating it asks for."""

    load: str
    load_class: str
    """resistive, lamp, motor, inductive, capacitor or unknown."""
    current_a: float
    factor: float | None
    """Nominal rating over steady current; None where none is printed for the class or voltage. [1]"""
    source: str = ""
    fed_anyway: bool = False
    """Whether a battery feeds it with the contact open: then its surge is none of the contact's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilAssessment:
    """Coil of a relay: what it takes, and whether it pulls in when hot."""

    load: str
    """The coil, as a load of the job."""
    current_a: float | None
    pick_up_v: float | None
    """Sure to pull in at its hottest from here on; None where no data sheet is tabled. [V]"""
    coil_c: float
    """Hottest air where it sits; heat of its own not counted. [degC]"""
    lowest_v: float | None
    """With its supply at the low end. [V]"""
    cranking_v: float | None
    """While cranking, where it is fed then. [V]"""
    holds_while_cranking: bool
    """Whether something behind its contact runs while cranking."""
    release_s: float | None
    """Until its contact opens, with the suppressor that is written. [s]"""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchAssessment:
    """A switch, relay or isolator: what it switches, how it is controlled, what its terminals are called."""

    loads: tuple[LoadOnContact, ...]
    nominal_v: float
    """Of the supply that feeds what it switches. [V]"""
    needed_a: float | None
    """Rating for a load without surge that it needs, by class and voltage; None where not known. [A]"""
    rated_for: str | None
    """Class of load that its rating is given for; None where nobody wrote it."""
    rated_at_v: float | None
    control: str | None
    """coil, volts, hand, or the signal that closes it; None for a relay of which nobody drew it."""
    coil: CoilAssessment | None
    relieves_a: float | None
    """Of a relay: rating of the smallest switch that works its coil. [A]"""
    relieves: str | None
    """Of a relay: that switch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartAssessment:
    """One part of a path: what it may carry, what passes, and the volts to expect across it."""

    name: str
    circuit: str
    kind: PartKind
    start: str
    rating_a: float | None
    limit_a: float | None
    """What it may carry for hours: of a fuse its share where it sits, of a plug its contact. [A]"""
    through_a: float | None
    known_a: float
    """The same of the loads that are known. [A]"""
    peak_a: float | None
    """With the largest switch-on current of one load on top. [A]"""
    margin_pct: float | None
    """What is left of the limit. [%]"""
    drop_v: Uncertain | None
    """Across it at that current, holder and fuse together; None where the current is not known. [V]"""
    contact_v: Uncertain | None = None
    """Of it across the contacts alone: of a fuse its holder. [V]"""
    terminals: tuple[tuple[str, str], ...] = ()
    """Its points with their terminal numbers."""
    switch: SwitchAssessment | None = None
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PathStep:
    """One piece of cable or part of a circuit's path."""

    name: str
    through_a: float | None
    """What passes it for hours; None where a load behind it is not known. [A]"""
    known_a: float
    """The same of the loads that are known. [A]"""
    limit_a: float | None
    """What it may carry for hours: ampacity, share of a rating, contact. [A]"""
    margin_pct: float | None
    """What is left of the limit. [%]"""
    start_a: float | None
    """Most that passes when loads behind it start; None as `through_a`. [A]"""
    start_assumed: bool
    """Whether that start is what such loads usually do, and nobody wrote it."""
    fault_least_a: float | None
    fault_most_a: float | None
    """Shorts behind it: at the far end of its circuit, and right behind its fuse. [A]"""
    drop_v: float | None
    """Volts across it in the case that the circuit's drop is judged in; typical ones else. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireEnd:
    """One end of a piece of cable: what it ends in."""

    point: str
    terminal: str | None
    """ring, clamp, tab, contact, splice; None where nobody says."""
    stud: str | None
    assumed: bool
    """Whether it is what such parts usually have, and nobody wrote it."""
    at_part: bool
    """Whether a fuse, switch, relay or stud sits there that stands only so much heat."""
    tab_mm: float | None = None
    least_stud: str | None = None
    """Thinnest stud whose rings take the conductor."""
    hole_mm: float | None = None
    torque_nm: Uncertain | None = None
    takes_least_mm2: float | None = None
    takes_most_mm2: float | None = None
    """Conductors that the terminal takes. [mm2]"""
    crimp_colours: tuple[str, ...] = ()
    shrink_mm: float | None = None
    """Heat-shrink before it shrinks, over cable and barrel. [mm]"""
    conductor_c: float | None = None
    """Steady temperature that the conductor brings to it. [degC]"""
    air_c: float | None = None
    """Hottest air there. [degC]"""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireLaying:
    """How a piece of cable wants to be laid; lengths in the unit of their names."""

    outer_mm: float
    """Of one cable over its insulation, thick wall. [mm]"""
    bend_mm: float
    """Least radius on the inside of a bend. [mm]"""
    support_m: float
    """Greatest distance between supports. [m]"""
    shrink_mm: float | None
    shrink_lined: bool = False
    """Whether the heat-shrink is lined with adhesive, as in wet places."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleAssessment:
    """Cables of the job that lie together on one route."""

    route: str
    laid: str | None
    wires: tuple[str, ...]
    cables: int
    bundle_mm: float | None
    """Outer diameter of the bundle; None where a size is not known. [mm]"""
    bore_mm: float | None
    """Of the split loom, or the least bore of a conduit. [mm]"""
    fill_pct: float | None
    """Of a conduit: share that may be filled. [%]"""
    grommet_mm: float | None
    """Hole for it in a panel. [mm]"""
    others: int = 0
    """Conductors beside them that the job does not know: not counted in the diameters."""
    source: str = ""
