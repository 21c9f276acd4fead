"""The least size of each circuit by itself: minimum size, ampacity in every zone, and room for a fuse.

What a fuse needs does not depend on any size: a written rating stands, of the others the lowest that carries
the load. A window has a rating exactly where every piece behind the fuse allows that one, so each circuit's
wires can be judged by themselves and the answer can't depend on any order. What no wire can mend (the load's
own lead, a connector) leaves the window empty without making a wire thicker.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from groundstrap.assess import Reason, ReasonKind, guards, pushed_limits, shared_returns
from groundstrap.assess.bonds import bonded_fuses
from groundstrap.assess.conductors import Conductor, Lie, carrying, conductor
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.regions import Guard
from groundstrap.assess.thermal import conductor_c
from groundstrap.assess.windows import curve_limit_a, steady_limit_a
from groundstrap.assess.wires import minimum_mm2, thermal_need_a
from groundstrap.assess.wiring import Wiring
from groundstrap.design.fuses import FuseNeed
from groundstrap.design.results import Binding, Unsolved
from groundstrap.design.shelf import Shelf, open_circuits
from groundstrap.design.unfed import parted_links, unfed_circuits
from groundstrap.model import Wire
from groundstrap.records import dataclass, replace
from groundstrap.tables import part_temperature
from groundstrap.units import ConductorSize

__all__ = ["Least", "Local", "Need", "forced_of", "least_sizes", "needs_of", "stands_alone"]


@dataclass(frozen=True, slots=True)
class Local:
    """What sizing a circuit by itself needs."""

    wiring: Wiring
    shelf: Shelf
    open_wires: Mapping[str, tuple[Wire, ...]]
    needs: Mapping[str, tuple[Need, ...]]
    """Wire -> what each fuse before it must be."""
    forced: Mapping[str, tuple[Reason, ...]]
    """Wire -> currents that nothing before it ends."""
    at_parts: Mapping[str, tuple[Lie, ...]]
    """Wire -> where it brings its heat to a fuse, switch, relay or stud."""


@dataclass(frozen=True, slots=True)
class Need:
    """Rating that the wires behind a fuse must allow."""

    fuse: str
    rating_a: float
    written: bool
    family: str
    behind: str


@dataclass(frozen=True, slots=True)
class Least:
    """Least sizes by index, what stopped each smaller one, and circuits that nothing fits."""

    index: Mapping[str, int]
    bindings: Mapping[str, Binding]
    unsolved: tuple[Unsolved, ...]


def needs_of(wiring: Wiring, asked: Mapping[str, FuseNeed]) -> Mapping[str, tuple[Need, ...]]:
    """Return for each wire the ratings it must allow.

    A fuse that carries nothing known, or more than any rating carries, asks nothing of the wires behind it.
    A bond between body and battery lies behind every fuse whose short to the body comes back by it.
    """
    fuses = guards(wiring.topology, wiring.tree)
    bonds = {name: frozenset(over) for name, over in bonded_fuses(wiring).items()}
    result: dict[str, list[Need]] = {}
    for fuse, need in asked.items():
        over = (name for name, names in bonds.items() if fuse in names)
        for name in dict.fromkeys((*fuses[fuse].pieces, *over)):
            result.setdefault(name, []).append(
                Need(fuse, need.rating_a, need.written, need.family, need.behind)
            )
    return {name: tuple(needs) for name, needs in result.items()}


def forced_of(
    wiring: Wiring,
    fuses: Mapping[str, Guard],
    asked: Mapping[str, FuseNeed],
    ratings_a: Mapping[str, float] | None = None,
) -> Mapping[str, tuple[Reason, ...]]:
    """Return for each wire the currents that nothing before it ends.

    They are a source's limit, and the sum of the fuses of a shared return: `ratings_a` are fuses that are
    chosen already, the others count what they are or must at least be.
    """
    needs = {fuse: need.rating_a for fuse, need in asked.items()}
    needs |= ratings_a or {}
    result: dict[str, list[Reason]] = {}
    for each in (pushed_limits(wiring), shared_returns(wiring, fuses, needs)):
        for name, reason in each.items():
            result.setdefault(name, []).append(reason)
    return {name: tuple(reasons) for name, reasons in result.items()}


def least_sizes(local: Local) -> Least:
    """Return the least size of each circuit that has wires to choose."""
    index: dict[str, int] = {}
    bindings: dict[str, Binding] = {}
    lost: dict[str, Unsolved] = {}
    unfed, parted = unfed_circuits(local.wiring), parted_links(local.wiring)
    for name in sorted(local.open_wires):
        if name in unfed:
            kind = ReasonKind.PARTED if name in parted else ReasonKind.UNFED
            lost[name] = Unsolved(circuit=name, kind=kind, where=unfed[name])
            continue
        unknown = _unknown_load(local, name)
        if unknown is not None:
            lost[name] = unknown
            continue
        number, binding = _looked_at(local, name)
        if number is None:
            lost[name] = _unsolved(name, binding)
        else:
            index[name], bindings[name] = number, binding
    return Least(index, bindings, tuple(lost[n] for n in sorted(lost)))


def _looked_at(local: Local, circuit: str) -> tuple[int | None, Binding]:
    """The least size of a circuit with what stopped the next smaller one, which hangs on no length."""
    names = [wire.name for wire in local.open_wires[circuit]]
    asked = tuple((local.needs.get(name, ()), local.forced.get(name, ())) for name in names)

    def find(bare: Wiring) -> tuple[int | None, Binding]:
        wires = bare.kept.once("open circuits", lambda: open_circuits(bare.installation))
        return _least_size(replace(local, wiring=bare, open_wires=wires), circuit)

    return at_any_length(local.wiring, ("least size", circuit, asked), find)


def _least_size(local: Local, circuit: str) -> tuple[int | None, Binding]:
    binding = Binding(kind=None, stock=local.shelf.from_stock)
    for number, size in enumerate(local.shelf.sizes):
        complaint = stands_alone(local, circuit, size)
        if complaint is None:
            return number, binding
        binding = complaint
        if complaint.kind is ReasonKind.UNSUITABLE:
            # A thicker wire has the same insulation.
            break
    return None, binding


def _unsolved(name: str, complaint: Binding) -> Unsolved:
    kind = complaint.kind or ReasonKind.UNKNOWN
    return Unsolved(
        circuit=name, kind=kind, where=complaint.where, value=complaint.value, limit=complaint.limit
    )


def _unknown_load(local: Local, circuit: str) -> Unsolved | None:
    for wire in local.open_wires[circuit]:
        carried = local.wiring.currents.pieces[wire.name]
        if carried.continuous_a is None:
            behind = local.wiring.tree.loads_behind[wire.name]
            loads = [name for name in local.wiring.installation.loads if name in behind]
            unknown = [name for name in loads if not local.wiring.currents.draws[name].known]
            return Unsolved(
                circuit=circuit,
                kind=ReasonKind.UNKNOWN,
                where=", ".join(unknown) or wire.name,
                hangs_on=() if unknown else _circuits_of(local.wiring, carried.hangs_on),
            )
    return None


def _circuits_of(wiring: Wiring, pieces: Sequence[str]) -> tuple[str, ...]:
    owners = (wiring.topology.pieces[wiring.index(name)].circuit or name for name in pieces)
    return tuple(dict.fromkeys(owners))


def stands_alone(local: Local, circuit: str, size: ConductorSize) -> Binding | None:
    """Return what stands against a circuit's wires at one size; None where nothing does."""
    return next(_complaints(local, circuit, size), None)


