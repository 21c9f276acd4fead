"""What rules need to know about a load."""

from __future__ import annotations

import re
from typing import Final

from groundstrap.assess.figures import SHORT_RUN_S
from groundstrap.assess.ladders import candidates, carries_share
from groundstrap.assess.results import FuseAssessment, ReasonKind
from groundstrap.assess.windows import lead_ampacity_a
from groundstrap.checks.facts import LoadSubject
from groundstrap.checks.known import known_drop_of
from groundstrap.checks.reach import ahead_of_isolators
from groundstrap.model import FUSES, Circuit, LoadKind, Measurement, Part, PartKind, Situation, State
from groundstrap.tables import (
    Ampacity,
    NotTabled,
    continuous_share,
    insulation,
    load_kind,
    published_ampacity,
)
from groundstrap.tables.fuses import SURE_TO_OPEN
from groundstrap.vet.accuracy import lead_ends
from groundstrap.vet.results import Bound, BoundKind, EvidenceKind, Overload
from groundstrap.words import words

__all__: list[str] = []

_BEST_LEAD: Final = "105 degC"
"""The best that leads of devices usually have; own judgement."""

_SOCKETS: Final = frozenset({BoundKind.PLUG, BoundKind.CIRCUIT_FUSE})
_GUARDS: Final = re.compile(r"\b(bilge|alarm)\b", re.IGNORECASE)
_RELAY_COIL_W: Final = 2.4
"""Coil of a relay: 0.15 to 0.2 A at 12 V, common practice. [W]"""
_SOLENOID_FROM_A: Final = 80.0
"""From this contact rating on a relay is a solenoid, whose coil takes amperes; own judgement. [A]"""
_JAMS: Final = frozenset({LoadKind.MOTOR, LoadKind.PUMP})
"""What a rag or a load holds still; fans and compressors mostly guard themselves. Own judgement."""
_TURNS: Final = frozenset({LoadKind.MOTOR, LoadKind.PUMP, LoadKind.FAN, LoadKind.COMPRESSOR})


def maker_limit_given(subject: LoadSubject) -> bool:
    """Whether its maker's largest fuse is written."""
    return subject.load.largest_fuse_a is not None


def largest_fuse_a(subject: LoadSubject) -> float | None:
    """Largest fuse that its maker allows ahead of it. [A]"""
    return subject.load.largest_fuse_a


def fuse_ahead_a(subject: LoadSubject) -> float | None:
    """Rating of the fuse that stands before it, its own included; None where one is not known. [A]"""
    ratings = [fuse.rating_a for fuse in _fuses(subject)]
    if subject.load.fitted.fuse_a is not None:
        ratings.append(subject.load.fitted.fuse_a)
    known = [rating for rating in ratings if rating is not None]
    return min(known) if known and len(known) == len(ratings) else None


def has_own_lead(subject: LoadSubject) -> bool:
    """Whether it came with a lead that has no fuse of its own."""
    return subject.load.fitted.wire is not None and subject.load.fitted.fuse_a is None


def lead_ampacity(subject: LoadSubject) -> float | None:
    """Ampacity of the lead that it came with, or less where a fuse ahead of it opens too late for it. [A]"""
    if subject.load.fitted.wire is None:
        return None
    zone = subject.facts.installation.zones[subject.load.zone]
    ampacity_a = lead_ampacity_a(subject.load, subject.facts.installation.basis, zone.high_c)
    windows = [fuse.window for fuse in _fuses(subject)]
    by_curve = [
        window.most_limit_a
        for window in windows
        if window.most_limit_a is not None
        and (window.most_reason.kind, window.most_reason.where) == (ReasonKind.LEAD, subject.load.name)
    ]
    return None if ampacity_a is None else min([ampacity_a, *by_curve])


def lead_best_a(subject: LoadSubject) -> float | None:
    """Ampacity of that lead with the best insulation that leads usually have. [A]"""
    size = subject.load.fitted.wire
    if size is None:
        return None
    found = published_ampacity(
        basis=subject.facts.installation.basis.value,
        insulation_c=insulation(_BEST_LEAD).class_c,
        area_mm2=size.area_mm2,
        ambient_c=subject.facts.installation.zones[subject.load.zone].high_c,
        loaded_conductors=2,
    )
    return found.value_a if isinstance(found, Ampacity) else None


def works_given(subject: LoadSubject) -> bool:
    """Whether the voltage it works between is written."""
    return subject.load.works is not None


