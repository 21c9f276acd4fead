"""The settings that design currents are looked for in: what feeds, what only pushes, what draws."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.flows import Draw, Flows, unit_flows
from groundstrap.assess.positions import alternatives, applies, may_run, opened
from groundstrap.assess.topology import Piece, PieceKind, Topology, UnionFind
from groundstrap.model import Situation, State, SupplyKind

__all__ = ["Setting", "accepting", "all_draws", "set_up"]

Floats = NDArray[np.float64]

_SOURCE_KINDS = frozenset({PieceKind.BATTERY, PieceKind.MACHINE, PieceKind.PANEL})
_GIVES_IN: dict[SupplyKind, frozenset[Situation]] = {
    SupplyKind.ALTERNATOR: frozenset({Situation.IDLING, Situation.DRIVING}),
    SupplyKind.MAINS_CHARGER: frozenset({Situation.MAINS}),
    SupplyKind.DC_DC: frozenset(Situation),
    SupplyKind.SOLAR_CHARGER: frozenset({Situation.RESTING, Situation.IDLING, Situation.DRIVING}),
}
_ENGINE = (Situation.IDLING, Situation.DRIVING)


def accepting(battery: str) -> str:
    """Name of the draw that stands for a battery being charged."""
    return f"{battery} charge"


@dataclass(frozen=True, slots=True)
class Setting:
    """One position of switches with one choice of sources, and how each draw flows in it."""

    situations: tuple[Situation, ...]
    flows: Flows
    sources: frozenset[str]
    """Pieces that hold the voltage."""
    pushes: frozenset[str]
    """Machines that push their current into a battery's network."""
    runs: frozenset[str]
    """Draws that may be on."""
    by_engine: bool
    """Whether an alternator alone feeds, so that its rating caps everything."""


def all_draws(topology: Topology) -> tuple[Draw, ...]:
    """Return every load, converter input, pushing machine and battery as something that may draw."""
    draws = []
    for piece in topology.pieces:
        if piece.kind in {PieceKind.LOAD, PieceKind.INPUT, PieceKind.MACHINE}:
            draws.append(Draw(piece.name, piece.start, piece.end))
    for supply in topology.installation.supplies.values():
        stays = supply.kind is SupplyKind.BATTERY and supply.state is not State.REMOVE
        if stays and supply.plus in topology.node_of:
            draws.append(
                Draw(accepting(supply.name), topology.node(supply.plus), topology.node(supply.minus))
            )
    return tuple(draws)


SETTINGS = "settings"
"""What the settings of a shape without loops are kept under."""


def set_up(topology: Topology, siemens: Floats) -> tuple[Setting, ...]:
    """Return the settings of every situation that applies; those that would be equal are one."""
    kept: tuple[Setting, ...] | None = topology.kept.get(SETTINGS)
    if kept is not None:
        return kept
    found = _set_up(topology, siemens)
    if all(setting.flows.tree for setting in found):
        topology.kept.put(SETTINGS, found)
    return found


def _set_up(topology: Topology, siemens: Floats) -> tuple[Setting, ...]:
    installation = topology.installation
    draws = all_draws(topology)
    settings: list[Setting] = []
    engine = tuple(s for s in _ENGINE if applies(installation, s))
    groups: list[tuple[Situation, ...]] = [
        (s,) for s in (Situation.RESTING, Situation.CRANKING, Situation.MAINS) if applies(installation, s)
    ]
    if engine:
        groups.append(engine)
    turns = alternatives(topology)
    for situations in groups or [(Situation.RESTING,)]:
        lives = [_live(topology, siemens, situations[0], turn) for turn in turns]
        settings += [_setting(topology, live, draws, situations, by_engine=False) for live in lives]
        if situations == engine:
            settings += [_setting(topology, live, draws, situations, by_engine=True) for live in lives]
    return tuple(settings)


def _live(topology: Topology, siemens: Floats, situation: Situation, turn: frozenset[str]) -> Floats:
    """Conductances with everything that is open."""
    live = siemens.copy()
    for name in opened(topology, situation) | turn:
        live[topology.index[name]] = 0.0
    return live


