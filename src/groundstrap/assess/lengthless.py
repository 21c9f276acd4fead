"""The same wiring with every cable one metre long, for whatever does not hang on lengths.

Ampacities, windows of fuses, starts and the ends of cables are alike however long a cable is. What asks for
them here can't look at a length, and finds what was found for equal values before: an edit of a length, which
is the commonest, then costs what hangs on lengths alone.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import fields
from functools import cache
from operator import attrgetter
from typing import Any, Final, TypeVar

from groundstrap.assess.conductors import Lie
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Circuit, Element, Installation, Load, Part, Stretch, Wire
from groundstrap.records import dataclass, replace

__all__ = ["at_any_length", "differs_in_lengths", "made_alike"]

Answer = TypeVar("Answer")

_QUESTION: Final = "without lengths"
_ITSELF: Final = "itself"
_LATELY: Final = 8
"""Wirings of one shape without lengths that are kept: as many as of other questions, see ``shape``."""
_THERE = attrgetter("zone", "ambient_c", "cold_c", "loaded", "engine_space", "share", "guessed")
_REST = attrgetter("currents", "estimates", "supplies", "ends", "stand_ins", "short_runs", "lasting_a")


def at_any_length(wiring: Wiring, question: Hashable, find: Callable[[Wiring], Answer]) -> Answer:
    """Return what is found for a wiring whose cables are all of one metre, a fuse's distance none or one.

    It is found once for all wirings that differ in lengths alone, as long as they are asked for one soon
    after the other.
    """
    bare = _without_lengths(wiring)
    return bare.kept.once(question, lambda: find(bare))


def _without_lengths(wiring: Wiring) -> Wiring:
    """The wiring with cables of one metre; one of equal values asked for lately is the same object."""
    found: object = wiring.kept.get(_QUESTION)
    if found is _ITSELF:
        return wiring
    if not isinstance(found, Wiring):
        found = _looked_up(wiring) if found is None else _made(found)
        wiring.kept.put(_QUESTION, found)
    return found


def made_alike(of: Wiring, made: Wiring, change: Hashable, make: Callable[[Wiring], Wiring]) -> Wiring:
    """Return a wiring that was made of another by a change that looks at no length, told how it was made.

    Without lengths it is then the other without lengths, changed alike: sooner found than by all its values.
    """
    made.kept.put(_QUESTION, _Change(of, change, make))
    return made


@dataclass(frozen=True, slots=True, eq=False)
class _Change:
    """How a wiring was made of another."""

    of: Wiring
    change: Hashable
    make: Callable[[Wiring], Wiring]


def _made(how: object) -> Wiring:
    assert isinstance(how, _Change)
    bare = _without_lengths(how.of)

    def make() -> Wiring:
        found = how.make(bare)
        found.kept.put(_QUESTION, _ITSELF)
        return found

    return bare.kept.lately("changed", how.change, make)


def _looked_up(wiring: Wiring) -> Wiring:
    lately: list[Wiring] = wiring.topology.kept.once(_QUESTION, list)
    # A copy, for threads that plan the same shape share these.
    found = next((bare for bare in lately.copy() if differs_in_lengths(wiring, bare)), None)
    if found is None:
        found = _bare(wiring, _bare_installation(wiring.installation))
        lately.insert(0, found)
        del lately[_LATELY:]
    return found


def differs_in_lengths(wiring: Wiring, bare: Wiring) -> bool:
    """Tell whether a wiring differs from one without lengths in its lengths alone.

    Settings and tree, which are kept for a shape without loops, by being the same.
    """
    return (
        wiring.settings is bare.settings
        and wiring.tree is bare.tree
        and _REST(wiring) == _REST(bare)
        and _is_bare_installation(wiring.installation, bare.installation)
        and wiring.lies.keys() == bare.lies.keys()
        and all(
            list(map(_THERE, some)) == list(map(_THERE, bare.lies[name]))
            for name, some in wiring.lies.items()
        )
    )


def _is_bare_installation(one: Installation, bare: Installation) -> bool:
    rest = _all_but(Installation, "circuits", "loads", "assumptions")
    return (
        rest(one) == rest(bare)
        and one.loads.keys() == bare.loads.keys()
        and all(_bare_load(load) == bare.loads[name] for name, load in one.loads.items())
        and list(one.circuits) == list(bare.circuits)
        and all(map(_is_bare_circuit, one.circuits.values(), bare.circuits.values()))
    )


def _is_bare_circuit(one: Circuit, bare: Circuit) -> bool:
    rest = _all_but(Circuit, "path", "back", "length_m")
    return (
        rest(one) == rest(bare)
        and len(one.path) == len(bare.path)
        and len(one.back) == len(bare.back)
        and all(map(_is_bare_element, one.path, bare.path))
        and all(map(_is_bare_element, one.back, bare.back))
    )


def _is_bare_element(one: Element, bare: Element) -> bool:
    if isinstance(one, Wire) and isinstance(bare, Wire):
        rest = _all_but(Wire, "length_m", "stretches")
        return (
            rest(one) == rest(bare)
            and len(one.stretches) == len(bare.stretches)
            and all(map(_is_bare_stretch, one.stretches, bare.stretches))
        )
    if isinstance(one, Part) and isinstance(bare, Part):
        rest = _all_but(Part, "distance_m")
        return rest(one) == rest(bare) and bool(one.distance_m) == bool(bare.distance_m)
    return one == bare


def _is_bare_stretch(one: Stretch, bare: Stretch) -> bool:
    rest = _all_but(Stretch, "length_m", "route_m")
    return rest(one) == rest(bare) and (one.route_m is None) == (bare.route_m is None)


@cache
def _all_but(kind: type[Any], *lengths: str) -> Callable[[object], Any]:
    """What reads all fields of a record but some."""
    return attrgetter(*(each.name for each in fields(kind) if each.name not in lengths))


def _bare(wiring: Wiring, installation: Installation) -> Wiring:
    """The wiring of an installation without lengths, made of the one with them."""
    wires = {wire.name: wire for wire in installation.wires()}
    parts = {part.name: part for part in installation.parts()}
    pieces = tuple(
        replace(
            piece,
            wire=wires.get(piece.name) if piece.wire is not None else None,
            part=parts.get(piece.name) if piece.part is not None else None,
            load=installation.loads.get(piece.name) if piece.load is not None else None,
        )
        for piece in wiring.topology.pieces
    )
    found = replace(
        wiring,
        installation=installation,
        topology=replace(wiring.topology, installation=installation, pieces=pieces),
        lies={name: tuple(map(_of_a_metre, some)) for name, some in wiring.lies.items()},
        assumptions=(),
        own_wires={},
        passive={},
    )
    found.kept.put(_QUESTION, _ITSELF)
    return found


def _of_a_metre(lie: Lie) -> Lie:
    return replace(lie, length_m=1.0)


def _bare_installation(installation: Installation) -> Installation:
    circuits = {name: _bare_circuit(circuit) for name, circuit in installation.circuits.items()}
    loads = {name: _bare_load(load) for name, load in installation.loads.items()}
    return replace(installation, circuits=circuits, loads=loads, assumptions=())


def _bare_load(load: Load) -> Load:
    if load.fitted.length_m is None:
        return load
    return replace(load, fitted=replace(load.fitted, length_m=1.0))


def _bare_circuit(circuit: Circuit) -> Circuit:
    path, back = tuple(map(_bare_element, circuit.path)), tuple(map(_bare_element, circuit.back))
    return replace(circuit, path=path, back=back, length_m=1.0)


def _bare_element(element: Element) -> Element:
    if isinstance(element, Wire):
        return replace(element, length_m=1.0, stretches=tuple(map(_bare_stretch, element.stretches)))
    if isinstance(element, Part):
        return replace(element, distance_m=1.0 if element.distance_m else 0.0)
    return element


def _bare_stretch(stretch: Stretch) -> Stretch:
    return replace(stretch, length_m=1.0, route_m=None if stretch.route_m is None else 1.0)
