"""Switches, relays and isolators: rating that their loads ask for, coils, control, terminal numbers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from groundstrap.assess.part_results import CoilAssessment, LoadOnContact, SwitchAssessment
from groundstrap.assess.parting import fed_anyway
from groundstrap.assess.positions import runs_in
from groundstrap.assess.results import LoadAssessment, SituationAssessment
from groundstrap.assess.wiring import Wiring
from groundstrap.model import (
    Basis,
    Circuit,
    GearKind,
    Load,
    LoadKind,
    Part,
    PartKind,
    Situation,
    State,
    SupplyKind,
)
from groundstrap.physics.switching import pick_up_v
from groundstrap.tables import (
    RelayCoil,
    SwitchFactor,
    load_class,
    relay_coil,
    relay_time,
    suppression,
    switch_factor,
)

__all__ = ["SWITCHING", "assess_switch", "coils_of", "nominal_class_v", "terminals_of"]

SWITCHING = frozenset({PartKind.SWITCH, PartKind.RELAY, PartKind.ISOLATOR})
"""Parts that close and open a current under load."""

COIL_DATA_C = 23.0
"""Temperature at which data sheets give the pick-up voltage of a relay; maker-relay-data. [degC]"""
FED_V = 1.0
"""A coil with less across it is not fed; own judgement. [V]"""
_SYSTEMS_V = (6.0, 12.0, 24.0, 36.0, 48.0)
_NEAR = 0.2
"""A converter's setpoint or a bank counts as the system that it lies this near to; own judgement. [1]"""


@lru_cache(maxsize=256)
def nominal_class_v(volts: float) -> float:
    """Return the nominal voltage of a system by the volts of its supply. [V]

    >>> nominal_class_v(13.4), nominal_class_v(25.6)
    (12.0, 24.0)
    """
    nearest = min(_SYSTEMS_V, key=lambda system_v: abs(system_v - volts))
    return nearest if abs(nearest - volts) <= _NEAR * nearest else volts


def assess_switch(
    wiring: Wiring,
    part: Part,
    loads: Mapping[str, LoadAssessment],
    situations: Mapping[Situation, SituationAssessment],
) -> SwitchAssessment | None:
    """Return what a switch, relay or isolator switches and how it is worked; None for other parts."""
    if part.kind not in SWITCHING:
        return None
    fed_v = _fed_v(wiring, part)
    found = _on_contact(wiring, part, fed_v)
    coil = _coil_of(wiring, part)
    worker = _worker(wiring, coil) if coil is not None else None
    return SwitchAssessment(
        loads=found,
        nominal_v=fed_v,
        needed_a=_needed_a(wiring, part, found),
        rated_for=part.rated_for,
        rated_at_v=part.rated_at_v,
        control=_control(part, coil),
        coil=None if coil is None else _coil(wiring, part, coil, loads.get(coil.name), situations),
        relieves_a=None if worker is None else _rating_a(wiring, worker),
        relieves=None if worker is None else worker.name,
    )


def _rating_a(wiring: Wiring, part: Part) -> float | None:
    gear = wiring.installation.gear.get(part.gear or "")
    return part.rating_a if part.rating_a is not None else (gear.rating_a if gear is not None else None)


def _fed_v(wiring: Wiring, part: Part) -> float:
    """Nominal volts of what feeds the loads behind a part; the system's where nothing does. [V]"""
    carried = wiring.currents.pieces.get(part.name)
    sources = [
        wiring.installation.supplies[draw.source].nominal_v
        for name in (carried.loads if carried is not None else ())
        if (draw := wiring.currents.draws.get(name)) is not None and draw.source is not None
    ]
    return nominal_class_v(max(sources, default=wiring.installation.system_v))


