"""What readings say when they are held against the plan: each, all together, and what they prove."""

from __future__ import annotations

from enum import StrEnum

from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.results import Fit
from groundstrap.locate.segments import SegmentKind
from groundstrap.model import Situation, Uncertain
from groundstrap.records import dataclass

__all__ = [
    "Agreement",
    "Band",
    "Estimated",
    "ExpectedReading",
    "Judged",
    "JudgedReading",
    "Proven",
    "ProvenKind",
]


class Agreement(StrEnum):
    """What becomes of a reading."""

    AGREES = "agrees"
    LOOK = "look again"
    FAILS = "fails"


@dataclass(frozen=True, slots=True)
class Band:
    """Ends between which readings of sound work lie. [V, A]"""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Tell whether a value lies in it, its ends with it."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedReading:
    """What sound vehicles show at one place in one situation, with one meter."""

    expected: float
    look: Band
    """Holds 95 % of it. [V, A]"""
    fails: Band | None
    """Holds 99.9 % of it; None at the posts of a battery, which may be empty and sound. [V, A]"""

    def agreement(self, measured: float) -> Agreement:
        """Say whether a reading agrees, asks for a second look, or fails."""
        if self.look.holds(measured):
            return Agreement.AGREES
        return Agreement.LOOK if self.fails is None or self.fails.holds(measured) else Agreement.FAILS


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedReading:
    """A reading that was taken, beside what sound vehicles show."""

    kind: ProbeKind
    text: str
    """As it was written."""
    red: str = ""
    black: str = ""
    through: str = ""
    when: Situation
    using: tuple[str, ...]
    meter: str
    """What read it; empty where nobody wrote it."""
    date: str
    by: str
    sound: ExpectedReading
    measured: float
    deviation: float
    """Off what is expected, in standard deviations of sound vehicles. [1]"""
    residual: float
    """Normalised residual: off what all readings and what is known before say of it, over its own standard
    deviation. [1]"""
    before: float | None = None
    """What was read there before, on an earlier visit or before it was mended. [V, A]"""

    @property
    def agreement(self) -> Agreement:
        """Whether it agrees, asks for a second look, or fails."""
        return self.sound.agreement(self.measured)

    @property
    def where(self) -> str:
        """Where it was read, as the job file has it."""
        return self.through or f"{self.red} to {self.black}"


class ProvenKind(StrEnum):
    """What readings may prove."""

    RESISTANCE = "resistance too high"
    OPEN = "open"
    LOAD = "load off its rating"
    BATTERY_VOLTS = "battery volts off"
    BATTERY_OHM = "battery resistance off"
    SOURCE = "source off its setpoint"
    DRAW = "unknown draw"
    METER = "meter off"
    READING = "reading itself wrong"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proven:
    """One thing without which the readings do not fit, and with which they do."""

    kind: ProvenKind
    place: str
    """Place, load, supply, meter, or the reading as it was written."""
    of: SegmentKind | None = None
    points: tuple[str, ...] = ()
    circuit: str | None = None
    size: Uncertain
    """Ohms, volts or amps too many; times what it should be, or shows; of a reading how far it is off.
    [ohm, V, A, 1]"""
    usual_ohm: float = 0.0
    """Ohms of a sound place. [ohm]"""
    allowed_ohm: float = 0.0
    """Of which 99.9 % of sound places have less. [ohm]"""
    current_a: float = 0.0
    """What flowed in it, at most. [A]"""
    fit: Fit = Fit(0.0, 0, 1.0)
    """Of all readings with it free. [1]"""
    same_as: tuple[str, ...] = ()
    """What explains the readings as well."""
    or_reading: str = ""
    """A reading that alone stands for it, and may be wrong itself."""
    shows_at: tuple[int, ...] = ()
    """Numbers of the readings that it moves by more than sound vehicles differ."""
    by_amps: bool = False
    """Whether currents alone show it: what draws less than it should reads the same."""
    reading: int | None = None
    """Of a reading itself wrong: its number."""

    @property
    def heat_w(self) -> float:
        """What the ohms too many turn into heat at that current. [W]"""
        return self.current_a**2 * self.size.value if self.kind is ProvenKind.RESISTANCE else 0.0

    @property
    def lost_v(self) -> float:
        """What the ohms too many take then. [V]"""
        return self.current_a * self.size.value if self.kind is ProvenKind.RESISTANCE else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimated:
    """A resistance or a load as the readings have it, where they say more of it than the plan did."""

    name: str
    is_load: bool
    value: Uncertain
    """Ohms; of a load times what the plan says it takes. [ohm, 1]"""
    usual: Uncertain
    """95 % of sound ones. [ohm, 1]"""
    share: float
    """Standard deviation that is left, over that before the readings. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Readings of a job against its plan."""

    readings: tuple[JudgedReading, ...]
    sheet: Fit
    """All of them against a sound vehicle."""
    explained: Fit
    """With what they prove set free; as `sheet` where they prove nothing."""
    proven: tuple[Proven, ...]
    estimated: tuple[Estimated, ...]
    left_out: tuple[str, ...]
    """Readings that say nothing of the network."""
