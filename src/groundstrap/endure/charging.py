"""What charges in a stretch: setpoints, stages, limits by engine and sun."""

from __future__ import annotations

from typing import Final

from groundstrap.assess import Wiring
from groundstrap.assess.topology import Piece, PieceKind
from groundstrap.endure.battery import Batteries, Block
from groundstrap.endure.day import USUAL_TEMPERATURE_C, Stretch
from groundstrap.model import Assumption, Situation, State, Supply, SupplyKind
from groundstrap.physics.charging import panel_power_w, setpoint_at_v
from groundstrap.records import dataclass
from groundstrap.tables import alternator_default, charge_voltage, solar_default
from groundstrap.words import words

__all__ = ["HELD_STATE", "Machine", "machine_of"]

HELD_STATE: Final = (0.78, 0.82)
"""Rested state between which a computer that varies the volts keeps a battery; handbook-workshop:
about 80 %."""

_STAGED: Final = frozenset({SupplyKind.MAINS_CHARGER, SupplyKind.SOLAR_CHARGER, SupplyKind.DC_DC})

_STAGES_APART: Final = 0.03
"""Share of the volts by which two stages must differ to be two; own judgement. [1]"""

_REBULK: Final = 0.045
"""By what share under its float volts a charger begins anew, 0.6 V at 12 V; own judgement. [1]"""

_FALLEN: Final = 0.7
"""Share of its volts below which a solar charger that says nothing of its current gives no more of it; own
judgement. [1]"""

_CELL_V: Final = 2.0

_GIVES_UP: Final = 10.5 / 12.0
_TAKES_UP: Final = 12.0 / 12.0
"""Share of the battery's nominal volts at its input at which a charger that is fed from it gives up, so that
it does not empty it, and begins again; own judgement. [1]"""

