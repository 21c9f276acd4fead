"""What stands in the vehicle: supplies, loads, and the gear that cables meet at or pass."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from groundstrap.model.values import Situation, Span, State
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize

__all__ = [
    "Claim",
    "Duty",
    "Fitted",
    "Gear",
    "GearKind",
    "Inrush",
    "Load",
    "LoadKind",
    "Measurement",
    "MeterSpec",
    "Stall",
    "Supply",
    "SupplyKind",
    "Zone",
]


class LoadKind(StrEnum):
    """How a load behaves; `COIL` is the coil of a relay, which the job reader adds by itself."""

    HEATER = "heater"
    PTC_HEATER = "ptc heater"
    LAMP = "lamp"
    LED = "led"
    MOTOR = "motor"
    STARTER = "starter"
    COMPRESSOR = "compressor"
    ELECTRONICS = "electronics"
    INVERTER = "inverter"
    CHARGER = "charger"
    PUMP = "pump"
    FAN = "fan"
    OTHER = "other"
    COIL = "coil"


class SupplyKind(StrEnum):
    """What a supply is."""

    BATTERY = "battery"
    ALTERNATOR = "alternator"
    DC_DC = "dc-dc"
    SOLAR_CHARGER = "solar charger"
    MAINS_CHARGER = "mains charger"
    SOLAR = "solar"


class GearKind(StrEnum):
    """What cables meet at, or what they pass."""

    BLOCK = "block"
    CHASSIS = "chassis"
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Air that things of a place stand in."""

    name: str
    low_c: float
    high_c: float
    wet: str = "dry"
    vapour: str = "no"
    closed: bool | None = None
    """Whether it holds gas in: a box, a locker; None where nobody says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterSpec:
    """A meter as named or as its leaflet says: share of the reading plus last digits."""

    text: str
    name: str | None = None
    """Name of a meter of the tables (`basic`, `handheld`, `bench`); None where the figures were written."""
    reading_pct: float | None = None
    digits: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What somebody says that a load takes (an inverter's power is what it gives)."""

    power_w: float | None = None
    current_a: float | None = None
    voltage_v: float | None = None
    temperature_c: float | None = None
    by: str | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A reading at the load's own leads; exactly one of resistance, current and power is there."""

    resistance_ohm: float | None = None
    current_a: float | None = None
    power_w: float | None = None
    voltage_v: float | None = None
    half_width: float | None = None
    """What was written behind `+-`, in the unit of the quantity that was measured."""
    last_digit: float = 0.0
    voltage_half_width: float | None = None
    voltage_last_digit: float = 0.0
    leads_ohm: float | None = None
    meter: MeterSpec | None = None
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """What a load came with: its own lead, its fuse, its plug."""

    wire: ConductorSize | None = None
    length_m: float | None = None
    fuse_a: float | None = None
    plug: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inrush:
    """Current at switch-on, and how long it lasts where that is known."""

    current_a: float
    time_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """How much of the time a load runs: a share, and the run and period where they were written."""

    share_pct: float = 100.0
    run_s: float | None = None
    every_s: float | None = None
    written: bool = False
    """Whether somebody wrote a share or a run, be it all of the time."""

    @property
    def continuous(self) -> bool:
        """Whether the load runs without a pause."""
        return self.share_pct >= 100.0 and self.run_s is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stall:
    """Current of a blocked motor, and whether it survives that; None where nobody knows."""

    current_a: float | None = None
    survives: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A consumer. `plus` and `minus` are its terminals as points of the network."""

    name: str
    kind: LoadKind
    place: str
    zone: str
    plus: str
    minus: str
    count: int = 1
    claims: tuple[Claim, ...] = ()
    claims_unknown: bool = False
    measured: tuple[Measurement, ...] = ()
    fitted: Fitted = field(default_factory=Fitted)
    inrush: Inrush | None = None
    asleep_a: float | None = None
    duty: Duty = field(default_factory=Duty)
    works: Span | None = None
    restart_v: float | None = None
    efficiency_pct: float | None = None
    critical: bool = False
    critical_written: bool = False
    runs: frozenset[Situation] = frozenset(Situation) - {Situation.CRANKING}
    runs_written: bool = False
    never_with: frozenset[str] = frozenset()
    largest_fuse_a: float | None = None
    stall: Stall | None = None
    stud: str | None = None
    state: State = State.NEW
    note: str | None = None
    relay: str | None = None
    """Of a coil: the gear or unnamed relay it belongs to."""
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A source. Converters also have `in_plus` and `in_minus`; their `plus`, `minus` are the output."""

    name: str
    kind: SupplyKind
    place: str
    zone: str
    plus: str
    minus: str
    in_plus: str | None = None
    in_minus: str | None = None
    nominal_v: float
    """Of the whole bank (system voltage), of a converter its setpoint."""
    taps: tuple[str, ...] = ()
    """Of a bank in series: points between the batteries, from the negative end up."""
    chemistry: str | None = "flooded"
    """None where it is written as unknown."""
    series: int = 1
    parallel: int = 1
    capacity_ah: float | None = None
    reserve_s: float | None = None
    cranking_a: float | None = None
    cranking_standard: str | None = None
    limit_a: float | None = None
    rested_v: float | None = None
    temperature_c: float | None = None
    resistance_ohm: float | None = None
    standing_a: float | None = None
    running_a: float | None = None
    rating_a: float | None = None
    setpoint: Span | None = None
    idle_pct: float | None = None
    idle_a: float | None = None
    current_a: float | None = None
    efficiency_pct: float | None = None
    when: str | None = None
    isolated: bool = False
    power_w: float | None = None
    voltage_v: float | None = None
    stud: str | None = None
    assumed: bool = False
    state: State = State.NEW
    note: str | None = None
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """A block, a chassis of its own, or a part with a name. Values that nobody wrote are None."""

    name: str
    kind: GearKind
    place: str
    zone: str
    rating_a: float | None = None
    stud: str | None = None
    ways: tuple[str, ...] = ()
    together_a: float | None = None
    together_pct: float | None = None
    spare_pct: float | None = None
    family: str | None = None
    interrupt_a: float | None = None
    holder: str | None = None
    coil_a: float | None = None
    resistance_ohm: float | None = None
    closes_v: float | None = None
    opens_v: float | None = None
    when: str | None = None
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
    curve: str | None = None
    """Of a fuse or breaker: the file with its maker's own points, a key of `Installation.curves`."""
    state: State = State.NEW
    note: str | None = None
    key: str = ""
