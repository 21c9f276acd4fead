"""The drop problem on design currents, which do not depend on any wire: what `search` solves exactly."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.limits import drop_limit, is_charging, is_feeder
from groundstrap.assess.settings import Setting
from groundstrap.assess.topology import PieceKind
from groundstrap.assess.wiring import Case, Wiring, wire_values
from groundstrap.design.search import Item, Limit, Option
from groundstrap.design.shelf import Shelf
from groundstrap.model import Situation, State, Wire
from groundstrap.physics.heated import heated_voltage_v
from groundstrap.units import ConductorSize

__all__ = ["drop_items", "drop_limits", "piece_drops"]

HOT = Case(situation=Situation.RESTING, running=frozenset())


def _wire_drop_v(wiring: Wiring, wire: Wire, size: ConductorSize) -> float:
    """Volts lost in one wire at its design current for the drop, as hot as that current makes it. [V]"""
    amps = wiring.currents.pieces[wire.name].drop_a or 0.0
    value = wire_values(wiring, wire, size, HOT)
    if value.kappa_per_a2 * amps * amps >= 1.0:
        return float("inf")
    return heated_voltage_v(amps, cold_ohm=value.cold_ohm, kappa_per_a2=value.kappa_per_a2)


def drop_items(
    wiring: Wiring, shelf: Shelf, open_wires: Mapping[str, tuple[Wire, ...]], least: Mapping[str, int]
) -> list[Item]:
    """Return one item a circuit: its sizes from its own least one up, with what each drops out and back."""
    items = []
    for name, first in least.items():
        wires = open_wires[name]
        options = []
        for index in range(first, len(shelf.sizes)):
            size = shelf.sizes[index]
            drop_v = sum(_wire_drop_v(wiring, wire, size) for wire in wires)
            if np.isfinite(drop_v):
                options.append(Option(index, drop_v, shelf.cost(wires, size)))
        items.append(Item(name, tuple(options)))
    return items


def piece_drops(wiring: Wiring, body: str) -> NDArray[np.float64]:
    """Volts that each piece drops whose size is not to be chosen: parts, the body, wires as written. [V]"""
    drops = np.zeros(len(wiring.topology.pieces))
    for number, piece in enumerate(wiring.topology.pieces):
        amps = wiring.currents.pieces[piece.name].drop_a
        if amps is None or not piece.conducts:
            continue
        if piece.wire is not None:
            if piece.wire.size is not None:
                drops[number] = _wire_drop_v(wiring, piece.wire, piece.wire.size)
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
    for name, budget_v, touched in _chains(wiring):
        spends = frozenset(c for c, hit in zip(circuit_of, touched, strict=True) if hit and c is not None)
        if spends:
            limits.append(Limit(name, budget_v - float(fixed[touched].sum()), spends))
    return limits


def _chains(wiring: Wiring) -> Iterator[tuple[str, float, NDArray[np.bool_]]]:
    """Everything with a limit: its name, what it may drop, the pieces between source and it, out and back."""
    for number, setting in enumerate(wiring.settings):
        if setting.by_engine:
            continue
        for draw in wiring.currents.draws.values():
            if draw.known and draw.source is not None and _asks(wiring, setting, draw.name):
                yield f"{draw.name} {number}", draw.allowed_v, _touched(setting, draw.name)
        yield from _feeder_chains(wiring, setting, number)


def _asks(wiring: Wiring, setting: Setting, name: str) -> bool:
    column = setting.flows.draws.index(name)
    machine = name in wiring.installation.supplies or name.endswith(" charge")
    return not machine and name in setting.runs and setting.flows.served[column]


def _touched(setting: Setting, name: str) -> NDArray[np.bool_]:
    column = setting.flows.draws.index(name)
    return np.asarray(np.abs(setting.flows.share[:, column]) > 1e-6)


def _feeder_chains(
    wiring: Wiring, setting: Setting, number: int
) -> Iterator[tuple[str, float, NDArray[np.bool_]]]:
    """A feeder's own chain is what every draw behind it has in common."""
    for circuit in wiring.installation.circuits.values():
        feeding = wiring.tree.circuits.get(circuit.name)
        if feeding is None or circuit.state is State.REMOVE or feeding.source is None:
            continue
        nominal_v = wiring.installation.supplies[feeding.source].nominal_v
        if is_charging(wiring.installation, circuit):
            names = {wire.name for wire in circuit.wires} | {part.name for part in circuit.parts}
            own = np.array([piece.name in names for piece in wiring.topology.pieces])
            yield f"{circuit.name} {number}", drop_limit(wiring.installation, circuit, nominal_v).limit_v, own
        elif is_feeder(wiring.installation, circuit):
            behind = [d for d in feeding.draws if _asks(wiring, setting, d)]
            if behind:
                common = np.logical_and.reduce([_touched(setting, d) for d in behind])
                limit = drop_limit(wiring.installation, circuit, nominal_v)
                yield f"{circuit.name} {number}", limit.limit_v, common