_REGULATOR_ABOVE_AIR_K: Final = 20.0
"""How much warmer than the air a regulator is while the engine runs; own judgement. [K]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """An alternator, a charger's or converter's output, or a panel, in one stretch."""

    name: str
    branch: int
    high_v: float
    low_v: float
    """Of its second stage; the same as the first where it has one stage. [V]"""
    limit_a: float
    droop_ohm: float
    batteries: tuple[int, ...]
    """Numbers of the batteries that it charges directly."""
    by_state: bool
    """Whether the state of the battery says when it changes its volts, in place of the tail current."""
    rebulk_v: float
    watts: float | None
    """Of a solar charger: all that it can give. [W]"""
    most_a: float
    """Its own rating, whatever there is to give. [A]"""
    input: int | None
    """Of one that a battery feeds: the branch that takes what it gives."""
    system_v: float

    @property
    def converts(self) -> bool:
        """Whether what it gives comes out of another part of the network."""
        return self.input is not None

    @property
    def gives_up_v(self) -> float:
        """At its input. [V]"""
        return _GIVES_UP * self.system_v

    @property
    def takes_up_v(self) -> float:
        """At its input. [V]"""
        return _TAKES_UP * self.system_v

    @property
    def staged(self) -> bool:
        """Whether it has two stages."""
        return self.low_v < self.high_v


def machine_of(
    wiring: Wiring,
    stretch: Stretch,
    piece: Piece,
    base: tuple[float, ...],
    batteries: Batteries,
    assumed: list[Assumption],
) -> Machine:
    """Return what a machine does in a stretch."""
    supply = piece.supply
    assert supply is not None
    reached = _reaches(wiring, piece, batteries)
    limit_a, droop_ohm, watts = base[1], base[2], None
    volts = _Volts(base[0], base[0])
    if piece.kind is PieceKind.PANEL:
        sun = stretch.sun > 0.0 and stretch.situation is not Situation.MAINS
        limit_a = 1e6 if sun else 0.0
    elif supply.kind is SupplyKind.ALTERNATOR:
        volts = _regulated(supply, base[0], stretch, assumed)
        if limit_a > 0.0:
            limit_a *= _hot_share(supply, assumed)
    else:
        volts = _stages(supply, base[0], [batteries.blocks[b] for b in reached], assumed)
    if supply.kind is SupplyKind.SOLAR_CHARGER and piece.kind is PieceKind.MACHINE:
        watts = _sun_w(wiring, supply, stretch, assumed)
        limit_a = min(supply.current_a or 1e6, watts / volts.high_v)
    return Machine(
        name=supply.name,
        branch=wiring.index(piece.name),
        high_v=volts.high_v,
        low_v=volts.low_v if reached else volts.high_v,
        limit_a=limit_a,
        droop_ohm=droop_ohm,
        batteries=reached,
        by_state=volts.by_state,
        rebulk_v=volts.low_v * (1.0 - _REBULK),
        watts=watts,
        most_a=limit_a if watts is None else supply.current_a or watts / (_FALLEN * volts.high_v),
        input=_input_of(wiring, piece, supply),
        system_v=wiring.installation.system_v,
    )


def _input_of(wiring: Wiring, piece: Piece, supply: Supply) -> int | None:
    if supply.in_plus is None or supply.kind is not SupplyKind.DC_DC:
        return None
    output = wiring.index(piece.name)
    return next((n for n, branch in enumerate(wiring.network.branches) if branch.feeds == output), None)


@dataclass(frozen=True, slots=True)
class _Volts:
    high_v: float
    low_v: float
    by_state: bool = False


def _hot_share(supply: Supply, assumed: list[Assumption]) -> float:
    share = alternator_default("hot share").typical
    why = words("warm, usual share of its rated current")
    assumed.append(Assumption(words("{name}: hot", name=supply.name), f"{100 * share:g} %", why))
    return share


def _regulated(supply: Supply, middle_v: float, stretch: Stretch, assumed: list[Assumption]) -> _Volts:
    """As written, for that was read on a warm engine; else usual at the heat of its regulator."""
    span = supply.setpoint
    if span is None:
        air_c = USUAL_TEMPERATURE_C if stretch.temperature_c is None else stretch.temperature_c
        cells = round(supply.nominal_v / _CELL_V)
        volts = setpoint_at_v(middle_v, regulator_c=air_c + _REGULATOR_ABOVE_AIR_K, cells=cells)
        where = words("{name}: setpoint", name=supply.name)
        why = words(
            "usual, with the regulator at {temp} under the bonnet",
            temp=f"{air_c + _REGULATOR_ABOVE_AIR_K:g} degC",
        )
        assumed.append(Assumption(where, f"{volts:.4g} V", why))
        return _Volts(volts, volts)
    if span.high - span.low < _STAGES_APART * span.high:
        return _Volts(middle_v, middle_v)
    return _Volts(span.high, span.low, by_state=True)


def _stages(supply: Supply, middle_v: float, charged: list[Block], assumed: list[Assumption]) -> _Volts:
    """Absorption and float volts of a charger."""
    if supply.kind not in _STAGED or not charged:
        return _Volts(middle_v, middle_v)
    span = supply.setpoint
    if span is None:
        usual = charge_voltage(charged[0].chemistry, "absorption")
        middle_v = (usual.low_v + usual.high_v) / 2.0 * charged[0].supply.nominal_v / 12.0
        where = words("{name}: setpoint", name=supply.name)
        why = words("over these days the usual absorption volts of its battery; none is written")
        assumed.append(Assumption(where, f"{middle_v:.4g} V", why))
    if span is not None and span.high - span.low >= _STAGES_APART * span.high:
        return _Volts(span.high, span.low)
    found = charge_voltage(charged[0].chemistry, "float")
    # A charger's own nominal volts are its setpoint; the battery's are those of the table.
    float_v = (found.low_v + found.high_v) / 2.0 * charged[0].supply.nominal_v / 12.0
    if middle_v - float_v < _STAGES_APART * middle_v / 2.0 or supply.kind is SupplyKind.DC_DC:
        return _Volts(middle_v, middle_v)
    where = words("{name}: float", name=supply.name)
    assumed.append(Assumption(where, f"{float_v:.4g} V", words("usual of the battery; none is written")))
    return _Volts(middle_v, float_v)


def _sun_w(wiring: Wiring, supply: Supply, stretch: Stretch, assumed: list[Assumption]) -> float:
    """What a solar charger can give in the sun of a stretch. [W]"""
    panels = [
        s
        for s in wiring.installation.supplies.values()
        if s.kind is SupplyKind.SOLAR and s.state is not State.REMOVE and s.power_w
    ]
    if stretch.sun <= 0.0 or stretch.situation is Situation.MAINS:
        return 0.0
    rated = sum(panel.power_w or 0.0 for panel in panels)
    if not panels:
        rated = (supply.current_a or 0.0) * supply.nominal_v
    chargers = sum(
        s.kind is SupplyKind.SOLAR_CHARGER and s.state is not State.REMOVE
        for s in wiring.installation.supplies.values()
    )
    air_c = USUAL_TEMPERATURE_C if stretch.temperature_c is None else stretch.temperature_c
    usual = (
        supply.efficiency_pct / 100.0 if supply.efficiency_pct else solar_default("regulator MPPT").typical
    )
    watts = panel_power_w(
        max(rated, 1e-9),
        sun=stretch.sun,
        air_c=air_c,
        rise_k=solar_default("cell above air in full sun").typical,
        pct_per_k=solar_default("power per K").typical,
        kept=usual * (1.0 - solar_default("other losses").typical),
    )
    share = watts / (max(rated, 1e-9) * stretch.sun)
    why = words("of the panel's rating in full sun: warm cells, dirt, the charger itself; from memory")
    assumed.append(Assumption(words("{name}: gives", name=supply.name), f"{100 * share:.0f} %", why))
    return rated * stretch.sun * share / max(chargers, 1)


def _reaches(wiring: Wiring, piece: Piece, batteries: Batteries) -> tuple[int, ...]:
    """Batteries that a machine charges: joined to its plus by conductors, or through nothing but relays."""
    sets = wiring.topology.joined()
    return tuple(
        number
        for number, block in enumerate(batteries.blocks)
        if sets.root(wiring.node(block.supply.plus)) == sets.root(piece.start)
    )
