"""What rules need to know about where a part stands: in a negative, in water, before a plug."""

from __future__ import annotations

import re
from typing import Final

from groundstrap.checks.facts import PartSubject
from groundstrap.checks.needs.parts import opens_negative
from groundstrap.checks.reach import reached
from groundstrap.checks.words import one_of
from groundstrap.model import FUSES, GearKind, Load, LoadKind, Part, PartKind, State, Supply, SupplyKind
from groundstrap.tables import plug

__all__: list[str] = []

_HANDS: Final = frozenset({PartKind.SWITCH, PartKind.ISOLATOR})
_KEYED: Final = frozenset({"always", "engine", "ignition"})
_ASKED: Final = FUSES | {PartKind.SWITCH}
_OPEN_METAL: Final = FUSES | {PartKind.SWITCH, PartKind.ISOLATOR, PartKind.RELAY}
_CLOSED: Final = re.compile(
    r"\b(box|locker|compartment|bench|seat base|bin|cupboard|wardrobe|chest|hatch)\b", re.IGNORECASE
)
"""Names of places that hold gas in, where the zone does not say; common practice."""
_LIGHTER: Final = "lighter"
_SEALED: Final = re.compile(r"\b(sealed|waterproof|watertight|IP6[5-9])\b", re.IGNORECASE)


def opened_by_hand(subject: PartSubject) -> bool:
    """Whether a hand may open it while an engine of the job runs."""
    by_hand = subject.part.kind in _HANDS and subject.part.when not in _KEYED
    return by_hand and bool(_alternators(subject))


def opened_at_rest(subject: PartSubject) -> bool:
    """Whether it is an isolator, which a hand opens when nothing charges."""
    return subject.part.kind is PartKind.ISOLATOR and subject.part.when in {None, "hand", "always"}


def gassing_battery(subject: PartSubject) -> str:
    """The battery with open cells that stands in the same box or locker; empty where none does."""
    part = subject.part
    closed = subject.facts.installation.zones[part.zone].closed
    if closed is False or (closed is None and not _CLOSED.search(f"{part.place}, {part.zone}")):
        return ""
    beside = (each for each in subject.facts.batteries if each.place == part.place)
    return next((each.name for each in beside if each.chemistry == "flooded" and _written(subject, each)), "")


def _written(subject: PartSubject, battery: Supply) -> bool:
    """Whether somebody wrote its chemistry."""
    assumed = subject.facts.installation.assumptions
    return not battery.assumed and not any(
        each.where == battery.name and each.value == "flooded" for each in assumed
    )


def alternator_parted(subject: PartSubject) -> str:
    """The alternator that is joined to no battery any more with it open; empty where there is none."""
    if not opened_by_hand(subject):
        return ""
    return next((each.name for each in _alternators(subject) if _parts(subject, each)), "")


def ways_past(subject: PartSubject) -> str:
    """What else comes to the negative post that it opens, so that current passes it by; empty for nothing."""
    if not opens_negative(subject):
        return ""
    facts, own = subject.facts, subject.circuit_name
    circuit = facts.circuits[subject.part.circuit]
    ends = (facts.point(circuit.start), facts.point(circuit.end))
    posts = {facts.point(battery.minus) for battery in facts.batteries} & set(ends)
    names = (
        other.name
        for other in facts.circuits.values()
        if other.name != own
        and posts & {facts.point(point) for point in (other.start, other.end, other.back_end or "")}
    )
    return one_of(names)


def is_protector(subject: PartSubject) -> bool:
    """Whether it is a fuse or breaker."""
    return subject.part.kind in FUSES


def sits_in_negative(subject: PartSubject) -> bool:
    """Whether it stands in a way back, or in cable that is joined to a battery's negative."""
    facts = subject.facts
    if subject.part.returning:
        return True
    if subject.part.kind not in _ASKED:
        return False
    here = facts.point(subject.part.start)
    return any(here in reached(facts, battery.minus) for battery in facts.batteries) and not any(
        here in reached(facts, battery.plus) for battery in facts.batteries
    )