def works_low_v(subject: LoadSubject) -> float | None:
    """Lowest voltage that it works at. [V]"""
    return subject.load.works.low if subject.load.works is not None else None


def works_high_v(subject: LoadSubject) -> float | None:
    """Highest voltage that it stands. [V]"""
    return subject.load.works.high if subject.load.works is not None else None


def lowest_v(subject: LoadSubject) -> float | None:
    """Lowest voltage at its terminals while it may run. [V]"""
    return subject.found.lowest_v if subject.found is not None else None


def lowest_best_v(subject: LoadSubject) -> float | None:
    """The same with the body at its best, or with cable that nobody knows as if it lost nothing. [V]"""
    if subject.found is None:
        return None
    drops = [subject.facts.assessment.circuits[name].drop for name in subject.found.circuits]
    own = [d for d in drops if d.load == subject.load.name and d.source_v is not None and d.low_v is not None]
    if subject.found.lowest_v is not None and own:
        return min((d.source_v or 0.0) - (d.low_v or 0.0) for d in own)
    source = subject.facts.supplies.get(subject.found.source or "")
    circuits = [c for c in subject.circuits if c.name in subject.facts.assessment.circuits]
    lost = [known_drop_of(subject.facts, circuit) for circuit in circuits]
    if source is None or source.series > 1 or len(lost) != 1 or lost[0] is None:
        return None
    return subject.facts.assessment.supplies[source.name].low_v - lost[0]


def highest_v(subject: LoadSubject) -> float | None:
    """Highest voltage at its terminals; where cable to it is not known, that of its source. [V]"""
    if subject.found is None:
        return None
    if subject.found.highest_v is None or _cable_known(subject):
        return subject.found.highest_v
    supply = subject.facts.supplies.get(subject.found.source or "")
    if supply is None or supply.series > 1 or subject.load.works is None:
        return None
    # Cable that is not known can only lower what stands at the source.
    high_v = subject.facts.assessment.supplies[supply.name].high_v
    return None if high_v > subject.load.works.high else high_v


def is_critical(subject: LoadSubject) -> bool:
    """Whether losing it is dangerous."""
    return subject.load.critical


def in_a_socket(subject: LoadSubject) -> bool:
    """Whether it plugs in somewhere, or hangs behind a fuse that is in the vehicle already."""
    return bool(_bounds(subject))


def socket(subject: LoadSubject) -> str:
    """The plug or existing fuse that carries least beside what is asked of it."""
    over = _overload(subject)
    if over is not None:
        return over.name
    bounds = _bounds(subject)
    return min(bounds, key=_limit_a).name if bounds else words("the socket")


def socket_a(subject: LoadSubject) -> float | None:
    """Current that passes the plug or existing fuse on its account. [A]"""
    over = _overload(subject)
    if over is not None:
        return over.current_a.value
    running = [at.current_a.value for at in subject.vetted.at if at.what != "claim"] if subject.vetted else []
    return max(running) if running else None


def socket_limit_a(subject: LoadSubject) -> float | None:
    """What the plug's contact is good for as long as it runs, or the existing fuse's rating. [A]"""
    over = _overload(subject)
    if over is not None:
        return over.limit_a
    limits = [_limit_a(bound) for bound in _bounds(subject) if bound.rating_a is not None]
    return min(limits) if limits else None


def has_own_fuse(subject: LoadSubject) -> bool:
    """Whether it came with a fuse of its own."""
    return subject.load.fitted.fuse_a is not None


def is_measured(subject: LoadSubject) -> bool:
    """Whether some reading says what it takes."""
    evidence = subject.vetted.evidence if subject.vetted is not None else ()
    return any(each.kind is EvidenceKind.MEASURED and each.weight > 0.0 for each in evidence)


def measured_a(subject: LoadSubject) -> float | None:
    """Most that all of its pieces together take by what was measured, at rest or charging. [A]"""
    running = [at.current_a.value for at in subject.vetted.at if at.what != "claim"] if subject.vetted else []
    return max(running) if running and is_measured(subject) else None


def own_fuse_a(subject: LoadSubject) -> float | None:
    """Rating of the fuse that it came with, of all its pieces together. [A]"""
    rating_a = subject.load.fitted.fuse_a
    return None if rating_a is None else rating_a * subject.load.count


