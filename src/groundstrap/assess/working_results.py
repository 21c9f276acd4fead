"""What the sums behind an assessment are made of: frozen values, nothing rounded."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.model import LoadEstimate, Wire
from groundstrap.records import dataclass

__all__ = [
    "CircuitWorking",
    "ClearingWorking",
    "ConverterWorking",
    "DrawWorking",
    "DropWorking",
    "FaultWorking",
    "HeatWorking",
    "PieceDrop",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConverterWorking:
    """What the input of a converter takes: what its output gives over its efficiency, and its own draw."""

    output_v: float
    output_a: float
    efficiency: float
    idle_w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawWorking:
    """What one draw takes at the corners of its supply's volts, and what it follows from."""

    name: str
    low_a: float
    """At the low corner. [A]"""
    high_a: float
    """At the high corner. [A]"""
    low_v: float
    """Low end of its supply. [V]"""
    high_v: float
    allowed_v: float
    """What its circuit may lose. [V]"""
    lowest_v: float
    """Volts that the low corner is taken at: of constant power its cut-out, or the low end less the drop."""
    estimate: LoadEstimate | None
    """None of what is no load: a converter's input, a battery that is charged."""
    brief: bool
    converter: ConverterWorking | None = None
    """Of a converter's input."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceDrop:
    """Volts lost in one piece on the way, and the resistance that loses them."""

    name: str
    circuit: str | None
    current_a: float
    ohm: float
    drop_v: float
    share: float = 1.0
    """Of its loss that counts: -1 where the current runs against the way, as others may make it. [1]"""
    wire: Wire | None = None
    ohm_per_m_20c: float | None = None
    """Of all parallel ones together. [ohm/m]"""
    alpha20_per_k: float | None = None
    temp_c: float | None = None
    """Mean temperature of the conductor over its length. [degC]"""
    ends_ohm: float | None = None
    """Crimps at both its ends, as warm as it is. [ohm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DropWorking:
    """The way that a drop counts over, from source to load and back, or a feeder's own pieces."""

    pieces: tuple[PieceDrop, ...]
    source_v: float | None
    load_v: float | None
    out: int = 0
    """How many of the pieces are on the way out; 0 where they are a circuit's own, out and back."""

    @property
    def sum_v(self) -> float:
        """What all pieces lose together. [V]"""
        return sum(piece.drop_v for piece in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultWorking:
    """One fault: open-circuit volts over the resistance that the short sees, and what that is made of."""

    volts_v: float
    ohm: float
    current_a: float
    battery: str | None
    """The battery that feeds it alone, weak and cold; None where everything feeds it."""
    source_ohm: float
    cable_ohm: float
    parts_ohm: float
    """Crimps, joints, contacts, fuses and the body. [ohm]"""
    lead_ohm: float
    """The load's own lead, or the lead of a holder. [ohm]"""

    @property
    def beside_ohm(self) -> float:
        """What loads and other ways beside it take off the sum of the way, as a negative value. [ohm]"""
        return self.ohm - (self.source_ohm + self.cable_ohm + self.parts_ohm + self.lead_ohm)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearingWorking:
    """Slowest clearing of the least far-end fault by the last fuse before it."""

    fuse: str
    rating_a: float
    fault_a: float
    gates: tuple[tuple[float, float], ...]
    """The gates about that current as (multiple of the rating, longest time): two, or the last one alone."""
    time_s: float
    source: str
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatWorking:
    """Steady temperature of the hottest conductor of a circuit."""

    wire: str
    zone: str
    ambient_c: float
    current_a: float
    """In one of the parallel conductors. [A]"""
    bundle_share: float
    duty_share: float
    """Highest rise of a load that runs and pauses over the steady one. [1]"""
    ohm_per_m_20c: float
    alpha20_per_k: float
    k_m_per_w: float
    """Thermal resistance from the conductor to its air, at the steady temperature. [K m/W]"""
    steady_c: float
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitWorking:
    """The sums of one circuit; None where there is no sum, or not all of it is known."""

    name: str
    draws: tuple[DrawWorking, ...]
    drop: DropWorking | None
    least: FaultWorking | None
    most: Mapping[str, FaultWorking]
    """By the name of each fuse."""
    clearing: ClearingWorking | None
    heat: HeatWorking | None
