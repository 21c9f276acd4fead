"""Each term of the trade that the pack uses, once and in plain words; only those that this job needs."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from groundstrap.model import GearKind, LoadKind, PartKind, SupplyKind
from groundstrap.pack.content import Facts, Paragraph, Section
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.words import words

__all__ = ["glossary_section"]

_ALWAYS: tuple[tuple[str, str], ...] = (
    (
        words("ampacity"),
        words("The current that a cable may carry for hours where it lies, all heat counted."),
    ),
    (
        words("assumption"),
        words("Something that nobody wrote and that the answer needs; write it if you know it."),
    ),
    (words("band"), words("The range in which readings of sound work lie.")),
    (
        words("breaking capacity"),
        words("The largest fault current that a fuse can cut off without bursting or going on burning."),
    ),
    (words("circuit"), words("One run of cable from where it is fed to what it feeds, and back.")),
    (words("clamp"), words("A meter that closes round a cable and reads its current without opening it.")),
    (
        words("crimp"),
        words("A terminal pressed onto a cable with the tool made for it; it is pulled to try it."),
    ),
    (
        words("cross-section"),
        words("How much copper a cable has, in mm2 or as a gauge; not its outside width."),
    ),
    (words("dead"), words("Nothing feeds it and a meter has shown it.")),
    (
        words("design current"),
        words("The most that a circuit carries for hours with all on that may run together."),
    ),
    (words("drop"), words("Volts lost on the way out and back, so that they are missing at the load.")),
    (
        words("fault"),
        words("A short: plus touches minus or the body, and only the cable holds the current back."),
    ),
    (words("feeder"), words("The cable that brings current to a block from which several circuits go.")),
    (
        words("fingerprint"),
        words("A number made from the job, the tables and the program; it changes when they do."),
    ),
    (words("gauge"), words("AWG: a size of cable by number; the larger the number, the thinner the cable.")),
    (words("live"), words("A source reaches it: a meter against minus shows volts.")),
    (words("load"), words("Anything that uses current: a lamp, a pump, a fridge.")),
    (words("plus, minus"), words("The two poles; minus is the way back, by cable or through the body.")),
    (words("return"), words("The way back from the load to the battery; it is cable like the way out.")),
    (words("ring"), words("A terminal with a hole, screwed onto a stud.")),
    (words("stud"), words("The threaded post that a ring is screwed onto; M8 is 8 mm thick.")),
    (words("torque"), words("How tight a nut is; a wrench that can be set shows it.")),
    (words("waiver"), words("A person answers by name for a finding that he leaves as it is.")),
    (
        words("window of a fuse"),
        words("From the smallest that holds its load to the largest that saves its cable."),
    ),
)
_PARTS = {
    PartKind.FUSE: (
        words("fuse"),
        words("A weak link that melts before the cable does; it saves the cable, not the load."),
    ),
    PartKind.BREAKER: (
        words("breaker"),
        words("A switch that opens by itself on too much current and can be closed again."),
    ),
    PartKind.ISOLATOR: (
        words("isolator"),
        words("A switch that parts a battery from what it feeds, worked by hand."),
    ),
    PartKind.RELAY: (
        words("relay"),
        words("A switch worked by a coil: 85 and 86 are its coil, 30 comes in, 87 goes out when it pulls."),
    ),
    PartKind.CONNECTOR: (words("connector"), words("Plug and socket; pulled only with the load off.")),
    PartKind.DIODE: (
        words("diode"),
        words("Lets current through one way only; the ring marks its minus side."),
    ),
    PartKind.JOINT: (words("splice"), words("Two cables joined for good, crimped and sealed.")),
}
_GEAR = {
    GearKind.BLOCK: (
        words("block"),
        words("One bar that several cables are joined to; with fuses it is a fuse block."),
    )
}
_SUPPLIES = {
    SupplyKind.ALTERNATOR: (
        words("alternator"),
        words("The generator on the engine; at idle it gives part of its rating."),
    ),
    SupplyKind.DC_DC: (words("converter"), words("Makes one direct voltage from another.")),
    SupplyKind.SOLAR: (words("solar panel"), words("Gives volts in any daylight, whatever is switched off.")),
    SupplyKind.SOLAR_CHARGER: (
        words("solar controller"),
        words("Stands between panel and battery and charges it."),
    ),
    SupplyKind.MAINS_CHARGER: (
        words("mains charger"),
        words("Charges from the shore lead or a wall socket."),
    ),
}


def glossary_section(plan: Plan, shown: Display) -> Section:
    """Return the terms that this job's pack uses, by the alphabet."""
    del shown
    rows = sorted(dict.fromkeys(_terms(plan)), key=lambda row: str(row[0]))
    preface = Paragraph(words("What the words in this pack mean."))
    return Section(key="glossary", title=words("Words"), blocks=(preface, Facts(tuple(rows))))


def _terms(plan: Plan) -> Iterator[tuple[str, str]]:
    installation = plan.installation
    kinds = {part.kind for part in installation.parts()}
    yield from _ALWAYS
    yield from (row for kind, row in _PARTS.items() if kind in kinds)
    yield from (row for kind, row in _GEAR.items() if any(g.kind is kind for g in installation.gear.values()))
    supplies = {supply.kind for supply in installation.supplies.values()}
    yield from (row for kind, row in _SUPPLIES.items() if kind in supplies)
    if any(load.kind is LoadKind.INVERTER for load in installation.loads.values()):
        yield (
            words("inverter"),
            words("Makes mains voltage from a battery; its output kills like a wall socket."),
        )
    if installation.chassis_points:
        yield words("body"), words("The metal of the vehicle where it carries the way back.")
    for needed, row in _OTHERS:
        if needed(plan):
            yield row


_Row = tuple[str, str]
_OTHERS: tuple[tuple[Callable[[Plan], bool], _Row], ...] = (
    (
        lambda plan: bool(plan.assessment.bundles),
        (
            words("loom, conduit"),
            words("A sleeve or a pipe that cables lie in together; they warm each other."),
        ),
    ),
    (
        lambda plan: any(bundle.grommet_mm is not None for bundle in plan.assessment.bundles),
        (words("grommet"), words("A rubber ring in a hole, so that its edge cuts no cable.")),
    ),
    (
        lambda plan: any(supply.series > 1 for supply in plan.installation.supplies.values()),
        (words("bank in series"), words("Batteries one after another, so that their volts add up.")),
    ),
)
