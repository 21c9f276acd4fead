"""One stretch of a day as a network: what runs, what charges and how, what switches by itself."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Case, Wiring, parameters
from groundstrap.assess.positions import alternatives
from groundstrap.assess.topology import Piece, PieceKind
from groundstrap.assess.wiring import passive_values
from groundstrap.endure.battery import Batteries
from groundstrap.endure.charging import Machine, machine_of
from groundstrap.endure.day import ENGINE, USUAL_TEMPERATURE_C, Stretch
from groundstrap.model import Assumption, Installation, Load, LoadKind, PartKind, Situation, State
from groundstrap.records import dataclass
from groundstrap.solve import Law
from groundstrap.tables import converter_efficiency
from groundstrap.words import words

__all__ = [
    "Consumer",
    "Relay",
    "Scene",
    "by_thermostat",
    "consumer_values",
    "mean_power_w",
    "runs_share",
    "scene_of",
]

Floats = NDArray[np.float64]
Values = tuple[float | Floats, ...]

DROPS_OUT: Final = 0.75
"""Share of the nominal volts at which electronics that say nothing of it give up; own judgement. [1]"""

STANDS_STILL: Final = 0.5
"""Share of the volts that it is made for at which a motor stands still, and at which what a vehicle draws for
itself is without power; own judgement. [1]"""

HYSTERESIS_V: Final = 0.6
"""Below its closing volts at which a sensing relay opens that says nothing of it, at 12 V; own judgement."""

WARM_PER_K: Final = 0.04
"""Change of a refrigerator's duty for each kelvin from 25 degC; own judgement. [1/K]"""

_WRITTEN_AT_C: Final = 25.0
"""Air at which a refrigerator's duty is what was written; own judgement. [degC]"""

_NO_CUT_V: Final = -math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumer:
    """A load that runs in a stretch."""

    name: str
    branch: int
    law: Law
    watts: float
    """While it is on, at `at_v`. [W]"""
    at_v: float
    exponent: float
    duty: float
    """Share of the time. [1]"""
    cut_v: float
    """-inf where it has none. [V]"""
    restart_v: float | None
    """None: it comes back when something charges."""
    cut_written: bool
    critical: bool
    asleep: bool = False
    """Whether nobody switched it on: the vehicle's own draw, or a load that is off. It goes last, and no one
    notices as a cut-off that it has gone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay:
    """A relay that closes and opens by the volts on its source's side."""

    branch: int
    node: int
    closes_v: float
    opens_v: float
    ohm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """What stays as it is through a stretch."""

    situation: Situation
    temperature_c: float | None
    base: tuple[tuple[float, ...], ...]
    consumers: tuple[Consumer, ...]
    machines: tuple[Machine, ...]
    relays: tuple[Relay, ...]
    charging: bool
    """Whether any machine may give something."""
    assumptions: tuple[Assumption, ...]


def scene_of(wiring: Wiring, stretch: Stretch, batteries: Batteries) -> Scene:
    """Return the stretch as a network."""
    assumed: list[Assumption] = []
    installation = wiring.installation
    known = [name for name in stretch.running if _known(wiring, name) and name in wiring.topology.index]
    running = frozenset(known) | _coils(wiring, stretch, known)
    case = Case(
        situation=stretch.situation,
        running=running,
        open=alternatives(wiring.topology)[0],
    )
    base = parameters(wiring, case)
    consumers = tuple(
        _consumer(wiring, stretch, name, assumed) for name in installation.loads if name in running
    )
    _asleep(wiring, base, running)
    consumers += _unasked(wiring, base, running)
    machines = tuple(
        machine_of(wiring, stretch, piece, base[number], batteries, assumed)
        for number, piece in enumerate(wiring.topology.pieces)
        if piece.kind in {PieceKind.MACHINE, PieceKind.PANEL}
    )
    for machine in machines:
        base[machine.branch] = (machine.high_v, machine.limit_a, machine.droop_ohm)
    relays = _relays(wiring, case, assumed)
    for relay in relays:
        base[relay.branch] = (math.inf,)
    return Scene(
        situation=stretch.situation,
        temperature_c=stretch.temperature_c,
        base=tuple(base),
        consumers=consumers,
        machines=machines,
        relays=relays,
        charging=any(machine.limit_a > 0.0 and not machine.converts for machine in machines),
        assumptions=tuple(dict.fromkeys(assumed)),
    )


def _known(wiring: Wiring, name: str) -> bool:
    estimate = wiring.estimates.get(name)
    return estimate is not None and estimate.known and estimate.power_w is not None


