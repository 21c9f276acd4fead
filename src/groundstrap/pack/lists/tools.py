"""Tools that this job asks for: by its cable, its terminals, its torques and its currents."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.model import GearKind, State, Uncertain
from groundstrap.pack.lists.cuts import Cut, CutEnd
from groundstrap.report.figures import Display, amps, number
from groundstrap.report.plan import Plan
from groundstrap.words import joined, term, words

__all__ = ["tools_of"]

_BARE_MM2 = 6.0
"""Above it terminals are bare tubes that a hex or indent tool presses, and the colours of crimps end; common
practice. [mm2]"""
_COLOURS = ("red", "blue", "yellow")
_IN_METER_A = 10.0
"""What the current range of a usual hand-held meter takes; common practice. [A]"""


def tools_of(plan: Plan, cuts: tuple[Cut, ...], shown: Display) -> tuple[str, ...]:
    """Return the tools, those for cable first."""
    ends = [(cut, end) for cut in cuts for end in (cut.start, cut.end)]
    return (*_for_cable(cuts, shown), *_for_ends(ends, shown), *_for_holes(plan), *_for_tests(plan))


def _for_cable(cuts: tuple[Cut, ...], shown: Display) -> Iterator[str]:
    sizes = sorted({cut.cable.size for cut in cuts if cut.cable.size is not None}, key=lambda s: s.area_mm2)
    if sizes:
        yield words("cable cutter up to {size}", size=shown.short(sizes[-1]))
        thin = [size for size in sizes if size.area_mm2 <= _BARE_MM2]
        if thin:
            yield words(
                "wire stripper, {least} to {most}", least=shown.short(thin[0]), most=shown.short(thin[-1])
            )
        if sizes[-1].area_mm2 > _BARE_MM2:
            yield words("cable knife or ring stripper for thick cable")


def _for_ends(ends: list[tuple[Cut, CutEnd]], shown: Display) -> Iterator[str]:
    used = {colour for _, end in ends for colour in end.crimp_colours if end.kind != "contact"}
    # As they rise with the size of cable; any other behind them.
    colours = [colour for colour in _COLOURS if colour in used] + sorted(used.difference(_COLOURS))
    if colours:
        yield words(
            "ratchet crimp tool for insulated terminals: {colours}", colours=joined(", ", map(term, colours))
        )
    bare = sorted(
        {
            cut.cable.size
            for cut, _ in ends
            if cut.cable.size is not None and cut.cable.size.area_mm2 > _BARE_MM2
        },
        key=lambda size: size.area_mm2,
    )
    if bare:
        yield words(
            "hex or indent crimp tool for bare tube terminals: {sizes}",
            sizes=", ".join(shown.short(size) for size in bare),
        )
    if any(end.kind == "contact" for _, end in ends):
        yield words("crimp tool of the connector's maker for its contacts, and its extractor")
    torques = [end.torque_nm for _, end in ends if end.torque_nm is not None]
    if torques:
        least, most = min(t.low for t in torques), max(t.high for t in torques)
        range_nm = Uncertain((least + most) / 2, least, most)
        yield words("torque wrench, {torque}", torque=shown.torque(range_nm))
    studs = sorted({end.stud for _, end in ends if end.stud is not None}, key=lambda stud: (len(stud), stud))
    if studs:
        yield words("insulated spanners for {studs}", studs=", ".join(studs))
    widths = sorted({cut.shrink_mm for cut, end in ends if cut.shrink_mm is not None})
    if widths:
        yield words("hot-air gun with a reflector for heat-shrink")


def _for_holes(plan: Plan) -> Iterator[str]:
    holes = sorted({each.grommet_mm for each in plan.assessment.bundles if each.grommet_mm is not None})
    if holes:
        sizes = ", ".join(number(hole) for hole in holes)
        yield words(
            "hole saw or step drill for grommets: {sizes} mm; deburrer and zinc or primer", sizes=sizes
        )
    body = any(
        gear.kind is GearKind.CHASSIS and gear.state is State.NEW for gear in plan.installation.gear.values()
    )
    if plan.installation.chassis_points or body:
        yield words("scraper or abrasive for bare metal under earth rings, and grease for it afterwards")


def _for_tests(plan: Plan) -> Iterator[str]:
    found = [
        assessed.known_a
        for name, assessed in plan.assessment.circuits.items()
        if plan.installation.circuits[name].state is State.NEW
    ]
    most_a = max(found, default=0.0)
    yield words("meter for volts, ohms and continuity, leads with fine tips")
    if most_a > _IN_METER_A:
        yield words("clamp meter for direct current, up to {current} or more", current=amps(most_a))
    yield words("21 W lamp on leads, or 5 A fuses, for the first power of each fuse")
    yield words("fuse puller, labels and clear tape or tube for them, cover for a live post")
