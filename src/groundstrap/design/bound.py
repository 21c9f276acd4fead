"""The drop problem on design currents, which do not depend on any wire: what `search` solves exactly."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.drops import common_pieces, limit_of
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.limits import is_charging, is_feeder
from groundstrap.assess.settings import Setting
from groundstrap.assess.topology import PieceKind
from groundstrap.assess.tree import consuming
from groundstrap.assess.wiring import Case, Wiring, wire_values
from groundstrap.design.search import Item, Limit, Option
from groundstrap.design.shelf import Shelf
from groundstrap.design.values import HotSizes
from groundstrap.model import Circuit, Installation, Situation, State, Wire
from groundstrap.physics.heated import heated_voltage_v
from groundstrap.records import dataclass, replace
from groundstrap.units import ConductorSize

__all__ = [
    "as_they_lie",
    "chain_of",
    "chains_by_owner",
    "drop_items",
    "drop_limits",
    "has_own_limit",
    "own_chain",
    "piece_drops",
    "wire_drop_v",
]

_TURN = (Situation.RESTING, Situation.MAINS, Situation.IDLING, Situation.DRIVING, Situation.CRANKING)
"""Order in which `assess` looks for the drop of a load; the engine's situations are one setting."""

_MOST_OF_IT = 0.25
"""A circuit whose size is open spends of a draw's limit, as if whole, where it carries more of its current
than this share; what carries less is left to the true network."""

HOT = Case(situation=Situation.RESTING, running=frozenset())


def wire_drop_v(wiring: Wiring, wire: Wire, size: ConductorSize) -> float:
    """Return the volts lost in one wire at its design current for the drop, hot by that current. [V]"""
    amps = wiring.currents.pieces[wire.name].drop_a or 0.0
    value = wire_values(wiring, wire, size, HOT)
    if value.kappa_per_a2 * amps * amps >= 1.0:
        return float("inf")
    return heated_voltage_v(amps, cold_ohm=value.cold_ohm, kappa_per_a2=value.kappa_per_a2)


def drop_items(
    hot: HotSizes, shelf: Shelf, open_wires: Mapping[str, tuple[Wire, ...]], least: Mapping[str, int]
) -> list[Item]:
    """Return one item a circuit: its sizes from its own least one up, with what each drops out and back."""
    items = []
    for name, first in least.items():
        wires = open_wires[name]
        drops_v = sum((hot.drops_v(wire) for wire in wires), np.zeros(len(shelf.sizes))).tolist()
        costs = shelf.costs(wires)
        options = [
            Option(index, drops_v[index], costs[index])
            for index in range(first, len(costs))
            if drops_v[index] < float("inf")
        ]
        items.append(Item(name, tuple(options)))
    return items


def piece_drops(wiring: Wiring, body: str) -> NDArray[np.float64]:
    """Return the volts that each piece drops which is not to be chosen: parts, body, wires as written. [V]

    Wires that nobody knows count nothing: no other wire is to make up for them.
    """
    drops = np.zeros(len(wiring.topology.pieces))
    for number, piece in enumerate(wiring.topology.pieces):
        amps = wiring.currents.pieces[piece.name].drop_a
        if amps is None or not piece.conducts:
            continue
        if piece.wire is not None:
            if piece.wire.size is not None:
                drops[number] = wire_drop_v(wiring, piece.wire, piece.wire.size)
        else:
            end = body if piece.kind is PieceKind.BODY else "typical"
            drops[number] = wiring.ends[piece.name].at(end) * amps
    return drops


def drop_limits(
    wiring: Wiring, open_wires: Mapping[str, tuple[Wire, ...]], least: Mapping[str, int], body: str
) -> list[Limit]:
    """Return a budget for every draw, feeder and charging run, with the circuits whose sizes spend it.

    `body` is the end at which the resistance of the body counts that nobody measured.
    """
    fixed = piece_drops(wiring, body)
    owner = {wire.name: name for name in least for wire in open_wires[name]}
    circuit_of = [owner.get(piece.name) for piece in wiring.topology.pieces]
    limits = []
    for chain in _every_chain(wiring):
        most = np.flatnonzero(chain.share > _MOST_OF_IT)
        spends = frozenset(name for k in most if (name := circuit_of[k]) is not None)
        if spends:
            # A wire that melts drops without end, but only where it lies in the way.
            on_way = np.flatnonzero(chain.share)
            fixed_v = float(fixed[on_way] @ chain.share[on_way])
            left_v = chain.limit_v - fixed_v
            limits.append(Limit(chain.name, left_v, spends, chain.about, fixed_v, chain.limit_v))
    return limits


