"""Ratings for the fuses that nobody wrote: the lowest of the window, of a family that can break the fault.

What a fuse needs does not depend on any size: a written rating stands, of the others the lowest that carries
the load and is not below a fuse behind it, which would else stay whole while the feeder's opens.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from groundstrap.assess.faults import faults_at_fuses
from groundstrap.assess.ladders import Candidate, candidates, family_at
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.regions import Guard, guards
from groundstrap.assess.volts import serves
from groundstrap.assess.windows import fixed_limit_a, least_rating_a, loop_of, lowest_fitting, saves
from groundstrap.assess.wiring import Wiring
from groundstrap.design.growth import divides
from groundstrap.design.results import FuseChoice
from groundstrap.design.sized import with_sizes
from groundstrap.design.unfed import unfed_circuits
from groundstrap.model import GearKind, Part, PartKind, State
from groundstrap.records import dataclass, replace
from groundstrap.tables import NotTabled, breaking_capacity, fuse_ratings
from groundstrap.units import ConductorSize

__all__ = ["FuseNeed", "Fuses", "choose_fuses", "fuse_needs", "lower_needs", "stronger_needs", "typed"]

_STRONGER = ("bolt-down strip 51 mm", "marine terminal-mounted", "class T")
"""Families to turn to where the usual one can't break the fault, in rising order of what they break."""

_MOST_TIMES = 2.0
"""A stronger family is no answer where its rating is more than so many times what the load asks for (own
judgement): the wire is safe behind it, what hangs on the wire is not. That nothing breaks the fault is then
found and said by the rules."""

_MOST_SMALLEST_A = 40.0
"""The smallest that a family is made in is an answer up to here, whatever the load asks for: what breaks the
fault, with wire to suit it, comes before a small rating, and the rules tell of what hangs on the wire. Own
judgement; families that begin higher stay out for small loads."""


@dataclass(frozen=True, slots=True)
class FuseNeed:
    """Rating that a fuse has, or at least needs."""

    rating_a: float
    written: bool
    family: str = ""
    behind: str = ""
    """Fuse behind it that asks for this rating; empty where the load does."""


def fuse_needs(wiring: Wiring, fuses: Mapping[str, Guard]) -> Mapping[str, FuseNeed]:
    """Return what each fuse is rated or must at least be; none for a load unknown, not fed or too large."""
    found: dict[str, FuseNeed] = {}
    unfed = unfed_circuits(wiring)
    for name in _leaf_to_root(wiring, fuses):
        part = wiring.topology.pieces[wiring.index(name)].part
        assert part is not None
        least_a = None if part.circuit in unfed else least_rating_a(wiring, name)
        if part.rating_a is not None:
            # The wire is chosen first, by its load: a fuse that opens on that makes none thinner.
            opens = (
                part.state is State.NEW and (wiring.currents.pieces[name].continuous_a or 0.0) > part.rating_a
            )
            found[name] = FuseNeed(least_a if opens and least_a else part.rating_a, written=True)
            continue
        if least_a is None:
            continue
        behind = _highest_behind(wiring, name, {other: need.rating_a for other, need in found.items()})
        found[name] = _need(wiring, part, least_a, behind)
    return found


@dataclass(frozen=True, slots=True)
class _Behind:
    """The highest fuse behind another."""

    rating_a: float
    fuse: str


def _need(wiring: Wiring, part: Part, least_a: float, behind: _Behind) -> FuseNeed:
    """What a fuse must at least be: for its load, and not below one that stands behind it."""
    raised = behind.rating_a > least_a
    first = _at_least(wiring, part, max(least_a, behind.rating_a))
    return FuseNeed(first.rating_a, written=False, family=first.family, behind=behind.fuse if raised else "")


def _highest_behind(wiring: Wiring, fuse: str, ratings: Mapping[str, float]) -> _Behind:
    """Highest among the fuses behind one: those that carry some of its draws and no others.

    A cable that charges a battery feeds what hangs on it, but protects it from the battery's end: no fuse
    stands behind such a one, nor it behind another.
    """
    draws = wiring.tree.home_draws
    if _charges(wiring, fuse):
        return _Behind(0.0, "")
    behind = [
        _Behind(rating_a, other)
        for other, rating_a in ratings.items()
        if draws[other] and draws[other] < draws[fuse] and not _charges(wiring, other)
    ]
    return max(behind, key=lambda found: (found.rating_a, found.fuse), default=_Behind(0.0, ""))


