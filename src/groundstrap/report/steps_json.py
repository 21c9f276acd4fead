"""The steps of a circuit's path and return for JSON, in the job's order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from groundstrap.assess import (
    Assessment,
    CircuitAssessment,
    FuseAssessment,
    PartAssessment,
    PathStep,
    WireAssessment,
    WireEnd,
)
from groundstrap.model import (
    FUSES,
    Circuit,
    Element,
    Installation,
    Origin,
    Part,
    PartKind,
    Passage,
    State,
    Wire,
)
from groundstrap.report.values import Json, known, triple
from groundstrap.tables import BreakingCapacity, breaking_capacity, fuse_family, fuse_family_names

__all__ = ["UNRATED", "steps"]

UNRATED = frozenset({PartKind.JOINT, PartKind.SENSOR, PartKind.RESISTOR, PartKind.UNKNOWN})
"""Parts that have no rating in amps; others without one say that it is not known."""


def steps(plan_of: Installation, assessment: Assessment, circuit: Circuit, *, back: bool) -> list[Json]:
    """Return the steps of one way of a circuit, out or back."""
    found = assessment.circuits.get(circuit.name)
    return list(_steps(plan_of, assessment, found, circuit.back if back else circuit.path))


def _steps(
    installation: Installation,
    assessment: Assessment,
    found: CircuitAssessment | None,
    elements: tuple[Element, ...],
) -> Iterator[Json]:
    drops = {} if found is None else {each.name: each.drop_v for each in found.drop.elements}
    for element in elements:
        if isinstance(element, Wire):
            wire = None if found is None else found.wires.get(element.name)
            passing = _passing(assessment.path.get(element.name), rated=True)
            ends = _ends(assessment.ends.get(element.name, ()))
            yield _joined(_wire(installation, element, wire, drops), passing, ends)
        elif isinstance(element, Part):
            rated = None if found is None else found.fuses.get(element.name)
            passing = _passing(assessment.path.get(element.name), rated=element.kind not in UNRATED)
            contacts = _contacts(assessment.parts.get(element.name))
            yield _joined(_part(element, rated, drops, installation.system_v), passing, contacts)
        else:
            yield _passage(installation, element)


def _wire(
    installation: Installation, wire: Wire, rated: WireAssessment | None, drops: Mapping[str, float]
) -> Json:
    unknown = list(rated.unknown if rated is not None else ())
    if wire.size is None:
        unknown += ["size", "area_mm2", "ohm_per_m_20c"]
    values = {
        "part": "wire",
        "point": wire.start,
        "origin": _origin(wire.origin, wire.state),
        "drop_v": drops.get(wire.name),
        "size": None if wire.size is None else wire.size.text,
        "area_mm2": wire.area_mm2,
        "parallel": wire.parallel if wire.parallel > 1 else None,
        "material": wire.material,
        "ohm_per_m_20c": None if rated is None else rated.ohm_per_m_20c,
        "insulation_c": None if rated is None else rated.insulation_c,
        "colour": wire.colour,
        "label": wire.label,
        "length_m": wire.length_m if wire.length_known else None,
        "from": wire.start,
        "to": wire.end,
        "ampacity_a": None if rated is None else rated.ampacity_a,
        "conductor_c": None if rated is None else rated.conductor_c,
        "per_m_price": _price(installation, wire),
    }
    if not wire.length_known:
        unknown.append("length_m")
    applies = [key for key in unknown if key in values]
    return known(values, applies)


def _ends(ends: tuple[WireEnd, ...]) -> Json:
    """What a wire ends in, at its start and at its end; empty where it is not in the network."""
    return {"ends": [_one_end(end) for end in ends]} if ends else {}


def _one_end(end: WireEnd) -> Json:
    tab = f"tab {end.tab_mm:g} mm" if end.terminal == "tab" and end.tab_mm is not None else end.terminal
    origin = (Origin.ASSUMED if end.assumed else Origin.WRITTEN).value if tab is not None else None
    values = {"terminal": tab, "stud": end.stud, "torque_nm": triple(end.torque_nm), "origin": origin}
    return known(values, ["terminal"] if tab is None else ["stud"] if tab == "ring" else [])


def _passing(step: PathStep | None, *, rated: bool) -> Json:
    """What a piece may carry for hours, what passes it then, at a start and in a fault, and what is left."""
    if step is None:
        return {}
    unknown = ["through_a", "start_a"] if step.through_a is None else []
    if rated and step.limit_a is None:
        unknown.append("limit_a")
    if rated and step.margin_pct is None:
        unknown.append("margin_pct")
    values = {
        "through_a": step.through_a,
        "limit_a": step.limit_a,
        "margin_pct": step.margin_pct,
        "start_a": step.start_a,
        "start_origin": Origin.ASSUMED.value if step.start_assumed else None,
        "fault_a": known({"least": step.fault_least_a, "most": step.fault_most_a}) or None,
    }
    return known(values, unknown)


def _contacts(part: PartAssessment | None) -> Json:
    """The volts to expect across a part's contacts, and the numbers of its terminals."""
    if part is None:
        return {}
    return known({"contact_v": triple(part.contact_v), "terminals": dict(part.terminals) or None})