def _on_contact(wiring: Wiring, part: Part, fed_v: float) -> tuple[LoadOnContact, ...]:
    """Return the loads of the worst setting with the factor that each asks for."""
    carried = wiring.currents.pieces.get(part.name)
    if carried is None:
        return ()
    named = [(wiring.installation.loads.get(n), amps) for n, amps in carried.thermal_shares.items()]
    return tuple(
        _beside(load, amps)
        if fed_anyway(wiring.topology, part.name, load.name)
        else _load_on(load, amps, fed_v, part.rated_for)
        for load, amps in named
        if load is not None
    )


def _beside(load: Load, amps: float) -> LoadOnContact:
    """A load that runs on its own battery when the contact closes: what it takes on counts, and no surge."""
    return LoadOnContact(
        load=load.name,
        load_class="resistive",
        current_a=amps,
        factor=1.0,
        source="own-judgement",
        fed_anyway=True,
    )


def _load_on(load: Load, amps: float, fed_v: float, rated_for: str | None) -> LoadOnContact:
    kind = load.kind.value
    which = load_class(kind)
    if which == rated_for:
        # The rating is given for this class of load: it counts as it is.
        return LoadOnContact(load=load.name, load_class=which, current_a=amps, factor=1.0)
    found = switch_factor(kind, fed_v)
    if isinstance(found, SwitchFactor):
        return LoadOnContact(
            load=load.name, load_class=which, current_a=amps, factor=found.factor, source=found.source
        )
    return LoadOnContact(load=load.name, load_class=which, current_a=amps, factor=None)


def _needed_a(wiring: Wiring, part: Part, found: tuple[LoadOnContact, ...]) -> float | None:
    """Rating for a load without surge that all of them ask for together; None where one is not known. [A]

    A load with capacitors counts with its steady current: no factor is printed for it. What runs on its own
    battery asks for no more than what the contact carries.
    """
    carried = wiring.currents.pieces.get(part.name)
    if carried is None or carried.continuous_a is None:
        return None
    if any(each.factor is None and each.load_class != "capacitor" for each in found):
        return None
    own = [each for each in found if not each.fed_anyway]
    beside_a = sum(each.current_a for each in found if each.fed_anyway)
    left_a = max(0.0, carried.continuous_a - sum(each.current_a for each in own))
    return sum(each.current_a * (each.factor or 1.0) for each in own) + min(beside_a, left_a)


def coils_of(wiring: Wiring) -> Mapping[str, Load]:
    """Return the coil of each relay that has one drawn, by the relay's name."""
    return {
        load.relay: load
        for load in wiring.installation.loads.values()
        if load.kind is LoadKind.COIL and load.relay is not None and load.state is not State.REMOVE
    }


def _coil_of(wiring: Wiring, part: Part) -> Load | None:
    if part.kind is not PartKind.RELAY:
        return None
    coils = coils_of(wiring)
    return coils.get(part.gear or part.name)


def _worker(wiring: Wiring, coil: Load) -> Part | None:
    """The smallest rated switch in the circuit of a coil."""
    parts = [
        part
        for circuit in wiring.installation.circuits.values()
        if coil.name in circuit.loads and circuit.state is not State.REMOVE
        for part in circuit.parts
        if part.kind is PartKind.SWITCH and _rating_a(wiring, part) is not None
    ]
    return min(parts, key=lambda part: _rating_a(wiring, part) or 0.0, default=None)


def _control(part: Part, coil: Load | None) -> str | None:
    if part.closes_v is not None or part.opens_v is not None:
        return "volts"
    if part.when is not None:
        return part.when
    if coil is not None:
        return "coil"
    return None if part.kind is PartKind.RELAY else "hand"


