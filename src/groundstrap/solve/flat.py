"""The tables of a topology as flat arrays of whole numbers, for machine code."""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from groundstrap.solve.network import Law
from groundstrap.solve.topology import Indices, Topology


class Tables(NamedTuple):
    """What of a topology the step needs, flat."""

    starts: Indices
    ends: Indices
    slots: Indices
    step_nodes: Indices
    near_from: Indices
    near_nodes: Indices
    near_slots: Indices
    join_from: Indices
    join_near: Indices
    join_to: Indices
    heated: Indices
    firsts: Indices
    sizes: Indices
    cell_chains: Indices
    cell_signs: Indices
    powers: int
    laws: int
    actives: int
    currents: int
    kept: int
    slot_count: int


def tables_of(topology: Topology) -> Tables:
    """Return the flat tables of a topology, made once."""
    found = topology.code_cache.get("fast")
    if not isinstance(found, Tables):
        found = topology.code_cache["fast"] = _flatten(topology)
    return found


def _flatten(topology: Topology) -> Tables:
    slot_of = {chain: slot for chain, _, _, slot in topology.ties}
    near = [
        (other, slot, joins)
        for s in topology.steps
        for (other, slot), joins in zip(s.neighbours, s.joins, strict=True)
    ]
    joins = [pair for _, _, pairs in near for pair in pairs]
    spans = topology.heated.spans

    def whole(numbers: Iterable[int]) -> Indices:
        return np.array(list(numbers), np.intp)

    return Tables(
        starts=topology.starts,
        ends=topology.ends,
        slots=whole(slot_of.get(chain, -1) for chain in range(len(topology.chains))),
        step_nodes=whole(s.node for s in topology.steps),
        near_from=np.cumsum([0, *(len(s.neighbours) for s in topology.steps)], dtype=np.intp),
        near_nodes=whole(other for other, _, _ in near),
        near_slots=whole(slot for _, slot, _ in near),
        join_from=np.cumsum([0, *(len(pairs) for _, _, pairs in near)], dtype=np.intp),
        join_near=whole(one for one, _ in joins),
        join_to=whole(target for _, target in joins),
        heated=topology.heated.chains,
        firsts=whole(first for first, _ in spans),
        sizes=whole(last - first for first, last in spans),
        cell_chains=whole(cell.chain for cell in topology.cells),
        cell_signs=whole(cell.sign for cell in topology.cells),
        powers=topology.powers,
        laws=topology.law_span.stop,
        actives=topology.actives,
        currents=topology.current_span.stop,
        kept=len(topology.kept),
        slot_count=topology.slot_count,
    )


class Parts(NamedTuple):
    """What of a topology the writing needs, flat: the parts of all chains one after another.

    ``of`` says whether a part is a resistor, a heated conductor, a battery or active (0 to 3), ``at`` its
    place among those; ``inner`` is the node after it, or -1.
    """

    firsts: Indices
    of: Indices
    at: Indices
    branches: Indices
    signs: Indices
    inner: Indices


def parts_of(topology: Topology) -> Parts:
    """Return the flat parts of a topology, made once."""
    found = topology.code_cache.get("parts")
    if not isinstance(found, Parts):
        found = topology.code_cache["parts"] = _flatten_parts(topology)
    return found


def _flatten_parts(topology: Topology) -> Parts:
    kinds = (Law.RESISTOR, Law.HEATED, Law.BATTERY)
    places = {branch: place for place, branch in enumerate(topology.resistors.branches)}
    places |= {branch: place for place, branch in enumerate(topology.heated.branches)}
    places |= {cell.branch: place for place, cell in enumerate(topology.cells)}
    parts = [part for chain in topology.chains for part in chain.parts]
    laws = [topology.branches[part.branch][0] for part in parts]
    inner = [node for chain in topology.chains for node in (*chain.inner, -1)]
    return Parts(
        firsts=np.cumsum([0, *(len(chain.parts) for chain in topology.chains)], dtype=np.intp),
        of=np.array([kinds.index(law) if law in kinds else len(kinds) for law in laws], np.intp),
        at=np.array([places.get(part.branch, -1) for part in parts], np.intp),
        branches=np.array([part.branch for part in parts], np.intp),
        signs=np.array([part.sign for part in parts], np.intp),
        inner=np.array(inner, np.intp),
    )
