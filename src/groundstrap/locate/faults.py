"""What may be wrong, each thing at several sizes, and how sound vehicles differ from the plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.figures import Ends
from groundstrap.assess.parts import fuse_family_for, part_ends
from groundstrap.assess.topology import BODY, Piece, PieceKind, Topology
from groundstrap.assess.wiring import Case, Wiring, parameters
from groundstrap.locate.figures import (
    BATTERY_OHM_SPREAD,
    BATTERY_V,
    BLOWS_AT,
    BODY_TIMES,
    CHAFED_SHARE,
    COIL_OHM,
    DRAINS_A,
    FAULT_ODDS,
    FED_SHARE,
    LEAST_A,
    LEAST_FUSE_V,
    LEAST_LEAK_A,
    LOAD_SHARES,
    LOAD_SPREAD,
    LOSSES_V,
    MOST_LEAK_A,
    OPEN_SHARE,
    OWN_DRAW_SPREAD,
    SETPOINT_V,
    SWAPPED_SHARE,
    UNKNOWN_A,
    WEAK_BATTERY,
    WIRE_SPREAD,
    WRONG_FUSE_SHARE,
)
from groundstrap.locate.segments import Segment, SegmentKind
from groundstrap.model import FUSES, GearKind, Installation, LoadKind, Part, PartKind
from groundstrap.records import dataclass, replace
from groundstrap.solve import Branch, Law, Network
from groundstrap.tables import fuse_ratings

__all__ = [
    "Change",
    "Fault",
    "FaultKind",
    "Sound",
    "Spread",
    "columns",
    "drains_of",
    "faults_of",
    "other_fuses",
    "sound_values",
    "spreads_of",
    "swappable",
    "with_unknown",
    "without_load",
]

_ENDS_HOLD = 3.92
"""Standard deviations between the ends of an interval of 95 %. [1]"""
UNKNOWN: Final = "unknown draw at"
LEAK: Final = "leak at"
BRIDGE: Final = "coil to contact of"


class FaultKind(StrEnum):
    """How a place fails; inside one segment readings tell none of these from what looks alike."""

    HIGH_RESISTANCE = "high resistance"
    OPEN = "open"
    DRAWS_LESS = "draws less"
    DRAWS_MORE = "draws more"
    WEAK = "weak"
    LOWER_FUSE = "fuse of a lower rating"
    HIGHER_FUSE = "fuse of a higher rating"
    SWAPPED = "coil and contact swapped"
    CHAFED = "current to the body"
    """A cable that is chafed or damp, behind a fuse that holds."""
    DRAIN = "drain at rest"
    """A load that takes current though it is off, or never sleeps."""


@dataclass(frozen=True, slots=True)
class Change:
    """What becomes of one parameter of one branch: `times` what it was and `plus` more, or set `to`."""

    branch: int
    parameter: int
    times: float = 1.0
    plus: float = 0.0
    to: float | None = None

    def of(self, own: float) -> float:
        """Return what becomes of a value; an open switch stays open, whatever its contact would be."""
        if self.to is not None:
            return self.to
        return own if math.isinf(own) else own * self.times + self.plus


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One way in which one place may fail; `sizes` are the changes of its rows, smallest first."""

    segment: int
    kind: FaultKind
    odds: float
    sizes: tuple[tuple[Change, ...], ...]
    measures: tuple[float, ...]
    """Of each size: ohms that are added, or times what is usual. [ohm, 1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """The sound circuit in the leading case, and where the current that is looked into flows."""

    values: Sequence[tuple[float, ...]]
    node_v: NDArray[np.float64]
    amps: NDArray[np.float64]
    on_way: NDArray[np.bool_]

    def volts_of(self, wiring: Wiring, piece: int) -> float:
        """Return the volts across a piece."""
        own = wiring.topology.pieces[piece]
        return float(self.node_v[own.start] - self.node_v[own.end])


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """By how much sound vehicles differ in one thing: one standard deviation."""

    name: str
    changes: tuple[Change, ...]
    wanders: bool = False
    """Whether it moves from one reading to the next: the volts of a battery."""


def with_unknown(wiring: Wiring) -> Network:
    """Return the network with branches for what no plan has: draws that nobody knows of, chafes, swaps.

    One from each block and plus to the reference, one from the far end of each cable to the body, and one
    from each relay's coil to its contact; they carry nothing until a row says so.
    """

    def made() -> Network:
        return Network(wiring.network.nodes, (*wiring.network.branches, *_more(wiring)))

    # The laws of loads hang on what they are, so their branches are a part of the question.
    found: Network = wiring.topology.kept.lately("locate", wiring.network.branches, made)
    return found


def _more(wiring: Wiring) -> Iterator[Branch]:
    topology = wiring.topology
    gear = [each.name for each in wiring.installation.gear.values() if each.kind is GearKind.BLOCK]
    plus = [each.plus for each in wiring.installation.supplies.values()]
    nodes = {topology.node_of[point] for point in (*gear, *plus) if point in topology.node_of}
    for node in sorted(nodes - {0}):
        yield Branch(f"{UNKNOWN} {node}", Law.CONSTANT_CURRENT, node, 0)
    body = topology.node_of.get(BODY, 0)
    ends = {piece.end for piece in topology.pieces if piece.kind is PieceKind.WIRE}
    for node in sorted(ends - {0, body}):
        yield Branch(f"{LEAK} {node}", Law.CONSTANT_CURRENT, node, body)
    for piece, coil in swappable(topology).items():
        out, fed = topology.pieces[piece].end, topology.pieces[coil].start
        if out != fed:
            yield Branch(f"{BRIDGE} {piece}", Law.RESISTOR, fed, out)


def swappable(topology: Topology) -> Mapping[int, int]:
    """Return the numbers of relays' contacts whose coil is drawn, each with that of its coil."""
    coils = {
        load.relay: topology.index[name]
        for name, load in topology.installation.loads.items()
        if load.kind is LoadKind.COIL and load.relay is not None and name in topology.index
    }
    return {
        number: coils[name]
        for number, piece in enumerate(topology.pieces)
        if piece.part is not None and piece.part.kind is PartKind.RELAY
        for name in (piece.part.name, piece.part.gear)
        if name in coils
    }


