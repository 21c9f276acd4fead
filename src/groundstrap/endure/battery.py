"""All batteries of a run as arrays: what they show to the network, and what current does to them.

Every battery of a bank in series is one cell block of its own here. Arrays have the batteries first and the
rows last, so that one day and ten thousand go through the same formulas. Charge is in Ah, time in s.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.figures import ACCEPTANCE_PER_HOUR
from groundstrap.assess.supplies import USUAL_AH
from groundstrap.assess.topology import Piece, PieceKind, Topology
from groundstrap.endure.day import USUAL_TEMPERATURE_C
from groundstrap.endure.laws import (
    ARRAYS,
    Charge,
    Rested,
    Shown,
    change_of,
    head_of,
    shown_of,
)
from groundstrap.model import Assumption, Supply
from groundstrap.physics.battery import capacity_of_reserve_ah
from groundstrap.physics.rested import RestedState, state_from_rested
from groundstrap.physics.storage import (
    KNOWN_HEAD,
    NEAR_EMPTY,
    REFERENCE_C,
    accepted_a,
    capacity_share,
    self_discharge_a,
)
from groundstrap.records import dataclass, replace
from groundstrap.tables import battery_resistance, charge_voltage, cold_factor, meter
from groundstrap.tables.batteries import (
    OpenCircuit,
    capacity_per_k,
    charge_acceptance,
    charge_efficiency,
    open_circuit,
    self_discharge,
    state_factor,
    two_wells,
)
from groundstrap.words import words

__all__ = ["Air", "Batteries", "Block", "batteries_of"]

Floats = NDArray[np.float64]

_BEYOND: Final = 10.0
_LEAST_V: Final = 0.5
_BELOW_EMPTY: Final = 20.0
"""How much steeper the volts fall once the wells are empty, so that nothing is taken that is not there; own
judgement."""

_FULL: Final = RestedState(
    state_pct=100.0,
    low_pct=100.0,
    high_pct=100.0,
    meter_pct=0.0,
    table_pct=0.0,
    rest_pct=0.0,
    beyond_curve=False,
    tells=True,
)

LOW_CELL_V: Final = 10.6
"""At which a lithium battery's own protection parts it; middle of 10 to 11.2 V, common practice."""

HIGH_CELL_V: Final = 14.6
"""At which it takes no more charge; common practice. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One battery of the run: what it is."""

    piece: str
    supply: Supply
    number: int
    """Of its branch in the network."""
    chemistry: str
    scale: float
    """Its volts over 12 V. [1]"""
    capacity_ah: float
    full_ohm: float
    """At 25 degC, full. [ohm]"""
    curve: OpenCircuit
    full_state_pct: float
    """Rested state that it begins with. [%]"""
    begins_low_pct: float
    begins_high_pct: float
    """Where that state may as well lie: meter, makers and the flat part of lithium's curve. [%]"""

    @property
    def lithium(self) -> bool:
        """Whether it has its own protection and no acid."""
        return self.chemistry == "lfp"


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """What the temperature makes of every battery, (batteries, 1, rows or 1)."""

    capacity: Floats
    """Share of the capacity at 25 degC. [1]"""
    resistance_times: Floats
    """Its resistance over that of the warm battery. [1]"""
    accepts_per_h: Floats
    shift_v: Floats
    loses_per_s: Floats
    """Self-discharge, as a share of the rated capacity. [1/s]"""
    may_charge: NDArray[np.bool_]
    temp_c: Floats

    mild: bool
    """Whether temperature takes nothing from the capacity."""
    all_charge: bool
    """Whether none is too cold to be charged."""

    def rows(self, chosen: NDArray[np.intp]) -> Air:
        """Some rows of it."""
        if self.temp_c.shape[-1] == 1:
            return self
        return replace(self, **{name: getattr(self, name)[..., chosen] for name in _BY_AIR})


