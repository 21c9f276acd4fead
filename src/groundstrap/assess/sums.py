"""The worst sum of currents that may occur together: interlocks exactly, a block's `together` as a cap."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.settings import Setting
from groundstrap.assess.topology import Topology
from groundstrap.model import GearKind, Installation
from groundstrap.records import dataclass

__all__ = ["Cap", "Groups", "groups_of", "independent_sets", "worst_sum"]

Floats = NDArray[np.float64]

_LARGEST_EXACT = 12


@dataclass(frozen=True, slots=True)
class Cap:
    """Most that some draws take together through one block: amps, or a share of their sum."""

    members: NDArray[np.bool_]
    most_a: float | None
    most_share: float | None


@dataclass(frozen=True, slots=True)
class Groups:
    """Sets of draws that may be on together, and caps, smallest first."""

    exclusive: tuple[tuple[NDArray[np.intp], ...], ...]
    """For each group of interlocked draws, the largest sets of it that may be on, as columns."""
    caps: tuple[Cap, ...]


def groups_of(topology: Topology, settings: tuple[Setting, ...], names: tuple[str, ...]) -> Groups:
    """Return interlocks and caps in terms of the columns of the draws."""
    column = {name: number for number, name in enumerate(names)}
    exclusive = []
    for component in _components(topology.installation):
        sets = independent_sets(topology.installation, component)
        kept = [np.array([column[n] for n in s if n in column], dtype=np.intp) for s in sets]
        exclusive.append(tuple(kept))
    caps = [cap for cap in (_cap(topology, settings, g) for g in _capped(topology)) if cap is not None]
    caps.sort(key=lambda cap: int(cap.members.sum()))
    return Groups(tuple(exclusive), tuple(caps))


def _excluded(installation: Installation) -> Mapping[str, frozenset[str]]:
    pairs: dict[str, set[str]] = {}
    for name, load in installation.loads.items():
        for other in load.never_with:
            if other in installation.loads:
                pairs.setdefault(name, set()).add(other)
                pairs.setdefault(other, set()).add(name)
    return {name: frozenset(others) for name, others in pairs.items()}


def _components(installation: Installation) -> list[tuple[str, ...]]:
    excluded = _excluded(installation)
    seen: set[str] = set()
    result = []
    for name in (n for n in installation.loads if n in excluded):
        if name in seen:
            continue
        reach, todo = {name}, [name]
        while todo:
            for other in excluded[todo.pop()] - reach:
                reach.add(other)
                todo.append(other)
        seen |= reach
        result.append(tuple(n for n in installation.loads if n in reach))
    return result


def independent_sets(installation: Installation, names: tuple[str, ...]) -> tuple[frozenset[str], ...]:
    """Return the largest sets of interlocked loads that may be on together, exactly for a dozen loads.

    With more the whole group counts as one set, which only overstates.
    """
    excluded = _excluded(installation)
    if len(names) > _LARGEST_EXACT:
        return (frozenset(names),)
    found: list[frozenset[str]] = []
    for count in range(len(names), 0, -1):
        for chosen in combinations(names, count):
            candidate = frozenset(chosen)
            if any(candidate <= larger for larger in found):
                continue
            if all(not (excluded.get(name, frozenset()) & candidate) for name in candidate):
                found.append(candidate)
    return tuple(found)


def _capped(topology: Topology) -> list[str]:
    return [
        gear.name
        for gear in topology.installation.gear.values()
        if gear.kind is GearKind.BLOCK
        and (gear.together_a is not None or gear.together_pct is not None)
        and gear.name in topology.node_of
    ]


def _cap(topology: Topology, settings: tuple[Setting, ...], gear_name: str) -> Cap | None:
    gear = topology.installation.gear[gear_name]
    node = topology.node(gear_name)
    rows = [k for k, p in enumerate(topology.pieces) if node in {p.start, p.end}]
    members: NDArray[np.bool_] | None = None
    for setting in settings:
        through = np.abs(setting.flows.share[rows]).sum(axis=0) / 2.0 > 0.5
        members = through if members is None else members | through
    if members is None or not members.any():
        return None
    share = None if gear.together_pct is None else gear.together_pct / 100.0
    return Cap(members, gear.together_a, share)


def worst_sum(amps: Floats, groups: Groups) -> Floats:
    """Largest current of each piece (row) over everything that may be on together (columns). [A]

    Currents of one direction add; those of the other are taken as off.
    """
    return np.maximum(_one_way(np.maximum(amps, 0.0), groups), _one_way(np.maximum(-amps, 0.0), groups))


def _one_way(amps: Floats, groups: Groups) -> Floats:
    left = amps.copy()
    for sets in groups.exclusive:
        members = np.unique(np.concatenate(sets)) if sets else np.array([], dtype=np.intp)
        if not members.size:
            continue
        best = np.max([amps[:, chosen].sum(axis=1) for chosen in sets], axis=0)
        left[:, members] = 0.0
        # The group's worst stands at its first member, so that a cap around the whole group still sees it.
        left[:, members[0]] = best
    for cap in groups.caps:
        members = np.flatnonzero(cap.members)
        inside = left[:, members].sum(axis=1)
        most = np.full(amps.shape[0], np.inf if cap.most_a is None else cap.most_a)
        if cap.most_share is not None:
            most = np.minimum(most, cap.most_share * inside)
        # A load that takes more than the block allows together still takes it through its own wire.
        most = np.maximum(most, left[:, members].max(axis=1))
        left[:, members] = 0.0
        left[:, members[0]] = np.minimum(inside, most)
    return np.asarray(left.sum(axis=1), dtype=np.float64)
