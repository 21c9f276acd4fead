"""How each wire lies: the air of each zone it crosses, and how many loaded conductors lie beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from groundstrap.assess.conductors import ENGINE_SPACE, Lie, bundle_share, insulation_of
from groundstrap.model import Basis, Installation, Stretch, Wire

__all__ = ["lies"]

_BUNDLED = frozenset({"loom", "conduit", "bundle"})


def lies(installation: Installation) -> Mapping[str, tuple[Lie, ...]]:
    """Return for each wire how its pieces lie, by the wire's name.

    In a loom or conduit every wire of the job on the same route counts, ways back and parallel ones included,
    and `others` on top. Elsewhere a wire counts itself and its own way back beside it.
    """
    looms: Counter[str] = Counter()
    for wire in installation.wires():
        for route in {s.route for s in wire.stretches if s.route is not None and s.laid in _BUNDLED}:
            looms[route] += wire.parallel
    beside = _beside(installation)
    return {wire.name: _lies_of(installation, wire, looms, beside) for wire in installation.wires()}


def _beside(installation: Installation) -> Counter[tuple[str, str, str | None]]:
    """Conductors of one circuit that lie side by side, by circuit, zone and route."""
    count: Counter[tuple[str, str, str | None]] = Counter()
    for circuit in installation.circuits.values():
        for way in (circuit.path, circuit.back):
            seen: dict[tuple[str, str, str | None], int] = {}
            for element in way:
                if isinstance(element, Wire):
                    for stretch in element.stretches:
                        key = (circuit.name, stretch.zone, stretch.route)
                        seen[key] = max(seen.get(key, 0), element.parallel)
            count.update(seen)
    return count


def _lies_of(
    installation: Installation,
    wire: Wire,
    looms: Counter[str],
    beside: Counter[tuple[str, str, str | None]],
) -> tuple[Lie, ...]:
    result = []
    for stretch in wire.stretches or (Stretch(zone="cabin", length_m=wire.length_m),):
        loaded = max(1, beside[wire.circuit, stretch.zone, stretch.route])
        if stretch.laid in _BUNDLED and stretch.route is not None:
            loaded = max(loaded, looms[stretch.route])
        result.append(_lie(installation, wire, stretch, loaded + stretch.others))
    return tuple(result)


def _lie(installation: Installation, wire: Wire, stretch: Stretch, loaded: int) -> Lie:
    zone = installation.zones[stretch.zone]
    class_c = insulation_of(wire, installation.basis).class_c
    return Lie(
        zone=zone.name,
        ambient_c=zone.high_c,
        cold_c=zone.low_c,
        length_m=stretch.length_m,
        loaded=loaded,
        engine_space=installation.basis is Basis.BOAT and stretch.zone == ENGINE_SPACE,
        share=bundle_share(installation.basis, class_c, loaded),
    )
