"""Where things are and which way cables go: places, runs between them, and what lies in each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field

from groundstrap.assess import BundleAssessment
from groundstrap.draw.references import natural
from groundstrap.model import Installation, Wire
from groundstrap.records import dataclass
from groundstrap.report.plan import Plan

__all__ = ["Geography", "Run", "geography"]


@dataclass(frozen=True, slots=True)
class Run:
    """What lies between two places: along a measured route, or by the length of the cable alone."""

    name: str
    """The route's own, or both places."""
    start: str
    end: str
    measured: bool
    length_m: float | None
    laid: str | None
    wires: tuple[str, ...]
    bundles: tuple[BundleAssessment, ...] = ()
    others: int = 0


@dataclass(frozen=True, slots=True)
class Geography:
    """Everything by place."""

    places: Mapping[str, tuple[str, ...]]
    """Place -> names of what is there."""
    runs: tuple[Run, ...]
    inside: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Place -> cables that never leave it."""


@dataclass(slots=True)
class _Found:
    start: str
    end: str
    measured: bool
    length_m: float | None = None
    laid: str | None = None
    others: int = 0
    wires: dict[str, None] = field(default_factory=dict)


def geography(plan: Plan) -> Geography:
    """Return the places of a job with what is there, and the runs between them with their cables."""
    installation = plan.installation
    where = dict(_where(installation))
    things: dict[str, dict[str, None]] = {}
    for name, place in _things(installation):
        things.setdefault(place, {})[name] = None
    found: dict[str, _Found] = {}
    inside: dict[str, list[str]] = {}
    for circuit in installation.circuits.values():
        for wire in circuit.wires:
            ends = where.get(wire.start), where.get(wire.end)
            if not _along(wire, found):
                _across(wire, ends, found, inside)
            for place in filter(None, ends):
                things.setdefault(place, {})
    bundles: dict[str, list[BundleAssessment]] = {}
    for bundle in plan.assessment.bundles:
        bundles.setdefault(bundle.route, []).append(bundle)
    for run in found.values():
        for place in (run.start, run.end):
            things.setdefault(place, {})
    return Geography(
        {place: tuple(things[place]) for place in sorted(things, key=natural)},
        tuple(_run(name, found[name], bundles.get(name, [])) for name in sorted(found, key=natural)),
        {place: tuple(wires) for place, wires in sorted(inside.items())},
    )


def _run(name: str, found: _Found, bundles: list[BundleAssessment]) -> Run:
    return Run(
        name,
        found.start,
        found.end,
        found.measured,
        found.length_m,
        found.laid,
        tuple(found.wires),
        tuple(bundles),
        found.others,
    )


def _along(wire: Wire, found: dict[str, _Found]) -> bool:
    """Put a wire on the measured routes that it follows; whether it follows any."""
    routes = [stretch for stretch in wire.stretches if stretch.route is not None]
    for stretch in routes:
        assert stretch.route is not None
        start, _, end = stretch.route.partition(" to ")
        run = found.setdefault(stretch.route, _Found(start, end, measured=True))
        run.length_m, run.laid, run.others = stretch.route_m, stretch.laid, stretch.others
        run.wires[wire.name] = None
    return bool(routes)


def _across(
    wire: Wire, ends: tuple[str | None, str | None], found: dict[str, _Found], inside: dict[str, list[str]]
) -> None:
    """Put a wire that follows no measured route between its places, or inside the one that it stays in."""
    start, end = ends
    if start is None or end is None or start == end:
        inside.setdefault(start or end or "", []).append(wire.name)
        return
    first, second = sorted((start, end), key=natural)
    run = found.setdefault(f"{first}, {second}", _Found(first, second, measured=False))
    run.wires[wire.name] = None


def _things(installation: Installation) -> Iterator[tuple[str, str]]:
    """Name and place of all that is fitted somewhere."""
    for supply in installation.supplies.values():
        yield supply.name, supply.place
    for gear in installation.gear.values():
        yield gear.name, gear.place
    for load in installation.loads.values():
        if load.relay is None:
            yield load.name, load.place
    for circuit in installation.circuits.values():
        for part in circuit.parts:
            if part.gear is None:
                yield part.name, part.place
    for point in installation.chassis_points:
        if " at " in point:
            yield point, point.partition(" at ")[2]


def _where(installation: Installation) -> Iterator[tuple[str, str]]:
    """Place of every point."""
    for supply in installation.supplies.values():
        for end in (supply.plus, supply.minus, supply.in_plus, supply.in_minus, *supply.taps):
            if end is not None:
                yield end, supply.place
    for gear in installation.gear.values():
        yield gear.name, gear.place
    for load in installation.loads.values():
        yield load.plus, load.place
        yield load.minus, load.place
    for circuit in installation.circuits.values():
        for part in circuit.parts:
            yield part.start, part.place
            yield part.end, part.place
    for point in installation.chassis_points:
        if " at " in point:
            yield point, point.partition(" at ")[2]