def sound_values(wiring: Wiring, case: Case) -> list[tuple[float, ...]]:
    """Return the parameters of the sound circuit in a case, for the network with what nobody knows of."""
    values = parameters(wiring, case)
    more = with_unknown(wiring).branches[len(values) :]
    return values + [(math.inf if branch.law is Law.RESISTOR else 0.0,) for branch in more]


def without_load(wiring: Wiring, piece: int) -> Change:
    """Return the change that switches a load off."""
    return Change(piece, 0, times=_nothing(wiring.network.branches[piece].law))


def _nothing(law: Law) -> float:
    return math.inf if law is Law.RESISTOR else 0.0


def columns(
    values: list[tuple[float, ...]], rows: Sequence[tuple[Change, ...]]
) -> list[tuple[float | NDArray[np.float64], ...]]:
    """Return the parameters with one row a set of changes, as the solver takes them."""
    made: dict[tuple[int, int], NDArray[np.float64]] = {}
    for number, changes in enumerate(rows):
        for change in changes:
            key = (change.branch, change.parameter)
            own = values[change.branch][change.parameter]
            if key not in made:
                made[key] = np.full(len(rows), own)
            made[key][number] = change.of(own)
    return [
        tuple(made.get((branch, n), value) for n, value in enumerate(own))
        for branch, own in enumerate(values)
    ]


