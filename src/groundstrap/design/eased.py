"""What is written and makes a cable far thicker than it would be else: tried by choosing anew without it.

A part or a thin piece that takes most of a drop limit, or a circuit's own fuse at the end that nothing feeds,
so that the cable must stand the large fuse before it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import ReasonKind
from groundstrap.design.altered import fuse_at
from groundstrap.design.bound import chains_by_owner, piece_drops
from groundstrap.design.choose import Settled
from groundstrap.design.remedies import Trials, change_of, size_of
from groundstrap.design.results import Binding, Blame, Change, Design
from groundstrap.design.written import written_on
from groundstrap.records import dataclass, replace

__all__ = ["with_eased"]

_LEAST_SHARE = 0.3
"""What takes less of a drop limit is not looked at. Own judgement."""

_WORTH = 0.65
"""Told only where the cable shrinks to this share of its copper: two standard sizes. Own judgement."""

_LEAST_TIMES = 0.5
"""A circuit that carries more than this share of the fuse before it has nothing to gain. Own judgement."""

_FUSE = frozenset({ReasonKind.WINDOW, ReasonKind.FUSE})


def with_eased(settled: Settled, trials: Trials) -> Mapping[str, Binding]:
    """Return what stopped each circuit's next smaller wire, with what would let it be far smaller."""
    ways = _Ways(settled)
    return {name: _with(ways, trials, name, each) for name, each in settled.design.bindings.items()}


@dataclass(frozen=True)
class _Ways:
    """A design with what is lost on every way that has a limit, looked up once where it is asked for."""

    settled: Settled

    @cached_property
    def drops(self) -> NDArray[np.float64]:
        """Volts that each piece loses whose size is written. [V]"""
        return piece_drops(self.settled.task.wiring, "typical")

    @cached_property
    def shares(self) -> Mapping[str, tuple[NDArray[np.float64], ...]]:
        """By load, converter input or circuit."""
        return chains_by_owner(self.settled.task.wiring)

    def of(self, circuit: str) -> Iterator[NDArray[np.float64]]:
        """Yield the ways whose limits are a circuit's own."""
        each = self.settled.task.wiring.installation.circuits[circuit]
        for name in dict.fromkeys((circuit, *each.loads, f"{each.converter} input")):
            yield from self.shares.get(name, ())


def _with(ways: _Ways, trials: Trials, name: str, binding: Binding) -> Binding:
    if binding.kind is ReasonKind.DROP:
        found = next(_less_lost(ways, trials, name, binding), None)
    elif binding.kind in _FUSE and binding.where:
        found = next(_fused_at_an_end(ways.settled, trials, name, binding), None)
    else:
        return binding
    return binding if found is None else replace(binding, eased=found)


def _less_lost(ways: _Ways, trials: Trials, name: str, binding: Binding) -> Iterator[Blame]:
    least_v = _LEAST_SHARE * (binding.limit or 0.0)
    for share in ways.of(binding.where):
        # What all of it together does not lose, no piece of it does. A wire that melts drops without end,
        # but only where it lies in the way.
        on_way = np.flatnonzero(share)
        if float(share[on_way] @ ways.drops[on_way]) < least_v:
            continue
        for thing in written_on(ways.settled.task.wiring, share, ways.drops):
            if thing.lost_v < least_v:
                continue
            design = trials.opened((thing,))
            change = change_of(design, thing)
            if change is not None and _worth(ways.settled.design, design, trials, name):
                yield Blame((change,), thing.lost_v, size_of(design, name))


def _fused_at_an_end(settled: Settled, trials: Trials, name: str, binding: Binding) -> Iterator[Blame]:
    """A fuse of its own right where it is fed, where that of another circuit sets its size."""
    circuit, wiring = trials.installation.circuits[name], settled.task.wiring
    owner = wiring.topology.pieces[wiring.index(binding.where)].circuit
    own = next((p.name for p in wiring.topology.pieces if p.is_fuse and p.circuit == name), "")
    carried_a = max(wiring.currents.pieces[wire.name].continuous_a or 0.0 for wire in circuit.wires)
    small = carried_a <= _LEAST_TIMES * (binding.value or 0.0)
    if owner == name or not small or not (own or circuit.loads or circuit.converter):
        return
    for far in (False, True):
        design = _chosen_with_fuse(trials, name, far=far)
        if design is None or not _worth(settled.design, design, trials, name):
            continue
        fuse = design.fuses.get(own or f"{name} fuse")
        rating_a, family = (None, "") if fuse is None else (fuse.rating_a, fuse.family)
        at = circuit.end if far else circuit.start
        yield Blame((Change(own, at=at, would_do_a=rating_a, family=family),), 0.0, size_of(design, name))


def _chosen_with_fuse(trials: Trials, name: str, *, far: bool) -> Design | None:
    altered = fuse_at(trials.installation, name, far=far)
    return None if altered is None else trials.chosen((name, "fuse", far), lambda: altered)


def _worth(before: Design, after: Design, trials: Trials, name: str) -> bool:
    """Whether a circuit's cable shrinks by much, without more copper in all."""
    was, now = size_of(before, name), size_of(after, name)
    if was is None or now is None or {each.circuit for each in after.unsolved} - trials.lost:
        return False
    return now.area_mm2 <= _WORTH * was.area_mm2 and after.copper_cm3 < before.copper_cm3