def _charges(wiring: Wiring, fuse: str) -> bool:
    """Whether a fuse sits in a cable that brings current to a battery."""
    feeding = wiring.tree.circuits.get(wiring.topology.pieces[wiring.index(fuse)].circuit or "")
    return feeding is not None and feeding.charging


def _leaf_to_root(wiring: Wiring, fuses: Mapping[str, Guard]) -> list[str]:
    """Fuses in an order in which a feeder's comes after all that stand behind it."""
    return sorted(fuses, key=lambda fuse: (len(wiring.tree.home_draws[fuse]), fuse))


def _at_least(wiring: Wiring, part: Part, amps: float) -> Candidate:
    """The first rating of a part's ladder from a current on; the current itself where it ends below."""
    ladder = candidates(part.family, part.kind, wiring.installation.system_v)
    return next((c for c in ladder if c.rating_a >= amps), Candidate(amps, ladder[-1].family))


@dataclass(frozen=True)
class Fuses:
    """The fuses of an installation with its wires chosen, and what is asked of them."""

    unsized: Wiring
    """As it was before these wires were chosen."""
    sizes: Mapping[str, ConductorSize]
    asked: Mapping[str, FuseNeed]
    """What is asked of them before."""

    @cached_property
    def wiring(self) -> Wiring:
        """With these wires chosen."""
        return with_sizes(self.unsized, self.sizes)

    @cached_property
    def needs(self) -> Mapping[str, FuseNeed]:
        """What each must at least be: that hangs on sizes only where they share the current out."""
        return fuse_needs(self.wiring, self.guards) if divides(self.unsized) else self.asked

    @cached_property
    def guards(self) -> Mapping[str, Guard]:
        """What each of them stands before."""
        return guards(self.wiring.topology, self.wiring.tree)

    @cached_property
    def faults_a(self) -> Mapping[str, float]:
        """The most that each may have to break. [A]"""
        return faults_at_fuses(self.wiring)


def choose_fuses(standing: Fuses) -> Mapping[str, FuseChoice]:
    """Return rating and family of each new fuse or breaker without one, where its window has a rating."""
    wiring, fuses, needs, faults_a = standing.wiring, standing.guards, standing.needs, standing.faults_a
    result: dict[str, FuseChoice] = {}
    for name in _leaf_to_root(wiring, fuses):
        part = wiring.topology.pieces[wiring.index(name)].part
        if part is None or not is_open_fuse(part) or name not in needs:
            continue
        least_a, fault_a = needs[name].rating_a, faults_a.get(name)
        chosen = {fuse: choice.rating_a for fuse, choice in result.items()}
        behind = _highest_behind(wiring, name, chosen)
        # Of each family its window begins where it carries the load.
        own_a = least_a if needs[name].behind else 0.0
        choice = _choose(wiring, fuses[name], part, max(own_a, behind.rating_a), least_a, fault_a)
        choice = choice or _choose(wiring, fuses[name], part, own_a, least_a, fault_a)
        if choice is not None:
            kept = behind.fuse if behind.rating_a > least_a else needs[name].behind
            result[name] = replace(choice, behind=kept)
    return result


def stronger_needs(standing: Fuses, fuses: Mapping[str, FuseChoice]) -> Mapping[str, FuseNeed]:
    """Return what chosen fuses that can't break their fault would have to be, if the wires allowed it."""
    wiring, needs, faults_a = standing.wiring, standing.needs, standing.faults_a
    found: dict[str, FuseNeed] = {}
    for name, choice in fuses.items():
        part, fault_a = wiring.topology.pieces[wiring.index(name)].part, faults_a.get(name)
        if part is None or not _any_family(wiring, part) or fault_a is None:
            continue
        if _breaks(choice.family, wiring, _own_fault_a(wiring, standing.guards[name], fault_a)):
            continue
        least_a, most_a = needs[name].rating_a, min(fixed_limit_a(wiring, name), _ahead_a(wiring, name))
        able = [
            FuseNeed(rating_a, written=False, family=family, behind=needs[name].behind)
            for family in _stronger(wiring, part)
            if _breaks(family, wiring, fault_a)
            for from_a in [max(least_a, least_rating_a(wiring, name, family) or 0.0)]
            for rating_a in [next((r for r in fuse_ratings(family) if r >= from_a), None)]
            if rating_a is not None and _suits(family, rating_a, least_a) and rating_a <= most_a
        ]
        if able:
            found[name] = min(able, key=lambda need: need.rating_a)
    types = typed(standing)
    for name, families in _able(standing).items():
        if name not in types:
            found[name] = FuseNeed(needs[name].rating_a, written=True, family=families[0])
    return found


