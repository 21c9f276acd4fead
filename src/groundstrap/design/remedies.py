"""What would help a circuit for which nothing fits: one change at a time is tried by choosing anew.

What is written and takes volts, or stands in the way of any size, is taken back and chosen: what then fits is
told, and nothing is told that was not tried. Where no change of what is written helps, cable that is not on
the shelf, several side by side, other insulation, or a shorter way are tried in turn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field
from math import floor, log10

import numpy as np

from groundstrap.assess import ReasonKind
from groundstrap.assess.parts import wire_end_ends
from groundstrap.assess.wiring import Wiring, is_open
from groundstrap.design.altered import changed_wires, opened, shorter, with_ohms
from groundstrap.design.bound import chain_of, piece_drops, wire_drop_v
from groundstrap.design.choose import Settled, settle
from groundstrap.design.judge import Task
from groundstrap.design.results import Blame, Change, Design, Loss, Remedy, RemedyKind, Unsolved
from groundstrap.design.written import Written, written_on
from groundstrap.model import FUSES, Installation, LoadEstimate, Wire
from groundstrap.records import dataclass, replace
from groundstrap.tables import NotTabled, insulation_for_zone
from groundstrap.units import ConductorSize

__all__ = ["Trials", "change_of", "explained", "size_of"]

_MOST_TRIED = 4
"""So many things that are written are tried one at a time, and together. Own judgement."""

_MOST_NAMED = 3
"""So many of what loses most are named where nothing helps. Own judgement."""

_MOST_SIDE_BY_SIDE = 4
"""More cables than that in parallel nobody lays, and for a drop alone no more than two. Own judgement."""

_LEAST_LENGTH = 0.05
"""A way that had to be shorter than this share of itself is no advice. Own judgement."""


@dataclass
class Trials:
    """Choices for what is changed about an installation, each made once."""

    installation: Installation
    estimates: Mapping[str, LoadEstimate]
    lost: frozenset[str]
    """Circuits for which nothing fits as it is."""
    made: dict[object, Design] = field(default_factory=dict)

    def chosen(self, key: object, change: Callable[[], Installation]) -> Design:
        """Return what is chosen with a change."""
        if key not in self.made:
            self.made[key] = settle(change(), self.estimates).design
        return self.made[key]

    def fits(self, design: Design, circuit: str) -> bool:
        """Tell whether something fits a circuit now, and still does for every other one that it did for."""
        lost = {each.circuit for each in design.unsolved}
        return circuit not in lost and lost <= self.lost

    def opened(self, things: Sequence[Written]) -> Design:
        """Return what is chosen with some of what is written taken back."""
        return self.chosen(("written", tuple(things)), lambda: self._taken_back(things))

    def _taken_back(self, things: Sequence[Written]) -> Installation:
        names = {name for each in things if each.better is None for name in each.names}
        result = opened(self.installation, names)
        for each in things:
            if each.better is not None:
                result = with_ohms(result, each.where, each.better.ohm)
        return result


def explained(settled: Settled, trials: Trials) -> tuple[Unsolved, ...]:
    """Return the circuits that nothing fits, each with what stands in the way and what would do."""
    return tuple(_explained(settled.task, trials, each) for each in settled.design.unsolved)


def _explained(task: Task, trials: Trials, lost: Unsolved) -> Unsolved:
    if lost.kind in {ReasonKind.UNKNOWN, ReasonKind.UNFED, ReasonKind.PARTED}:
        return lost
    blame = _blame(task.wiring, trials, lost)
    if blame is not None:
        return replace(lost, blame=blame)
    remedy = next(_remedies(task, trials, lost), None)
    losses = _losses(task, lost) if remedy is None and lost.kind is ReasonKind.DROP else ()
    return replace(lost, remedy=remedy, losses=losses)


def _losses(task: Task, lost: Unsolved) -> tuple[Loss, ...]:
    """Where most of the volts go with the thickest of everything: parts, and cable by its circuit."""
    wiring, thickest = task.wiring, task.shelf.sizes[-1]
    share, drops = chain_of(wiring, lost.chain), piece_drops(wiring, "typical")
    found: dict[str, float] = {}
    for number in np.flatnonzero(share > 0.0):
        piece = wiring.topology.pieces[number]
        wire = piece.wire
        open_v = wire_drop_v(wiring, wire, thickest) if wire is not None and is_open(wire) else drops[number]
        where = piece.name if wire is None else f"the cable of {wire.circuit}"
        found[where] = found.get(where, 0.0) + float(open_v * share[number])
    most = sorted(found, key=lambda where: (-found[where], where))[:_MOST_NAMED]
    return tuple(Loss(where, found[where]) for where in most if found[where] > 0.0)


def _blame(wiring: Wiring, trials: Trials, lost: Unsolved) -> Blame | None:
    """What is written and would do no harm if it were chosen: one thing alone, or the fewest together."""
    drop = lost.kind is ReasonKind.DROP
    things = _on_way(wiring, lost.chain) if drop else _fuse(wiring, lost.where)
    kinds = list(dict.fromkeys(each.where for each in things))[:_MOST_TRIED]
    tried = [each for each in things if each.where in kinds]
    for each in tried:
        found = _blamed(trials, lost.circuit, (each,))
        if found is not None:
            return found
    # Of what could be better in several ways the best.
    together = tuple({each.where: each for each in tried}.values())
    if len(together) < 2 or not trials.fits(trials.opened(together), lost.circuit):
        return None
    for each in reversed(together):
        fewer = tuple(other for other in together if other is not each)
        if len(fewer) > 1 and trials.fits(trials.opened(fewer), lost.circuit):
            together = fewer
    return _blamed(trials, lost.circuit, together)


def _on_way(wiring: Wiring, chain: str) -> list[Written]:
    return written_on(wiring, chain_of(wiring, chain), piece_drops(wiring, "typical"))


def _blamed(trials: Trials, circuit: str, things: tuple[Written, ...]) -> Blame | None:
    design = trials.opened(things)
    if not trials.fits(design, circuit):
        return None
    changes = tuple(change_of(design, each) for each in things)
    if any(change is None for change in changes):
        return None
    lost_v = sum(each.lost_v for each in things)
    return Blame(tuple(c for c in changes if c is not None), lost_v, size_of(design, circuit))


def change_of(design: Design, thing: Written) -> Change | None:
    """Return what was chosen in place of what is written; None where that is no other."""
    if thing.better is not None:
        better = thing.better
        return Change(
            thing.where,
            ohm=thing.ohm,
            known=thing.known,
            would_do_ohm=better.ohm,
            would_do_a=better.rating_a,
        )
    if thing.size is not None:
        size = next((design.sizes[name] for name in thing.names if name in design.sizes), None)
        if size is None or size == thing.size:
            return None
        return Change(thing.where, size=thing.size, length_m=thing.length_m, would_do=size)
    fuse = design.fuses.get(thing.where)
    if fuse is None or fuse.rating_a == thing.rating_a:
        return None
    return Change(thing.where, rating_a=thing.rating_a, would_do_a=fuse.rating_a, family=fuse.family)


def _fuse(wiring: Wiring, where: str) -> list[Written]:
    """The written fuse that a complaint is about."""
    number = wiring.topology.index.get(where)
    part = None if number is None else wiring.topology.pieces[number].part
    if part is None or part.rating_a is None or part.kind not in FUSES:
        return []
    return [Written(where, (where,), 0.0, rating_a=part.rating_a)]


def _remedies(task: Task, trials: Trials, lost: Unsolved) -> Iterator[Remedy]:
    """What else would help, tried in turn."""
    name, installation = lost.circuit, trials.installation
    if lost.kind is ReasonKind.UNSUITABLE:
        yield from _insulation(trials, name)
        return
    if task.shelf.from_stock:
        design = trials.chosen("shelf", lambda: replace(installation, stock=None))
        if trials.fits(design, name):
            yield Remedy(RemedyKind.SHELF, size=size_of(design, name))
    drop = lost.kind is ReasonKind.DROP
    for count in range(2, (2 if drop else _MOST_SIDE_BY_SIDE) + 1):
        design = trials.chosen((name, count), _beside(installation, name, count))
        if trials.fits(design, name):
            yield Remedy(RemedyKind.PARALLEL, value=float(count), size=size_of(design, name))
            return
    if drop:
        yield from _shortened(task, trials, lost)


def _beside(installation: Installation, circuit: str, count: int) -> Callable[[], Installation]:
    return lambda: changed_wires(installation, circuit, lambda wire: replace(wire, parallel=count))


def size_of(design: Design, circuit: str) -> ConductorSize | None:
    """Return the size that was chosen for a circuit; None where none was."""
    wires = design.installation.circuits[circuit].wires
    return next((design.sizes[wire.name] for wire in wires if wire.name in design.sizes), None)


def _insulation(trials: Trials, circuit: str) -> Iterator[Remedy]:
    """The class that is usual for the hottest air on the way, where what is written is below it."""
    installation = trials.installation
    wires = [wire for wire in installation.circuits[circuit].wires if is_open(wire)]
    top_c = max(installation.zones[stretch.zone].high_c for wire in wires for stretch in wire.stretches)
    found = insulation_for_zone(installation.basis.value, top_c)
    if isinstance(found, NotTabled):
        return
    name = found.insulation.name
    design = trials.chosen(
        (circuit, name), lambda: changed_wires(installation, circuit, lambda w: replace(w, insulation=name))
    )
    if trials.fits(design, circuit):
        yield Remedy(RemedyKind.INSULATION, value=found.insulation.class_c, size=size_of(design, circuit))


def _shortened(task: Task, trials: Trials, lost: Unsolved) -> Iterator[Remedy]:
    """The length at which the thickest would do, where its own cable loses more than is missing."""
    name, installation, thickest = lost.circuit, trials.installation, task.shelf.sizes[-1]
    # A return to elsewhere grows no shorter with the way out.
    apart = installation.circuits[name].return_apart
    wires = [
        wire
        for wire in installation.circuits[name].wires
        if is_open(wire) and not (wire.returning and apart and not wire.borrowed)
    ]
    own_v = sum(_along_v(task.wiring, wire, thickest) for wire in wires)
    missing_v = (lost.value or 0.0) - (lost.limit or 0.0)
    out_m = sum(wire.length_m for wire in wires if not wire.returning)
    if not 0.0 < missing_v < own_v * (1.0 - _LEAST_LENGTH) or out_m <= 0.0:
        return
    length_m = _rounded_down(out_m * (1.0 - missing_v / own_v))
    share = length_m / out_m
    design = trials.chosen(
        (name, "shorter"),
        lambda: changed_wires(
            installation, name, lambda wire: shorter(wire, share) if wire in wires else wire
        ),
    )
    if trials.fits(design, name):
        yield Remedy(RemedyKind.SHORTER, value=length_m, size=size_of(design, name))


def _along_v(wiring: Wiring, wire: Wire, size: ConductorSize) -> float:
    """What a wire loses along its length, its ends left out. [V]"""
    ends_v = wire_end_ends(size.area_mm2, wire.parallel).typical * (
        wiring.currents.pieces[wire.name].drop_a or 0.0
    )
    return wire_drop_v(wiring, wire, size) - ends_v


def _rounded_down(value: float) -> float:
    """Two digits, never more than it was."""
    step = 10.0 ** (floor(log10(value)) - 1)
    return floor(value / step * (1 + 1e-9)) * step