def _setting(
    topology: Topology,
    live: Floats,
    draws: tuple[Draw, ...],
    situations: tuple[Situation, ...],
    *,
    by_engine: bool,
) -> Setting:
    giving = _giving(topology, situations)
    holders = _holders(topology, live, giving, by_engine=by_engine)
    now = live.copy()
    for number, piece in enumerate(topology.pieces):
        if not piece.conducts and piece.name not in holders:
            now[number] = 0.0
    flows = unit_flows(topology, now, draws)
    flows = _into_one_battery(topology, now, draws, flows)
    pushes = frozenset(p.name for p in giving if p.kind is PieceKind.MACHINE and p.name not in holders)
    loads = {name for s in situations for name in may_run(topology.installation, s)}
    inputs = {p.name for p in topology.pieces if p.kind is PieceKind.INPUT}
    charged = {d.name for d in draws if d.name.endswith(" charge")} if by_engine else set()
    runs = frozenset(loads | inputs | charged | (set() if by_engine else pushes))
    return Setting(situations, flows, frozenset(holders), pushes, runs, by_engine)


def _into_one_battery(topology: Topology, now: Floats, draws: tuple[Draw, ...], flows: Flows) -> Flows:
    """Let each machine push into the battery that takes most of it, not into several by their resistance.

    What a second battery takes is a draw of its own, bounded by what it accepts.
    """
    batteries = {n: p for n, p in enumerate(topology.pieces) if p.kind is PieceKind.BATTERY and now[n] > 0.0}
    if len({p.supply.name for p in batteries.values() if p.supply is not None}) < 2:
        return flows
    share = flows.share.copy()
    for column, draw in enumerate(draws):
        number = topology.index.get(draw.name)
        if (
            number is None
            or topology.pieces[number].kind is not PieceKind.MACHINE
            or not flows.served[column]
        ):
            continue
        first = max(batteries, key=lambda n: abs(float(flows.share[n, column])))
        alone = now.copy()
        for n, piece in batteries.items():
            if piece.supply is not batteries[first].supply:
                alone[n] = 0.0
        share[:, column] = unit_flows(topology, alone, (draw,)).share[:, 0]
    return Flows(flows.draws, share, flows.served, flows.tree)


def _giving(topology: Topology, situations: Iterable[Situation]) -> list[Piece]:
    """Sources that can give something in these situations."""
    wanted = set(situations)
    result = []
    for piece in topology.pieces:
        supply = piece.supply
        if piece.kind not in _SOURCE_KINDS or supply is None:
            continue
        if piece.kind is PieceKind.MACHINE and not _GIVES_IN[supply.kind] & wanted:
            continue
        result.append(piece)
    return result


def _holders(topology: Topology, live: Floats, giving: list[Piece], *, by_engine: bool) -> set[str]:
    """Sources that hold the voltage: batteries, and machines where no battery is.

    With the engine as the only source, alternators take the place of the batteries that they reach. Only what
    hangs together on the plus side counts: the minus side is common to everything.
    """
    islands = UnionFind(len(topology.nodes))
    for piece, value in zip(topology.pieces, live, strict=True):
        if piece.conducts and value > 0.0:
            islands.join(piece.start, piece.end)
    batteries = [p for p in giving if p.kind is PieceKind.BATTERY]
    machines = [p for p in giving if p.kind is not PieceKind.BATTERY]
    alternators = [p for p in machines if p.supply is not None and p.supply.kind is SupplyKind.ALTERNATOR]
    driven = {islands.root(p.start) for p in alternators} if by_engine else set()
    with_battery = {islands.root(p.start) for p in batteries}
    holders = {p.name for p in batteries if islands.root(_top(topology, p)) not in driven}
    if by_engine:
        holders |= {p.name for p in alternators}
    return holders | {p.name for p in machines if islands.root(p.start) not in with_battery}


def _top(topology: Topology, battery: Piece) -> int:
    return topology.node(battery.supply.plus) if battery.supply is not None else battery.start
