"""Circuits: runs of cable out and back, each step between two points of the network."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from groundstrap.model.values import Origin, State
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize

__all__ = ["FUSES", "Circuit", "Element", "Part", "PartKind", "Passage", "Stretch", "Wire"]


class PartKind(StrEnum):
    """What sits between two pieces of cable."""

    FUSE = "fuse"
    BREAKER = "breaker"
    SWITCH = "switch"
    ISOLATOR = "isolator"
    RELAY = "relay"
    CONNECTOR = "connector"
    SENSOR = "sensor"
    DIODE = "diode"
    RESISTOR = "resistor"
    JOINT = "joint"
    UNKNOWN = "unknown"


FUSES: Final = frozenset({PartKind.FUSE, PartKind.BREAKER})
"""What opens by itself when too much flows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A piece of a wire in one zone. `route` names the route it shares with other wires, if any."""

    zone: str
    length_m: float
    laid: str | None = None
    route: str | None = None
    route_m: float | None = None
    """Length of that route as it was measured. [m]"""
    others: int = 0
    """Loaded conductors beside it that are not of this job (`with`)."""
    passage: int = 0
    """Which run from name to name along its way it belongs to: pieces of one run follow one another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One piece of cable of one size.

    `size` None with state new is to be chosen; with state existing it is not known.
    `key` is the place in the job file that it stands for ("circuits/warmer/path/3"), for pins and errors.
    """

    name: str
    circuit: str
    start: str
    end: str
    length_m: float
    stretches: tuple[Stretch, ...]
    size: ConductorSize | None = None
    origin: Origin | None = None
    parallel: int = 1
    material: str = "copper"
    insulation: str | None = None
    colour: str | None = None
    label: str | None = None
    returning: bool = False
    """Whether it belongs to the way back."""
    unknown: bool = False
    """Written as `wire: unknown`."""
    length_known: bool = True
    borrowed: bool = False
    """Whether the way out lends it its length though it ends elsewhere: nobody said how far that is."""
    state: State = State.NEW
    key: str = ""

    @property
    def area_mm2(self) -> float | None:
        """Copper area of all parallel wires together, or None. [mm2]"""
        return None if self.size is None else self.size.area_mm2 * self.parallel


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A fuse, switch or other part that the current passes, named or not.

    `name` is the base of its points ("warmer fuse": "warmer fuse in", "warmer fuse out").
    """

    name: str
    kind: PartKind
    circuit: str
    start: str
    end: str
    place: str
    zone: str
    gear: str | None = None
    way: str | None = None
    rating_a: float | None = None
    origin: Origin | None = None
    family: str | None = None
    interrupt_a: float | None = None
    holder: str | None = None
    resistance_ohm: float | None = None
    coil_a: float | None = None
    closes_v: float | None = None
    opens_v: float | None = None
    when: str | None = None
    curve: str | None = None
    ignition_protected: bool | None = None
    plug: str | None = None
    """Of a connector: its plug, or the standard of the trailer socket that it is."""
    suppressor: str | None = None
    """Across a relay's coil: `diode`, `resistor` or `none`; None where nobody says."""
    rated_for: str | None = None
    """Class of load that the rating of a contact is given for: `resistive`, `lamp`, `motor`, `inductive`."""
    rated_at_v: float | None = None
    """Direct voltage that the rating of a contact is given for. [V]"""
    solid_state: bool = False
    """Whether a transistor switches, and no contact."""
    distance_m: float = 0.0
    """Of cable from the start of its path to it."""
    distance_written: bool = True
    """False where nobody wrote where it sits: prescribed on a new circuit, not known on an existing one."""
    returning: bool = False
    unknown_rating: bool = False
    """Written as unknown (`fuse: unknown`)."""
    state: State = State.NEW
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """A block, load, supply or chassis point that a path touches: the cable goes on from the same point."""

    point: str
    what: str
    """`block`, `load`, `supply`, `chassis`, `gear` or `unknown` (an end nobody found)."""
    name: str
    way: str | None = None
    """Of a block: the slot that was written."""


Element = Wire | Part | Passage


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """One run of cable: out along `path`, back along `back` (empty for a single conductor)."""

    name: str
    path: tuple[Element, ...]
    back: tuple[Element, ...]
    start: str
    end: str
    back_end: str | None
    loads: tuple[str, ...] = ()
    """Loads (coils included) that hang on it, in the order of the path."""
    converter: str | None = None
    """Supply whose input it ends at."""
    length_m: float = 0.0
    drop_pct: float | None = None
    drop_v: float | None = None
    carries_a: float | None = None
    label: str | None = None
    return_known: bool = True
    """False on an existing circuit whose return nobody wrote."""
    return_apart: bool = False
    """Whether it is written that the way back ends in another place than the one where the way out begins."""
    fuse_unknown: bool = False
    """Whether `fuse: unknown` is written of cable that is there, and its path shows no fuse."""
    state: State = State.NEW
    note: str | None = None
    key: str = ""

    @property
    def wires(self) -> tuple[Wire, ...]:
        """Every piece of cable, out and back."""
        return tuple([e for e in self.path + self.back if isinstance(e, Wire)])

    @property
    def metres(self) -> float | None:
        """Its cable on the way out; None where a piece of it is of no known length. [m]"""
        return self.length_m if all(wire.length_known for wire in self.wires if not wire.returning) else None

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every part, out and back."""
        return tuple([e for e in self.path + self.back if isinstance(e, Part)])