def faults_of(
    wiring: Wiring,
    segments: tuple[Segment, ...],
    sound: Sound,
    *,
    but: int | None = None,
) -> tuple[Fault, ...]:
    """Return what may be wrong at each place that a current passes, `but` the one that is known to be."""
    found: list[Fault] = []
    for number, segment in enumerate(segments):
        piece = next((p for p in segment.pieces if sound.on_way[p]), None)
        if piece is not None and number != but:
            found += _at(wiring, number, segment, piece, sound)
    return tuple(found)


def drains_of(wiring: Wiring, segments: tuple[Segment, ...], sound: Sound) -> tuple[Fault, ...]:
    """Return what may draw while everything is off: each load that has volts, each cable that has."""
    found: list[Fault] = []
    for number, segment in enumerate(segments):
        piece = next((p for p in segment.pieces if sound.on_way[p]), None)
        if piece is None:
            continue
        if segment.kind is SegmentKind.LOAD:
            across_v = sound.volts_of(wiring, piece)
            law, values = wiring.network.branches[piece].law, sound.values[piece]
            if across_v > FED_SHARE * wiring.installation.system_v:
                sizes = tuple((_drawing(law, piece, amps, across_v, values),) for amps in DRAINS_A)
                found.append(_fault(number, FaultKind.DRAIN, FAULT_ODDS[segment.kind], sizes, DRAINS_A))
        else:
            found += _chafed(wiring, number, piece, FAULT_ODDS[segment.kind] / 4.0, sound, DRAINS_A)
    return tuple(found)


def _drawing(law: Law, piece: int, amps: float, across_v: float, values: tuple[float, ...]) -> Change:
    """The change that makes a load which is off draw a current."""
    if law is Law.RESISTOR:
        return Change(piece, 0, to=across_v / amps)
    if law is Law.CONSTANT_POWER:
        return Change(piece, 0, to=across_v * amps)
    share = (across_v / values[1]) ** values[2] if law is Law.POWER_LAW else 1.0
    return Change(piece, 0, to=amps / share)


def _fault(
    segment: int,
    kind: FaultKind,
    odds: float,
    sizes: tuple[tuple[Change, ...], ...],
    measures: tuple[float, ...],
) -> Fault:
    return Fault(segment=segment, kind=kind, odds=odds, sizes=sizes, measures=measures)


def _at(wiring: Wiring, number: int, segment: Segment, piece: int, sound: Sound) -> Iterator[Fault]:
    odds, amps = FAULT_ODDS[segment.kind], abs(float(sound.amps[piece]))
    if segment.kind is SegmentKind.BATTERY:
        weak = tuple((Change(piece, 1, times=m), Change(piece, 2, times=m)) for m in WEAK_BATTERY)
        yield _fault(number, FaultKind.WEAK, odds, weak, WEAK_BATTERY)
    elif segment.kind is SegmentKind.SUPPLY:
        yield _fault(number, FaultKind.OPEN, odds, ((Change(piece, 1, times=0.0),),), (0.0,))
    elif segment.kind is SegmentKind.LOAD:
        yield from _of_load(wiring, number, piece, odds)
    elif amps >= LEAST_A:
        yield from _of_conductor(wiring, number, piece, odds, amps)
        yield from _of_fuse(wiring, number, piece, odds, amps)
        yield from _of_relay(wiring, number, piece, odds)
        yield from _chafed(wiring, number, piece, odds * CHAFED_SHARE, sound, _held_a(wiring, piece))


def _of_conductor(wiring: Wiring, number: int, piece: int, odds: float, amps: float) -> Iterator[Fault]:
    # What a sound part may have is no fault yet.
    ends = wiring.ends.get(wiring.topology.pieces[piece].name)
    least_v = max(LOSSES_V[0], 0.0 if ends is None else (ends.high - ends.typical) * amps)
    added = tuple(volts / amps for volts in np.geomspace(least_v, LOSSES_V[1], LOSSES_V[2]).tolist())
    sizes = tuple((Change(piece, 0, plus=more),) for more in added)
    yield _fault(number, FaultKind.HIGH_RESISTANCE, odds * (1.0 - OPEN_SHARE), sizes, added)
    nothing = ((Change(piece, 0, times=math.inf),),)
    yield _fault(number, FaultKind.OPEN, odds * OPEN_SHARE, nothing, (math.inf,))


