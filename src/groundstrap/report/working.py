"""The order of work, each caution at the step where it counts.

Local code and licensed practice come first; what stands here is the usual caution of the trade, marked as
common practice and as our own words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.checks import Hazard, WorkStep, hazards_of
from groundstrap.model import Circuit, Installation, LoadKind, Part, PartKind, State, SupplyKind, Wire
from groundstrap.report.figures import Display, amps, band, number
from groundstrap.report.plan import Plan
from groundstrap.report.values import Json, known

__all__ = ["work_steps"]

_FUSES = frozenset({PartKind.FUSE, PartKind.BREAKER})
_LEFT = {PartKind.FUSE: "the fuse out", PartKind.BREAKER: "the breaker open"}
_TEST_FUSE_A = 5.0
"""Fuse for first power where no lamp is at hand; common practice. [A]"""
_LAMPS_V = (12.0, 24.0)
"""Lamps of 21 W are made for these; common practice. [V]"""
_LAW = (
    "Local codes, the vehicle maker's instructions and licensed practice come first; where they ask for a "
    "licensed person, leave the work to one."
)


def work_steps(plan: Plan, display: Display | None = None) -> list[Json]:
    """Return the steps in order; there are none where nothing is to be fitted."""
    shown = display if display is not None else Display(plan.installation.units)
    circuits = [c for c in plan.installation.circuits.values() if c.state is State.NEW]
    if not circuits:
        return []
    hazards = hazards_of(plan.installation)
    steps = [_dead(plan.installation, hazards)]
    steps += [_lay(circuit, hazards, shown) for circuit in _ends_first(plan, circuits)]
    steps += [_dead_test(plan.installation), _live(plan.installation, hazards)]
    steps += list(_first_power(plan, hazards, reversed(_ends_first(plan, circuits))))
    steps.append(_hand_over(hazards))
    return [{"step": number, **step} for number, step in enumerate(steps, 1)]


def _ends_first(plan: Plan, circuits: list[Circuit]) -> list[Circuit]:
    """Circuits farthest from the source first, so that the live end is joined last."""
    assessed = plan.assessment.circuits
    depth = {c.name: len(assessed[c.name].feeders) if c.name in assessed else 0 for c in circuits}
    return sorted(circuits, key=lambda circuit: -depth[circuit.name])


def _caution(hazard: str, text: str) -> Json:
    return {"hazard": hazard, "text": text}


def _at(hazards: Iterable[Hazard], step: WorkStep, circuit: str | None = None) -> list[Json]:
    """The cautions of one step, those of one circuit where it is a circuit's."""
    return [_caution(h.name, h.text) for h in hazards if h.step is step and h.circuit in {None, circuit}]


def _dead(installation: Installation, hazards: Iterable[Hazard]) -> Json:
    batteries = [s for s in installation.supplies.values() if s.kind is SupplyKind.BATTERY]
    text = (
        "Make it dead: key out, engine and chargers off, then take off every battery's negative lead first."
    )
    order = (
        "Rings and watch off; a spanner between plus and body welds and burns. Cover the plus post. The "
        "negative lead comes off first and goes back on last."
    )
    return known({
        "text": text,
        "point": batteries[0].minus if batteries else None,
        "cautions": [
            _caution("short circuit", order),
            _caution("law and licence", _LAW),
            *_at(hazards, WorkStep.DISCONNECT),
        ],
    })  # fmt: skip


def _lay(circuit: Circuit, hazards: Iterable[Hazard], shown: Display) -> Json:
    out = [wire for wire in circuit.wires if not wire.returning]
    back = [wire for wire in circuit.wires if wire.returning]
    parts = [
        f"{part.kind}{'' if part.rating_a is None else ' ' + amps(part.rating_a)} at {part.place}"
        for part in circuit.parts
        if part.state is State.NEW
    ]
    text = f"Lay '{circuit.name}': {_run(out, shown)} from {circuit.start} to {circuit.end}"
    if back:
        text += f", back {_run(back, shown)} to {circuit.back_end or 'the negative'}"
    if parts:
        text += "; fit " + ", ".join(parts)
    kinds = {part.kind for part in circuit.parts if part.kind in _FUSES and part.state is State.NEW}
    left = [_LEFT[kind] for kind in (PartKind.FUSE, PartKind.BREAKER) if kind in kinds]
    text += f". Leave {' and '.join(left)}." if left else "."
    return {"text": text, "point": circuit.start, "cautions": _at(hazards, WorkStep.LAY, circuit.name)}


