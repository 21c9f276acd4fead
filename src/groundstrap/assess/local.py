"""What stands against a size for one circuit before anything is solved: strength, heat, and its fuses."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.conductors import conductor, stretch_ampacity
from groundstrap.assess.regions import Guard
from groundstrap.assess.results import Reason, ReasonKind
from groundstrap.assess.windows import fuse_window
from groundstrap.assess.wires import minimum_mm2, thermal_need_a
from groundstrap.assess.wiring import Wiring, is_open
from groundstrap.model import Circuit, Wire
from groundstrap.units import ConductorSize

__all__ = ["candidate_check"]


def candidate_check(
    wiring: Wiring, guards: Mapping[str, Guard], circuit: Circuit, size: ConductorSize
) -> Reason | None:
    """Return what stands against this size for all wires of a circuit that are still to be chosen, or None.

    Only what is local counts: the smallest size allowed, the insulation, ampacity in every zone, and the
    window of each fuse that stands before one of the wires. Open wires of other circuits set no limit.
    """
    wires = [wire for wire in circuit.wires if is_open(wire)]
    for wire in wires:
        found = _against_wire(wiring, wire, size)
        if found is not None:
            return found
    sizes = {wire.name: size for wire in wires}
    for guard in guards.values():
        if not sizes.keys() & set(guard.pieces):
            continue
        found = _against_window(wiring, guard, sizes)
        if found is not None:
            return found
    return None


def _against_wire(wiring: Wiring, wire: Wire, size: ConductorSize) -> Reason | None:
    least_mm2 = minimum_mm2(wiring.installation)
    if size.area_mm2 < least_mm2 * (1 - 1e-3):
        return Reason(kind=ReasonKind.MINIMUM, where=wire.name, value=size.area_mm2, limit=least_mm2)
    one = conductor(wire, size, wiring.installation.basis)
    for lie in wiring.lies[wire.name]:
        found = stretch_ampacity(one, lie, wiring.installation.basis, wire.parallel)
        if found.suitable is False:
            class_c = one.insulation.class_c
            return Reason(kind=ReasonKind.UNSUITABLE, where=wire.name, value=class_c, limit=lie.ambient_c)
        need_a = thermal_need_a(wiring, wire, size)
        if need_a is None or found.ampacity_a is None:
            return Reason(kind=ReasonKind.UNKNOWN, where=wire.name, value=need_a, limit=found.ampacity_a)
        if need_a > found.ampacity_a * (1 + 1e-9):
            return Reason(
                kind=ReasonKind.AMPACITY,
                where=wire.name,
                value=need_a,
                limit=found.ampacity_a,
                source=found.source,
            )
    return None


def _against_window(wiring: Wiring, guard: Guard, sizes: Mapping[str, ConductorSize]) -> Reason | None:
    window = fuse_window(wiring, guard, sizes, ignore_open=True)
    part = wiring.topology.pieces[wiring.index(guard.fuse)].part
    assert part is not None
    if part.rating_a is not None:
        most = window.most_limit_a
        if most is None:
            return window.most_reason
        if part.rating_a > most * (1 + 1e-9):
            # The fuse is written: a thicker wire may still suit it.
            return Reason(kind=ReasonKind.FUSE, where=guard.fuse, value=part.rating_a, limit=most)
        return None
    if not window.known:
        low = window.least_reason
        return low if low.kind is ReasonKind.UNKNOWN else window.most_reason
    if window.empty:
        return Reason(
            kind=ReasonKind.WINDOW,
            where=guard.fuse,
            value=window.least_a if window.least_a is not None else window.least_limit_a,
            limit=window.most_limit_a,
            source=window.most_reason.source,
            because=window.most_reason.kind,
        )
    return None