def _of_fuse(wiring: Wiring, number: int, piece: int, odds: float, amps: float) -> Iterator[Fault]:
    """Fuses of other ratings of the family, as far as what they lose differs by millivolts that are read."""
    part = wiring.topology.pieces[piece].part
    if part is None or part.kind is not PartKind.FUSE or part.rating_a is None:
        return
    others = other_fuses(wiring.installation, part)
    for kind, low, high in (
        (FaultKind.LOWER_FUSE, amps / BLOWS_AT, 0.99 * part.rating_a),
        (FaultKind.HIGHER_FUSE, 1.01 * part.rating_a, math.inf),
    ):
        more = sorted((ohm for rating, ohm in others.items() if low < rating < high), key=abs)
        more = [ohm for ohm in more if abs(ohm) * amps >= LEAST_FUSE_V]
        if more:
            sizes = tuple((Change(piece, 0, plus=ohm),) for ohm in more)
            yield _fault(number, kind, odds * WRONG_FUSE_SHARE, sizes, tuple(more))


def _of_relay(wiring: Wiring, number: int, piece: int, odds: float) -> Iterator[Fault]:
    """The load hangs on the coil's leads and the coil on the load's: by the drawn coil, else in series."""
    part = wiring.topology.pieces[piece].part
    if part is None or part.kind is not PartKind.RELAY:
        return
    bridge = next(
        (n for n, b in enumerate(with_unknown(wiring).branches) if b.name == f"{BRIDGE} {piece}"), None
    )
    if bridge is None:
        sizes = tuple((Change(piece, 0, plus=ohm),) for ohm in COIL_OHM)
        yield _fault(number, FaultKind.SWAPPED, odds * SWAPPED_SHARE, sizes, COIL_OHM)
    else:
        one = (
            Change(piece, 0, to=math.inf),
            Change(bridge, 0, to=wiring.ends[wiring.topology.pieces[piece].name].typical),
        )
        yield _fault(number, FaultKind.SWAPPED, odds * SWAPPED_SHARE, (one,), (1.0,))


def _chafed(
    wiring: Wiring, number: int, piece: int, odds: float, sound: Sound, amps: tuple[float, ...]
) -> Iterator[Fault]:
    """A cable that lets current to the body at its far end, where it has volts against it."""
    topology, own = wiring.topology, wiring.topology.pieces[piece]
    node_v, body = sound.node_v, topology.node_of.get(BODY, 0)
    if own.kind is not PieceKind.WIRE or not amps:
        return
    if node_v[own.end] - node_v[body] < FED_SHARE * wiring.installation.system_v:
        return
    branches = with_unknown(wiring).branches
    leak = next((n for n, b in enumerate(branches) if b.name == f"{LEAK} {own.end}"), None)
    if leak is not None:
        sizes = tuple((Change(leak, 0, plus=each),) for each in amps)
        yield _fault(number, FaultKind.CHAFED, odds, sizes, amps)


def _held_a(wiring: Wiring, piece: int) -> tuple[float, ...]:
    """Currents to the body that the fuse of a cable's circuit holds. [A]"""
    circuit = wiring.topology.pieces[piece].circuit
    ratings = [
        part.rating_a
        for part in (wiring.installation.circuits[circuit].parts if circuit is not None else ())
        if part.kind in FUSES and part.rating_a is not None
    ]
    most = BLOWS_AT * min(ratings, default=MOST_LEAK_A)
    return tuple(np.geomspace(LEAST_LEAK_A, max(most, 2 * LEAST_LEAK_A), 8).tolist())