def _run(wires: list[Wire], shown: Display) -> str:
    """Cable of one way by size, one after another where the size changes."""
    lengths: dict[str, float] = {}
    for wire in wires:
        times = f"{wire.parallel} x " if wire.parallel > 1 else ""
        key = "cable of unknown size" if wire.size is None else f"{times}{shown.short(wire.size)}"
        lengths[key] = lengths.get(key, 0.0) + wire.length_m
    return (
        " + ".join(f"{shown.length(length_m)} of {size}" for size, length_m in lengths.items()) or "nothing"
    )


def _dead_test(installation: Installation) -> Json:
    return {
        "text": (
            "Look along every new cable: a grommet at each hole, clips at every bend, nothing over an edge "
            "or near a belt. Before any power, all fuses out and all loads off: measure ohms from each new "
            "plus wire to its negative and to bare metal. Anything but an open circuit is a fault to find "
            "first."
        ),
        "point": installation.reference,
        "cautions": [],
    }


def _live(installation: Installation, hazards: Iterable[Hazard]) -> Json:
    return {
        "text": (
            "Connect the battery: plus first, negative last. Fuses of the new circuits are still out. A "
            "large spark at the last lead means that something draws: off again, look. From here on a test "
            "lamp that is bright with everything off is a short: find it; a larger fuse cures nothing."
        ),
        "point": installation.reference,
        "cautions": _at(hazards, WorkStep.CONNECT),
    }


def _first_power(plan: Plan, hazards: Iterable[Hazard], circuits: Iterable[Circuit]) -> Iterator[Json]:
    for circuit in circuits:
        for part in circuit.parts:
            if part.kind in _FUSES and part.state is State.NEW:
                yield {
                    "text": _power_text(plan, circuit, part),
                    "point": part.start,
                    "cautions": _at(hazards, WorkStep.POWER, circuit.name),
                }


def _power_text(plan: Plan, circuit: Circuit, part: Part) -> str:
    breaker = part.kind is PartKind.BREAKER
    place = "across its open breaker" if breaker else "in place of its fuse"
    lamp = _test_lamp(_nominal_v(plan, circuit), part)
    seen = (
        "it fades while the input charges, then stays dark"
        if _charges_up(plan, circuit)
        else "all stays dark"
    )
    text = f"First power to '{circuit.name}': {lamp} {place}, loads off: {seen}. "
    rating = "its rating is settled" if part.rating_a is None else amps(part.rating_a)
    if part.rating_a is None:
        last = f"close the breaker once {rating}" if breaker else f"fit its fuse once {rating}"
    else:
        last = f"close the {rating} breaker" if breaker else f"fit the {rating} fuse"
    loads = [plan.assessment.loads[name] for name in circuit.loads if name in plan.assessment.loads]
    drawn = [f"{load.name} {band(load.current_a, 'A')}" for load in loads if load.current_a is not None]
    expected = f", switch on and read {', '.join(drawn)}" if drawn else ""
    return f"{text}Then {last}{expected}."


def _charges_up(plan: Plan, circuit: Circuit) -> bool:
    """Whether an inverter hangs on a circuit, whose capacitors fill through the test lamp."""
    loads = (plan.installation.loads[name] for name in circuit.loads if name in plan.installation.loads)
    return any(load.kind is LoadKind.INVERTER for load in loads)


def _nominal_v(plan: Plan, circuit: Circuit) -> float:
    """Nominal voltage of what feeds a circuit, which behind a converter is another than the vehicle's. [V]"""
    found = plan.assessment.circuits.get(circuit.name)
    supply = None if found is None else plan.assessment.supplies.get(found.source or "")
    return plan.installation.system_v if supply is None else supply.nominal_v


def _test_lamp(nominal_v: float, part: Part) -> str:
    """A lamp that limits the first current; a small fuse may stand in for it where it is no larger."""
    lamp = f"a {number(_LAMPS_V[0])} V, 21 W lamp"
    if nominal_v > 1.5 * _LAMPS_V[0]:
        lamp = f"a {number(_LAMPS_V[1])} V, 21 W lamp"
    if nominal_v > 1.5 * _LAMPS_V[1]:
        lamp = f"two lamps of {number(_LAMPS_V[1])} V, 21 W in series"
    small = part.rating_a is not None and part.rating_a < _TEST_FUSE_A
    instead = "" if small or part.kind is PartKind.BREAKER else f" (or a {number(_TEST_FUSE_A)} A fuse)"
    return f"{lamp}{instead}"


def _hand_over(hazards: Iterable[Hazard]) -> Json:
    return {
        "text": (
            "Take the readings that are listed with this plan. Feel every joint and holder after 15 minutes "
            "of load: a hot one is bad and is made again. Write down meter, date and values. Look at the "
            "joints again after the first month."
        ),
        "cautions": _at(hazards, WorkStep.HAND_OVER),
    }