def _coil(
    wiring: Wiring,
    part: Part,
    coil: Load,
    found: LoadAssessment | None,
    situations: Mapping[Situation, SituationAssessment],
) -> CoilAssessment:
    hottest_c = wiring.installation.zones[coil.zone].high_c
    data = relay_coil(nominal_class_v(_coil_nominal_v(wiring, found)))
    hot_v = None
    if isinstance(data, RelayCoil):
        hot_v = float(pick_up_v(data.pick_up_v, coil_c=max(hottest_c, COIL_DATA_C), cold_c=COIL_DATA_C))
    return CoilAssessment(
        load=coil.name,
        current_a=found.continuous_a if found is not None else None,
        pick_up_v=hot_v,
        coil_c=hottest_c,
        lowest_v=found.lowest_v if found is not None else None,
        cranking_v=_cranking_v(coil, situations),
        holds_while_cranking=_holds_while_cranking(wiring, part),
        release_s=_release_s(part.suppressor),
        source=data.source if isinstance(data, RelayCoil) else "",
    )


def _coil_nominal_v(wiring: Wiring, found: LoadAssessment | None) -> float:
    supply = wiring.installation.supplies.get(found.source or "") if found is not None else None
    return supply.nominal_v if supply is not None else wiring.installation.system_v


def _cranking_v(coil: Load, situations: Mapping[Situation, SituationAssessment]) -> float | None:
    """Volts at a coil while cranking; None where it is not fed then, or nobody cranks. [V]"""
    found = situations.get(Situation.CRANKING)
    if found is None:
        return None
    if coil.name in found.loads_v:
        return found.loads_v[coil.name]
    ends = (found.volts_v.get(coil.plus), found.volts_v.get(coil.minus))
    if ends[0] is None or ends[1] is None:
        return None
    volts = ends[0] - ends[1]
    return volts if volts > FED_V else None


def _holds_while_cranking(wiring: Wiring, part: Part) -> bool:
    carried = wiring.currents.pieces.get(part.name)
    loads = [wiring.installation.loads[name] for name in (carried.loads if carried is not None else ())]
    return any(runs_in(load, Situation.CRANKING) for load in loads)


def _release_s(suppressor: str | None) -> float | None:
    """Time until the contact opens, with what lies across the coil. [s]"""
    if suppressor is None:
        return None
    means = {"diode": "diode", "resistor": "resistor 680 ohm", "none": "nothing"}[suppressor]
    found = suppression(means).release_s
    return found if found is not None else relay_time("release").typical_s


def terminals_of(wiring: Wiring, part: Part) -> tuple[tuple[str, str], ...]:
    """Return the points of a relay, or of a switch with the key, with their terminal numbers.

    Source: din-72552, common-practice. A relay's contact is 30 and 87, its coil 86 and 85; what the key feeds
    is 15. A boat's battery switch is numbered 1 and 2.
    """
    if part.kind is PartKind.RELAY:
        contact = part.way if part.way in {"87", "87a", "87b"} else "87"
        coil = _coil_of(wiring, part)
        numbers = ((part.start, "30"), (part.end, contact))
        return numbers if coil is None else (*numbers, (coil.plus, "86"), (coil.minus, "85"))
    if part.kind in {PartKind.SWITCH, PartKind.ISOLATOR}:
        circuit = wiring.installation.circuits[part.circuit]
        start = _of_start(wiring, circuit)
        if start is None or part.returning:
            return ()
        if part.kind is PartKind.ISOLATOR and wiring.installation.basis is Basis.BOAT:
            # No boat's battery switch bears numbers of that standard: its studs are 1 and 2, or nothing.
            return ((part.start, "1"), (part.end, "2"))
        return ((part.start, start), (part.end, "15" if part.when == "ignition" else "30g"))
    return ()


def _of_start(wiring: Wiring, circuit: Circuit) -> str | None:
    """Number of what a circuit starts at: 30 at a battery's plus, or at a block that is not switched."""
    supplies = wiring.installation.supplies.values()
    if any(s.kind is SupplyKind.BATTERY and s.plus == circuit.start for s in supplies):
        return "30"
    block = wiring.installation.gear.get(circuit.start)
    if block is None or block.kind is not GearKind.BLOCK:
        return None
    return "15" if block.when == "ignition" else "30"