_BY_AIR: Final = tuple(name for name in Air.__dataclass_fields__ if name not in {"mild", "all_charge"})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curves:
    """Of one battery: volts by head, share of a charge that is kept by state."""

    heads: Floats
    volts_v: Floats
    states: Floats
    keeps: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Batteries:
    """All batteries of a run; fields are (batteries, 1, rows or 1)."""

    blocks: tuple[Block, ...]
    curves: tuple[Curves, ...]
    rated_ah: Floats
    """At 20 h, with age. [Ah]"""
    total_ah: Floats
    share: Floats
    rate_per_s: Floats
    full_ohm: Floats
    ohm_bend: Floats
    accepts_a: Floats
    float_a: Floats
    per_h: Floats
    absorption_v: Floats
    tail_a: Floats
    below: Floats
    """By how much the available well stands below the whole in a 20 h discharge. [1]"""

    def aged(self, capacity: Floats, resistance: Floats) -> Batteries:
        """The same batteries with a share of their capacity and times their resistance, row by row."""
        return replace(
            self,
            rated_ah=self.rated_ah * capacity,
            total_ah=self.total_ah * capacity,
            accepts_a=self.accepts_a * capacity,
            float_a=self.float_a * capacity,
            full_ohm=self.full_ohm * resistance,
        )

    def rows(self, chosen: NDArray[np.intp]) -> Batteries:
        """Some rows of them."""
        return replace(
            self,
            rated_ah=_rows(self.rated_ah, chosen),
            total_ah=_rows(self.total_ah, chosen),
            full_ohm=_rows(self.full_ohm, chosen),
            accepts_a=_rows(self.accepts_a, chosen),
            float_a=_rows(self.float_a, chosen),
        )

    def begin(self, rows: int) -> Floats:
        """Both wells at the beginning, rested: (2, batteries, 1, rows). [Ah]"""
        states = np.array([block.full_state_pct for block in self.blocks]).reshape(-1, 1, 1) / 100.0
        charge = self.total_ah - (1.0 - states) * self.rated_ah
        charge = np.broadcast_to(charge, (len(self.blocks), 1, rows))
        return np.stack([self.share * charge, (1.0 - self.share) * charge])

    def state(self, wells: Floats) -> Floats:
        """Rested state on the rated scale: 1 full, 0 with the 20 h capacity taken. [1]"""
        found: Floats = 1.0 - (self.total_ah - wells[0] - wells[1]) / self.rated_ah
        return found

    def head(self, wells: Floats, air: Air) -> Floats:
        """Head of the available well as the volts follow it. [1]"""
        return np.asarray(head_of(ARRAYS, self, air, Charge(wells[0], wells[1])))

    def emf_v(self, head: Floats, air: Air) -> Floats:
        """Volts behind the resistance. [V]"""
        volts = np.empty_like(head)
        for number, curve in enumerate(self.curves):
            volts[number] = np.interp(head[number], curve.heads, curve.volts_v)
        volts += air.shift_v
        return volts

    def inner_emf_v(self, wells: Floats, air: Air, emf_v: Floats) -> Floats:
        """Volts at which charge stands in each well, of the available one as shown: (2, ...). [V]"""
        found = np.empty_like(wells)
        found[0] = emf_v
        found[1] = self.emf_v(wells[1] / ((1.0 - self.share) * self.total_ah), air)
        return found

    def shown(self, wells: Floats, air: Air) -> Shown:
        """Return what the network sees of the batteries."""
        head = self.head(wells, air)
        missing_ah = self.total_ah - wells[0] - wells[1]
        rested = Rested(head, self.emf_v(head, air), missing_ah, self._efficiency(wells))
        return shown_of(ARRAYS, self, air, rested)

    def _efficiency(self, wells: Floats) -> Floats:
        states = self.state(wells)
        found = np.empty_like(states)
        for number, curve in enumerate(self.curves):
            found[number] = np.interp(states[number], curve.states, curve.keeps)
        return found

    def change(self, wells: Floats, charging_a: Floats, shown: Shown, air: Air) -> Floats:
        """Return what becomes of the wells: (2, ...). [Ah/s]"""
        found = change_of(ARRAYS, self, air, Charge(wells[0], wells[1]), charging_a, shown.keeps)
        return np.stack([found.available, found.bound])

    def air(self, temperature_c: Floats | float | None) -> Air:
        """Return what a temperature makes of them; None: each its own, or the usual."""
        each = []
        for block in self.blocks:
            own = block.supply.temperature_c
            temp = temperature_c if temperature_c is not None else own
            temp = USUAL_TEMPERATURE_C if temp is None else temp
            each.append(_air_of(block, np.atleast_1d(np.asarray(temp, dtype=float))))
        stacked = {name: np.stack([getattr(one, name) for one in each])[:, None, :] for name in _BY_AIR}
        return replace(
            each[0],
            mild=all(one.mild for one in each),
            all_charge=all(one.all_charge for one in each),
            **stacked,
        )


