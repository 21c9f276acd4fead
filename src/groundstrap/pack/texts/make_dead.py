"""How to make it dead on one page: the order, what stays live after each isolator, what has no fuse."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.checks import WorkStep
from groundstrap.model import LoadKind, State, Supply, SupplyKind
from groundstrap.pack.content import (
    Align,
    Block,
    Caution,
    Column,
    Fill,
    Paragraph,
    Section,
    Step,
    Steps,
    Table,
)
from groundstrap.pack.texts.phrases import Telling, listed
from groundstrap.report.figures import UNKNOWN, Display, amps, volts
from groundstrap.report.plan import Plan
from groundstrap.report.working import general_cautions
from groundstrap.words import words

__all__ = ["dead_cautions", "dead_section", "dead_steps"]

_CONVERTERS = frozenset({SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER})
_CALM_V = 1.0
"""Below this a capacitor counts as empty; own judgement. [V]"""


def dead_section(plan: Plan, shown: Display, telling: Telling | None = None) -> Section:
    """Return the sheet that says how to make everything dead, and what stays live all the same."""
    telling = telling or Telling(plan, shown)
    blocks: list[Block] = [
        *dead_cautions(telling),
        Steps(tuple(dead_steps(telling))),
        *_after_each(telling),
        *_despite(telling),
        *_unfused(telling),
        *_never_dead(telling),
        Fill((words("made dead by"), words("date and time"), words("key and lead are with"))),
    ]
    return Section(key="make-it-dead", title=words("Make it dead"), blocks=tuple(blocks))


def dead_cautions(telling: Telling) -> tuple[Caution, ...]:
    """Return the cautions before anything is taken off a battery."""
    every = (*general_cautions(), *telling.cautions(WorkStep.DISCONNECT))
    return tuple(Caution(text) for text in every)


def dead_steps(telling: Telling, *, before: bool = False) -> Iterator[Step]:
    """Yield the steps that make it dead, in their order: loads, engine, other sources, batteries, proof.

    Before the work, nothing is named that the work will bring, if a battery is known to be there.
    """
    if before and _of_kind(telling, SupplyKind.BATTERY, before=True):
        yield from _dead_before(telling)
        return
    batteries = telling.batteries
    yield from _taken_off(telling, telling.live.after, batteries, before=False)
    if batteries:
        yield Step(text=words("Tie the leads back and cover every plus post that stays bare."))
    yield from _discharged(telling, _capacitors(telling))
    places = listed(_proof_points(telling))
    if places:
        yield Step(
            text=words(
                "Prove it dead: meter on volts, tried on a battery before and after. Between plus and minus "
                "at {places}: {none}.",
                places=places,
                none=volts(0.0),
            )
        )


def _dead_before(telling: Telling) -> Iterator[Step]:
    """What is there before the work, also what is to go; what is written as new is told in one step."""
    things = telling.plan.installation
    gear = {name: each.state for name, each in things.gear.items()}
    states = {name: part.state for name, part in telling.parts.items()} | gear
    there = [name for name in telling.live.after if states.get(name) is not State.NEW]
    batteries = _of_kind(telling, SupplyKind.BATTERY, before=True)
    yield from _taken_off(telling, there, batteries, before=True)
    new = [s for s in telling.batteries if s.state is State.NEW]
    if new:
        what = listed(telling.tag(each.name) for each in new)
        text = words("{batteries}: new, not joined yet. One that is there already: its negative off too.",
                     batteries=what)  # fmt: skip
        yield Step(text=text)
    yield Step(text=words("Tie the leads back and cover every plus post that stays bare."))
    yield from _discharged(telling, _capacitors(telling, before=True))
    text = words(
        "Prove it dead: meter on volts, tried on a battery before and after. Between plus and bare metal, "
        "and plus and minus, wherever you will work: {none}.",
        none=volts(0.0),
    )
    yield Step(text=text)


def _taken_off(
    telling: Telling, isolators: Iterable[str], batteries: Iterable[Supply], *, before: bool
) -> Iterator[Step]:
    """Loads, engine and other sources, then isolators, then the batteries' leads."""
    yield Step(text=words("All loads off. Key out. Engine off; nobody can start it."))
    yield from _other_sources(telling, before=before)
    for name in isolators:
        yield Step(text=words("Open {isolator}. No load runs while you do.", isolator=telling.tag(name)))
    for battery in batteries:
        yield Step(text=_lead_off(telling, battery))


def _discharged(telling: Telling, capacitors: list[str]) -> Iterator[Step]:
    if capacitors:
        what = listed(telling.tag(name) for name in capacitors)
        yield Step(
            text=words(
                "Capacitors in {what} hold their charge: wait until a meter shows less than {calm} between "
                "plus and minus of each.",
                what=what,
                calm=volts(_CALM_V),
            )
        )


def _other_sources(telling: Telling, *, before: bool = False) -> Iterator[Step]:
    """What feeds beside the batteries, before these are touched."""
    for supply in _of_kind(telling, SupplyKind.MAINS_CHARGER, before=before):
        yield Step(
            text=words(
                "Pull the mains plug of {charger}; hang a note on it.", charger=telling.tag(supply.name)
            )
        )
    for supply in _of_kind(telling, SupplyKind.SOLAR, before=before):
        yield Step(
            text=words(
                "Cover {panel}, then part its plus from the controller. In daylight its cable is live by "
                "itself.",
                panel=telling.tag(supply.name),
            )
        )
    for load in telling.plan.installation.loads.values():
        if load.kind is LoadKind.INVERTER and load.state is not _absent(before=before):
            yield Step(
                text=words(
                    "Switch off {inverter}: what it feeds is mains voltage.", inverter=telling.tag(load.name)
                )
            )