def lower_needs(standing: Fuses) -> Mapping[str, FuseNeed]:
    """Return lower needs of fuses for which the usual family will not do, since it can't break their fault.

    `standing` is with the wires at their least, which makes the least fault. The family that is fitted then
    may carry the load at a lower rating, and so ask for less copper.
    """
    wiring, needs = standing.wiring if divides(standing.unsized) else standing.unsized, standing.needs
    lower = {name: _lower(wiring, name, need) for name, need in needs.items()}
    if not any(lower.values()):
        return {}
    faults_a = standing.faults_a
    found: dict[str, FuseNeed] = {}
    for name, others in lower.items():
        fault_a = faults_a.get(name)
        if not others or fault_a is None:
            continue
        if not _breaks(needs[name].family, wiring, _own_fault_a(wiring, standing.guards[name], fault_a)):
            able = [other for other in others if _breaks(other.family, wiring, fault_a)]
            if able:
                found[name] = min(able, key=lambda need: need.rating_a)
    return found


def _lower(wiring: Wiring, fuse: str, need: FuseNeed) -> list[FuseNeed]:
    """What a fuse of a stronger family would be where that is less than of the usual one."""
    return at_any_length(wiring, ("lower", fuse, need), lambda bare: _lower_of(bare, fuse, need))


def _lower_of(wiring: Wiring, fuse: str, need: FuseNeed) -> list[FuseNeed]:
    part = wiring.topology.pieces[wiring.index(fuse)].part
    # A need that comes from a fuse behind it is a matter between the two of them.
    if part is None or not is_open_fuse(part) or need.behind:
        return []
    if not _any_family(wiring, part):
        return []
    result = []
    for family in _stronger(wiring, part):
        rating_a = least_rating_a(wiring, fuse, family)
        if rating_a is not None and rating_a < need.rating_a:
            result.append(FuseNeed(rating_a, written=False, family=family))
    return result


def typed(standing: Fuses) -> Mapping[str, str]:
    """Return a family for fuses of a written rating that break their fault by no usual one, where one does.

    Only where nobody wrote what it sits in. The rating stands; the first family that is made in it, breaks
    the fault and still saves what is behind it serves.
    """
    found: dict[str, str] = {}
    for name, families in _able(standing).items():
        part = standing.wiring.topology.pieces[standing.wiring.index(name)].part
        assert part is not None
        loop = loop_of(standing.wiring, standing.guards[name])
        saving = (family for family in families if saves(standing.wiring, part, loop, family))
        family = next(saving, None)
        if family is not None:
            found[name] = family
    return found


def _able(standing: Fuses) -> Mapping[str, tuple[str, ...]]:
    """Families made in the written rating of fuses whose usual one can't break their fault, that can."""
    wiring, found = standing.wiring, {}
    for name, guard in standing.guards.items():
        part, fault_a = wiring.topology.pieces[wiring.index(name)].part, standing.faults_a.get(name)
        if part is None or part.rating_a is None or fault_a is None or not _any_type(wiring, part):
            continue
        usual = family_at(candidates(None, part.kind, wiring.installation.system_v), part.rating_a)
        if not _breaks(usual, wiring, _own_fault_a(wiring, guard, fault_a)):
            able = (family for family in _stronger(wiring, part) if part.rating_a in fuse_ratings(family))
            found[name] = tuple(family for family in able if _breaks(family, wiring, fault_a))
    return {name: families for name, families in found.items() if families}


def _any_type(wiring: Wiring, part: Part) -> bool:
    """Whether a new fuse of a written rating may be of any type: neither a holder nor a sheet decides it."""
    gear = wiring.installation.gear.get(part.gear or "")
    held = part.holder is not None or (gear is not None and gear.family is not None)
    told = part.curve is not None or part.interrupt_a is not None or part.state is not State.NEW
    return _any_family(wiring, part) and not held and not told


def is_open_fuse(part: Part) -> bool:
    """Tell whether a rating is still to be chosen."""
    return part.rating_a is None and not part.unknown_rating and part.state is State.NEW


