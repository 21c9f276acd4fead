"""Readings that a person can take, and how well a meter reads each."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import PieceKind, Topology
from groundstrap.locate.figures import (
    EFFORT_APART,
    EFFORT_CLAMP,
    EFFORT_OFF,
    EFFORT_POSTS,
    EFFORT_WHOLE,
    WHOLE_V,
)
from groundstrap.locate.segments import Segment, SegmentKind
from groundstrap.model import MeterSpec
from groundstrap.records import dataclass
from groundstrap.solve import Rows
from groundstrap.vet.accuracy import accuracy_of

__all__ = [
    "Probe",
    "ProbeKind",
    "Uncertainties",
    "at_rest",
    "effort_of",
    "on_the_way",
    "probes_for",
    "shown",
    "uncertainties",
]

Floats = NDArray[np.float64]

_FLOWS: Final = 0.1
"""Share of a load's own current from which a piece counts as on its way. [1]"""
_CLAMPED: Final = frozenset({PieceKind.LOAD, PieceKind.BATTERY, PieceKind.WIRE, PieceKind.MACHINE})


class ProbeKind(StrEnum):
    """What is read."""

    VOLTS = "voltage"
    AMPS = "current"


@dataclass(frozen=True, slots=True)
class Probe:
    """One reading in one case: volts from node `red` to node `black`, or amps through the piece `through`."""

    kind: ProbeKind
    case: int = 0
    """Number of the case that it is taken in: which situation, what runs."""
    red: int = -1
    black: int = -1
    through: int = -1
    sign: float = 1.0
    """-1 where an amount counts against the way of its piece: out of a supply."""


@dataclass(frozen=True, slots=True)
class Uncertainties:
    """Of readings: the part that one meter's readings share, and that of each alone."""

    gain: Floats
    own: Floats


def on_the_way(with_it: Floats, without: Floats, load: int) -> NDArray[np.bool_]:
    """Say of each piece whether a load's own current flows in it, from all currents with and without it."""
    by_it = np.abs(with_it - without)
    return np.asarray(by_it >= _FLOWS * max(float(np.abs(with_it[load])), 1e-3))


def probes_for(
    topology: Topology,
    segments: tuple[Segment, ...],
    volts: Floats,
    on_way: NDArray[np.bool_],
    *,
    off: int | None,
    everywhere: bool,
) -> tuple[Probe, ...]:
    """Return every reading between two reachable points of the way, every clamp on it, and batteries at rest.

    `volts` are those of the sound circuit in case 0, `off` is a case in which all is switched off.
    Where no load is in question every place is looked at, by plain readings.
    """
    plain = _plain_pairs(topology, segments) if everywhere else None
    found = []
    for pair in itertools.combinations(_nodes(topology, segments, on_way), 2):
        if plain is None or frozenset(pair) in plain:
            red, black = _polar(volts, *pair)
            found.append(Probe(ProbeKind.VOLTS, red=red, black=black))
    body = {n for s in segments if s.kind is SegmentKind.BODY for n in s.pieces}
    for number, piece in enumerate(topology.pieces):
        if on_way[number] and piece.kind in _CLAMPED and number not in body:
            sign = -1.0 if piece.kind in {PieceKind.BATTERY, PieceKind.MACHINE} else 1.0
            found.append(Probe(ProbeKind.AMPS, through=number, sign=sign))
        if on_way[number] and piece.kind is PieceKind.BATTERY and off is not None:
            found.append(Probe(ProbeKind.VOLTS, case=off, red=piece.start, black=piece.end))
    return tuple(found)


def at_rest(topology: Topology, probes: tuple[Probe, ...]) -> tuple[Probe, ...]:
    """Return those that tell of a drain: amps, and the volts over fuses."""
    fuses = {frozenset((piece.start, piece.end)) for piece in topology.pieces if piece.is_fuse}
    return tuple(
        each for each in probes if each.kind is ProbeKind.AMPS or frozenset((each.red, each.black)) in fuses
    )


