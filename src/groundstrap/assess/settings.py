"""The settings that design currents are looked for in: what feeds, what only pushes, what draws."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.flows import Draw, Flows, unit_flows
from groundstrap.assess.positions import alternatives, applies, may_run, opened
from groundstrap.assess.supplies import SupplyFigures
from groundstrap.assess.topology import Piece, PieceKind, Topology, UnionFind
from groundstrap.model import Situation, State, SupplyKind
from groundstrap.records import dataclass, replace

__all__ = ["Setting", "accepting", "all_draws", "charged_ends", "level_ends", "set_up"]

Floats = NDArray[np.float64]

_SOURCE_KINDS = frozenset({PieceKind.BATTERY, PieceKind.MACHINE, PieceKind.PANEL})
_GIVES_IN: dict[SupplyKind, frozenset[Situation]] = {
    SupplyKind.ALTERNATOR: frozenset({Situation.IDLING, Situation.DRIVING}),
    SupplyKind.MAINS_CHARGER: frozenset({Situation.MAINS}),
    SupplyKind.DC_DC: frozenset(Situation),
    SupplyKind.SOLAR_CHARGER: frozenset({Situation.RESTING, Situation.IDLING, Situation.DRIVING}),
}
_ENGINE = (Situation.IDLING, Situation.DRIVING)

_DRIVES: dict[Situation, SupplyKind | None] = {
    Situation.RESTING: SupplyKind.SOLAR_CHARGER,
    Situation.CRANKING: None,
    Situation.MAINS: SupplyKind.MAINS_CHARGER,
    Situation.IDLING: SupplyKind.ALTERNATOR,
    Situation.DRIVING: SupplyKind.ALTERNATOR,
}

_MOSTLY = 0.75
"""Share of a draw's current from which on one of several batteries counts as what feeds it. Own judgement."""

_ALIKE_V = 0.05
"""Batteries whose rested volts differ by less charge each other little; own judgement. [V]"""


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
    own: Floats
    """The same shares with only the source at work that gives a draw most of its current, where it gives so
    much of it that what others add is not worth a wire of theirs: its drop counts from there. [1]"""
    drivers: frozenset[str]
    """Sources that take the place of the batteries they reach, and charge them; none where batteries feed."""

    @property
    def charging(self) -> bool:
        """Whether something charges batteries, which then hold nothing up themselves."""
        return bool(self.drivers)


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


def set_up(topology: Topology, siemens: Floats, figures: Mapping[str, SupplyFigures]) -> tuple[Setting, ...]:
    """Return the settings of every situation that applies; those that would be equal are one."""
    kept: tuple[Setting, ...] | None = topology.kept.get(SETTINGS)
    if kept is not None:
        return kept
    found = _set_up(topology, siemens, figures)
    # Which of several batteries charges the others hangs on what they are.
    if all(s.flows.tree for s in found) and not _together(topology, siemens, _batteries(topology)):
        topology.kept.put(SETTINGS, found)
    return found


def _set_up(topology: Topology, siemens: Floats, figures: Mapping[str, SupplyFigures]) -> tuple[Setting, ...]:
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
        settings += [_setting(topology, live, draws, situations) for live in lives]
        each = [_drivers(topology, live, situations, figures) for live in lives]
        for number in range(max(map(len, each), default=0)):
            for live, drivers in zip(lives, each, strict=True):
                if number < len(drivers):
                    settings.append(_setting(topology, live, draws, situations, drivers[number]))
    return tuple(settings)


def charged_ends(
    topology: Topology, siemens: Floats, figures: Mapping[str, SupplyFigures]
) -> Mapping[str, SupplyFigures]:
    """Return the figures with the high end of each battery no lower than what a charger is set to.

    Every charger or converter counts whose output reaches the battery's plus with all switches closed; of a
    bank it charges as many batteries as lie below the point that it reaches.
    """
    islands, raised = _islands(topology, siemens), dict(figures)
    for machine in topology.pieces:
        if machine.kind is not PieceKind.MACHINE or machine.supply is None:
            continue
        for battery in _batteries(topology):
            if battery.supply is None or islands.root(battery.start) != islands.root(machine.start):
                continue
            found = raised[battery.supply.name]
            high_v = max(found.high_v, figures[machine.supply.name].high_v / battery.position)
            raised[battery.supply.name] = replace(found, high_v=high_v)
    return raised


def level_ends(
    topology: Topology, siemens: Floats, figures: Mapping[str, SupplyFigures]
) -> Mapping[str, SupplyFigures]:
    """Return the figures with one low and one high end for batteries that hang together at rest.

    Side by side they are at the same volts, whatever each would stand at alone: the lowest low end counts,
    and the highest high one.
    """
    if (
        len({(figures[p.supply.name].low_v, p.supply.nominal_v) for p in _batteries(topology) if p.supply})
        < 2
    ):
        return figures
    live = _live(topology, siemens, Situation.RESTING, frozenset())
    levelled = dict(figures)
    for pieces in _together(topology, live, _batteries(topology)).values():
        each = {piece.supply.name: piece.supply for piece in pieces if piece.supply is not None}
        low_v = min(figures[name].low_v * supply.series for name, supply in each.items())
        high_v = max(figures[name].high_v * supply.series for name, supply in each.items())
        for name, supply in each.items():
            low, high = low_v / supply.series, high_v / supply.series
            levelled[name] = replace(figures[name], low_v=low, high_v=high)
    return levelled