def _rows(values: Floats, chosen: NDArray[np.intp]) -> Floats:
    return values if values.shape[-1] == 1 else values[..., chosen]


def _curves(block: Block) -> Curves:
    """The curves of a battery; above they go on as they end, below they fall to next to nothing."""
    heads, volts = block.curve.heads, block.curve.volts_v * block.scale
    slopes = np.diff(volts) / np.diff(heads)
    kept = charge_efficiency(block.chemistry)
    flat = _LEAST_V * block.scale
    knee = heads[:1] - (volts[:1] - flat) / (_BELOW_EMPTY * slopes[0])
    return Curves(
        heads=np.concatenate([knee - _BEYOND, knee, heads, heads[-1:] + _BEYOND]),
        volts_v=np.concatenate([[flat, flat], volts, volts[-1:] + _BEYOND * slopes[-1]]),
        states=kept.keys / 100.0,
        keeps=kept.typical,
    )


def _air_of(block: Block, temp_c: Floats) -> Air:
    per_k = capacity_per_k(block.chemistry).typical
    cold = np.ones_like(temp_c) if block.lithium else _cold(temp_c)
    one, month = np.ones_like(temp_c), self_discharge(block.chemistry)
    loses = self_discharge_a(one, temp_c=temp_c, pct_per_month_20c=month.at_20_c_pct) / 3600.0
    accepts = accepted_a(one, temp_c=temp_c, per_h=1.0)
    capacity = capacity_share(temp_c, pct_per_k=per_k)
    may_charge = (temp_c >= 0.0) if block.lithium else np.ones(temp_c.shape, np.bool_)
    return Air(
        capacity=capacity,
        resistance_times=cold,
        accepts_per_h=one if block.lithium else accepts,
        shift_v=block.curve.per_k_v * block.scale * (temp_c - REFERENCE_C),
        loses_per_s=loses,
        may_charge=may_charge,
        temp_c=temp_c,
        mild=bool((capacity == 1.0).all()),
        all_charge=bool(may_charge.all()),
    )


def _cold(temp_c: Floats) -> Floats:
    """Times its warm resistance that a lead battery has, the middle of the ends: a straight line of each."""
    cold, warm = cold_factor(-60.0), cold_factor(60.0)
    way = np.clip((warm.at_c - temp_c) / (warm.at_c - cold.at_c), 0.0, 1.0)
    found: Floats = np.sqrt((1.0 + way * (cold.low - 1.0)) * (1.0 + way * (cold.high - 1.0)))
    return found


@dataclass(frozen=True, slots=True)
class FoundBatteries:
    """The batteries of a topology and what was assumed of them."""

    batteries: Batteries
    assumptions: tuple[Assumption, ...]


def batteries_of(topology: Topology) -> FoundBatteries:
    """Return the batteries of a topology as arrays, with what was assumed of each."""
    assumed: list[Assumption] = []
    blocks = tuple(
        _block(piece, number, assumed)
        for number, piece in enumerate(topology.pieces)
        if piece.kind is PieceKind.BATTERY
    )
    return FoundBatteries(_arrays(blocks), tuple(dict.fromkeys(assumed)))


def _block(piece: Piece, number: int, assumed: list[Assumption]) -> Block:
    supply = piece.supply
    assert supply is not None
    chemistry = supply.chemistry or "flooded"
    scale = supply.nominal_v / supply.series / 12.0
    curve = open_circuit(chemistry)
    one_ah = _one_ah(supply, assumed)
    if supply.resistance_ohm is not None:
        ohm = supply.resistance_ohm
    else:
        found = battery_resistance(
            chemistry,
            capacity_ah=one_ah,
            cranking_a=supply.cranking_a,
            standard=supply.cranking_standard or "EN",
        )
        ohm = found.typical_ohm * scale
    begins = _begins(supply, curve, scale, assumed)
    return Block(
        piece=piece.name,
        supply=supply,
        number=number,
        chemistry=chemistry,
        scale=scale,
        capacity_ah=one_ah * supply.parallel,
        full_ohm=ohm / supply.parallel,
        curve=curve,
        full_state_pct=begins.state_pct,
        begins_low_pct=begins.low_pct,
        begins_high_pct=begins.high_pct,
    )