def _nodes(topology: Topology, segments: tuple[Segment, ...], on_way: NDArray[np.bool_]) -> tuple[int, ...]:
    """Nodes of the way that a test lead reaches."""
    reached: dict[int, None] = {}
    for segment in segments:
        if any(on_way[number] for number in segment.pieces):
            for number in segment.pieces:
                reached.setdefault(topology.pieces[number].start)
                reached.setdefault(topology.pieces[number].end)
    ends = {topology.node(point) for segment in segments for point in segment.points}
    return tuple(node for node in reached if node in ends)


def _plain_pairs(topology: Topology, segments: tuple[Segment, ...]) -> frozenset[frozenset[int]]:
    """What one reads on a walk round: across each place, and from a battery's post to every point.

    From one load's lead to another's says as much, but nobody sees what it means.
    """
    every = {topology.node(point) for segment in segments for point in segment.points}
    posts = {
        topology.node(point)
        for segment in segments
        if segment.kind is SegmentKind.BATTERY
        for point in segment.points
    }
    across = {frozenset(map(topology.node, (segment.start, segment.end))) for segment in segments}
    return frozenset(across | {frozenset((post, node)) for post in posts for node in every})


def _polar(volts: Floats, a: int, b: int) -> tuple[int, int]:
    """The red lead where the sound circuit is higher."""
    return (a, b) if volts[a] >= volts[b] else (b, a)


def shown(probes: tuple[Probe, ...], cases: tuple[Rows, ...]) -> Floats:
    """Return what each probe shows in each row of its case: probes x rows. [V, A]"""
    found = np.empty((len(probes), cases[0].node_v.shape[1]))
    for number, probe in enumerate(probes):
        rows = cases[probe.case]
        if probe.kind is ProbeKind.VOLTS:
            found[number] = rows.node_v[probe.red] - rows.node_v[probe.black]
        else:
            found[number] = probe.sign * rows.branch_a[probe.through]
    return found


def uncertainties(
    probes: tuple[Probe, ...],
    values: Floats,
    meters: Mapping[int, MeterSpec],
    usual: MeterSpec | None,
    *,
    in_line: bool = False,
) -> Uncertainties:
    """Return how well each probe is read at a value; `meters` are those of probes that name one.

    `in_line` reads amps by the meter itself, which shows the milliamps of a drain.
    """
    clamp = MeterSpec(text="handheld", name="handheld") if in_line else MeterSpec(text="clamp", name="clamp")
    gain, own = np.empty(len(probes)), np.empty(len(probes))
    for number, (probe, value) in enumerate(zip(probes, np.abs(values).tolist(), strict=True)):
        spec = meters.get(number, usual if probe.kind is ProbeKind.VOLTS else clamp)
        digit = 0.001 if in_line and probe.kind is ProbeKind.AMPS else _digit(probe, value)
        found = accuracy_of(probe.kind.value, value, spec, last_digit=digit)
        gain[number], own[number] = found.gain, found.own
    return Uncertainties(gain, own)


def _digit(probe: Probe, value: float) -> float:
    """Last digit that a handheld meter of 6,000 counts shows; common practice. [V, A]"""
    if probe.kind is ProbeKind.AMPS:
        return 0.01 if value < 40.0 else 0.1
    return 0.0001 if value < 0.6 else 0.001 if value < 6.0 else 0.01


def effort_of(
    probes: tuple[Probe, ...], sound: Floats, topology: Topology, place_of: Mapping[int, str]
) -> Floats:
    """Return what each reading costs, as times a small loss between two points that lie together. [1]"""
    posts = {frozenset((p.start, p.end)) for p in topology.pieces if p.kind is PieceKind.BATTERY}
    each = zip(probes, sound.tolist(), strict=True)
    return np.array([_effort(probe, value, posts, place_of) for probe, value in each])


def _effort(probe: Probe, sound: float, posts: set[frozenset[int]], place_of: Mapping[int, str]) -> float:
    if probe.kind is ProbeKind.AMPS:
        return EFFORT_CLAMP
    if frozenset((probe.red, probe.black)) in posts:
        return EFFORT_POSTS
    apart = EFFORT_APART if place_of.get(probe.red) != place_of.get(probe.black) else 1.0
    whole = EFFORT_WHOLE if abs(sound) > WHOLE_V else 1.0
    return apart * whole * (EFFORT_OFF if probe.case else 1.0)
