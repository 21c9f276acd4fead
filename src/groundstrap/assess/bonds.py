"""Bonds: cable between the body and a battery's minus, against every short to the body that a fuse must end.

A plus that chafes through touches the body wherever it lies, whatever way its load returns. All of that
current comes back to its battery through the bond, and the fuse of the chafed cable is what ends it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import field

from groundstrap.assess.curves import Strand, highest_by_curve, opening_at, wire_strands
from groundstrap.assess.faults import Linear, linear_in, strong_case, weak_case
from groundstrap.assess.ladders import candidates, family_at
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.parts import arm_ends
from groundstrap.assess.protection import Opening, limit_passed
from groundstrap.assess.regions import guards
from groundstrap.assess.return_results import BondAssessment
from groundstrap.assess.topology import BODY, Topology, UnionFind
from groundstrap.assess.tree import live_nodes
from groundstrap.assess.windows import steady_limit_a
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Part, Situation, State, SupplyKind, Wire
from groundstrap.physics.fuse import slowest_opening_s
from groundstrap.records import dataclass, replace
from groundstrap.tables import NotTabled

__all__ = ["assess_bonds", "bonded_fuses", "bonds_of", "straps_a"]

_NEVER_A = 1e-6


def bonds_of(topology: Topology) -> Mapping[str, tuple[str, ...]]:
    """Return each cable that alone joins the body to some battery's minus, with those batteries."""
    found: Mapping[str, tuple[str, ...]] = topology.kept.once("bonds", lambda: _bonds(topology))
    return found


def _bonds(topology: Topology) -> Mapping[str, tuple[str, ...]]:
    body = _body_node(topology)
    if body is None:
        return {}
    live = live_nodes(topology)
    dead = [piece for piece in topology.pieces if piece.conducts and piece.start not in live]
    batteries = {
        name: topology.node(supply.minus)
        for name, supply in topology.installation.supplies.items()
        if supply.kind is SupplyKind.BATTERY and supply.state is not State.REMOVE
    }
    found: dict[str, tuple[str, ...]] = {}
    for piece in dead:
        if piece.wire is None or piece.wire.returning:
            continue
        sets, whole = UnionFind(len(topology.nodes)), UnionFind(len(topology.nodes))
        for other in dead:
            whole.join(other.start, other.end)
            if other is not piece:
                sets.join(other.start, other.end)
        parted = [
            name
            for name, minus in batteries.items()
            if whole.root(minus) == whole.root(body) and sets.root(minus) != sets.root(body)
        ]
        if parted:
            found[piece.name] = tuple(parted)
    return found


def _body_node(topology: Topology) -> int | None:
    points = topology.installation.chassis_points
    if not points:
        return None
    return topology.node(BODY) if BODY in topology.node_of else topology.node(points[0])


def bonded_fuses(wiring: Wiring) -> Mapping[str, tuple[str, ...]]:
    """Return each bond with the fuses whose short to the body comes back through it."""
    return at_any_length(wiring, "bonded fuses", _bonded_fuses)


def _bonded_fuses(wiring: Wiring) -> Mapping[str, tuple[str, ...]]:
    topology = wiring.topology
    bonds = bonds_of(topology)
    if not bonds:
        return {}
    homes = _homes(wiring)
    found = {
        wire: tuple(fuse for fuse, batteries in homes.items() if batteries & set(names))
        for wire, names in bonds.items()
    }
    return {wire: fuses for wire, fuses in found.items() if fuses}


def _homes(wiring: Wiring) -> Mapping[str, frozenset[str]]:
    """Each fuse with the batteries whose current it ends: its circuit's own, and those right before it.

    The far fuse of a cable between two batteries ends what the second one sends into it.
    """
    topology = wiring.topology
    live, sets = live_nodes(topology), UnionFind(len(topology.nodes))
    for piece in topology.pieces:
        if piece.conducts and not piece.is_fuse and piece.start in live:
            sets.join(piece.start, piece.end)
    batteries = {
        supply.name: sets.root(topology.node(supply.plus))
        for supply in topology.installation.supplies.values()
        if supply.kind is SupplyKind.BATTERY and supply.state is not State.REMOVE
    }
    found: dict[str, frozenset[str]] = {}
    for piece in topology.pieces:
        if not piece.is_fuse or piece.start not in live:
            continue
        sides = {sets.root(piece.start), sets.root(piece.end)}
        feeding = wiring.tree.circuits.get(piece.circuit or "")
        own = {feeding.source} if feeding is not None and feeding.source is not None else set()
        found[piece.name] = frozenset(own | {name for name, root in batteries.items() if root in sides})
    return found


