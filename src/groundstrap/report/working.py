"""The order of work, each caution at the step where it counts.

Local code and licensed practice come first; what stands here is the usual caution of the trade, marked as
common practice and as our own words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from groundstrap.checks import Hazard, WorkStep, hazards_of
from groundstrap.model import Circuit, Installation, Part, PartKind, State, SupplyKind, Wire
from groundstrap.report.figures import Display, amps, seconds
from groundstrap.report.first_power import FUSES, FirstPower
from groundstrap.report.measuring import expectations
from groundstrap.report.plan import Plan
from groundstrap.report.values import Json, known
from groundstrap.words import joined, words

__all__ = [
    "LIVE_JOINT",
    "LOOKED_ALONG",
    "cautions_of",
    "circuits_ends_first",
    "felt_words",
    "general_cautions",
    "work_steps",
]

_LEFT = {PartKind.FUSE: words("the fuse out"), PartKind.BREAKER: words("the breaker open")}
_LAW = words(
    "Local codes, the vehicle maker's instructions and licensed practice come first; where they ask for a "
    "licensed person, leave the work to one."
)
LOOKED_ALONG: Final = words(
    "Look along every new cable: a grommet at each hole, a clip at every bend, nothing over an edge or near "
    "a belt. Pull at every terminal."
)
_LONG_RUN_S: Final = 900.0
"""How long loads run before joints are felt: most are as warm then as they get; own judgement. [s]"""
LIVE_JOINT: Final = words(
    "While anything has power a joint at plus is live: rings and watch off, no metal in the hand. Switch off "
    "and open the isolator, or take the negative lead off, before you touch a bare one; it stays warm long "
    "enough. Never feel what carries mains."
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
    steps.append(_hand_over(plan, hazards))
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
    kinds = {part.kind for part in circuit.parts if part.kind in FUSES and part.state is State.NEW}
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
    sizes: dict[str, list[Wire]] = {}
    for wire in wires:
        size = words("cable of unknown size") if wire.size is None else shown.short(wire.size)
        if wire.parallel > 1 and wire.size is not None:
            size = words("{count} x {size}", count=wire.parallel, size=size)
        sizes.setdefault(size, []).append(wire)
    told: str = words("nothing")
    for earlier, (size, some) in enumerate(sizes.items()):
        known = all(wire.length_known for wire in some)
        length = shown.length(sum(wire.length_m for wire in some) if known else None)
        piece = words("{length} of {size}", length=length, size=size)
        told = words("{before} + {piece}", before=told, piece=piece) if earlier else piece
    return told


def _dead_test(installation: Installation) -> Json:
    return {
        "text": words(
            "{looked} Before any power, all fuses out and all loads off: measure ohms from each new plus "
            "wire to its negative and to bare metal. Anything but an open circuit is a fault to find first.",
            looked=LOOKED_ALONG,
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
    first = FirstPower(plan)
    for circuit in circuits:
        for part in circuit.parts:
            if part.kind in FUSES and part.state is State.NEW:
                yield {
                    "text": first.words(circuit, part),
                    "point": part.start,
                    "cautions": _at(hazards, WorkStep.POWER, circuit.name),
                }


def felt_words(plan: Plan) -> str:
    """Return how joints are felt after a run under load, in which no load runs longer than it may."""
    minutes = seconds(_LONG_RUN_S)
    short = _short_runs(plan)
    if not short:
        return words(
            "Let the new loads run for {time}, then feel every joint and holder with the back of a finger: a "
            "hot one is bad and is made again.",
            time=minutes,
        )
    return words(
        "Let the new loads run for {time}, but no longer than they may: {loads}. Then feel every joint and "
        "holder with the back of a finger: a hot one is bad and is made again.",
        time=minutes,
        loads=joined(", ", (words("{load} {time}", load=name, time=seconds(s)) for name, s in short.items())),
    )


def _short_runs(plan: Plan) -> dict[str, float]:
    """Return the loads of new circuits that may not run as long as joints take to warm, and their run. [s]"""
    new = (c for c in plan.installation.circuits.values() if c.state is State.NEW)
    loads = plan.installation.loads
    found = {name: loads[name].duty.run_s for circuit in new for name in circuit.loads if name in loads}
    return {name: run_s for name, run_s in found.items() if run_s is not None and run_s < _LONG_RUN_S}


def _hand_over(plan: Plan, hazards: Iterable[Hazard]) -> Json:
    listed = words("Take the readings that are listed with this plan.")
    if not expectations(plan):
        listed = words(
            "No readings are listed with this plan: of no load on a new circuit is it known yet what they "
            "should be. Once it is, plan again."
        )
    text = words(
        "{listed} {felt} Write down meter, date and values. Look at the joints again after the first month.",
        listed=listed,
        felt=felt_words(plan),
    )
    return {"text": text, "cautions": [_caution("live joint", LIVE_JOINT), *_at(hazards, WorkStep.HAND_OVER)]}
