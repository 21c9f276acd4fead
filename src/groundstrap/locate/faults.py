"""What may be wrong, each thing at several sizes, and how sound vehicles differ from the plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.figures import Ends
from groundstrap.assess.topology import Piece, PieceKind
from groundstrap.assess.wiring import Case, Wiring, parameters
from groundstrap.locate.figures import (
    BATTERY_OHM_SPREAD,
    BATTERY_V,
    BODY_TIMES,
    FAULT_ODDS,
    LEAST_A,
    LOAD_SHARES,
    LOAD_SPREAD,
    LOSSES_V,
    OPEN_SHARE,
    OWN_DRAW_SPREAD,
    SETPOINT_V,
    UNKNOWN_A,
    WEAK_BATTERY,
    WIRE_SPREAD,
)
from groundstrap.locate.segments import Segment, SegmentKind
from groundstrap.model import GearKind
from groundstrap.records import dataclass, replace
from groundstrap.solve import Branch, Law, Network

__all__ = [
    "Change",
    "Fault",
    "FaultKind",
    "Spread",
    "columns",
    "faults_of",
    "sound_values",
    "spreads_of",
    "with_unknown",
    "without_load",
]

_ENDS_HOLD = 3.92
"""Standard deviations between the ends of an interval of 95 %. [1]"""
UNKNOWN = "unknown draw at"


class FaultKind(StrEnum):
    """How a place fails; inside one segment readings tell none of these from what looks alike."""

    HIGH_RESISTANCE = "high resistance"
    OPEN = "open"
    DRAWS_LESS = "draws less"
    DRAWS_MORE = "draws more"
    WEAK = "weak"


@dataclass(frozen=True, slots=True)
class Change:
    """What becomes of one parameter of one branch: `times` what it was, and `plus` more."""

    branch: int
    parameter: int
    times: float = 1.0
    plus: float = 0.0


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
class Spread:
    """By how much sound vehicles differ in one thing: one standard deviation."""

    name: str
    changes: tuple[Change, ...]
    wanders: bool = False
    """Whether it moves from one reading to the next: the volts of a battery."""


def with_unknown(wiring: Wiring) -> Network:
    """Return the network with a branch to the reference at each block and plus, for what nobody knows of."""

    def made() -> Network:
        network, topology = wiring.network, wiring.topology
        gear = [each.name for each in wiring.installation.gear.values() if each.kind is GearKind.BLOCK]
        plus = [each.plus for each in wiring.installation.supplies.values()]
        nodes = {topology.node_of[point] for point in (*gear, *plus) if point in topology.node_of}
        more = (Branch(f"{UNKNOWN} {n}", Law.CONSTANT_CURRENT, n, 0) for n in sorted(nodes - {0}))
        return Network(network.nodes, (*network.branches, *more))

    # The laws of loads hang on what they are, so their branches are a part of the question.
    found: Network = wiring.topology.kept.lately("locate", wiring.network.branches, made)
    return found


def sound_values(wiring: Wiring, case: Case) -> list[tuple[float, ...]]:
    """Return the parameters of the sound circuit in a case, for the network with what nobody knows of."""
    values = parameters(wiring, case)
    return values + [(0.0,)] * (len(with_unknown(wiring).branches) - len(values))


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
            # An open switch stays open, whatever its contact would be.
            made[key][number] = own if math.isinf(own) else own * change.times + change.plus
    return [
        tuple(made.get((branch, n), value) for n, value in enumerate(own))
        for branch, own in enumerate(values)
    ]


def faults_of(
    wiring: Wiring,
    segments: tuple[Segment, ...],
    amps: NDArray[np.float64],
    on_way: NDArray[np.bool_],
) -> tuple[Fault, ...]:
    """Return what may be wrong at each place that a current passes."""
    found: list[Fault] = []
    for number, segment in enumerate(segments):
        piece = next((p for p in segment.pieces if on_way[p]), None)
        if piece is not None:
            found += _at(wiring, number, segment, piece, abs(float(amps[piece])))
    return tuple(found)


def _at(wiring: Wiring, number: int, segment: Segment, piece: int, amps: float) -> Iterator[Fault]:
    odds = FAULT_ODDS[segment.kind]
    if segment.kind is SegmentKind.BATTERY:
        weak = tuple((Change(piece, 1, times=m), Change(piece, 2, times=m)) for m in WEAK_BATTERY)
        yield Fault(segment=number, kind=FaultKind.WEAK, odds=odds, sizes=weak, measures=WEAK_BATTERY)
    elif segment.kind is SegmentKind.SUPPLY:
        nothing = ((Change(piece, 1, times=0.0),),)
        yield Fault(segment=number, kind=FaultKind.OPEN, odds=odds, sizes=nothing, measures=(0.0,))
    elif segment.kind is SegmentKind.LOAD:
        yield from _of_load(wiring, number, piece, odds)
    elif amps >= LEAST_A:
        yield from _of_conductor(wiring, number, piece, odds, amps)


def _of_conductor(wiring: Wiring, number: int, piece: int, odds: float, amps: float) -> Iterator[Fault]:
    # What a sound part may have is no fault yet.
    ends = wiring.ends.get(wiring.topology.pieces[piece].name)
    least_v = max(LOSSES_V[0], 0.0 if ends is None else (ends.high - ends.typical) * amps)
    added = tuple(volts / amps for volts in np.geomspace(least_v, LOSSES_V[1], LOSSES_V[2]).tolist())
    yield Fault(
        segment=number,
        kind=FaultKind.HIGH_RESISTANCE,
        odds=odds * (1.0 - OPEN_SHARE),
        sizes=tuple((Change(piece, 0, plus=more),) for more in added),
        measures=added,
    )
    yield Fault(
        segment=number,
        kind=FaultKind.OPEN,
        odds=odds * OPEN_SHARE,
        sizes=((Change(piece, 0, times=math.inf),),),
        measures=(math.inf,),
    )


def _of_load(wiring: Wiring, number: int, piece: int, odds: float) -> Iterator[Fault]:
    law = wiring.network.branches[piece].law
    for kind, shares in (
        (FaultKind.DRAWS_LESS, LOAD_SHARES),
        (FaultKind.DRAWS_MORE, tuple(1.0 / share for share in LOAD_SHARES)),
    ):
        yield Fault(
            segment=number,
            kind=kind,
            odds=odds * (1.0 - OPEN_SHARE) / 2.0,
            sizes=tuple((_scaled(law, piece, share),) for share in shares),
            measures=shares,
        )
    nothing = ((Change(piece, 0, times=_nothing(law)),),)
    yield Fault(segment=number, kind=FaultKind.OPEN, odds=odds * OPEN_SHARE, sizes=nothing, measures=(0.0,))


def _scaled(law: Law, piece: int, share: float) -> Change:
    return Change(piece, 0, times=1.0 / share if law is Law.RESISTOR else share)


def spreads_of(wiring: Wiring, running: frozenset[str]) -> tuple[Spread, ...]:
    """Return one standard deviation of everything in which sound vehicles differ."""
    found: list[Spread] = []
    for number, piece in enumerate(wiring.topology.pieces):
        if piece.kind is not PieceKind.LOAD or piece.name in running:
            found += _spreads_at(wiring, number, piece)
    for number in range(len(wiring.topology.pieces), len(with_unknown(wiring).branches)):
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


def _half_width(ends: Ends) -> float:
    """Standard deviation of the logarithm of a value whose ends hold 95 %. [1]"""
    return math.log(ends.high / ends.low) / _ENDS_HOLD if ends.low > 0.0 else 0.0