def _complaints(local: Local, circuit: str, size: ConductorSize) -> Iterator[Binding]:
    for wire in local.open_wires[circuit]:
        yield from _wire_complaints(local, wire, size)
    for wire in local.open_wires[circuit]:
        yield from _fuse_complaints(local, wire, size)


def _wire_complaints(local: Local, wire: Wire, size: ConductorSize) -> Iterator[Binding]:
    wiring, installation = local.wiring, local.wiring.installation
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
    load = Reason(kind=ReasonKind.AMPACITY, where=wire.name, value=amps)
    one = conductor(wire, size, installation.basis)
    for lie in wiring.lies[wire.name]:
        found = carrying(one, lie, installation.basis, wire.parallel)
        if found.suitable is False:
            yield Binding(
                kind=ReasonKind.UNSUITABLE,
                smaller=size,
                where=wire.name,
                value=one.insulation.class_c,
                limit=lie.ambient_c,
            )
            continue
        yield from _lasting_complaint(wiring, wire, size, found.lasting_limit_a)
        for reason in (load, *local.forced.get(wire.name, ())):
            if found.ampacity_a is None or (reason.value or 0.0) > found.ampacity_a * (1 + 1e-9):
                yield Binding(
                    kind=reason.kind,
                    smaller=size,
                    where=reason.where,
                    value=reason.value,
                    limit=found.ampacity_a,
                )
    yield from _heat_complaint(local, wire, size, one)


def _heat_complaint(local: Local, wire: Wire, size: ConductorSize, one: Conductor) -> Iterator[Binding]:
    """What a wire brings to a part whose own limit nobody wrote; in hot air the part must be made for it."""
    stands = part_temperature()
    carried = local.wiring.currents.pieces[wire.name]
    amps = (carried.continuous_a or 0.0) / wire.parallel
    for lie in local.at_parts.get(wire.name, ()):
        hot_c = conductor_c(one, lie, amps, carried.pulses, local.wiring.installation.loads)
        if lie.ambient_c < stands.low_c and hot_c > stands.high_c:
            yield Binding(
                kind=ReasonKind.CONDUCTOR, smaller=size, where=wire.name, value=hot_c, limit=stands.high_c
            )


def _lasting_complaint(
    wiring: Wiring, wire: Wire, size: ConductorSize, limit_a: float | None
) -> Iterator[Binding]:
    """What goes on round the clock keeps its insulation below the class."""
    amps = wiring.lasting_a.get(wire.name, 0.0)
    if limit_a is not None and amps > limit_a * (1 + 1e-9):
        yield Binding(kind=ReasonKind.AMPACITY, smaller=size, where=wire.name, value=amps, limit=limit_a)


def _fuse_complaints(local: Local, wire: Wire, size: ConductorSize) -> Iterator[Binding]:
    needs = local.needs.get(wire.name, ())
    if not needs:
        return
    steady_a = steady_limit_a(local.wiring, wire, size)
    for need in needs:
        curve_a = curve_limit_a(local.wiring, wire, size, need.fuse, need.rating_a, need.family)
        most_a = min(steady_a, curve_a)
        if need.rating_a > most_a * (1 + 1e-9):
            yield Binding(
                kind=ReasonKind.FUSE if need.written else ReasonKind.WINDOW,
                smaller=size,
                where=need.fuse,
                value=need.rating_a,
                limit=most_a,
                family=need.family,
                behind=need.behind,
            )
