"""From a job, a complaint and readings to suspects, and to the reading that tells most for its effort."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.wiring import Wiring
from groundstrap.locate.belief import Belief
from groundstrap.locate.counted import counted
from groundstrap.locate.faults import FaultKind
from groundstrap.locate.figures import CLAD_TIMES, FITS, MOST_WIRE_TIMES, Z_95
from groundstrap.locate.meaning import would_mean
from groundstrap.locate.mends import mends_of
from groundstrap.locate.probes import Probe, ProbeKind
from groundstrap.locate.pursue import Question, Standing, apart, stand, weigh
from groundstrap.locate.results import (
    AsWire,
    CheckedReading,
    Fit,
    Location,
    Proposal,
    Suspect,
    Way,
)
from groundstrap.locate.search import HEALTHY_PLACE, Complaint, Search
from groundstrap.locate.segments import Segment
from groundstrap.locate.slips import other_unit
from groundstrap.locate.taken import Taken, leading_case, taken_of
from groundstrap.model import Installation, LoadKind, MeterSpec, ReadingSet, Uncertain, newest_readings
from groundstrap.physics.distributions import chi_square_exceeds
from groundstrap.records import dataclass, replace

__all__ = ["locate"]

Floats = NDArray[np.float64]

_TOLD: Final = 0.01
"""Chance from which a place is named at all. [1]"""
_MOST_SUSPECTS: Final = 6
_MOST_PROPOSALS: Final = 3
_LEAST_BITS: Final = 0.02
_DOUBTFUL: Final = 0.05
"""Chance of readings under one story from which nothing is looked for beside it. [1]"""
_ALIKE: Final = 0.10
"""Share by which the evidence for two places may differ that readings do not tell apart. [1]"""


def locate(
    wiring: Wiring,
    complaint: Complaint | None,
    *,
    meter: MeterSpec | None = None,
    proposals: int = _MOST_PROPOSALS,
    readings: Sequence[ReadingSet] | None = None,
) -> Location:
    """Say which place the readings of a job point to, and what to read next.

    Parameters
    ----------
    wiring : Wiring
        The installation as it was planned, with its readings.
    complaint : Complaint or None
        The load that fails, or that the battery goes flat; None for a walk round everything that runs.
    meter : MeterSpec or None
        What volts are proposed to be read with, and what read those that name none.
    proposals : int
        How many readings to propose at most.
    readings : sequence of ReadingSet or None
        In place of the installation's own, so that one wiring serves from one reading to the next. Of both
        only the newest visit counts, since its last mend, and at one place in one case the last reading.
    """
    every = wiring.installation.readings if readings is None else readings
    history = mends_of(wiring)
    sets, entries = newest_readings(every, history), counted(every, history)
    case = leading_case(wiring, complaint, sets)
    taken = taken_of(wiring, case, (each.alone for each in entries))
    mend = _Mend(
        what=next((each.mended for each in reversed(sets) if each.mended is not None), ""),
        before={id(each.reading): each.before for each in entries},
    )
    question = Question(
        wiring=wiring,
        case=case,
        complaint=complaint,
        meter=meter,
        taken=taken.probes,
        cases=taken.cases,
        meters=taken.meters,
    )
    whole = weigh(question.searched(), range(len(taken.probes)), taken.values, may_part=False)
    doubted = _doubted(whole.looked, taken, whole.belief)
    pair = apart(question, whole, taken.values) if whole.p < FITS and doubted is None else None
    if pair is not None:
        found = _location(complaint, taken, pair.first, pair.second, doubted, proposals)
    else:
        found = _location(complaint, taken, whole, _second(question, whole, taken), doubted, proposals)
    return _since(found, taken, mend)


@dataclass(frozen=True, slots=True)
class _Mend:
    """What was mended last, and by the identity of a reading what the same read before."""

    what: str
    before: Mapping[int, float | None]


def _since(found: Location, taken: Taken, mend: _Mend) -> Location:
    """A location with what was mended, and beside each reading what the same read before."""
    before = [mend.before.get(id(reading)) for reading in taken.readings]
    readings = tuple(replace(each, before=old) for each, old in zip(found.readings, before, strict=True))
    return replace(found, readings=readings, mended=mend.what)


def _second(question: Question, first: Standing, taken: Taken) -> Standing | None:
    """What is wrong beside a place that stands; None where nothing says that anything is."""
    stands = bool(taken.probes) and first.stands and first.top != HEALTHY_PLACE
    if not stands or first.p > _DOUBTFUL:
        return None
    found = weigh(stand(question, first), range(len(taken.probes)), taken.values, may_part=False)
    return found if found.top != HEALTHY_PLACE and found.of_place[found.top] > 0.5 else None


def _location(
    complaint: Complaint | None,
    taken: Taken,
    first: Standing,
    second: Standing | None,
    doubted: int | None,
    proposals: int,
) -> Location:
    looked, count = first.looked, len(taken.probes)
    asked = first if second is None else second
    return Location(
        load=None if complaint is None else complaint.load,
        dead=complaint is not None and complaint.dead,
        flat=complaint is not None and complaint.flat,
        readings=tuple(_checked(looked, taken, number) for number in range(count)),
        sound=_fit(_sound_misfit(looked, taken.values), count),
        best=_fit(asked.belief.misfit, len(asked.kept)),
        healthy=first.of_place.get(HEALTHY_PLACE, 0.0),
        suspects=_suspects(looked, first.belief, first.of_place),
        second=() if second is None else _suspects(second.looked, second.belief, second.of_place),
        doubted=doubted,
        proposals=()
        if asked.stands
        else _proposals(asked.looked, asked.belief, asked.of_place, count, proposals),
        left_out=taken.left_out,
    )


def _fit(chi2: float, degrees: int) -> Fit:
    return Fit(chi2, degrees, chi_square_exceeds(chi2, degrees) if degrees else 1.0)


def _deviation(looked: Search, number: int) -> float:
    return math.sqrt(float(looked.known.spread[number, number] + looked.known.own[number]))


def _checked(looked: Search, taken: Taken, number: int) -> CheckedReading:
    probe, reading = looked.probes[number], taken.readings[number]
    sound, deviation = float(looked.sound[number]), _deviation(looked, number)
    low, high = sound - Z_95 * deviation, sound + Z_95 * deviation
    system_v = looked.laid.wiring.installation.system_v
    return CheckedReading(
        text=reading.text,
        kind=probe.kind,
        red=reading.red or "",
        black=reading.black or "",
        through=reading.through or "",
        expected=Uncertain(sound, low, high),
        other_unit=other_unit(reading.value, probe.kind, low, high, system_v),
        measured=reading.value,
        normalised=(reading.value - sound) / deviation,
    )


def _sound_misfit(looked: Search, values: tuple[float, ...]) -> float:
    count = len(values)
    if not count:
        return 0.0
    covariance = looked.known.spread[:count, :count] + np.diag(looked.known.own[:count])
    off = np.array(values) - looked.sound[:count]
    return float(off @ np.linalg.solve(covariance, off))


def _doubted(looked: Search, taken: Taken, belief: Belief) -> int | None:
    """The one reading without which the others fit a story, where all together fit none."""
    count = len(taken.values)
    if count < 3 or chi_square_exceeds(belief.misfit, count) >= FITS:
        return None
    without = []
    for number in range(count):
        kept = [other for other in range(count) if other != number]
        left = looked.misfit(kept, [taken.values[other] for other in kept])
        without.append(chi_square_exceeds(left, count - 1))
    best = int(np.argmax(without))
    return best if without[best] > math.sqrt(FITS) else None


def _suspects(looked: Search, belief: Belief, of_place: Mapping[int, float]) -> tuple[Suspect, ...]:
    before = {place: float(looked.known.chance[looked.known.place == place].sum()) for place in of_place}
    evidence = {place: chance / max(before[place], 1e-300) for place, chance in of_place.items()}
    ordered = sorted((p for p in of_place if p != HEALTHY_PLACE), key=lambda p: (-of_place[p], p))
    named = [place for place in ordered if of_place[place] >= _TOLD][:_MOST_SUSPECTS]
    return tuple(
        _suspect(looked, belief, place, of_place[place], _alike(evidence, place, named, looked))
        for place in named
    )


def _alike(evidence: Mapping[int, float], place: int, named: list[int], looked: Search) -> tuple[str, ...]:
    return tuple(
        looked.laid.segments[other].name
        for other in named
        if other != place
        and abs(math.log(max(evidence[other], 1e-300) / max(evidence[place], 1e-300))) < _ALIKE
    )


def _suspect(
    looked: Search, belief: Belief, place: int, probability: float, same_as: tuple[str, ...]
) -> Suspect:
    segment = looked.laid.segments[place]
    here = np.flatnonzero(looked.known.place == place)
    chances = belief.chance[here]
    faults = looked.fault_of[here]
    shares = {
        int(f): float(chances[faults == f].sum() / max(chances.sum(), 1e-300)) for f in np.unique(faults)
    }
    likeliest = max(shares, key=lambda f: shares[f])
    measure = _measure(looked, belief, here[faults == likeliest], likeliest)
    kind = looked.laid.faults[likeliest].kind
    amps = measure if kind in {FaultKind.CHAFED, FaultKind.DRAIN} else None
    ways = sorted(
        (Way(looked.laid.faults[f].kind, share) for f, share in shares.items()), key=lambda w: -w.share
    )
    return Suspect(
        place=segment.name,
        kind=segment.kind,
        points=segment.points,
        ways=tuple(way for way in ways if way.share > _TOLD),
        extra_ohm=measure if kind is FaultKind.HIGH_RESISTANCE else None,
        extra_a=amps,
        times=measure if kind in {FaultKind.DRAWS_LESS, FaultKind.DRAWS_MORE, FaultKind.WEAK} else None,
        probability=probability,
        same_as=same_as,
        wire=_as_wire(looked, segment, measure if kind is FaultKind.HIGH_RESISTANCE else None),
    )


def _as_wire(looked: Search, segment: Segment, extra_ohm: Uncertain | None) -> AsWire | None:
    """What a cable would have to be to have as much resistance by itself."""
    pieces = looked.laid.wiring.topology.pieces
    number = next((n for n in segment.pieces if pieces[n].wire is not None), None)
    if extra_ohm is None or number is None:
        return None
    rows, wire = looked.laid.solved[0], pieces[number].wire
    own_ohm = abs(float(rows.branch_v[number, 0]) / (float(rows.branch_a[number, 0]) or math.inf))
    if wire is None or wire.area_mm2 is None or own_ohm <= 0.0:
        return None
    least, times, most = (1.0 + ohm / own_ohm for ohm in (extra_ohm.low, extra_ohm.value, extra_ohm.high))
    if times > MOST_WIRE_TIMES:
        return None
    return AsWire(
        planned_mm2=wire.area_mm2,
        area_mm2=Uncertain(wire.area_mm2 / times, wire.area_mm2 / most, wire.area_mm2 / max(least, 1.0)),
        clad=least <= CLAD_TIMES <= most,
    )


def _measure(looked: Search, belief: Belief, stretches: NDArray[np.int_], fault: int) -> Uncertain | None:
    """Ohms or times of a fault: middle and 95 % ends over its stretches, each weighed by its chance."""
    measures = looked.laid.faults[fault].measures
    if len(measures) < 2:
        return None
    sizes = looked.size_of[stretches]
    first, second = np.array(measures)[sizes], np.array(measures)[sizes + 1]
    at = first + belief.share[stretches] * (second - first)
    deviation = np.sqrt(belief.share_variance[stretches]) * np.abs(second - first)
    weight = belief.chance[stretches] / max(float(belief.chance[stretches].sum()), 1e-300)
    mean = float((weight * at).sum())
    spread = math.sqrt(float((weight * (deviation**2 + (at - mean) ** 2)).sum()))
    least, most = min(measures), max(measures)
    return Uncertain(mean, max(mean - Z_95 * spread, least), min(mean + Z_95 * spread, most))


def _proposals(
    looked: Search, belief: Belief, of_place: Mapping[int, float], taken: int, most: int
) -> tuple[Proposal, ...]:
    """Readings most worth their effort; none where nothing tells any more."""
    numbers = np.arange(taken, len(looked.probes))
    bits = looked.worth(belief, numbers)
    order = np.argsort(-bits / looked.effort[numbers], kind="stable")
    chosen = _apart(looked, [int(numbers[n]) for n in order if bits[n] >= _LEAST_BITS], most)
    worth = dict(zip(numbers.tolist(), bits.tolist(), strict=True))
    return tuple(_proposal(looked, belief, of_place, number, worth[number]) for number in chosen)


def _apart(looked: Search, numbers: Iterable[int], most: int) -> list[int]:
    """The first few that do not say nearly the same: of two with an end in common the better one."""
    chosen: list[int] = []
    for number in numbers:
        probe = looked.probes[number]
        ends = [{looked.probes[n].red, looked.probes[n].black} for n in chosen]
        if probe.kind is ProbeKind.AMPS or all(not {probe.red, probe.black} & each for each in ends):
            chosen.append(number)
        if len(chosen) == most:
            break
    return chosen


def _proposal(
    looked: Search, belief: Belief, of_place: Mapping[int, float], number: int, bits: float
) -> Proposal:
    probe: Probe = looked.probes[number]
    case = looked.laid.cases[probe.case]
    nodes, pieces = looked.laid.wiring.topology.nodes, looked.laid.wiring.topology.pieces
    volts = probe.kind is ProbeKind.VOLTS
    sound, deviation = float(looked.sound[number]), _deviation(looked, number)
    return Proposal(
        kind=probe.kind,
        red=nodes[probe.red] if volts else "",
        black=nodes[probe.black] if volts else "",
        through="" if volts else pieces[probe.through].name,
        when=case.situation,
        using=_switched_on(looked.laid.wiring.installation, case.running),
        information_bits=bits,
        effort=float(looked.effort[number]),
        sound=Uncertain(sound, sound - Z_95 * deviation, sound + Z_95 * deviation),
        means=would_mean(looked, belief, of_place, number),
    )


def _switched_on(installation: Installation, running: Iterable[str]) -> tuple[str, ...]:
    """Loads that somebody switches on: a relay's coil comes on with its load, and no job file lists it."""
    return tuple(sorted(n for n in running if installation.loads[n].kind is not LoadKind.COIL))