def _coils(wiring: Wiring, stretch: Stretch, running: list[str]) -> frozenset[str]:
    """Coils of the relays that are closed: while a load behind runs, or by a signal."""
    closed: set[str] = set()
    wanted = frozenset(running)
    for piece in wiring.topology.pieces:
        part = piece.part
        if part is None or part.kind is not PartKind.RELAY:
            continue
        by_signal = (part.when == "always") or (
            part.when in {"engine", "ignition"} and stretch.situation in ENGINE
        )
        if by_signal or not wanted.isdisjoint(wiring.tree.loads_behind.get(piece.name, frozenset())):
            closed.add(part.gear or part.name)
    return frozenset(
        load.name
        for load in wiring.installation.loads.values()
        if load.kind is LoadKind.COIL
        and load.state is not State.REMOVE
        and load.relay in closed
        and load.name in wiring.topology.index
        and _known(wiring, load.name)
    )


def _consumer(wiring: Wiring, stretch: Stretch, name: str, assumed: list[Assumption]) -> Consumer:
    load, estimate = wiring.installation.loads[name], wiring.estimates[name]
    number = wiring.index(name)
    assert estimate.power_w is not None
    watts = estimate.power_w.value
    if name in stretch.powers_w:
        watts = stretch.powers_w[name]
        if load.kind is LoadKind.INVERTER:
            watts /= _efficiency(load)
    law = wiring.network.branches[number].law
    cut_v, written = _NO_CUT_V, False
    if load.works is not None and load.works.low > 0.0:
        cut_v, written = load.works.low, True
    elif law is Law.CONSTANT_CURRENT:
        cut_v = STANDS_STILL * estimate.at_v
    elif law is Law.CONSTANT_POWER:
        cut_v = DROPS_OUT * estimate.at_v
        where = words("{name}: gives up", name=name)
        assumed.append(
            Assumption(where, f"{cut_v:.3g} V", words("electronics; nobody wrote what it works from"))
        )
    restart_v = None if load.restart_v is None else max(load.restart_v, cut_v)
    if written and restart_v is None:
        where = words("{name}: comes back", name=name)
        assumed.append(
            Assumption(where, words("when something charges"), words("nobody wrote at what volts"))
        )
    return Consumer(
        name=name,
        branch=number,
        law=law,
        watts=watts,
        at_v=estimate.at_v,
        exponent=estimate.exponent,
        duty=_duty(load, stretch.temperature_c, assumed),
        cut_v=cut_v,
        restart_v=restart_v,
        cut_written=written,
        critical=load.critical,
    )


def _efficiency(load: Load) -> float:
    if load.efficiency_pct is not None:
        return load.efficiency_pct / 100.0
    return converter_efficiency("inverter").typical / 100.0


def mean_power_w(wiring: Wiring, stretch: Stretch) -> float:
    """Return what runs in a stretch takes on average, refrigerators in its air. [W]"""
    found = 0.0
    for name in stretch.running:
        estimate, load = wiring.estimates.get(name), wiring.installation.loads[name]
        usual = estimate.power_w.value if estimate is not None and estimate.power_w is not None else 0.0
        found += stretch.powers_w.get(name, usual) * runs_share(load, stretch.temperature_c)
    return found


def runs_share(load: Load, temperature_c: float | None) -> float:
    """Return the share of the time that a load runs; a written one of a refrigerator follows the air. [1]"""
    share = min(load.duty.share_pct / 100.0, 1.0)
    if load.kind is not LoadKind.COMPRESSOR or not load.duty.written:
        return share
    air_c = USUAL_TEMPERATURE_C if temperature_c is None else temperature_c
    return min(share * by_thermostat(air_c), 1.0)


def _duty(load: Load, temperature_c: float | None, assumed: list[Assumption]) -> float:
    share = runs_share(load, temperature_c)
    if load.kind is not LoadKind.COMPRESSOR:
        return share
    where = words("{name}: duty", name=load.name)
    if not load.duty.written:
        # What no thermostat was written for may have none; the battery is the safer for it.
        why = words("no share of the time is written; one follows the air, up or down from 25 degC")
        assumed.append(Assumption(where, words("all of the time"), why))
        return share
    why = words("{share} more for each kelvin above 25 degC; own judgement", share=f"{100 * WARM_PER_K:g} %")
    assumed.append(Assumption(where, words("follows the air"), why))
    return share


def by_thermostat(temperature_c: float) -> float:
    """Return by how much the air changes what share of the time a refrigerator runs, from 25 degC.

    >>> round(by_thermostat(20.0), 2), by_thermostat(-10.0)
    (0.8, 0.1)
    """
    return max(1.0 + WARM_PER_K * (temperature_c - _WRITTEN_AT_C), 0.1)