def _choose(
    wiring: Wiring, guard: Guard, part: Part, from_a: float, least_a: float, fault_a: float | None
) -> FuseChoice | None:
    """The usual family where it breaks the fault, else the lowest rating of one that does.

    Where none does, the one that breaks most: the rules say what is missing. Where no make is for the volts,
    whose arc would not go out, none is chosen, and a rule says so. A usual one that is bolted and left to a
    fuse before it gives way to another bolted one of its rating that breaks the fault by itself.
    """
    usual: FuseChoice | None = None
    left = False
    ahead_a = _ahead_a(wiring, guard.fuse)
    stronger: list[FuseChoice] = []
    weaker: list[FuseChoice] = []
    for family in _families(wiring, part):
        lowest = lowest_fitting(wiring, guard, from_a, family)
        if lowest is None:
            continue
        found = FuseChoice(rating_a=lowest.rating_a, family=family or lowest.family)
        if not serves(wiring, part, found.family):
            continue
        breaks = fault_a is None or _breaks(found.family, wiring, fault_a)
        if family is None or family == part.family:
            usual = found
            left = bool(fault_a and _backed(wiring, guard) and _breaks(found.family, wiring, fault_a / 2))
            if breaks or (left and found.family not in _STRONGER):
                return found
        elif _suits(family, lowest.rating_a, least_a) and lowest.rating_a <= ahead_a:
            (stronger if breaks else weaker).append(found)
    if usual is not None and left:
        return next((choice for choice in stronger if choice.rating_a == usual.rating_a), usual)
    if stronger:
        return min(stronger, key=lambda choice: choice.rating_a)
    able = [choice for choice in (usual, *weaker) if choice is not None]
    return max(able, key=lambda choice: _breaks_a(choice.family, wiring), default=None)


def _ahead_a(wiring: Wiring, fuse: str) -> float:
    """The lowest written rating before a fuse: a stronger family above it would never be what opens. [A]"""
    draws, topology = wiring.tree.home_draws, wiring.topology
    ahead = [
        piece.part.rating_a
        for piece in topology.pieces
        if piece.is_fuse and piece.part is not None and piece.name != fuse
        if draws[fuse] and draws[fuse] < draws[piece.name] and not _charges(wiring, piece.name)
        if piece.part.rating_a is not None
    ]
    return min(ahead, default=float("inf"))


def _suits(family: str, rating_a: float, least_a: float) -> bool:
    """Tell whether a rating of a stronger family is not too large for what its load asks for."""
    smallest_made = rating_a == fuse_ratings(family)[0] and rating_a <= _MOST_SMALLEST_A
    return smallest_made or rating_a <= _MOST_TIMES * least_a


def _families(wiring: Wiring, part: Part) -> tuple[str | None, ...]:
    """Families to look at in turn: the part's own or the usual ones, then those that break more."""
    return (None, *_stronger(wiring, part)) if _any_family(wiring, part) else (part.family,)


def _stronger(wiring: Wiring, part: Part) -> tuple[str, ...]:
    """Families to turn to that are made for the volts at a part."""
    return tuple(family for family in _STRONGER if serves(wiring, part, family))


def _any_family(wiring: Wiring, part: Part) -> bool:
    """Whether a fuse may be of any type: nobody wrote one, and it sits in no slot of a fuse block."""
    if part.family is not None or part.kind is PartKind.BREAKER:
        return False
    circuit = wiring.installation.circuits[part.circuit]
    gear = wiring.installation.gear.get(circuit.start)
    in_slot = gear is not None and gear.kind is GearKind.BLOCK and bool(gear.ways) and part.distance_m == 0.0
    return not in_slot


def _backed(wiring: Wiring, guard: Guard) -> bool:
    """Tell whether another fuse stands before this one, at 12 V with lead-acid alone.

    Source: own-judgement; there up to twice the breaking capacity is a caution and no reason for a main
    fuse's type in a branch. At 24 V and more, and with lithium, it is none.
    """
    installation, draws = wiring.installation, wiring.tree.home_draws
    lead = all(supply.chemistry != "lfp" for supply in installation.supplies.values())
    if installation.system_v > 12.0 or not lead:
        return False
    return any(draws[guard.fuse] < draws[piece.name] for piece in wiring.topology.pieces if piece.is_fuse)


def _own_fault_a(wiring: Wiring, guard: Guard, fault_a: float) -> float:
    """What of a fault a fuse has to break by itself: half of it where another one backs it. [A]"""
    return fault_a / 2 if _backed(wiring, guard) else fault_a


def _breaks(family: str, wiring: Wiring, fault_a: float) -> bool:
    return fault_a <= _breaks_a(family, wiring)


def _breaks_a(family: str, wiring: Wiring) -> float:
    """Breaking capacity at the vehicle's voltage; of a family that no table has, none. [A]"""
    found = breaking_capacity(family, wiring.installation.system_v)
    return 0.0 if isinstance(found, NotTabled) else found.interrupt_a
