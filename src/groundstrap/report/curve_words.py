"""What stands under a picture of a fuse: each line of it in words, and what could not be drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from groundstrap.assess import Assessment, FuseCurves, LoadCurve, WireCurve
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, amps, counted, number, percent

__all__ = ["Entry", "Sample", "drawn_line", "entries", "seconds"]

Sample = Literal["fuse", "wire", "load", "least", "most", "closest", "note"]
"""Which line of the picture a text belongs to."""


_NOTHING = 5e-4
"""A share of a fuse's holding time that shows as 0.0 %."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One text of the legend, beside a sample of what it is about."""

    sample: Sample
    text: str


def seconds(value_s: float) -> str:
    """Return a length of time as people say it.

    >>> seconds(0.04), seconds(5.0), seconds(600.0), seconds(7200.0)
    ('40 ms', '5 s', '10 min', '2 h')
    """
    if value_s < 0.1:
        return f"{number(value_s * 1000)} ms"
    if value_s < 120.0:
        return f"{number(value_s)} s"
    return f"{number(value_s / 60)} min" if value_s < 7200.0 else f"{number(value_s / 3600)} h"


def entries(found: FuseCurves, installation: Installation, shown: Display) -> Iterator[Entry]:
    """Yield the legend of one fuse's picture, from top to bottom."""
    yield Entry("fuse", _fuse(found))
    if found.wire is not None:
        yield Entry("wire", _wire(found.wire, installation, shown))
    yield Entry("load", _load(found.load))
    if found.fault_least_a is not None:
        least = f"least fault, {amps(found.fault_least_a)}: a short at the far end"
        yield Entry("least", f"{least}, its source at its weakest, cable hot")
    if found.fault_most_a is not None:
        most = f"most fault, {amps(found.fault_most_a)}: a short right behind the fuse"
        yield Entry("most", f"{most}, all sources at their strongest, cable cold")
    closest = _closest(found, shown)
    if closest:
        yield Entry("closest", closest)
    for note in _notes(found):
        yield Entry("note", note)


def drawn_line(assessment: Assessment, folder: str) -> str:
    """Return how many circuits are drawn, and the fuses without a rating, of which nothing can be drawn."""
    fuses = [list(circuit.fuses.values()) for circuit in assessment.circuits.values()]
    drawn = sum(any(fuse.rating_a is not None for fuse in each) for each in fuses)
    left_out = [fuse.name for each in fuses for fuse in each if fuse.rating_a is None]
    text = f"{folder}: {counted(drawn, 'circuit')} drawn"
    return f"{text}; not drawn, for want of a rating: {', '.join(left_out)}" if left_out else text


def _fuse(found: FuseCurves) -> str:
    name = f"fuse, {amps(found.rating_a)} {found.family}"
    if found.slowest is None:
        return f"{name}: {found.why_no_band}"
    sure = f"from {amps(found.sure_a)} on it is sure to open"
    if found.fastest is None:
        return f"{name}: no later than its line; {sure}; nobody knows how soon"
    return f"{name}: opens inside the band, never before its left edge nor after its right one; {sure}"


def _wire(wire: WireCurve, installation: Installation, shown: Display) -> str:
    sizes = {each.name: each.size for each in installation.wires()}
    size = sizes.get(wire.where)
    times = f"{wire.parallel} x " if wire.parallel > 1 else ""
    area = times + (shown.area(wire.area_mm2) if size is None else shown.short(size))
    name = f"the lead of {wire.where}" if wire.lead else wire.where
    brief, later = shown.temperature(wire.short_circuit_c), shown.temperature(wire.overload_c)
    start = shown.temperature(wire.start_c)
    return (
        f"wire, {name}, {area}, in air of {shown.temperature(wire.ambient_c)} ({wire.zone}): right of its "
        f"line it passes {brief} in less than 5 s or {later} later, from {start} at the start; it "
        f"carries {amps(wire.ampacity_a)} all its life"
    )


def _load(load: LoadCurve) -> str:
    if load.continuous_a is None:
        text = f"load: {amps(load.known_a)} of what is known; the rest nobody knows"
    else:
        text = f"load, all that may run: {amps(load.continuous_a)} for hours"
    start = load.start
    if start is None:
        return text
    who = " and ".join(start.loads) if start.switch is None else f"all behind {start.switch}"
    how = "as written" if start.written else "as its kind does"
    text += f"; {amps(start.peak_a)} in all at the start of {who}, for about {seconds(start.time_s)}, {how}"
    if start.share is None or start.share < _NOTHING:
        return text
    return f"{text}: {percent(100.0 * start.share)} of what the fuse holds at least"


def _closest(found: FuseCurves, shown: Display) -> str:
    near, wire = found.closest, found.wire
    if near is None or wire is None or near.critical_a is None or near.temp_c is None:
        return ""
    last = (
        "for ever"
        if near.time_s is None or math.isinf(near.time_s)
        else f"for {seconds(near.time_s)} at most"
    )
    reaches = "melts" if math.isinf(near.temp_c) else f"reaches {shown.temperature(near.temp_c)}"
    limit = "" if near.limit_c is None else f" of the {shown.temperature(near.limit_c)} that it may"
    text = f"{amps(near.critical_a)} {last}, and the wire {reaches}{limit}"
    if not near.verdict:
        return f"NOT SAVED, at worst: {text}; the rating may be {amps(near.highest_a)} at most"
    return f"closest call: {text}; it would be saved up to a rating of {amps(near.highest_a)}"


def _notes(found: FuseCurves) -> Iterator[str]:
    if found.undrawn:
        yield f"Not drawn, for nobody knows what it stands: {', '.join(found.undrawn)}."
    if found.fault_least_a is None:
        yield "The least fault is not known."
    if found.fault_most_a is None:
        yield "The most fault is not known."
    if found.known == "from memory":
        yield "Some of this type's times are from memory: its maker's `curve` settles them."
