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
from groundstrap.words import words

__all__ = ["cautions_of", "circuits_ends_first", "first_power_words", "general_cautions", "work_steps"]

_FUSES = frozenset({PartKind.FUSE, PartKind.BREAKER})
_LEFT = {PartKind.FUSE: words("the fuse out"), PartKind.BREAKER: words("the breaker open")}
_TEST_FUSE_A = 5.0
"""Fuse for first power where no lamp is at hand; common practice. [A]"""
_LAMPS_V = (12.0, 24.0)
"""Lamps of 21 W are made for these; common practice. [V]"""
_LAW = words(
    "Local codes, the vehicle maker's instructions and licensed practice come first; where they ask for a "
    "licensed person, leave the work to one."
)
_SHORT = words(
    "Rings and watch off; a spanner between plus and body welds and burns. Cover the plus post. The "
    "negative lead comes off first and goes back on last."
)


def work_steps(plan: Plan, display: Display | None = None) -> list[Json]:
    """Return the steps in order; there are none where nothing is to be fitted."""
    shown = display if display is not None else Display(plan.installation.units)
    circuits = [c for c in plan.installation.circuits.values() if c.state is State.NEW]
    if not circuits:
        return []
    hazards = hazards_of(plan.installation)
    steps = [_dead(plan.installation, hazards)]
    steps += [_lay(circuit, hazards, shown) for circuit in circuits_ends_first(plan)]
    steps += [_dead_test(plan.installation), _live(plan.installation, hazards)]
    steps += list(_first_power(plan, hazards, reversed(circuits_ends_first(plan))))
    steps.append(_hand_over(hazards))
    return [{"step": number, **step} for number, step in enumerate(steps, 1)]


def circuits_ends_first(plan: Plan) -> list[Circuit]:
    """Return new circuits, farthest from the source first, so that the live end is joined last."""
    circuits = [c for c in plan.installation.circuits.values() if c.state is State.NEW]
    return sorted(circuits, key=lambda circuit: -_depth(plan, circuit.name, frozenset()))


def _depth(plan: Plan, name: str, passed: frozenset[str]) -> int:
    """How many circuits lie before one; what feeds the converter that it starts at is one of them."""
    found = plan.assessment.circuits.get(name)
    if found is None:
        return 0
    # A charger's battery side gets power before the side that charges it: makers ask for that.
    circuits = plan.installation.circuits.values()
    inputs = (
        () if found.charging else (c.name for c in circuits if c.converter and c.converter == found.source)
    )
    beyond = passed | {name}
    before = (1 + _depth(plan, each, beyond) for each in inputs if each not in beyond)
    return len(found.feeders) + max(before, default=0)


def general_cautions() -> tuple[str, str]:
    """Return the cautions of every job that is made dead first: the short circuit, and law and licence."""
    return _SHORT, _LAW


def cautions_of(hazards: Iterable[Hazard], step: WorkStep, circuit: str | None = None) -> tuple[str, ...]:
    """Return the cautions of one step of a job, those of one circuit where it is a circuit's."""
    return tuple(found["text"] for found in _at(hazards, step, circuit))


def _caution(hazard: str, text: str) -> Json:
    return {"hazard": hazard, "text": text}


def _at(hazards: Iterable[Hazard], step: WorkStep, circuit: str | None = None) -> list[Json]:
    """The cautions of one step, those of one circuit where it is a circuit's."""
    return [_caution(h.name, h.text) for h in hazards if h.step is step and h.circuit in {None, circuit}]


def _dead(installation: Installation, hazards: Iterable[Hazard]) -> Json:
    batteries = [s for s in installation.supplies.values() if s.kind is SupplyKind.BATTERY]
    text = words(
        "Make it dead: key out, engine and chargers off, then take off every battery's negative lead first."
    )
    return known({
        "text": text,
        "point": batteries[0].minus if batteries else None,
        "cautions": [
            _caution("short circuit", _SHORT),
            _caution("law and licence", _LAW),
            *_at(hazards, WorkStep.DISCONNECT),
        ],
    })  # fmt: skip


