"""The second half of the work: tested dead, connected, given power fuse by fuse, measured, handed over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from groundstrap.checks import WorkStep
from groundstrap.model import Circuit, PartKind, State, Supply, SupplyKind
from groundstrap.pack.content import Block, Caution, Fill, Items, Paragraph, Section, Step, Steps
from groundstrap.pack.texts.first_power import loads_drawing, unswitched
from groundstrap.pack.texts.phrases import FUSES, Telling, listed
from groundstrap.report.figures import amps
from groundstrap.report.first_power import FirstPower
from groundstrap.report.working import LIVE_JOINT, LOOKED_ALONG, circuits_ends_first, felt_words
from groundstrap.words import term, words

__all__ = [
    "StepCounter",
    "connect_part",
    "dead_test_part",
    "hand_over_part",
    "measure_part",
    "power_part",
    "work_part",
]

_LITTLE_A = 0.05
"""Half a digit of the clamp in the table of meters: less is not read. [A]"""


class StepCounter:
    """Counts the steps through all parts, so that each has a number of its own."""

    def __init__(self) -> None:
        self._next = 1

    def steps(self, steps: Iterable[Step]) -> Steps:
        """Return steps that go on counting where the last ones ended."""
        every, first = tuple(steps), self._next
        self._next += len(every)
        return Steps(every, first)


def work_part(key: str, title: str, *blocks: Block) -> Section:
    """Return one part of the instructions."""
    return Section(key=f"instructions-{key}", title=title, blocks=blocks, new_page=False)


def dead_test_part(telling: Telling, count: StepCounter) -> Section:
    """Return what is looked at and measured before anything has power."""
    fuses = listed(
        telling.tag(part.name) for circuit in telling.new for part in circuit.parts if part.kind in FUSES
    )
    steps = [
        Step(
            text=LOOKED_ALONG,
        ),
        Step(
            text=words("All fuses out, breakers open: {fuses}. All loads off or unplugged.", fuses=fuses)
            if fuses
            else words("All loads off or unplugged.")
        ),
        Step(
            text=words(
                "With the batteries still off, take all readings of the part 'Dead' of the test sheet: open "
                "circuit from plus to minus and to bare metal, ohms of each way back. Anything else is a "
                "fault to find first."
            )
        ),
        Step(text=words("Compare each label at both ends with the drawing.")),
    ]
    return work_part("test-dead", words("Test it dead"), count.steps(steps))


def connect_part(telling: Telling, count: StepCounter) -> Section:
    """Return how the batteries are joined: each plus first, each negative last."""
    cautions = telling.cautions(WorkStep.CONNECT)
    fused = any(part.kind in FUSES and part.state is State.NEW for c in telling.new for part in c.parts)
    steps = (*_connected(telling), *(() if fused else _sources_back(telling)))
    return work_part("connect", words("Connect"), *(Caution(text) for text in cautions), count.steps(steps))


def _connected(telling: Telling) -> Iterator[Step]:
    yield Step(text=words("New fuses still out, breakers and isolators open, loads off."))
    # Every plus before the first negative: a battery that is whole makes the free plus ends of others live.
    for battery in telling.batteries:
        yield from _plus_joined(telling, battery)
    for battery in telling.batteries:
        yield _negative_joined(telling, battery)
    yield Step(
        text=words(
            "A large spark at the last lead means that something draws: off again, look. A small one is the "
            "vehicle's own electronics waking up."
        )
    )
    for name in telling.live.after:
        yield Step(
            text=words("Close {isolator}; nothing may run, nothing gets warm.", isolator=telling.tag(name))
        )


def _plus_joined(telling: Telling, battery: Supply) -> Iterator[Step]:
    """Everything new that belongs on the plus post; then the links of a bank, which were parted."""
    name = telling.tag(battery.name)
    plus, tight = _at_post(telling, battery.plus)
    if plus:
        text = words("Plus of {battery}: cable {cables}, then cover it.", battery=name, cables=plus)
        yield Step(text=text, details=tight)
    if battery.series > 1:
        text = words(
            "Join the links between the {count} of {battery} in series; its negative lead stays off.",
            count=battery.series,
            battery=name,
        )
        yield Step(text=text)


def _negative_joined(telling: Telling, battery: Supply) -> Step:
    name = telling.tag(battery.name)
    minus, details = _at_post(telling, battery.minus)
    if battery.parallel > 1:
        details += (words("and the negative of each of its {count} in parallel", count=battery.parallel),)
    if not minus:
        return Step(text=words("Negative of {battery} last.", battery=name), details=details)
    text = words("Negative of {battery} last: its own lead with cable {cables}.", battery=name, cables=minus)
    return Step(text=text, details=details)


def _sources_back(telling: Telling) -> Iterator[Step]:
    """Panels and mains: after the fuses, since a controller wants its battery before its panel."""
    staying = [s for s in telling.plan.installation.supplies.values() if s.state is not State.REMOVE]
    for supply in staying:
        if supply.kind is SupplyKind.SOLAR:
            yield Step(
                text=words(
                    "Join {panel} last, once its controller has its battery; the controller's maker goes "
                    "before this.",
                    panel=telling.tag(supply.name),
                )
            )
    for supply in staying:
        if supply.kind is SupplyKind.MAINS_CHARGER:
            yield Step(
                text=words("Plug {charger} in once all fuses are in.", charger=telling.tag(supply.name))
            )


def _at_post(telling: Telling, post: str) -> tuple[str, tuple[str, ...]]:
    """New cables that belong on a post, and how tight its nut is."""
    ends = [
        (cut.number, end)
        for cuts in telling.cuts.values()
        for cut in cuts
        for end in (cut.start, cut.end)
        if end.spot.point == post
    ]
    told = []
    for torque_nm, stud in dict.fromkeys((end.torque_nm, end.stud) for _, end in ends):
        torque = "" if torque_nm is None else telling.shown.torque(torque_nm)
        if torque and stud is None:
            told.append(
                words(
                    "the bolt of a post's clamp {torque}; a stud as the battery's maker says", torque=torque
                )
            )
        elif torque:
            told.append(words("torque {torque}", torque=torque))
    return listed(number for number, _ in ends), tuple(told)


def power_part(telling: Telling, count: StepCounter) -> Section | None:
    """Return the first power of each fuse, nearest to the source first, then panels and mains; or None."""
    steps = []
    told: set[str] = set()
    first = FirstPower(telling.plan, telling.live)
    for circuit in reversed(circuits_ends_first(telling.plan)):
        cautions = [t for t in telling.cautions(WorkStep.POWER, circuit.name) if t not in told]
        fuses = [part for part in circuit.parts if part.kind in FUSES and part.state is State.NEW]
        for part in fuses:
            told |= set(cautions)
            text = first.words(circuit, part)
            slot = words("{fuse} at {place}", fuse=telling.tag(part.name), place=part.place)
            details = (
                slot,
                *unswitched(telling, circuit),
                *loads_drawing(telling, circuit),
                *_worked_by(telling, circuit),
                *_all_on(telling, circuit),
            )
            steps.append(Step(text=text, cautions=tuple(cautions), details=details))
            cautions = []
    if not steps:
        return None
    steps += _sources_back(telling)
    rule = Paragraph(
        words(
            "One fuse at a time, nearest to the source first. A lamp that is bright with all loads off is a "
            "short: find it. A larger fuse cures nothing."
        )
    )
    return work_part("power", words("First power"), rule, count.steps(steps))


def _all_on(telling: Telling, circuit: Circuit) -> Iterator[str]:
    """What passes a feeder with everything on, which its own first power does not show."""
    if circuit.loads:
        return
    passing = [
        (abs(solved.circuits_a.get(circuit.name, 0.0)), solved.situation)
        for solved in telling.plan.assessment.situations.values()
    ]
    most_a, when = max(passing, default=(0.0, None))
    if when is not None and most_a > _LITTLE_A:
        current, situation = amps(most_a), term(when.value)
        yield words("later, with all on behind it: {current} ({when})", current=current, when=situation)


def _worked_by(telling: Telling, circuit: Circuit) -> Iterator[str]:
    """The circuit of a relay's coil, which has to have power before the relay's own loads run."""
    coils = {load.relay: load.name for load in telling.plan.installation.loads.values() if load.relay}
    for part in circuit.parts:
        coil = coils.get(part.gear or part.name)
        control = next((c.name for c in telling.circuits if coil is not None and coil in c.loads), None)
        if control is not None and control != circuit.name and part.kind is PartKind.RELAY:
            yield words(
                "{relay} is worked by '{control}': read the amps once that has its power",
                relay=telling.tag(part.name),
                control=control,
            )


def measure_part(telling: Telling, count: StepCounter) -> Section:
    """Return what is measured and felt under load."""
    steps = [
        Step(text=words("Take the readings of the test sheet and write them in, with meter and date.")),
        Step(text=felt_words(telling.plan), cautions=(LIVE_JOINT,)),
    ]
    return work_part("measure", words("Measure"), count.steps(steps))


def hand_over_part(telling: Telling, count: StepCounter) -> Section:
    """Return what the owner is shown and left with, and the dates to come back."""
    cautions = telling.cautions(WorkStep.HAND_OVER)
    steps = [
        Step(text=words("Show the owner how to make it dead, where the fuses are and where the spares lie.")),
        Step(text=words("Leave this pack on board: fuse map by the fuses, the rest with the papers.")),
        Step(text=words("Enter what was built differently into the job file and print the pack again.")),
    ]
    dates = Items(
        (
            words("Torque all studs again after the first month of use."),
            words("Take the readings of the test sheet again after a year and compare."),
        ),
        ticks=True,
    )
    fill = Fill((words("torqued again on"), words("measured again on"), words("by")))
    return work_part(
        "hand-over",
        words("Hand over"),
        *(Caution(text) for text in cautions),
        count.steps(steps),
        dates,
        fill,
    )