def _lead_off(telling: Telling, battery: Supply) -> str:
    if battery.series > 1:
        return words(
            "Take the negative lead off {battery}, the end battery of its {count} in series, then part the "
            "links between them.",
            battery=telling.tag(battery.name),
            count=battery.series,
        )
    if battery.parallel > 1:
        return words(
            "Take the negative lead off {battery}, and off each of its {count} in parallel.",
            battery=telling.tag(battery.name),
            count=battery.parallel,
        )
    return words("Take the negative lead off {battery}.", battery=telling.tag(battery.name))


def _absent(*, before: bool) -> State:
    """State of what is not there: before the work what is new, after it what went."""
    return State.NEW if before else State.REMOVE


def _of_kind(telling: Telling, kind: SupplyKind, *, before: bool = False) -> list[Supply]:
    every = telling.plan.installation.supplies.values()
    return [supply for supply in every if supply.kind is kind and supply.state is not _absent(before=before)]


def _capacitors(telling: Telling, *, before: bool = False) -> list[str]:
    """Things with large capacitors in them: inverters, converters, chargers."""
    installation = telling.plan.installation
    loads = (each for each in installation.loads.values() if each.state is not _absent(before=before))
    supplies = (each for each in installation.supplies.values() if each.state is not _absent(before=before))
    inverters = [each.name for each in loads if each.kind is LoadKind.INVERTER]
    return inverters + [each.name for each in supplies if each.kind in _CONVERTERS]


def _proof_points(telling: Telling) -> list[str]:
    """Where to prove it: at the end of every circuit that starts at a battery or another source."""
    posts = {supply.plus for supply in telling.plan.installation.supplies.values()}
    ends = [c.end for c in telling.circuits if c.start in posts and c.end not in posts]
    return [telling.point(point) for point in dict.fromkeys(ends)]


def _after_each(telling: Telling) -> Iterator[Block]:
    """What each isolator makes dead and what it leaves live."""
    live = telling.live
    if not live.after:
        yield Paragraph(
            words(
                "There is no isolator: all cable stays live until the leads are off the batteries.",
            ),
            strong=True,
        )
        return
    rows = [
        (
            telling.tag(name),
            _circuits(telling, live.dead(name)) or words("nothing"),
            _circuits(telling, left) or words("nothing"),
        )
        for name, left in live.after.items()
    ]
    if len(live.after) > 1:
        gone = [name for name in live.parked if name not in live.all_open]
        left_live = _circuits(telling, live.all_open) or words("nothing")
        rows.append((words("all of them"), _circuits(telling, gone), left_live))
    columns = (
        Column(words("open"), share=1.4),
        Column(words("makes dead"), share=2.0),
        Column(words("stays live"), share=2.6),
    )
    yield Table(columns, tuple(rows), caption=words("After each isolator"), small=True)


def _despite(telling: Telling) -> Iterator[Block]:
    """What other sources keep live when every battery's lead is off."""
    left = telling.live.after_batteries
    if left:
        sources = listed(telling.tag(name) for names in left.values() for name in names)
        text = words(
            "With nothing but the batteries' leads off, {sources} still feeds {circuits}.",
            sources=sources,
            circuits=_circuits(telling, left),
        )
        yield Paragraph(text, strong=True)


def _circuits(telling: Telling, wires: Iterable[str]) -> str:
    """Circuits that cables belong to; of those that are live only in part, the numbers of the cables."""
    named = set(wires)
    told = []
    for circuit in telling.circuits:
        out = [wire.name for wire in circuit.wires if not wire.returning]
        mine = [name for name in out if name in named]
        if mine and len(mine) == len(out):
            told.append(circuit.name)
        elif mine:
            cables = ", ".join(telling.cable(name) for name in mine)
            told.append(words("{circuit} (cable {cables})", circuit=circuit.name, cables=cables))
    return listed(told)


def _unfused(telling: Telling) -> Iterator[Block]:
    """Cable that a battery reaches with no fuse between, with its metres."""
    rows = []
    for circuit in telling.circuits:
        found = telling.plan.assessment.circuits.get(circuit.name)
        for piece in () if found is None else found.unprotected:
            rows.append(
                (
                    telling.cable(piece.wire),
                    circuit.name,
                    telling.point(piece.point),
                    telling.shown.length(piece.metres),
                )
            )
    if not rows:
        return
    columns = (
        Column(words("cable"), share=0.7),
        Column(words("circuit"), share=1.5),
        Column(words("from"), share=1.6),
        Column(words("length"), align=Align.RIGHT, share=0.8),
    )
    yield Table(
        columns,
        tuple(rows),
        caption=words("No fuse before it: nothing but the lead on the post stops a short here"),
        small=True,
    )


def _never_dead(telling: Telling) -> Iterator[Block]:
    """What no lead and no isolator makes dead: the batteries themselves."""
    rows = []
    for battery in telling.batteries:
        found = telling.plan.assessment.supplies.get(battery.name)
        most_a = None if found is None else found.fault_a
        emf = UNKNOWN if found is None else volts(found.emf_v)
        rows.append((telling.tag(battery.name), battery.place, emf, amps(most_a)))
    if not rows:
        return
    columns = (
        Column(words("battery"), share=1.4),
        Column(words("where"), share=1.4),
        Column(words("volts"), align=Align.RIGHT),
        Column(words("into a short"), align=Align.RIGHT),
    )
    yield Table(
        columns,
        tuple(rows),
        caption=words("Never dead: between its own posts a battery stays live"),
        small=True,
    )