def as_they_lie(
    wiring: Wiring,
    hot: HotSizes,
    open_wires: Mapping[str, tuple[Wire, ...]],
    least: Mapping[str, int],
    limit: Limit,
) -> Limit:
    """The limit with each circuit that is on its way in part counted for that part, at its least size.

    A circuit that begins in the middle of a heavy one loses nothing in what comes after.
    """
    share = chain_of(wiring, limit.name)
    at = {wire.name: share[wiring.index(wire.name)] for name in limit.items for wire in open_wires[name]}
    partly = {name for name in limit.items if any(at[wire.name] <= 0.0 for wire in open_wires[name])}
    spent_v = sum(
        float(hot.drops_v(wire)[least[name]]) * at[wire.name]
        for name in partly
        for wire in open_wires[name]
        if at[wire.name] > 0.0
    )
    return replace(
        limit,
        items=limit.items - partly,
        budget_v=limit.budget_v - spent_v,
        fixed_v=limit.fixed_v + spent_v,
    )


def chain_of(wiring: Wiring, limit: str) -> NDArray[np.float64]:
    """Return the share of its current with which each piece counts; none for a limit of no chain. [1]"""
    nothing = np.zeros(len(wiring.topology.pieces))
    return next((chain.share for chain in _every_chain(wiring) if chain.name == limit), nothing)


def chains_by_owner(wiring: Wiring) -> Mapping[str, tuple[NDArray[np.float64], ...]]:
    """Return for each load, converter input or circuit with limits the shares that pieces count with. [1]"""
    found: dict[str, list[NDArray[np.float64]]] = {}
    for chain in _every_chain(wiring):
        found.setdefault(chain.about, []).append(chain.share)
    return {about: tuple(shares) for about, shares in found.items()}


@dataclass(frozen=True, slots=True)
class _Chain:
    """Something with a limit: what it may drop, and the pieces between source and it, out and back."""

    name: str
    about: str
    limit_v: float
    share: NDArray[np.float64]
    """Share of its current that passes each piece, whose drop counts that much. [1]"""


def _every_chain(wiring: Wiring) -> tuple[_Chain, ...]:
    return at_any_length(wiring, "chains", lambda bare: tuple(_chains(bare)))


def _chains(wiring: Wiring) -> Iterator[_Chain]:
    yield from _draw_chains(wiring)
    yield from _circuit_chains(wiring)


def _draw_chains(wiring: Wiring) -> Iterator[_Chain]:
    """Each load and converter input in the settings of the first situation that its drop is looked for in."""
    order = sorted(
        (number for number, setting in enumerate(wiring.settings) if not setting.charging),
        key=lambda number: _TURN.index(wiring.settings[number].situations[-1]),
    )
    first: dict[str, tuple[Situation, ...]] = {}
    for number in order:
        setting = wiring.settings[number]
        for column, name in enumerate(setting.flows.draws):
            draw = wiring.currents.draws[name]
            if not draw.known or draw.source is None or not _asks(wiring, setting, column):
                continue
            if first.setdefault(name, setting.situations) == setting.situations:
                share = np.minimum(np.abs(setting.own[:, column]), 1.0)
                yield _Chain(f"{name} {number}", name, draw.allowed_v, share)


def _asks(wiring: Wiring, setting: Setting, column: int) -> bool:
    name = setting.flows.draws[column]
    machine = name in wiring.installation.supplies or name.endswith(" charge")
    return not machine and name in setting.runs and setting.flows.served[column]


def _circuit_chains(wiring: Wiring) -> Iterator[_Chain]:
    """Feeders with what all behind them has in common; charging runs, and what has a limit of its own."""
    for circuit in wiring.installation.circuits.values():
        feeding = wiring.tree.circuits.get(circuit.name)
        if feeding is None or feeding.source is None or not has_own_limit(wiring.installation, circuit):
            continue
        limit_v = limit_of(wiring, circuit).limit_v
        draws = sorted(consuming(wiring.topology, feeding.draws))
        if is_charging(wiring.installation, circuit):
            names = {wire.name for wire in circuit.wires} | {part.name for part in circuit.parts}
        else:
            names = set(common_pieces(wiring, circuit, draws)) if draws else set()
        if names:
            whole = np.array([float(piece.name in names) for piece in wiring.topology.pieces])
            yield _Chain(own_chain(circuit.name), circuit.name, limit_v, whole)


def own_chain(circuit: str) -> str:
    """Name the limit that is on a circuit itself."""
    return f"{circuit} itself"


def has_own_limit(installation: Installation, circuit: Circuit) -> bool:
    """Tell whether a limit is on a circuit itself: a feeder, a charging run, or where somebody wrote one."""
    if circuit.state is State.REMOVE or circuit.loads or circuit.converter is not None:
        return False
    if is_charging(installation, circuit) or is_feeder(installation, circuit):
        return True
    return circuit.drop_v is not None or circuit.drop_pct is not None
