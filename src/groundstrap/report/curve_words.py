"""What stands under a picture of a fuse: each line of it in words, and what could not be drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from groundstrap.assess import Assessment, FuseCurves, LoadCurve, WireCurve
from groundstrap.model import Installation
from groundstrap.records import dataclass
from groundstrap.report.figures import Display, amps, counted, number, percent
from groundstrap.words import joined, term, words

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
        least = words(
            "least fault, {fault}: a short at the far end, its source at its weakest, cable hot",
            fault=amps(found.fault_least_a),
        )
        yield Entry("least", least)
    if found.fault_most_a is not None:
        most = words(
            "most fault, {fault}: a short right behind the fuse, all sources at their strongest, cable cold",
            fault=amps(found.fault_most_a),
        )
        yield Entry("most", most)
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
    name = words("fuse, {rating} {family}", rating=amps(found.rating_a), family=term(found.family))
    if found.slowest is None:
        return words("{name}: {why}", name=name, why=found.why_no_band)
    sure = words("from {current} on it is sure to open", current=amps(found.sure_a))
    if found.fastest is None:
        return words("{name}: no later than its line; {sure}; nobody knows how soon", name=name, sure=sure)
    return words(
        "{name}: opens inside the band, never before its left edge nor after its right one; {sure}",
        name=name,
        sure=sure,
    )


def _wire(wire: WireCurve, installation: Installation, shown: Display) -> str:
    sizes = {each.name: each.size for each in installation.wires()}
    size = sizes.get(wire.where)
    area = shown.area(wire.area_mm2) if size is None else shown.short(size)
    if wire.parallel > 1:
        area = words("{count} x {size}", count=wire.parallel, size=area)
    name = words("the lead of {load}", load=wire.where) if wire.lead else wire.where
    return words(
        "wire, {name}, {area}, in air of {air} ({zone}): right of its line it passes {brief} in less than "
        "5 s or {later} later, from {start} at the start; it carries {current} all its life",
        name=name,
        area=area,
        air=shown.temperature(wire.ambient_c),
        zone=term(wire.zone),
        brief=shown.temperature(wire.short_circuit_c),
        later=shown.temperature(wire.overload_c),
        start=shown.temperature(wire.start_c),
        current=amps(wire.ampacity_a),
    )


def _load(load: LoadCurve) -> str:
    if load.continuous_a is None:
        known = amps(load.known_a)
        text = words("load: {current} of what is known; the rest nobody knows", current=known)
    else:
        text = words("load, all that may run: {current} for hours", current=amps(load.continuous_a))
    start = load.start
    if start is None:
        return text
    who: str = words("all behind {switch}", switch=start.switch)
    if start.switch is None:
        who = joined(words(" and "), start.loads)
    text = words(
        "{load}; {peak} in all at the start of {who}, for about {time}, {how}",
        load=text,
        peak=amps(start.peak_a),
        who=who,
        time=seconds(start.time_s),
        how=words("as written") if start.written else words("as its kind does"),
    )
    if start.share is None or start.share < _NOTHING:
        return text
    share = percent(100.0 * start.share)
    return words("{load}: {share} of what the fuse holds at least", load=text, share=share)


def _closest(found: FuseCurves, shown: Display) -> str:
    near, wire = found.closest, found.wire
    if near is None or wire is None or near.critical_a is None or near.temp_c is None:
        return ""
    last = words("for ever")
    if near.time_s is not None and not math.isinf(near.time_s):
        last = words("for {time} at most", time=seconds(near.time_s))
    reaches = words("melts")
    if not math.isinf(near.temp_c):
        reaches = words("reaches {temperature}", temperature=shown.temperature(near.temp_c))
    if near.limit_c is not None:
        limit = shown.temperature(near.limit_c)
        reaches = words("{reaches} of the {limit} that it may", reaches=reaches, limit=limit)
    text = words(
        "{current} {last}, and the wire {reaches}", current=amps(near.critical_a), last=last, reaches=reaches
    )
    highest = amps(near.highest_a)
    if not near.verdict:
        return words(
            "NOT SAVED, at worst: {text}; the rating may be {rating} at most", text=text, rating=highest
        )
    return words(
        "closest call: {text}; it would be saved up to a rating of {rating}", text=text, rating=highest
    )


def _notes(found: FuseCurves) -> Iterator[str]:
    if found.undrawn:
        names = ", ".join(found.undrawn)
        yield words("Not drawn, for nobody knows what it stands: {names}.", names=names)
    if found.fault_least_a is None:
        yield words("The least fault is not known.")
    if found.fault_most_a is None:
        yield words("The most fault is not known.")
    if found.known == "from memory":
        yield words("Some of this type's times are from memory: its maker's `curve` settles them.")