def consumer_values(one: Consumer, factor: float | Floats) -> Values:
    """Parameters of a load's branch at a share of its power; none where that is 0."""
    watts = one.watts * factor
    if one.law is Law.RESISTOR:
        with np.errstate(divide="ignore"):
            if isinstance(watts, np.ndarray):
                return (np.where(watts > 0.0, one.at_v**2 / watts, np.inf),)
        return (one.at_v**2 / watts if watts > 0.0 else math.inf,)
    if one.law is Law.CONSTANT_POWER:
        return (watts,)
    if one.law is Law.CONSTANT_CURRENT:
        return (watts / one.at_v,)
    return (watts / one.at_v, one.at_v, one.exponent)


def _asleep(wiring: Wiring, base: list[tuple[float, ...]], running: frozenset[str]) -> None:
    """Let loads that are off draw what they draw asleep."""
    for load in wiring.installation.loads.values():
        number = wiring.topology.index.get(load.name)
        if not load.asleep_a or load.name in running or number is None or load.state is State.REMOVE:
            continue
        law, at_v = wiring.network.branches[number].law, _volts(wiring.installation, wiring, load)
        watts = load.asleep_a * at_v * load.count
        estimate = wiring.estimates.get(load.name)
        base[number] = {
            Law.RESISTOR: (at_v**2 / watts,),
            Law.CONSTANT_POWER: (watts,),
            Law.CONSTANT_CURRENT: (watts / at_v,),
            Law.POWER_LAW: (watts / at_v, at_v, estimate.exponent if estimate is not None else 1.0),
        }[law]


def _unasked(wiring: Wiring, base: list[tuple[float, ...]], running: frozenset[str]) -> tuple[Consumer, ...]:
    """What draws without being switched on, as far as a want of volts may end it."""
    system_v, found = wiring.installation.system_v, []
    for number, piece in enumerate(wiring.topology.pieces):
        law, draws = wiring.network.branches[number].law, base[number]
        own = piece.kind is PieceKind.OWN_DRAW
        if not own and (piece.kind is not PieceKind.LOAD or piece.name in running):
            continue
        if law not in {Law.CONSTANT_POWER, Law.CONSTANT_CURRENT} or draws[0] <= 0.0:
            continue
        at_v = system_v if own else _volts(wiring.installation, wiring, wiring.installation.loads[piece.name])
        power = law is Law.CONSTANT_POWER
        found.append(
            Consumer(
                name=piece.name,
                branch=number,
                law=law,
                watts=draws[0] if power else draws[0] * at_v,
                at_v=at_v,
                exponent=-1.0 if power else 0.0,
                duty=1.0,
                cut_v=(DROPS_OUT if power else STANDS_STILL) * at_v,
                restart_v=None,
                cut_written=False,
                critical=True,
                asleep=True,
            )
        )
    return tuple(found)


def _volts(installation: Installation, wiring: Wiring, load: Load) -> float:
    estimate = wiring.estimates.get(load.name)
    return estimate.at_v if estimate is not None else installation.system_v


def _relays(wiring: Wiring, case: Case, assumed: list[Assumption]) -> tuple[Relay, ...]:
    """Relays that sense; their contact's resistance is that of the closed one."""
    passive = passive_values(wiring, case)
    found = []
    for number, piece in enumerate(wiring.topology.pieces):
        senses = _senses(wiring.installation, piece)
        closes_v, opens_v = senses.closes_v, senses.opens_v
        if closes_v is None:
            continue
        if opens_v is None:
            opens_v = closes_v - HYSTERESIS_V * wiring.installation.system_v / 12.0
            where = words("{name}: opens", name=piece.name)
            assumed.append(
                Assumption(where, f"{opens_v:.4g} V", words("under its closing volts; none is written"))
            )
        found.append(
            Relay(branch=number, node=piece.start, closes_v=closes_v, opens_v=opens_v, ohm=passive[number][0])
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Sense:
    closes_v: float | None
    opens_v: float | None


def _senses(installation: Installation, piece: Piece) -> _Sense:
    part = piece.part
    if part is None or part.kind not in {PartKind.RELAY, PartKind.SWITCH, PartKind.ISOLATOR}:
        return _Sense(None, None)
    gear = installation.gear.get(part.gear or "")
    closes_v = part.closes_v if part.closes_v is not None or gear is None else gear.closes_v
    opens_v = part.opens_v if part.opens_v is not None or gear is None else gear.opens_v
    return _Sense(closes_v, opens_v)