def assess_bonds(wiring: Wiring) -> tuple[BondAssessment, ...]:
    """Return every bond at the short that it stands worst; a bond that no fuse sends anything is left out."""
    fuses = bonded_fuses(wiring)
    if not fuses:
        return ()
    reached, homes, bonds = _Reached(wiring), _homes(wiring), bonds_of(wiring.topology)
    found = []
    for name, names in fuses.items():
        wire = wiring.topology.pieces[wiring.index(name)].wire
        assert wire is not None
        judged = (
            _judged(reached, wire, fuse, battery)
            for fuse in names
            for battery in bonds[name]
            if battery in homes[fuse]
        )
        found.append(max(judged, key=_severity))
    return tuple(found)


def _severity(found: BondAssessment) -> tuple[float, float]:
    """What is not known counts above what is stood, and below what is not."""
    if found.saved:
        return (0.0, found.rating_a or 0.0)
    if found.clears_s is None or found.stands_s is None:
        return (1.0, found.rating_a or 0.0)
    if math.isinf(found.stands_s):
        return (0.0, found.rating_a or 0.0)
    return (found.clears_s / max(found.stands_s, 1e-9), found.rating_a or 0.0)


def straps_a(wiring: Wiring) -> Mapping[str, float]:
    """Return what comes back through each strap between a battery and the body that nobody drew. [A]"""
    installation = wiring.installation
    battery_at = {s.minus: s.name for s in installation.supplies.values() if s.kind is SupplyKind.BATTERY}
    body = set(installation.chassis_points)
    return {
        battery_at[tie.start]: wiring.currents.pieces[tie.name].known_a
        for tie in installation.ties
        if tie.kind == "battery negative"
        and tie.start in battery_at
        and tie.end in body
        and tie.name in wiring.currents.pieces
    }


@dataclass(frozen=True, slots=True)
class _Reached:
    """Shorts to the body behind fuses, in networks that are solved when they are first asked for."""

    wiring: Wiring
    networks: dict[str | None, Linear] = field(default_factory=dict)

    def network(self, battery: str | None) -> Linear:
        """The network with one battery alone, weak and cold; with all of them full where none is named."""
        if battery not in self.networks:
            case = strong_case() if battery is None else weak_case(Situation.RESTING)
            self.networks[battery] = linear_in(self.wiring, case, battery)
        return self.networks[battery]


@dataclass(frozen=True, slots=True)
class _Short:
    """Amps through a fuse from the least to the most, and the largest share of them in a bond."""

    least_a: float
    most_a: float
    share: float


def _judged(reached: _Reached, wire: Wire, fuse: str, battery: str) -> BondAssessment:
    wiring = reached.wiring
    told = at_any_length(wiring, ("bond", wire.name, fuse), lambda bare: _by_rating(bare, wire.name, fuse))
    if told is not None:
        return told
    part = wiring.topology.pieces[wiring.index(fuse)].part
    assert part is not None
    assert wire.size is not None
    short = _short(reached, wire, fuse, battery)
    if short is None:
        return _without_currents(wire, part, (), saved=True)
    each = [
        found
        for strand in wire_strands(wiring, wire, wire.size)
        for found in _at_each(wiring, strand, _opening(wiring, part, strand), short, part)
    ]
    worst = max(each, key=_severity)
    return replace(worst, unknown=("size",)) if worst.stands is None else worst


def _by_rating(wiring: Wiring, bond: str, fuse: str) -> BondAssessment | None:
    """What a rating says of a bond: saved, or that something is not known; None where currents decide."""
    wire = wiring.topology.pieces[wiring.index(bond)].wire
    part = wiring.topology.pieces[wiring.index(fuse)].part
    assert wire is not None
    assert part is not None
    missing = (*(("size",) if wire.size is None else ()), *(("rating",) if part.rating_a is None else ()))
    if wire.size is None or part.rating_a is None:
        return _without_currents(wire, part, missing)
    strands = tuple(wire_strands(wiring, wire, wire.size))
    highest = highest_by_curve(wiring, part, _family(wiring, part), part.rating_a, strands)
    if isinstance(highest, NotTabled):
        return _without_currents(wire, part, ("curve",))
    if part.rating_a <= min(highest.rating_a, steady_limit_a(wiring, wire, wire.size)):
        return _without_currents(wire, part, (), saved=True)
    return None