def _one_ah(supply: Supply, assumed: list[Assumption]) -> float:
    if supply.capacity_ah is not None:
        return supply.capacity_ah
    where = words("{name}: capacity", name=supply.name)
    if supply.reserve_s is not None:
        found = capacity_of_reserve_ah(supply.reserve_s / 60.0)
        assumed.append(Assumption(where, f"{found:.3g} Ah", words("from its reserve at 25 A")))
        return found
    assumed.append(Assumption(where, f"{USUAL_AH:g} Ah", words("a usual battery; none is written")))
    return USUAL_AH


def _begins(supply: Supply, curve: OpenCircuit, scale: float, assumed: list[Assumption]) -> RestedState:
    """Rested state at the beginning, and how far to believe it."""
    where = words("{name}: begins with", name=supply.name)
    if supply.rested_v is None:
        assumed.append(Assumption(where, "100 %", words("full; no rested voltage is written")))
        return _FULL
    own = meter("basic").voltage
    half_v = supply.rested_v * own.reading_pct / 100.0 + own.digits * own.resolution
    found = state_from_rested(
        supply.rested_v / scale,
        temp_c=REFERENCE_C if supply.temperature_c is None else supply.temperature_c,
        states_pct=curve.states_pct,
        volts_v=curve.volts_v,
        per_k_v=curve.per_k_v,
        meter_half_v=half_v / scale,
        table_half_v=curve.half_width_v,
    )
    low, high = f"{found.low_pct:.0f} %", f"{found.high_pct:.0f} %"
    if found.tells:
        why = words("from its rested voltage; by meter and make {low} to {high}", low=low, high=high)
    else:
        why = words(
            "from its rested voltage, which hardly tells: by meter and make {low} to {high}",
            low=low,
            high=high,
        )
    assumed.append(Assumption(where, f"{found.state_pct:.0f} %", why))
    return found


def _column(values: Sequence[float]) -> Floats:
    return np.array(values, dtype=float).reshape(-1, 1, 1)


def _arrays(blocks: tuple[Block, ...]) -> Batteries:
    wells = [two_wells(block.chemistry) for block in blocks]
    takes = [charge_acceptance(block.chemistry) for block in blocks]
    rated = _column([block.capacity_ah for block in blocks])
    absorption = [charge_voltage(block.chemistry, "absorption") for block in blocks]
    bends = [
        (state_factor(block.chemistry).typical - 1.0) * (KNOWN_HEAD + NEAR_EMPTY) / (1.0 - KNOWN_HEAD)
        for block in blocks
    ]
    # Of a bank in parallel each battery has a protection of its own.
    limits = [(block.supply.limit_a or math.inf) * block.supply.parallel for block in blocks]
    bulk = [
        min(ACCEPTANCE_PER_HOUR[block.chemistry] * block.capacity_ah, limit)
        for block, limit in zip(blocks, limits, strict=True)
    ]
    return Batteries(
        blocks=blocks,
        curves=tuple(_curves(block) for block in blocks),
        rated_ah=rated,
        total_ah=rated * _column([one.total for one in wells]),
        share=_column([one.share for one in wells]),
        rate_per_s=_column([one.rate_per_h / 3600.0 for one in wells]),
        full_ohm=_column([block.full_ohm for block in blocks]),
        ohm_bend=_column(bends),
        accepts_a=_column(bulk),
        float_a=rated * _column([one.float_ma_per_ah / 1000.0 for one in takes]),
        per_h=_column([one.typical_per_h for one in takes]),
        absorption_v=_column(
            [b.scale * (v.low_v + v.high_v) / 2.0 for b, v in zip(blocks, absorption, strict=True)]
        ),
        tail_a=rated * _column([one.tail_a_per_ah for one in takes]),
        below=_column([1.0 - 1.0 / one.total for one in wells]),
    )
