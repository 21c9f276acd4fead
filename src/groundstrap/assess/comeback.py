"""Whose current comes back through a cable: circuits with loads, or the cable between batteries before it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from groundstrap.assess.wiring import Wiring
from groundstrap.model import FUSES, Circuit, State, SupplyKind

__all__ = ["circuits_back", "together_a"]


def circuits_back(wiring: Wiring, wire: str) -> tuple[str, ...]:
    """Return the circuits whose fuses bound what comes back through a wire.

    They are those with loads whose own battery it leads to. What another battery feeds comes here only
    through the cable between the two, whose fuse is the bound then; where that has none, the loads' own are.
    What an alternator feeds beside the battery is bounded by what that gives.
    """
    installation, tree = wiring.installation, wiring.tree
    loads = set(wiring.currents.pieces[wire].loads) if wire in wiring.currents.pieces else set()
    foreign = loads - tree.home_draws.get(wire, frozenset())
    links = [c.name for c in installation.circuits.values() if _joins_batteries(wiring, c)] if foreign else []
    carrying = [name for name in links if foreign & set(tree.circuits[name].loads)]
    if all(_has_fuse(installation.circuits[name]) for name in carrying):
        loads -= foreign
    else:
        carrying = []
    own = [
        circuit.name
        for circuit in installation.circuits.values()
        if circuit.state is not State.REMOVE
        and loads & set(circuit.loads)
        and any(not part.returning for part in circuit.parts)
    ]
    return (*own, *carrying)


def _joins_batteries(wiring: Wiring, circuit: Circuit) -> bool:
    plus = {
        supply.plus
        for supply in wiring.installation.supplies.values()
        if supply.kind is SupplyKind.BATTERY and supply.state is not State.REMOVE
    }
    return circuit.name in wiring.tree.circuits and circuit.start in plus and circuit.end in plus


def _has_fuse(circuit: Circuit) -> bool:
    return any(part.kind in FUSES for part in circuit.parts)


def together_a(
    own_a: Mapping[str, float],
    feeders_of: Callable[[str], Sequence[str]],
    smallest_a: Callable[[str], float | None],
) -> float:
    """Return the sum of the fuses of circuits, what a feeder feeds no more than the feeder's own fuse. [A]

    `own_a` are the circuits with their smallest fuse, `feeders_of` names what feeds one, nearest the source
    first, `smallest_a` the smallest fuse of a feeder.
    """
    left = dict(own_a)
    depth = {feeder: k for name in left for k, feeder in enumerate(feeders_of(name))}
    # From the last feeder back to the source.
    for feeder in sorted(depth, key=lambda name: -depth[name]):
        limit_a = smallest_a(feeder)
        fed = [name for name in left if feeder in feeders_of(name)]
        if limit_a is not None and fed and feeder not in own_a:
            left[feeder] = min(limit_a, sum(left.pop(name) for name in fed))
    return sum(left.values())
