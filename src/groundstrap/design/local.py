"""The least size of each circuit by itself: minimum size, ampacity in every zone, and a fuse that fits.

A larger wire never makes a window narrower, so raising sizes until nothing complains ends at one least
answer, whatever the order.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from groundstrap.assess import ReasonKind
from groundstrap.assess.conductors import conductor, stretch_ampacity
from groundstrap.assess.regions import Guard
from groundstrap.assess.windows import fuse_window
from groundstrap.assess.wires import minimum_mm2, thermal_need_a
from groundstrap.assess.wiring import Wiring
from groundstrap.design.results import Binding, Unsolved
from groundstrap.design.shelf import Shelf
from groundstrap.model import Wire
from groundstrap.units import ConductorSize

__all__ = ["Least", "Local", "least_sizes", "stands_alone"]


@dataclass(frozen=True, slots=True)
class Local:
    """What sizing a circuit by itself needs."""

    wiring: Wiring
    shelf: Shelf
    open_wires: Mapping[str, tuple[Wire, ...]]
    guards: Mapping[str, Guard]

    def guarding(self, circuit: str) -> tuple[Guard, ...]:
        """Fuses that stand before some open wire of a circuit, or that sit in it."""
        names = {wire.name for wire in self.open_wires[circuit]}
        parts = {part.name for part in self.wiring.installation.circuits[circuit].parts}
        return tuple(g for g in self.guards.values() if names & set(g.pieces) or g.fuse in parts)


@dataclass(frozen=True, slots=True)
class Least:
    """Least sizes by index, what stopped each smaller one, and circuits that nothing fits."""

    index: Mapping[str, int]
    bindings: Mapping[str, Binding]
    unsolved: tuple[Unsolved, ...]


def least_sizes(local: Local) -> Least:
    """Return the least size of each circuit that has wires to choose."""
    sizes = local.shelf.sizes
    index: dict[str, int] = {}
    bindings: dict[str, Binding] = {}
    lost: dict[str, Unsolved] = {}
    for name in local.open_wires:
        unknown = _unknown_load(local, name)
        if unknown is not None:
            lost[name] = unknown
            continue
        index[name], bindings[name] = 0, Binding(kind=None, stock=local.shelf.from_stock)
    moved = True
    while moved:
        moved = False
        for name in sorted(index):
            complaint = stands_alone(local, name, index)
            while complaint is not None:
                moved = True
                bindings[name] = complaint
                if index[name] + 1 == len(sizes):
                    lost[name] = _unsolved(name, complaint)
                    del index[name]
                    break
                index[name] += 1
                complaint = stands_alone(local, name, index)
    return Least(index, {n: bindings[n] for n in index}, tuple(lost[n] for n in sorted(lost)))


def _unsolved(name: str, complaint: Binding) -> Unsolved:
    kind = complaint.kind or ReasonKind.UNKNOWN
    return Unsolved(
        circuit=name, kind=kind, where=complaint.where, value=complaint.value, limit=complaint.limit
    )


def _unknown_load(local: Local, circuit: str) -> Unsolved | None:
    for wire in local.open_wires[circuit]:
        if local.wiring.currents.pieces[wire.name].continuous_a is None:
            loads = local.wiring.currents.pieces[wire.name].loads
            unknown = [n for n in loads if not local.wiring.currents.draws[n].known]
            return Unsolved(circuit=circuit, kind=ReasonKind.UNKNOWN, where=", ".join(unknown) or wire.name)
    return None


def stands_alone(local: Local, circuit: str, index: Mapping[str, int]) -> Binding | None:
    """Return what stands against a circuit at its size, the others having theirs; None where nothing does.

    Where the smallest fault is that nothing is known, the size is not blamed for it.
    """
    size = local.shelf.sizes[index[circuit]]
    for complaint in _complaints(local, circuit, index, size):
        return complaint
    return None


def _complaints(
    local: Local, circuit: str, index: Mapping[str, int], size: ConductorSize
) -> Iterator[Binding]:
    for wire in local.open_wires[circuit]:
        yield from _wire_complaints(local.wiring, wire, size)
    chosen = {wire.name: local.shelf.sizes[k] for name, k in index.items() for wire in local.open_wires[name]}
    for guard in local.guarding(circuit):
        yield from _fuse_complaints(local, circuit, guard, chosen, size)


def _wire_complaints(wiring: Wiring, wire: Wire, size: ConductorSize) -> Iterator[Binding]:
    installation = wiring.installation
    least_mm2 = minimum_mm2(installation)
    # A gauge's area is printed rounded where it is the minimum.
    if size.area_mm2 < least_mm2 * (1 - 1e-3):
        yield Binding(
            kind=ReasonKind.MINIMUM,
            smaller=size,
            where=wire.name,
            value=size.area_mm2,
            limit=least_mm2,
        )
    amps = thermal_need_a(wiring, wire, size) or 0.0
    one = conductor(wire, size, installation.basis)
    for lie in wiring.lies[wire.name]:
        found = stretch_ampacity(one, lie, installation.basis, wire.parallel)
        if found.suitable is False:
            yield Binding(kind=ReasonKind.UNSUITABLE, smaller=size, where=wire.name, value=lie.ambient_c)
        elif found.ampacity_a is None or amps > found.ampacity_a * (1 + 1e-9):
            yield Binding(
                kind=ReasonKind.AMPACITY,
                smaller=size,
                where=wire.name,
                value=amps,
                limit=found.ampacity_a,
            )


def _fuse_complaints(
    local: Local, circuit: str, guard: Guard, chosen: Mapping[str, ConductorSize], size: ConductorSize
) -> Iterator[Binding]:
    wiring = local.wiring
    part = wiring.topology.pieces[wiring.index(guard.fuse)].part
    assert part is not None
    window = fuse_window(wiring, guard, chosen, ignore_open=True)
    reason = window.most_reason
    if not window.known or reason.where not in {w.name for w in local.open_wires[circuit]}:
        # Not known, or set by something that this circuit's size can't mend.
        return
    if part.rating_a is not None and window.most_limit_a is not None:
        if part.rating_a > window.most_limit_a * (1 + 1e-9):
            yield Binding(
                kind=ReasonKind.FUSE,
                smaller=size,
                where=guard.fuse,
                value=part.rating_a,
                limit=window.most_limit_a,
            )
    elif window.empty:
        yield Binding(
            kind=ReasonKind.WINDOW,
            smaller=size,
            where=guard.fuse,
            value=window.least_a or window.least_limit_a,
            limit=window.most_limit_a,
        )