def fused_on_way_out(subject: PartSubject) -> bool:
    """Whether its circuit has a fuse or breaker in the way out, too."""
    circuit = subject.facts.circuits[subject.part.circuit]
    return any(
        isinstance(element, Part) and element.kind in FUSES and element.name != subject.part.name
        for element in circuit.path
    )


def switches_a_load(subject: PartSubject) -> bool:
    """Whether it is a new switch in the circuit of a load; a relay's coil is none."""
    circuit = subject.facts.circuits[subject.part.circuit]
    loads = [subject.facts.loads[name] for name in circuit.loads if name in subject.facts.loads]
    own = any(load.kind is not LoadKind.COIL for load in loads)
    return subject.part.kind is PartKind.SWITCH and subject.part.state is State.NEW and own


def has_open_metal(subject: PartSubject) -> bool:
    """Whether it is a fuse, breaker, switch, isolator or relay; one that water itself works is none."""
    signal = subject.part.when not in {None, "hand", *_KEYED}
    return subject.part.kind in _OPEN_METAL and not signal


def is_inline_fuse(subject: PartSubject) -> bool:
    """Whether it is a new fuse in a holder by itself, not in a block."""
    gear = subject.facts.installation.gear.get(subject.facts.circuits[subject.part.circuit].start)
    in_block = gear is not None and gear.kind is GearKind.BLOCK and subject.part.distance_m == 0.0
    return subject.part.kind is PartKind.FUSE and subject.part.state is State.NEW and not in_block


def holder_sealed(subject: PartSubject) -> bool | None:
    """Whether its holder is said to keep water out; None where nobody says what holder it is."""
    holder = subject.part.holder
    return None if holder is None else _SEALED.search(holder) is not None


def asked_at(subject: PartSubject) -> str:
    """An earlier fuse by itself in its zone whose holder nobody says either; empty where there is none."""
    if subject.part.kind is not PartKind.FUSE or subject.part.holder is not None:
        return ""
    for part in subject.facts.parts.values():
        if part.name == subject.part.name:
            break
        alike = part.zone == subject.part.zone and part.holder is None
        if alike and is_inline_fuse(PartSubject(subject.facts, part)):
            return part.name
    return ""


def plugs_behind(subject: PartSubject) -> int:
    """How many loads with a lighter plug hang on it, if it is a socket."""
    if subject.part.kind is not PartKind.CONNECTOR:
        return 0
    return len(_plugged(subject))


def one_socket_a(_subject: PartSubject) -> float:
    """What one lighter socket carries by the hour. [A]"""
    return plug(_LIGHTER).hours_a


def _plugged(subject: PartSubject) -> list[Load]:
    circuit = subject.facts.circuits[subject.part.circuit]
    loads = (subject.facts.loads[name] for name in circuit.loads if name in subject.facts.loads)
    return [load for load in loads if load.fitted.plug == _LIGHTER]


def _alternators(subject: PartSubject) -> tuple[Supply, ...]:
    supplies = subject.facts.supplies.values()
    return tuple(supply for supply in supplies if supply.kind is SupplyKind.ALTERNATOR)


def _parts(subject: PartSubject, alternator: Supply) -> bool:
    """Whether an alternator reaches a battery's post only through this part, on either side."""
    facts, without = subject.facts, (subject.part.name,)
    starts = [(alternator.plus, [facts.point(battery.plus) for battery in facts.batteries])]
    drawn = not any(
        tie.kind == "alternator" and tie.start == alternator.minus for tie in facts.installation.ties
    )
    # A negative that nobody drew is that of the engine, which stands on the body.
    minus = (alternator.minus,) if drawn else facts.installation.chassis_points[:1]
    starts += [(point, [facts.point(battery.minus) for battery in facts.batteries]) for point in minus]
    return any(
        reached(facts, start).intersection(posts) and not reached(facts, start, without).intersection(posts)
        for start, posts in starts
    )