def own_fuse_hours_a(subject: LoadSubject) -> float | None:
    """What that fuse carries for hours as a regular blade; None where the load only makes short runs. [A]"""
    rating_a, duty = own_fuse_a(subject), subject.load.duty
    if rating_a is None or (duty.run_s is not None and duty.run_s <= SHORT_RUN_S):
        return None
    zone = subject.facts.installation.zones[subject.load.zone]
    found = continuous_share("regular blade", zone.high_c)
    return None if isinstance(found, NotTabled) else found.share * rating_a


def lead_unwritten(subject: LoadSubject) -> bool:
    """Whether it is new, and neither lead, own fuse nor its maker's largest fuse is written."""
    load = subject.load
    if load.state is not State.NEW or load.kind is LoadKind.STARTER:
        return False
    return load.fitted.wire is None and load.fitted.fuse_a is None and load.largest_fuse_a is None


def asks_for_a(subject: LoadSubject) -> float | None:
    """Least rating of a blade, else of what is made above, that carries one piece of it where it is. [A]"""
    current_a = subject.found.continuous_a if subject.found is not None else None
    duty = subject.load.duty
    short = duty.run_s is not None and duty.run_s <= SHORT_RUN_S
    zone = subject.facts.installation.zones[subject.load.zone]
    share = carries_share("regular blade", zone.high_c, short=short)
    if current_a is None or share is None:
        return None
    ladder = candidates(None, PartKind.FUSE, subject.facts.installation.system_v)
    needed_a = current_a / subject.load.count / share
    return next((c.rating_a for c in ladder if c.rating_a >= needed_a * (1 - 1e-9)), needed_a)


def ohms_read(subject: LoadSubject) -> bool:
    """Whether somebody read ohms on it."""
    return any(reading.resistance_ohm is not None for reading in subject.load.measured)


def ohms_decide(subject: LoadSubject) -> bool:
    """Whether what it takes rests on its ohms: they tell it for its kind, and no reading of flow outweighs.

    Ohms too few beside their leads have no weight, and are still all that there is.
    """
    if not load_kind(subject.load.kind.value).resistance_tells_power:
        return False
    evidence = subject.vetted.evidence if subject.vetted is not None else ()
    read = [each for each in evidence if each.kind is EvidenceKind.MEASURED]
    by_ohms = sum(each.weight for each in read if "resistance_ohm" in each.says)
    by_flow = sum(each.weight for each in read if "resistance_ohm" not in each.says)
    return by_ohms >= by_flow


def leads_ohm(subject: LoadSubject) -> float | None:
    """Most that test leads hold which nobody nulled nor gave; None where somebody did each time. [ohm]"""
    found = [lead_ends(reading.meter).most_ohm for reading in _bare_ohms(subject)]
    return max(found, default=None)


def leads_pct(subject: LoadSubject) -> float | None:
    """Largest share of a reading that such leads may hold; None where none was read with them. [%]"""
    shares = [
        100.0 * lead_ends(reading.meter).most_ohm / reading.resistance_ohm
        for reading in _bare_ohms(subject)
        if reading.resistance_ohm
    ]
    return max(shares, default=None)


def may_block(subject: LoadSubject) -> bool:
    """Whether its stall current is written, or it is a new motor or pump of which nobody wrote it."""
    load = subject.load
    return load.stall is not None or (load.kind in _JAMS and load.state is State.NEW)


def stall_usual_a(subject: LoadSubject) -> float | None:
    """What one piece usually takes as it starts, which is what it takes blocked; None of no motor. [A]"""
    start = subject.facts.assessment.starting.loads.get(subject.load.name)
    if start is None or subject.load.kind not in _JAMS:
        return None
    return (start.nominal.peak_a if start.asks_a is None else start.asks_a) / subject.load.count


def stall_given(subject: LoadSubject) -> bool:
    """Whether the current of the blocked motor is written."""
    return subject.load.stall is not None


def stall_a(subject: LoadSubject) -> float | None:
    """Current of the blocked motor. [A]"""
    return subject.load.stall.current_a if subject.load.stall is not None else None


def survives_stall(subject: LoadSubject) -> bool:
    """Whether its maker says that it survives being blocked."""
    return subject.load.stall is not None and bool(subject.load.stall.survives)


def opens_surely_a(subject: LoadSubject) -> float | None:
    """Current that surely opens the fuse before it: 1.35 times its rating. [A]"""
    rating_a = fuse_ahead_a(subject)
    return None if rating_a is None else SURE_TO_OPEN * rating_a


def runs_alone(subject: LoadSubject) -> bool:
    """Whether it may run at rest without a hand on a switch of its circuit."""
    by_hand = {PartKind.SWITCH, PartKind.RELAY, PartKind.ISOLATOR}
    parts = [part for circuit in subject.circuits for part in circuit.parts]
    handled = any(part.kind in by_hand and part.when in {None, "hand"} for part in parts)
    return Situation.RESTING in subject.load.runs and not handled


