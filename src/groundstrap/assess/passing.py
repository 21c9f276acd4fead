"""Every part of a path: what it may carry, what passes it, what is left, the volts to expect across it."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.part_results import PartAssessment, SwitchAssessment
from groundstrap.assess.results import FuseAssessment, LoadAssessment, SituationAssessment
from groundstrap.assess.switching import assess_switch, terminals_of
from groundstrap.assess.wiring import Wiring
from groundstrap.model import Part, PartKind, Situation, Uncertain
from groundstrap.records import replace
from groundstrap.tables import TrailerPin, contact_resistance, plug, plug_names, trailer_pin

__all__ = ["assess_parts", "contact_limit_a"]

_UNRATED = frozenset({PartKind.JOINT, PartKind.RESISTOR, PartKind.UNKNOWN})


def assess_parts(
    wiring: Wiring,
    fuses: Mapping[str, FuseAssessment],
    loads: Mapping[str, LoadAssessment],
    situations: Mapping[Situation, SituationAssessment],
) -> Mapping[str, PartAssessment]:
    """Return every part that stays or is to be fitted, by its name."""
    carried_pct = {name: fuse.carries_pct for name, fuse in fuses.items()}

    def find(bare: Wiring) -> Mapping[str, PartAssessment]:
        return {part.name: _part(bare, part, carried_pct) for part in bare.installation.parts()}

    plain = at_any_length(wiring, "parts without switches", find)
    return {
        part.name: _with_switch(plain[part.name], assess_switch(wiring, part, loads, situations))
        for part in wiring.installation.parts()
    }


def _with_switch(found: PartAssessment, switch: SwitchAssessment | None) -> PartAssessment:
    return found if switch is None else replace(found, switch=switch)


def _part(wiring: Wiring, part: Part, carried_pct: Mapping[str, float | None]) -> PartAssessment:
    carried = wiring.currents.pieces.get(part.name)
    through_a = carried.continuous_a if carried is not None else None
    rating_a = _rating_a(wiring, part)
    limit_a = _limit_a(part, rating_a, carried_pct)
    unknown: tuple[str, ...] = () if through_a is not None else ("through_a",)
    if limit_a is None and part.kind not in _UNRATED:
        unknown += ("rating_a",)
    return PartAssessment(
        name=part.name,
        circuit=part.circuit,
        kind=part.kind,
        start=part.start,
        rating_a=rating_a,
        limit_a=limit_a,
        through_a=through_a,
        known_a=carried.known_a if carried is not None else 0.0,
        peak_a=carried.peak_a if carried is not None else None,
        margin_pct=_margin_pct(through_a, limit_a),
        drop_v=_drop(wiring, part, through_a),
        contact_v=_contact(wiring, part, rating_a, through_a),
        terminals=terminals_of(wiring, part),
        unknown=unknown,
    )


def _rating_a(wiring: Wiring, part: Part) -> float | None:
    gear = wiring.installation.gear.get(part.gear or "")
    return part.rating_a if part.rating_a is not None else (gear.rating_a if gear is not None else None)


def _limit_a(part: Part, rating_a: float | None, carried_pct: Mapping[str, float | None]) -> float | None:
    """What it may carry for hours: the least of what is written and what its kind stands. [A]"""
    if part.name in carried_pct:
        share_pct = carried_pct[part.name]
        return None if rating_a is None or share_pct is None else rating_a * share_pct / 100.0
    limits = [rating_a, contact_limit_a(part)]
    return min((limit for limit in limits if limit is not None), default=None)


def contact_limit_a(part: Part) -> float | None:
    """Return what the contact of a plug, or a trailer pin with a stated fuse, is good for. [A]"""
    if part.plug is None:
        return None
    if part.plug in plug_names():
        return plug(part.plug).hours_a
    pin = trailer_pin(part.plug, part.way) if part.way is not None else None
    return pin.fuse_a if isinstance(pin, TrailerPin) else None


def _margin_pct(through_a: float | None, limit_a: float | None) -> float | None:
    if through_a is None or limit_a is None or limit_a <= 0.0:
        return None
    return 100.0 * (limit_a - through_a) / limit_a


def _drop(wiring: Wiring, part: Part, through_a: float | None) -> Uncertain | None:
    ends = wiring.ends.get(part.name)
    if ends is None or through_a is None:
        return None
    return Uncertain(ends.typical * through_a, ends.low * through_a, ends.high * through_a)


def _contact(wiring: Wiring, part: Part, rating_a: float | None, through_a: float | None) -> Uncertain | None:
    """Volts across its contacts alone: of a fuse the holder, without the element. [V]"""
    if part.kind is not PartKind.FUSE:
        return _drop(wiring, part, through_a)
    if through_a is None:
        return None
    found = contact_resistance("fuse holder", rating_a or 0.0)
    ohms = (found.typical_ohm, found.low_ohm, found.high_ohm)
    return Uncertain(*(through_a * ohm for ohm in ohms))
