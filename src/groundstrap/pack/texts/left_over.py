"""What is live while parked and unattended, and what is left on circuits, blocks and supplies."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.assess import CircuitAssessment, SituationAssessment
from groundstrap.model import (
    Circuit,
    GearKind,
    LoadKind,
    Part,
    PartKind,
    Passage,
    Situation,
    State,
    SupplyKind,
    Wire,
)
from groundstrap.pack.content import Align, Block, Column, Facts, Paragraph, Section, Table
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.report.figures import Display, amps, number
from groundstrap.report.plan import Plan
from groundstrap.words import term, words

__all__ = ["parked_section", "spare_section"]

_SWITCHED = frozenset({PartKind.SWITCH, PartKind.RELAY})
_HALF = 0.5
"""Share of a battery that may be used before it suffers or no longer starts; own judgement. [1]"""
_HOURS_A_DAY = 24.0


def parked_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return what is live with the key out and nobody there, and for how long the battery lasts."""
    telling = telling or Telling(plan, shown)
    rows = [row for circuit in telling.circuits if (row := _parked(telling, circuit)) is not None]
    blocks: list[Block] = []
    if rows:
        columns = (
            Column(words("circuit"), share=1.4),
            Column(words("fed by"), share=1.2),
            Column(words("fuse"), share=2.0),
            Column(words("with isolators open"), share=1.0),
            Column(words("on by itself"), share=1.8),
        )
        note = words("Key out, isolators as they are used, switches worked by hand closed.")
        blocks += [Paragraph(note), Table(columns, tuple(rows), small=True)]
    else:
        blocks.append(Paragraph(words("Nothing of this job is live with the key out.")))
    blocks += _asleep(telling)
    return Section(key="parked", title=words("Live while parked"), blocks=tuple(blocks))


def _parked(telling: Telling, circuit: Circuit) -> tuple[str, ...] | None:
    """One circuit that is live; its sources, its fuse, whether isolators end it, what runs without a hand."""
    live = telling.live
    mine = [wire.name for wire in circuit.wires if wire.name in live.parked]
    if not mine:
        return None
    sources = listed(telling.tag(name) for wire in mine for name in live.parked[wire])
    fuses = listed(_fuse(telling, part) for part in circuit.parts if part.kind in FUSES)
    after = [name for name in mine if name in live.all_open]
    still = words("all live") if len(after) == len(mine) else words("part live") if after else words("dead")
    return (circuit.name, sources, fuses or telling.no_fuse(circuit), still, _unattended(telling, circuit))


def _fuse(telling: Telling, part: Part) -> str:
    rating = amps(part.rating_a)
    return words("{fuse}, {rating}", fuse=telling.tag(part.name), rating=rating)


def _unattended(telling: Telling, circuit: Circuit) -> str:
    """Loads that no switch and no relay keeps off, or that a float or a signal may switch on."""
    if any(part.kind in _SWITCHED and part.when in {None, "hand"} for part in circuit.parts):
        return ""
    told = []
    for name in circuit.loads:
        load = telling.plan.installation.loads.get(name)
        if load is None or load.kind is LoadKind.COIL:
            continue
        if load.asleep_a:
            told.append(words("{load}, {current} asleep", load=name, current=amps(load.asleep_a)))
        elif Situation.RESTING in load.runs:
            found = telling.plan.assessment.loads.get(name)
            running = None if found is None or found.current_a is None else found.current_a.value
            told.append(words("{load}, {current}", load=name, current=amps(running)))
    return listed(told)


def _asleep(telling: Telling) -> Iterator[Block]:
    """What all that sleeps draws, and for how long half the battery lasts then."""
    installation = telling.plan.installation
    staying = telling.batteries
    terms: list[tuple[str, float]] = [
        (words("the vehicle itself"), s.standing_a) for s in staying if s.standing_a
    ]
    loads = (each for each in installation.loads.values() if each.state is not State.REMOVE)
    terms += [(each.name, each.asleep_a) for each in loads if each.asleep_a]
    if not terms:
        yield Paragraph(words("Nobody wrote what sleeps draw: measure it, all off and locked."))
        return
    rows = [(name, amps(current_a)) for name, current_a in terms]
    total_a = sum(current_a for _, current_a in terms)
    rows.append((words("asleep, together"), amps(total_a)))
    capacities = [s.capacity_ah * s.parallel for s in staying if s.capacity_ah is not None]
    if len(capacities) == len(staying) == 1:
        days = _HALF * capacities[0] / total_a / _HOURS_A_DAY
        rows.append((words("half of the battery lasts"), _days(days)))
    yield Facts(tuple(rows))


def _days(days: float) -> str:
    if days < 2.0:
        return words("{hours} h", hours=number(days * _HOURS_A_DAY, 2))
    return words("{days} days", days=number(days, 2))