def _drivers(
    topology: Topology,
    live: Floats,
    situations: tuple[Situation, ...],
    figures: Mapping[str, SupplyFigures],
) -> list[frozenset[str]]:
    """Sets of sources that charge batteries by themselves: alternators where the engine runs.

    Elsewhere only where several batteries hang together, since a charger's limit says everything of one: then
    chargers do, and batteries whose rested volts stand above another's.
    """
    giving = _giving(topology, situations)
    together = _together(topology, live, giving)
    kind = _DRIVES[situations[0]]
    found = [
        piece.name
        for piece in giving
        if piece.supply is not None
        and piece.supply.kind is kind
        and (kind is SupplyKind.ALTERNATOR or _islands(topology, live).root(piece.start) in together)
    ]
    higher = [name for pieces in together.values() for name in _higher(pieces, figures)]
    if situations[0] is Situation.CRANKING:
        higher = []
    return [frozenset(names) for names in (found, higher) if names]


def _together(topology: Topology, live: Floats, giving: Iterable[Piece]) -> dict[int, list[Piece]]:
    """Batteries of which several hang together, by the set that they hang in."""
    islands = _islands(topology, live)
    found: dict[int, list[Piece]] = {}
    for piece in giving:
        if piece.kind is PieceKind.BATTERY:
            found.setdefault(islands.root(_top(topology, piece)), []).append(piece)
    return {
        root: pieces
        for root, pieces in found.items()
        if len({piece.supply.name for piece in pieces if piece.supply is not None}) > 1
    }


def _higher(batteries: Iterable[Piece], figures: Mapping[str, SupplyFigures]) -> frozenset[str]:
    """Batteries of one island whose rested volts stand above the lowest."""
    rested = {
        p.name: figures[p.supply.name].emf_v * p.supply.series for p in batteries if p.supply is not None
    }
    lowest = min(rested.values())
    return frozenset(name for name, volts in rested.items() if volts > lowest + _ALIKE_V)


def _batteries(topology: Topology) -> list[Piece]:
    return [piece for piece in topology.pieces if piece.kind is PieceKind.BATTERY]


def _islands(topology: Topology, live: Floats) -> UnionFind:
    """What hangs together through conductors."""
    islands = UnionFind(len(topology.nodes))
    for piece, value in zip(topology.pieces, live, strict=True):
        if piece.conducts and value > 0.0:
            islands.join(piece.start, piece.end)
    return islands


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
    drivers: frozenset[str] = frozenset(),
) -> Setting:
    giving = _giving(topology, situations)
    holders = _holders(topology, live, giving, drivers)
    now = live.copy()
    for number, piece in enumerate(topology.pieces):
        if not piece.conducts and piece.name not in holders:
            now[number] = 0.0
    flows = unit_flows(topology, now, draws)
    flows, own = _from_one_battery(topology, now, draws, flows)
    pushes = frozenset(p.name for p in giving if p.kind is PieceKind.MACHINE and p.name not in holders)
    loads = {name for s in situations for name in may_run(topology.installation, s)}
    inputs = {p.name for p in topology.pieces if p.kind is PieceKind.INPUT}
    charged = {d.name for d in draws if d.name.endswith(" charge")} if drivers else set()
    runs = frozenset(loads | inputs | charged | (set() if drivers else pushes))
    return Setting(situations, flows, frozenset(holders), pushes, runs, own, drivers)


def _from_one_battery(
    topology: Topology, now: Floats, draws: tuple[Draw, ...], flows: Flows
) -> tuple[Flows, Floats]:
    """Let each machine push into the battery that takes most of it, and find each draw's way from its own.

    A machine does not push into several by their resistance: what a second battery takes is a draw of its
    own, bounded by what it accepts.
    """
    batteries: dict[str, list[int]] = {}
    for number, piece in enumerate(topology.pieces):
        if piece.kind is PieceKind.BATTERY and now[number] > 0.0 and piece.supply is not None:
            batteries.setdefault(piece.supply.name, []).append(number)
    if len(batteries) < 2:
        return flows, flows.share
    given = np.array([np.abs(flows.share[numbers]).max(axis=0) for numbers in batteries.values()])
    first = given.argmax(axis=0)
    most = np.array([given[number, column] for column, number in enumerate(first)])
    kinds = [
        topology.pieces[n].kind if (n := topology.index.get(d.name)) is not None else None for d in draws
    ]
    machine = np.array([kind is PieceKind.MACHINE for kind in kinds]) & np.array(flows.served)
    share, own = flows.share.copy(), flows.share.copy()
    for number, name in enumerate(batteries):
        alone = now.copy()
        alone[[n for other, numbers in batteries.items() if other != name for n in numbers]] = 0.0
        by_it = unit_flows(topology, alone, draws).share
        pushed, fed = (first == number) & machine, (first == number) & (most >= _MOSTLY)
        share[:, pushed] = by_it[:, pushed]
        own[:, pushed | fed] = by_it[:, pushed | fed]
    return Flows(flows.draws, share, flows.served, flows.tree), own


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


def _holders(topology: Topology, live: Floats, giving: list[Piece], drivers: frozenset[str]) -> set[str]:
    """Sources that hold the voltage: batteries, and machines where no battery is.

    Drivers take the place of the batteries that they reach. Only what hangs together on the plus side counts:
    the minus side is common to everything.
    """
    islands = _islands(topology, live)
    batteries = [p for p in giving if p.kind is PieceKind.BATTERY]
    machines = [p for p in giving if p.kind is not PieceKind.BATTERY]
    driven = {islands.root(_top(topology, p)) for p in giving if p.name in drivers}
    with_battery = {islands.root(p.start) for p in batteries}
    holders = {p.name for p in batteries if islands.root(_top(topology, p)) not in driven}
    return holders | drivers | {p.name for p in machines if islands.root(p.start) not in with_battery}


def _top(topology: Topology, source: Piece) -> int:
    return topology.node(source.supply.plus) if source.supply is not None else source.start
