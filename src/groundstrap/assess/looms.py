"""How each wire lies: the air of each zone it crosses, and how many loaded conductors lie beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping

from groundstrap.assess.conductors import ENGINE_SPACE, Lie, bundle_share, insulation_of
from groundstrap.assess.figures import IDLE_SHARE
from groundstrap.model import (
    Assumption,
    Basis,
    Circuit,
    Element,
    Installation,
    State,
    Stretch,
    Wire,
    Zone,
)
from groundstrap.records import dataclass, replace
from groundstrap.tables import (
    Ampacity,
    NotTabled,
    default_insulation,
    insulation_for_zone,
    minimum_size,
    published_ampacity,
)
from groundstrap.words import term, words

__all__ = ["Suited", "lies", "suit_insulation"]

_BUNDLED = frozenset({"loom", "conduit", "bundle"})


@dataclass(frozen=True, slots=True)
class Suited:
    """An installation whose wires without a written insulation have one that suits their zones."""

    installation: Installation
    assumptions: tuple[Assumption, ...]


def suit_insulation(installation: Installation) -> Suited:
    """Give new wires whose insulation nobody wrote the least class that suits the air on their way.

    One for all such wires of a circuit, so that one drum serves it. Of wires that exist nobody chooses: the
    usual insulation of the basis counts, and where that does not stand the air, theirs is not known.
    """
    chosen: dict[str, str] = {}
    alike: dict[tuple[str, str, str], list[str]] = {}
    guessed: list[str] = []
    for circuit in installation.circuits.values():
        bare = [wire for wire in circuit.wires if wire.insulation is None]
        fresh = [wire for wire in bare if wire.state is State.NEW]
        zone = _hottest(installation, fresh)
        found = insulation_for_zone(installation.basis.value, zone.high_c) if zone is not None else None
        if zone is not None and found is not None and not isinstance(found, NotTabled):
            chosen |= dict.fromkeys((wire.name for wire in fresh), found.insulation.name)
            alike.setdefault((zone.name, found.insulation.name, found.why), []).append(circuit.name)
        if len(bare) > len(fresh):
            guessed.append(circuit.name)
    assumptions = _told(installation, alike, guessed)
    if not chosen:
        return Suited(installation, assumptions)
    circuits = {name: _suited(circuit, chosen) for name, circuit in installation.circuits.items()}
    return Suited(replace(installation, circuits=circuits), assumptions)


def _hottest(installation: Installation, wires: list[Wire]) -> Zone | None:
    zones = [installation.zones[stretch.zone] for wire in wires for stretch in wire.stretches]
    return max(zones, key=lambda zone: zone.high_c, default=None)


def _told(
    installation: Installation, alike: Mapping[tuple[str, str, str], list[str]], guessed: list[str]
) -> tuple[Assumption, ...]:
    """One assumption for all circuits of the same class and hottest zone, and one for what exists."""
    result = []
    for (zone, name, sold_as), circuits in alike.items():
        top_c = installation.zones[zone].high_c
        why = words(
            "{sold_as}, for new cable that crosses {zone}, up to {top}: {circuits} (own judgement)",
            sold_as=term(sold_as),
            zone=zone,
            top=f"{top_c:g} degC",
            circuits=", ".join(circuits),
        )
        result.append(Assumption(words("insulation"), term(name), why))
    if guessed:
        usual = default_insulation(installation.basis.value).insulation
        why = words(
            "nobody wrote it for what exists of {named}; where it does not stand the air, not known",
            named=", ".join(guessed),
        )
        result.append(Assumption(words("insulation"), term(usual.name), why))
    return tuple(result)


def _suited(circuit: Circuit, chosen: Mapping[str, str]) -> Circuit:
    def one(element: Element) -> Element:
        if isinstance(element, Wire) and element.name in chosen:
            return replace(element, insulation=chosen[element.name])
        return element

    return replace(circuit, path=tuple(map(one, circuit.path)), back=tuple(map(one, circuit.back)))


def lies(installation: Installation, amps: Mapping[str, float | None]) -> Mapping[str, tuple[Lie, ...]]:
    """Return for each wire how its pieces lie, by the wire's name.

    In a loom or conduit every wire of the job on the same route counts, ways back and parallel ones too,
    pieces of one run once, and `others` on top; what is lightly loaded at the least size does not.
    Elsewhere a wire counts itself and its own way back beside it. `amps` are the design currents.
    """
    every = _side_by_side(installation)

    def idles(wire: Wire, route: str) -> bool:
        return _idles(installation, wire, amps.get(wire.name), every[route])

    loaded = _side_by_side(installation, idles)
    beside = _beside(installation)
    return {wire.name: _lies_of(installation, wire, loaded, beside) for wire in installation.wires()}


def _side_by_side(
    installation: Installation, left_out: Callable[[Wire, str], bool] | None = None
) -> Counter[str]:
    """Conductors in each loom or conduit; pieces of one run follow one another and count as one."""
    most: dict[tuple[str, bool, str, int], int] = {}
    for wire in installation.wires():
        for route, passage in _passages(wire):
            if left_out is None or not left_out(wire, route):
                run = (wire.circuit, wire.returning, route, passage)
                most[run] = max(most.get(run, 0), wire.parallel)
    found: Counter[str] = Counter()
    for (_, _, route, _), conductors in most.items():
        found[route] += conductors
    return found


def _passages(wire: Wire) -> set[tuple[str, int]]:
    return {(s.route, s.passage) for s in wire.stretches if s.route is not None and s.laid in _BUNDLED}


def _idles(installation: Installation, wire: Wire, amps: float | None, among: int) -> bool:
    """Whether even the smallest size allowed would be lightly loaded among all the others."""
    if amps is None:
        return False
    smallest = minimum_size(installation.basis.value).area_mm2
    hottest_c = max(installation.zones[s.zone].high_c for s in wire.stretches)
    found = published_ampacity(
        basis=installation.basis.value,
        insulation_c=insulation_of(wire, installation.basis).class_c,
        area_mm2=smallest,
        ambient_c=hottest_c,
        loaded_conductors=among,
    )
    return isinstance(found, Ampacity) and amps / wire.parallel <= IDLE_SHARE * found.value_a


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
        guessed=wire.insulation is None and class_c <= zone.high_c,
    )