def spare_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return what is left on each circuit, block, battery and alternator for whoever adds something later."""
    telling = telling or Telling(plan, shown)
    blocks: list[Block] = [
        Paragraph(
            words(
                "What may be added is the least of all that its current passes: circuit, feeder, block and "
                "supply. Nothing is printed where it is not known, nor for circuits that safety hangs on."
            )
        ),
        *_circuits(telling),
        *_blocks(telling),
        *_supplies(telling),
    ]
    return Section(key="spare", title=words("What is left"), blocks=tuple(blocks))


def _circuits(telling: Telling) -> Iterator[Block]:
    rows = []
    for circuit in telling.circuits:
        found = telling.plan.assessment.circuits.get(circuit.name)
        if found is not None and found.wires:
            rows.append((circuit.name, *_left(telling, circuit, found)))
    if not rows:
        return
    columns = (
        Column(words("circuit"), share=1.4),
        Column(words("carries"), Align.RIGHT, share=0.9),
        Column(words("may carry"), Align.RIGHT, share=0.9),
        Column(words("by"), share=2.0),
        Column(words("left"), Align.RIGHT, share=0.9),
    )
    yield Table(columns, tuple(rows), caption=words("Circuits and feeders"), small=True)


def _left(telling: Telling, circuit: Circuit, found: CircuitAssessment) -> tuple[str, str, str, str]:
    """What it carries, the least limit on its path with what sets it, and the rest."""
    unknown = words("not known")
    carried = amps(found.continuous_a)
    loads = (telling.plan.installation.loads.get(name) for name in circuit.loads)
    critical = any(load is not None and load.critical for load in loads)
    if critical or (circuit.state is State.EXISTING and found.spare_a is None):
        return carried, "" if critical else unknown, "", words("safety") if critical else unknown
    own: tuple[Wire | Part, ...] = (*circuit.wires, *circuit.parts)
    limits = [
        (step.limit_a, name)
        for name in (element.name for element in own)
        if (step := telling.plan.assessment.path.get(name)) is not None and step.limit_a is not None
    ]
    if not limits or found.continuous_a is None:
        return carried, unknown, "", unknown
    limit_a, name = min(limits)
    by = telling.tag(name)
    if name in telling.refs.by_wire:
        by = words("cable {cable}", cable=telling.cable(name))
    left_a = limit_a - found.continuous_a if found.spare_a is None else found.spare_a
    return carried, amps(limit_a), by, amps(max(left_a, 0.0))


def _blocks(telling: Telling) -> Iterator[Block]:
    rows = []
    for name, found in telling.plan.assessment.gear.items():
        gear = telling.plan.installation.gear[name]
        if gear.kind is GearKind.BLOCK:
            left = words("not known") if found.spare_a is None else amps(found.spare_a)
            carried, free = amps(found.continuous_a), _free(telling, name)
            rows.append((telling.tag(name), amps(found.rating_a), carried, left, free))
    if not rows:
        return
    columns = (
        Column(words("block"), share=1.6),
        Column(words("rated"), Align.RIGHT),
        Column(words("carries"), Align.RIGHT),
        Column(words("left"), Align.RIGHT),
        Column(words("ways free"), share=1.6),
    )
    yield Table(columns, tuple(rows), caption=words("Blocks"), small=True)


def _free(telling: Telling, block: str) -> str:
    """Ways of a block that no circuit uses; empty where it has no numbered ways."""
    gear = telling.plan.installation.gear[block]
    if not gear.ways or gear.state is State.EXISTING:
        return ""
    used = {
        element.way
        for circuit in telling.circuits
        for element in (*circuit.path, *circuit.back)
        if isinstance(element, Passage) and element.name == block
    }
    used |= {part.way for part in telling.plan.installation.parts() if part.gear == block}
    free = [way for way in gear.ways if way not in used]
    if not free:
        return words("none")
    first = gear.ways.index(free[0])
    if len(free) > 4 and tuple(free) == tuple(gear.ways[first : first + len(free)]):
        return words("{count}: {first} to {last}", count=len(free), first=free[0], last=free[-1])
    return listed(free)


def _supplies(telling: Telling) -> Iterator[Block]:
    rows = [row for solved in telling.plan.assessment.situations.values() for row in _given(telling, solved)]
    if not rows:
        return
    columns = (
        Column(words("supply"), share=1.6),
        Column(words("when"), share=1.0),
        Column(words("gives"), Align.RIGHT),
        Column(words("can give"), Align.RIGHT),
        Column(words("left"), Align.RIGHT),
    )
    caption = words("Batteries, alternators and chargers, with everything on that may run together")
    yield Table(columns, tuple(rows), caption=caption, small=True)


def _given(telling: Telling, solved: SituationAssessment) -> Iterator[tuple[str, ...]]:
    for name, given_a in solved.supplies_a.items():
        if solved.situation is Situation.CRANKING or not telling.is_at_work(name, solved.situation):
            continue
        can_a = telling.capability_a(name, solved.situation)
        left = words("not known") if can_a is None else amps(max(can_a - given_a, 0.0))
        supply = telling.plan.installation.supplies[name]
        if supply.kind is SupplyKind.BATTERY and can_a is None:
            # What a battery can give hangs on for how long; it has no rating for hours.
            left = ""
        charged = words("charged with {current}", current=amps(-given_a))
        gives = charged if given_a < -0.05 else amps(given_a)
        yield (
            telling.tag(name),
            term(solved.situation.value),
            gives,
            "" if can_a is None else amps(can_a),
            left,
        )
