"""Ratings for the fuses that nobody wrote: the lowest of the window, of a family that can break the fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from groundstrap.assess.faults import find_faults
from groundstrap.assess.regions import Guard, guards
from groundstrap.assess.results import Window
from groundstrap.assess.windows import candidates, fuse_window
from groundstrap.assess.wiring import Wiring
from groundstrap.design.results import FuseChoice
from groundstrap.model import Part, PartKind, State
from groundstrap.tables import NotTabled, breaking_capacity

__all__ = ["choose_fuses"]

_STRONGER = ("bolt-down strip 51 mm", "marine terminal-mounted", "class T")
"""Families to turn to where the usual one can't break the fault, in rising order of what they break."""


def choose_fuses(wiring: Wiring) -> Mapping[str, FuseChoice]:
    """Return rating and family of each new fuse or breaker without one, where its window has a rating.

    `wiring` is that of the installation with its wires chosen.
    """
    faults = find_faults(wiring)
    result = {}
    for guard in guards(wiring.topology, wiring.tree).values():
        part = wiring.topology.pieces[wiring.index(guard.fuse)].part
        if part is None or not is_open_fuse(part):
            continue
        choice = _choose(wiring, guard, part, faults.at_fuses_a.get(guard.fuse))
        if choice is not None:
            result[guard.fuse] = choice
    return result


def is_open_fuse(part: Part) -> bool:
    """Tell whether a rating is still to be chosen."""
    return part.rating_a is None and not part.unknown_rating and part.state is State.NEW


def _choose(wiring: Wiring, guard: Guard, part: Part, fault_a: float | None) -> FuseChoice | None:
    """The first family that carries, protects and breaks; where none breaks, the first that protects."""
    spare: FuseChoice | None = None
    for family, window in _windows(wiring, guard, part):
        if not window.ratings:
            continue
        rating_a = window.ratings[0]
        name = family or _family_of(wiring, part, rating_a)
        found = FuseChoice(rating_a=rating_a, family=name)
        spare = spare or found
        if fault_a is None or _breaks(name, wiring.installation.system_v, fault_a):
            return found
    return spare


def _windows(wiring: Wiring, guard: Guard, part: Part) -> Iterator[tuple[str | None, Window]]:
    yield part.family, fuse_window(wiring, guard)
    if part.family is not None or part.kind is PartKind.BREAKER:
        return
    number = wiring.index(guard.fuse)
    pieces = list(wiring.topology.pieces)
    for family in _STRONGER:
        pieces[number] = replace(pieces[number], part=replace(part, family=family))
        other = replace(wiring, topology=replace(wiring.topology, pieces=tuple(pieces)))
        yield family, fuse_window(other, guard)


def _family_of(wiring: Wiring, part: Part, rating_a: float) -> str:
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    return next(c.family for c in ladder if c.rating_a == rating_a)


def _breaks(family: str, system_v: float, fault_a: float) -> bool:
    found = breaking_capacity(family, system_v)
    return not isinstance(found, NotTabled) and fault_a <= found.interrupt_a