def _lay(circuit: Circuit, hazards: Iterable[Hazard], shown: Display) -> Json:
    out = [wire for wire in circuit.wires if not wire.returning]
    back = [wire for wire in circuit.wires if wire.returning]
    fitted = [_fitted(part) for part in circuit.parts if part.state is State.NEW]
    text = words(
        "Lay '{circuit}': {run} from {start} to {end}",
        circuit=circuit.name,
        run=_run(out, shown),
        start=circuit.start,
        end=circuit.end,
    )
    if back:
        minus = circuit.back_end or words("the negative")
        text = words("{text}, back {run} to {end}", text=text, run=_run(back, shown), end=minus)
    for before, part in enumerate(fitted):
        text = (
            words("{text}, {part}", text=text, part=part)
            if before
            else words("{text}; fit {part}", text=text, part=part)
        )
    kinds = {part.kind for part in circuit.parts if part.kind in _FUSES and part.state is State.NEW}
    left = [_LEFT[kind] for kind in (PartKind.FUSE, PartKind.BREAKER) if kind in kinds]
    both = words("{first} and {second}", first=left[0], second=left[1]) if len(left) == 2 else None
    if left:
        text = words("{text}. Leave {parts}.", text=text, parts=both or left[0])
    else:
        text = words("{text}.", text=text)
    return {"text": text, "point": circuit.start, "cautions": _at(hazards, WorkStep.LAY, circuit.name)}


def _fitted(part: Part) -> str:
    kind, place = part.kind.value, part.place
    if part.rating_a is None:
        return words("{part} at {place}", part=kind, place=place)
    return words("{part} {rating} at {place}", part=kind, rating=amps(part.rating_a), place=place)


def _run(wires: list[Wire], shown: Display) -> str:
    """Cable of one way by size, one after another where the size changes."""
    lengths: dict[str, float] = {}
    for wire in wires:
        size = words("cable of unknown size") if wire.size is None else shown.short(wire.size)
        if wire.parallel > 1 and wire.size is not None:
            size = words("{count} x {size}", count=wire.parallel, size=size)
        lengths[size] = lengths.get(size, 0.0) + wire.length_m
    told: str = words("nothing")
    for earlier, (size, length_m) in enumerate(lengths.items()):
        piece = words("{length} of {size}", length=shown.length(length_m), size=size)
        told = words("{before} + {piece}", before=told, piece=piece) if earlier else piece
    return told


def _dead_test(installation: Installation) -> Json:
    return {
        "text": words(
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
        "text": words(
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
                    "text": first_power_words(plan, circuit, part),
                    "point": part.start,
                    "cautions": _at(hazards, WorkStep.POWER, circuit.name),
                }


def first_power_words(plan: Plan, circuit: Circuit, part: Part) -> str:
    """Return how a fuse or breaker gets its first power: a lamp in its place, then itself, then the amps."""
    breaker = part.kind is PartKind.BREAKER
    text = words(
        "First power to '{circuit}': {lamp} {place}, loads off: {seen}. Then {last}",
        circuit=circuit.name,
        lamp=_test_lamp(_nominal_v(plan, circuit), part),
        place=words("across its open breaker") if breaker else words("in place of its fuse"),
        seen=words("it fades while the input charges, then stays dark")
        if _charges_up(plan, circuit)
        else words("all stays dark"),
        last=_last_words(part, breaker=breaker),
    )
    loads = [plan.assessment.loads[name] for name in circuit.loads if name in plan.assessment.loads]
    drawn = [
        words("{load} {current}", load=load.name, current=band(load.current_a, "A"))
        for load in loads
        if load.current_a is not None
    ]
    for before, one in enumerate(drawn):
        text = (
            words("{text}, {drawn}", text=text, drawn=one)
            if before
            else words("{text}, switch on and read {drawn}", text=text, drawn=one)
        )
    return words("{text}.", text=text)


def _last_words(part: Part, *, breaker: bool) -> str:
    if part.rating_a is None:
        settled = words("close the breaker once its rating is settled")
        return settled if breaker else words("fit its fuse once its rating is settled")
    rating = amps(part.rating_a)
    if breaker:
        return words("close the {rating} breaker", rating=rating)
    return words("fit the {rating} fuse", rating=rating)


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
    one, other = number(_LAMPS_V[0]), number(_LAMPS_V[1])
    lamp = words("a {volts} V, 21 W lamp", volts=one)
    if nominal_v > 1.5 * _LAMPS_V[0]:
        lamp = words("a {volts} V, 21 W lamp", volts=other)
    if nominal_v > 1.5 * _LAMPS_V[1]:
        lamp = words("two lamps of {volts} V, 21 W in series", volts=other)
    if part.kind is PartKind.BREAKER or (part.rating_a is not None and part.rating_a < _TEST_FUSE_A):
        return lamp
    return words("{lamp} (or a {rating} A fuse)", lamp=lamp, rating=number(_TEST_FUSE_A))


def _hand_over(hazards: Iterable[Hazard]) -> Json:
    return {
        "text": words(
            "Take the readings that are listed with this plan. Feel every joint and holder after 15 minutes "
            "of load: a hot one is bad and is made again. Write down meter, date and values. Look at the "
            "joints again after the first month."
        ),
        "cautions": _at(hazards, WorkStep.HAND_OVER),
    }
