"""Current that nothing before a cable ends: what a self-limiting source pushes, what shared fuses let back.

Both last without end, so that the cable's published ampacity has to hold them whatever its loads take.
"""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.comeback import circuits_back, together_a
from groundstrap.assess.conductors import insulation_of
from groundstrap.assess.regions import Guard
from groundstrap.assess.results import Reason, ReasonKind
from groundstrap.assess.thermal import overload_share
from groundstrap.assess.tree import live_nodes
from groundstrap.assess.wiring import Wiring
from groundstrap.model import FUSES, Circuit, State, SupplyKind, Wire
from groundstrap.tables import material
from groundstrap.tables.fuses import SURE_TO_OPEN

__all__ = ["pushed_limits", "shared_returns"]


def pushed_limits(wiring: Wiring) -> Mapping[str, Reason]:
    """Return for each wire that a self-limiting source feeds the limit it gives without end. [A]

    All wires of the circuit that begins at the source; of one that ends in loads those before its first fuse,
    behind which the fuse answers for them.
    """
    result: dict[str, Reason] = {}
    for supply in wiring.installation.supplies.values():
        limit_a = wiring.supplies[supply.name].limit_a if supply.name in wiring.supplies else None
        if supply.kind is SupplyKind.BATTERY or supply.state is State.REMOVE or limit_a is None:
            continue
        for circuit in wiring.installation.circuits.values():
            if circuit.start == supply.plus and circuit.state is not State.REMOVE:
                reason = Reason(kind=ReasonKind.SOURCE, where=supply.name, value=limit_a)
                result |= dict.fromkeys(_fed(wiring, circuit), reason)
    return result


def _fed(wiring: Wiring, circuit: Circuit) -> tuple[str, ...]:
    if not circuit.loads:
        return tuple(wire.name for wire in circuit.wires)
    names = []
    for element in circuit.path:
        number = wiring.topology.index.get(getattr(element, "name", ""))
        if number is None:
            continue
        piece = wiring.topology.pieces[number]
        if piece.is_fuse:
            break
        if piece.wire is not None:
            names.append(piece.name)
    return tuple(names)


def shared_returns(
    wiring: Wiring, fuses: Mapping[str, Guard], ratings_a: Mapping[str, float]
) -> Mapping[str, Reason]:
    """Return for each way back of several circuits, behind no fuse of its own, the ampacity it needs. [A]

    That is the sum of their fuses, and more where what is sure to open all of them would overheat it.
    What a feeder feeds counts no more than the feeder's fuse. A way back that serves a circuit without a
    fuse, or with one of no known rating, is left out.
    """
    guarded = {name for guard in fuses.values() for name in guard.pieces}
    live = live_nodes(wiring.topology)
    result = {}
    for piece in wiring.topology.pieces:
        if piece.wire is None or piece.name in guarded or piece.start in live:
            continue
        sharing = list(circuits_back(wiring, piece.name))
        sum_a = _sum_a(wiring, sharing, ratings_a) if len(sharing) > 1 else None
        if sum_a is not None:
            need_a = sum_a * max(1.0, SURE_TO_OPEN / _overload_share(wiring, piece.wire))
            result[piece.name] = Reason(kind=ReasonKind.RETURNS, where=piece.name, value=need_a)
    return result


def _overload_share(wiring: Wiring, wire: Wire) -> float:
    """Least current over ampacity that brings a wire of any size to class + 50 K where it lies. [1]"""
    insulated = insulation_of(wire, wiring.installation.basis)
    alpha = material(wire.material).alpha20_per_k
    return min(
        (overload_share(insulated, lie.ambient_c, alpha) for lie in wiring.lies[wire.name]), default=1.0
    )


def _sum_a(wiring: Wiring, sharing: list[str], ratings_a: Mapping[str, float]) -> float | None:
    circuits = wiring.installation.circuits
    own_a = {name: _smallest_a(circuits[name], ratings_a) for name in sharing}
    known = {name: amps for name, amps in own_a.items() if amps is not None}
    if len(known) < len(own_a):
        return None
    return together_a(
        known,
        lambda name: wiring.tree.circuits[name].feeders,
        lambda name: _smallest_a(circuits[name], ratings_a),
    )


def _smallest_a(circuit: Circuit, ratings_a: Mapping[str, float]) -> float | None:
    names = [part.name for part in circuit.parts if part.kind in FUSES]
    known = [ratings_a[name] for name in names if name in ratings_a]
    return min(known) if known and len(known) == len(names) else None