def _of_load(wiring: Wiring, number: int, piece: int, odds: float) -> Iterator[Fault]:
    law = wiring.network.branches[piece].law
    for kind, shares in (
        (FaultKind.DRAWS_LESS, LOAD_SHARES),
        (FaultKind.DRAWS_MORE, tuple(1.0 / share for share in LOAD_SHARES)),
    ):
        sizes = tuple((_scaled(law, piece, share),) for share in shares)
        yield _fault(number, kind, odds * (1.0 - OPEN_SHARE) / 2.0, sizes, shares)
    nothing = ((Change(piece, 0, times=_nothing(law)),),)
    yield _fault(number, FaultKind.OPEN, odds * OPEN_SHARE, nothing, (0.0,))


def _scaled(law: Law, piece: int, share: float) -> Change:
    return Change(piece, 0, times=1.0 / share if law is Law.RESISTOR else share)


def spreads_of(wiring: Wiring, running: frozenset[str]) -> tuple[Spread, ...]:
    """Return one standard deviation of everything in which sound vehicles differ."""
    found: list[Spread] = []
    for number, piece in enumerate(wiring.topology.pieces):
        if piece.kind is not PieceKind.LOAD or piece.name in running:
            found += _spreads_at(wiring, number, piece)
    for number, branch in enumerate(with_unknown(wiring).branches):
        if branch.name.startswith(UNKNOWN):
            found.append(Spread(name=UNKNOWN, changes=(Change(number, 0, plus=UNKNOWN_A),)))
    return tuple(found)


def _spreads_at(wiring: Wiring, number: int, piece: Piece) -> Iterator[Spread]:
    scale = wiring.installation.system_v / 12.0
    if piece.conducts:
        ends = wiring.ends.get(piece.name)
        share = WIRE_SPREAD if ends is None else _half_width(ends)
        share *= BODY_TIMES if piece.kind is PieceKind.BODY else 1.0
        yield Spread(name=piece.name, changes=(Change(number, 0, times=math.exp(share)),))
    elif piece.kind is PieceKind.BATTERY and piece.supply is not None:
        volts = Spread(name=piece.name, changes=(Change(number, 0, plus=BATTERY_V * scale),))
        yield replace(volts, wanders=True)
        times = math.exp(max(_half_width(wiring.supplies[piece.supply.name].ohm), BATTERY_OHM_SPREAD))
        yield Spread(
            name=piece.name, changes=(Change(number, 1, times=times), Change(number, 2, times=times))
        )
    elif piece.kind is PieceKind.MACHINE:
        yield Spread(name=piece.name, changes=(Change(number, 0, plus=SETPOINT_V * scale),))
    elif piece.kind is PieceKind.OWN_DRAW:
        yield Spread(name=piece.name, changes=(Change(number, 0, times=1.0 + OWN_DRAW_SPREAD),))
    elif piece.kind is PieceKind.LOAD:
        estimate = wiring.estimates.get(piece.name)
        power = None if estimate is None else estimate.power_w
        if power is not None and power.value > 0.0:
            share = max((power.high - power.low) / (_ENDS_HOLD * power.value), LOAD_SPREAD)
            law = wiring.network.branches[number].law
            yield Spread(name=piece.name, changes=(_scaled(law, number, 1.0 + share),))


def other_fuses(installation: Installation, part: Part) -> Mapping[float, float]:
    """Return by how much fuses of the other ratings differ from a fuse in resistance, by rating. [A, ohm]"""
    own = part_ends(installation, part, 0.0).typical
    family = part.family or fuse_family_for(part.rating_a or 0.0)
    return {
        rating: part_ends(installation, replace(part, rating_a=rating), 0.0).typical - own
        for rating in fuse_ratings(family)
        if rating != part.rating_a
    }


def _half_width(ends: Ends) -> float:
    """Standard deviation of the logarithm of a value whose ends hold 95 %. [1]"""
    return math.log(ends.high / ends.low) / _ENDS_HOLD if ends.low > 0.0 else 0.0