def is_inverter(subject: LoadSubject) -> bool:
    """Whether it is an inverter, with large capacitors at its input."""
    return subject.load.kind is LoadKind.INVERTER


def behind_relay(subject: LoadSubject) -> bool:
    """Whether a relay in its circuit switches it on."""
    return any(part.kind is PartKind.RELAY for circuit in subject.circuits for part in circuit.parts)


def inrush_a(subject: LoadSubject) -> float | None:
    """Current at switch-on, where it is written. [A]"""
    return subject.load.inrush.current_a if subject.load.inrush is not None else None


def guards_a_boat(subject: LoadSubject) -> bool:
    """Whether it is a bilge pump or an alarm on a boat."""
    if subject.facts.basis != "boat" or subject.load.kind is LoadKind.COIL:
        return False
    pumps_bilge = subject.load.kind is LoadKind.PUMP and subject.load.zone == "bilge"
    return pumps_bilge or _GUARDS.search(subject.load.name) is not None


def ahead_of_isolator(subject: LoadSubject) -> bool:
    """Whether one of its circuits reaches a battery past no isolator, with a fuse of its own."""
    return any(_ahead(subject, circuit) for circuit in subject.circuits)


def is_known(subject: LoadSubject) -> bool | None:
    """True where something says what it takes, else None."""
    return True if subject.found is not None and subject.found.known else None


def _bare_ohms(subject: LoadSubject) -> list[Measurement]:
    """Readings in ohms whose leads nobody nulled nor gave."""
    return [r for r in subject.load.measured if r.resistance_ohm is not None and r.leads_ohm is None]


def _cable_known(subject: LoadSubject) -> bool:
    """Whether all cable on its way has a size."""
    found = subject.facts.assessment.circuits
    own = subject.found.circuits if subject.found is not None else ()
    names = {name for circuit in own for name in (circuit, *found[circuit].feeders)}
    return all(
        wire.area_mm2 is not None for name in names if name in found for wire in found[name].wires.values()
    )


def _ahead(subject: LoadSubject, circuit: Circuit) -> bool:
    parts = [e for e in circuit.path if isinstance(e, Part)]
    fused = any(part.kind in FUSES for part in parts)
    isolated = any(part.kind is PartKind.ISOLATOR for part in parts)
    return fused and not isolated and ahead_of_isolators(subject.facts, circuit.start)


def _fuses(subject: LoadSubject) -> tuple[FuseAssessment, ...]:
    return subject.facts.guards.get(subject.load.name, ())


def _bounds(subject: LoadSubject) -> tuple[Bound, ...]:
    if subject.vetted is None:
        return ()
    return tuple(bound for bound in subject.vetted.bounds if bound.kind in _SOCKETS)


def _limit_a(bound: Bound) -> float:
    values = [value for value in (bound.hours_a, bound.rating_a) if value is not None]
    return min(values) if values else float("inf")


def _overload(subject: LoadSubject) -> Overload | None:
    if subject.vetted is None:
        return None
    over = [found for found in subject.vetted.overloads if found.bound in _SOCKETS]
    return max(over, key=lambda found: found.current_a.value / found.limit_a, default=None)


def coil_read_a(subject: LoadSubject) -> float | None:
    """Largest current that was read through a relay's coil; None where it is none or nothing was read. [A]"""
    if subject.load.kind is not LoadKind.COIL:
        return None
    through = {subject.load.name} | {c.name for c in subject.circuits}
    through |= {part.name for c in subject.circuits for part in c.parts}
    amps = [each.current_a for each in subject.load.measured if each.current_a is not None]
    amps += [
        abs(each.value)
        for taken in subject.facts.installation.readings
        for each in taken.values
        if each.kind == "current" and each.through in through
    ]
    return max(amps, default=None)


def coil_usual_a(subject: LoadSubject) -> float | None:
    """Current that is written for the coil, or the usual one of a relay; None for a large one's. [A]"""
    written = [claim.current_a for claim in subject.load.claims if claim.current_a is not None]
    if written:
        return max(written)
    gear = subject.facts.installation.gear.get(subject.load.relay or "")
    if gear is not None and gear.rating_a is not None and gear.rating_a >= _SOLENOID_FROM_A:
        return None
    return _RELAY_COIL_W / subject.facts.installation.system_v