def _joined(*pieces: Json) -> Json:
    """One object of several, with all that is not known of any of them."""
    values = {key: value for piece in pieces for key, value in piece.items() if key != "unknown"}
    return known(values, [name for piece in pieces for name in piece.get("unknown", ())])


def _price(installation: Installation, wire: Wire) -> float | None:
    if installation.stock is None or wire.size is None:
        return None
    prices = [
        item.price
        for item in installation.stock.items
        if item.kind == "wire" and item.size is not None and item.size.text == wire.size.text
        if item.price is not None
    ]
    return min(prices, default=None)


def _part(part: Part, rated: FuseAssessment | None, drops: Mapping[str, float], system_v: float) -> Json:
    values: Json = {
        "part": str(part.kind),
        "point": part.start,
        "origin": _origin(part.origin, part.state),
        "drop_v": drops.get(part.name),
        "label": part.gear,
        "rating_a": part.rating_a,
    }
    if part.kind not in FUSES:
        return known(values | {"coil_a": part.coil_a}, ["rating_a"] if part.unknown_rating else [])
    family = part.family or (rated.family if rated is not None else None)
    values |= {
        "family": family,
        "interrupt_a": _interrupt_a(part, family, system_v),
        "made_for_v": _special_v(rated),
        "distance_m": part.distance_m if part.distance_written or part.state is State.NEW else None,
        "window_a": _window(rated),
        "holder": part.holder,
    }
    unknown = list(rated.unknown if rated is not None else ())
    # A breaker is known by how it resets alone; a fuse is always of some kind.
    applies = ["rating_a", "interrupt_a", *(["family"] if part.kind is PartKind.FUSE else [])]
    unknown += [key for key in applies if values[key] is None]
    return known(values, [key for key in unknown if key in values])


def _interrupt_a(part: Part, family: str | None, system_v: float) -> float | None:
    """Breaking capacity as written, or of the family at the vehicle's voltage. [A]"""
    if part.interrupt_a is not None or family is None or family not in fuse_family_names():
        return part.interrupt_a
    found = breaking_capacity(family, system_v)
    return found.interrupt_a if isinstance(found, BreakingCapacity) else None


def _special_v(rated: FuseAssessment | None) -> float | None:
    """Voltage of the make, where it is not the usual one of its family. [V]"""
    if rated is None or rated.family not in fuse_family_names():
        return None if rated is None else rated.made_for_v
    return None if rated.made_for_v == fuse_family(str(rated.family)).rated_v else rated.made_for_v


def _window(rated: FuseAssessment | None) -> Json | None:
    if rated is None:
        return None
    window = rated.window
    ends = {"least": window.least_a, "most": window.most_a}
    unknown = [] if window.known else [key for key, end in ends.items() if end is None]
    legal = {} if rated.legal is None else {"legal_most": rated.legal.most_a}
    return known(ends | legal, unknown) or None


def _passage(installation: Installation, passage: Passage) -> Json:
    part = {"gear": "block", "supply": "block"}.get(passage.what, passage.what)
    gear = installation.gear.get(passage.name)
    state = _state(installation, passage.name)
    return known({
        "part": part,
        "point": passage.point,
        "origin": _origin(None, state),
        "label": passage.name if passage.name != passage.point else None,
        "rating_a": None if gear is None else gear.rating_a,
    })  # fmt: skip


def _state(installation: Installation, name: str) -> State:
    thing = installation.gear.get(name) or installation.loads.get(name) or installation.supplies.get(name)
    return State.NEW if thing is None else thing.state


def _origin(origin: Origin | None, state: State) -> str:
    """Where it comes from; a part that stands in the path and has no size of its own is written."""
    if state is State.EXISTING:
        return Origin.EXISTING.value
    return (origin or Origin.WRITTEN).value