def _opening(wiring: Wiring, part: Part, strand: Strand) -> Opening:
    assert part.rating_a is not None
    opening = opening_at(wiring, part, _family(wiring, part), part.rating_a, strand.lie.zone)
    assert not isinstance(opening, NotTabled)
    return opening


def _family(wiring: Wiring, part: Part) -> str:
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    return part.family or family_at(ladder, part.rating_a or 0.0)


def _without_currents(
    wire: Wire, part: Part, missing: tuple[str, ...], *, saved: bool = False
) -> BondAssessment:
    return BondAssessment(
        wire=wire.name,
        fuse=part.name,
        rating_a=part.rating_a,
        current_a=None,
        clears_s=None,
        stands_s=None,
        limit_c=None,
        saved=saved,
        unknown=missing,
    )


def _at_each(
    wiring: Wiring, strand: Strand, opening: Opening, short: _Short, part: Part
) -> Iterator[BondAssessment]:
    """At the least and the most current, and at each gate between: that is where the curves may cross."""
    gates = (multiple * opening.rating_a for multiple in opening.multiples)
    for amps in (short.least_a, short.most_a, *(a for a in gates if short.least_a < a < short.most_a)):
        slowest = slowest_opening_s(
            amps / opening.rating_a, gate_multiples=opening.multiples, gate_most_s=opening.times_s
        )
        passing = limit_passed(
            strand.one,
            strand.lie,
            wiring.installation.basis,
            short.share * amps,
            parallel=strand.parallel,
            preload_a=strand.preload_a,
        )
        yield BondAssessment(
            wire=strand.where,
            fuse=part.name,
            rating_a=part.rating_a,
            current_a=short.share * amps,
            clears_s=slowest.chord_s,
            stands_s=None if passing is None else passing.after_s,
            limit_c=None if passing is None else passing.limit_c,
        )


def _short(reached: _Reached, wire: Wire, fuse: str, battery: str) -> _Short | None:
    """Shorts to the body behind a fuse, from the far end of what it stands before to the fuse itself."""
    wiring, topology = reached.wiring, reached.wiring.topology
    piece = topology.pieces[wiring.index(fuse)]
    body = _body_node(topology)
    if body is None:
        return None
    arm = arm_ends(wiring.installation.body)
    # With one point on the body nothing of the body is in the network: two arms lead to anywhere on it.
    lead_ohm = arm.high * (1.0 if BODY in topology.node_of else 2.0)
    weak = reached.network(battery)
    ends = _live_ends(reached, fuse)
    shorts = {node: weak.short_a(node, body, lead_ohm) for node in ends}
    known = {node: amps for node, amps in shorts.items() if amps is not None and amps > _NEVER_A}
    if not known:
        return None
    far = min(known, key=lambda node: known[node])
    near = {node: reached.network(None).short_a(node, body) for node in (piece.start, piece.end)}
    most_a = max([*(amps for amps in near.values() if amps is not None), known[far]])
    number = wiring.index(wire.name)
    bond, volts = topology.pieces[number], weak.z.ohm[:, far] - weak.z.ohm[:, body]
    share = abs(float(weak.siemens[number] * (volts[bond.start] - volts[bond.end])))
    return _Short(known[far], most_a, share)


def _live_ends(reached: _Reached, fuse: str) -> frozenset[int]:
    """Nodes that a fuse stands before, its own far side among them."""
    topology = reached.wiring.topology
    live = live_nodes(topology)
    own = topology.pieces[reached.wiring.index(fuse)]
    guard = guards(topology, reached.wiring.tree).get(fuse)
    pieces = [topology.pieces[topology.index[name]] for name in (guard.pieces if guard is not None else ())]
    return frozenset(node for piece in (own, *pieces) for node in (piece.start, piece.end) if node in live)
