"""What a search for a fault says: readings against what was expected, places suspected, what to read next."""

from __future__ import annotations

from groundstrap.locate.faults import FaultKind
from groundstrap.locate.figures import FITS, SURE
from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.segments import SegmentKind
from groundstrap.model import Situation, Uncertain
from groundstrap.records import dataclass

__all__ = ["AsWire", "CheckedReading", "Fit", "Location", "Proposal", "Suspect", "Way", "WouldMean"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedReading:
    """A reading that was taken, beside what a sound vehicle would show."""

    text: str
    """As it was written."""
    kind: ProbeKind
    red: str = ""
    black: str = ""
    through: str = ""
    expected: Uncertain
    """By the plan, with the meter: its 95 % interval. [V, A]"""
    measured: float
    normalised: float
    """Off what is expected, in standard deviations. [1]"""
    other_unit: float | None = None
    """Times what it would fit: a thousandth or a thousand, as with `V` for `mV`; None else. [1]"""
    before: float | None = None
    """What was read there before: on an earlier visit, or before it was mended or read again. [V, A]"""

    @property
    def agrees(self) -> bool:
        """Whether it lies within the 95 % interval."""
        return self._holds(self.measured)

    @property
    def fits_again(self) -> bool:
        """Whether it agrees, and what was read there before did not."""
        return self.agrees and self.before is not None and not self._holds(self.before)

    def _holds(self, value: float) -> bool:
        return self.expected.low <= value <= self.expected.high


@dataclass(frozen=True, slots=True)
class Fit:
    """How well all readings together fit one story."""

    chi2: float
    degrees: int
    p: float
    """Chance of sound readings that fit it less. [1]"""


@dataclass(frozen=True, slots=True)
class Way:
    """One way in which a place may fail, with its share of the place's chance."""

    kind: FaultKind
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AsWire:
    """A cable that by itself would have the resistance that was found: thin, damaged, or no copper."""

    planned_mm2: float
    area_mm2: Uncertain
    """Of copper, all along it. [mm2]"""
    clad: bool
    """Whether copper-clad aluminium of the planned size would have as much."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A place, how sure it is, and how bad."""

    place: str
    kind: SegmentKind
    points: tuple[str, ...]
    """Between which it lies."""
    ways: tuple[Way, ...]
    """Likeliest first."""
    extra_ohm: Uncertain | None
    """Added resistance, where that is its likeliest way. [ohm]"""
    times: Uncertain | None
    """Of a load or battery: times what it should have. [1]"""
    extra_a: Uncertain | None = None
    """What goes to the body, or drains at rest. [A]"""
    probability: float
    same_as: tuple[str, ...]
    """Places that the readings so far can't tell from this one."""
    wire: AsWire | None = None
    """What the cable itself would have to be, where that could be it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WouldMean:
    """What a proposed reading would show if it is one place, or nothing."""

    place: str | None
    """None where nothing is wrong."""
    shows: Uncertain


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A reading that is worth taking: where, in which situation, and what each outcome would mean."""

    kind: ProbeKind
    red: str = ""
    black: str = ""
    through: str = ""
    when: Situation
    using: tuple[str, ...]
    """Loads that run while it is taken."""
    information_bits: float
    effort: float
    sound: Uncertain
    """What it shows where nothing is wrong."""
    means: tuple[WouldMean, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Location:
    """What is known after some readings."""

    load: str | None
    """The load that somebody complains of."""
    dead: bool
    flat: bool = False
    """Whether drains at rest are looked for."""
    readings: tuple[CheckedReading, ...]
    sound: Fit
    """How well they fit a sound vehicle."""
    best: Fit
    """How well they fit the likeliest suspect."""
    healthy: float
    """Chance that nothing is wrong with what can be read. [1]"""
    suspects: tuple[Suspect, ...]
    """Likeliest first."""
    second: tuple[Suspect, ...] = ()
    """What is wrong beside the first, once that one stands and something is."""
    doubted: int | None
    """Number of a reading that alone fits no story, and may be a slip."""
    proposals: tuple[Proposal, ...]
    """What to read next, most worth its effort first."""
    left_out: tuple[str, ...] = ()
    """Readings that say nothing here: a temperature, a point or thing that the network does not have."""
    mended: str = ""
    """What was mended before the readings that count; empty where nothing was."""

    @property
    def explained(self) -> bool:
        """Whether some story fits the readings, one that may be a slip left out."""
        return self.doubted is not None or self.best.p >= FITS

    @property
    def stands(self) -> bool:
        """Whether one place explains the readings, and surely; one that may be a slip left out."""
        sure = bool(self.suspects) and self.suspects[0].probability >= SURE
        return sure and self.explained

    @property
    def sure_alike(self) -> bool:
        """Whether it is surely one of the likeliest and those that the readings can't tell from it."""
        if not self.suspects:
            return False
        alike = {self.suspects[0].place, *self.suspects[0].same_as}
        return self.explained and sum(s.probability for s in self.suspects if s.place in alike) >= SURE

    @property
    def fits_again(self) -> bool:
        """Whether all that was read since the mend fits, and something did not before."""
        all_fit = all(each.agrees for each in self.readings)
        return bool(self.mended) and all_fit and any(each.fits_again for each in self.readings)
