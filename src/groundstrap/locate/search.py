"""The search for a fault: what could be read in some cases, what it would show, and what was read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.belief import Belief, Known, believe, expected_bits, misfit_of
from groundstrap.locate.figures import (
    BATTERY_V,
    CONTACT_V,
    DEAD_SHARE,
    HEALTHY,
    HEALTHY_BESIDE,
    MISSED,
    NOTICED_SHARE,
    SAG_V,
    SHAPE,
    WITHOUT_CAUSE,
)
from groundstrap.locate.laid import Laid, Settled, lay, place_of_nodes
from groundstrap.locate.probes import (
    Probe,
    ProbeKind,
    at_rest,
    effort_of,
    probes_for,
    shown,
    uncertainties,
)
from groundstrap.model import MeterSpec
from groundstrap.records import dataclass, replace

__all__ = ["HEALTHY_PLACE", "LEADING", "OFF", "Complaint", "Search", "search"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]

HEALTHY_PLACE: Final = -1
"""Number that stands for nothing wrong."""
LEADING: Final = 0
"""Number of the case that readings are proposed in."""
OFF: Final = 1
"""Of the same with all off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """What somebody says: a load, and how it fails. `dead` False: it is weak, dim, slow or cuts out."""

    load: str | None = None
    """None where the battery goes flat."""
    dead: bool = False
    flat: bool = False
    """The battery goes flat though nothing runs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """Everything that readings can tell of one fault, before and after they are taken."""

    laid: Laid
    probes: tuple[Probe, ...]
    """Those that were taken or may be proposed."""
    known: Known
    fault_of: Ints
    """Of each stretch: its fault; -1 for nothing wrong."""
    size_of: Ints
    """Of each stretch: the number of its smaller size."""
    sound: Floats
    """What each probe shows where nothing is wrong."""
    effort: Floats
    """Of each probe, as times a plain one. [1]"""
    pairs: tuple[tuple[int, int], ...] = ()
    """Readings of a battery with the load on, and with it off."""

    def after(self, taken: Sequence[int], values: Sequence[float]) -> Belief:
        """Return the chances after readings, by the numbers of their probes."""
        return believe(self.known, np.array(taken, dtype=int), np.array(values, dtype=float), widened=True)

    def without(self, place: int) -> Search:
        """Return the search with one place ruled out."""
        chance = np.where(self.known.place == place, 0.0, self.known.chance)
        return replace(self, known=replace(self.known, chance=chance / chance.sum()))

    def misfit(self, taken: Sequence[int], values: Sequence[float]) -> float:
        """Return the chi-square of readings under what is likeliest by them. [1]"""
        return misfit_of(self.known, np.array(taken, dtype=int), np.array(values, dtype=float))

    def worth(self, belief: Belief, candidates: Sequence[int] | Ints) -> Floats:
        """Return what each candidate is expected to tell about the place. [bit]

        A battery's volts tell little by themselves, with all on or off; the two together tell how far
        it gives way, so each counts with its share of what both tell.
        """
        numbers = np.array(candidates, dtype=int)
        bits = expected_bits(belief, self.known.place, numbers)
        at = {int(number): position for position, number in enumerate(numbers)}
        for on, off in self.pairs:
            if on in at and off in at:
                both = self._of_both(belief, on, off) / (self.effort[on] + self.effort[off])
                bits[at[on]] = max(bits[at[on]], both * self.effort[on])
        return bits

    def _of_both(self, belief: Belief, on: int, off: int) -> float:
        """What the difference of two readings tells about the place. [bit]"""
        spread, own = self.known.spread, self.known.own
        variance = spread[on, on] + spread[off, off] - 2.0 * spread[on, off] + own[on] + own[off]
        moves = belief.way[:, [on]] - belief.way[:, [off]]
        both = replace(
            belief,
            mean=belief.mean[:, [on]] - belief.mean[:, [off]],
            way=moves,
            variance=np.full_like(moves, variance) + self.known.shape[:, [on]] ** 2,
        )
        return float(expected_bits(both, self.known.place, np.array([0]))[0])

    def next_reading(self, belief: Belief, taken: Sequence[int]) -> int | None:
        """Return the number of the probe that is most worth its effort; None where none tells anything."""
        numbers = np.setdiff1d(np.arange(len(self.probes)), np.array(taken, dtype=int))
        worth = self.worth(belief, numbers) / self.effort[numbers]
        return int(numbers[np.argmax(worth)]) if worth.size and worth.max() > 0.0 else None


def search(
    wiring: Wiring,
    case: Case,
    complaint: Complaint | None,
    *,
    meter: MeterSpec | None = None,
    taken: Sequence[Probe] = (),
    cases: Sequence[Case] = (),
    meters: Mapping[int, MeterSpec] | None = None,
    beside: Settled | None = None,
) -> Search:
    """Lay out what readings can tell of one fault.

    `case` is the one that readings are proposed in; `cases` are more, which `taken` probes (numbered first)
    name from 2 on: case 1 is the first with all off. One load alone moves a battery by less than it wanders;
    all that runs tells a weak one from one that is half full. `meters` are those that the taken ones name;
    `beside` is a fault that stands, where more is looked for.
    """
    load, flat = (None, False) if complaint is None else (complaint.load, complaint.flat)
    quiet = replace(case, running=frozenset())
    if beside is not None and all(probe.case != OFF for probe in taken):
        quiet = case
    # What somebody complains of was explained by the first: the second may be anywhere.
    load = None if beside is not None else load
    laid = lay(wiring, (case, quiet, *cases), load, flat=flat, beside=beside)
    volts = np.asarray(laid.solved[LEADING].node_v[:, 0])
    off = None if flat or quiet == case else OFF
    offered = probes_for(wiring.topology, laid.segments, volts, laid.on_way, off=off, everywhere=load is None)
    if flat:
        offered = at_rest(wiring.topology, offered)
    probes = (*taken, *(each for each in offered if each not in set(taken)))
    showing = shown(probes, laid.solved)
    sound = showing[:, 0]
    read = uncertainties(probes, sound, meters or {}, meter, in_line=flat)
    spread, own = _doubt(laid, probes, showing, read.gain, read.own)
    said = None if beside is not None else complaint
    known, fault_of, size_of = _known(laid, showing, spread, own, said, beside=beside is not None)
    return Search(
        laid=laid,
        probes=probes,
        known=known,
        fault_of=fault_of,
        size_of=size_of,
        sound=sound,
        effort=effort_of(probes, sound, wiring.topology, place_of_nodes(wiring.topology)),
        pairs=_pairs(probes),
    )


def _pairs(probes: tuple[Probe, ...]) -> tuple[tuple[int, int], ...]:
    """Volts between the same points in the leading case and with all off."""
    on = {frozenset((p.red, p.black)): n for n, p in enumerate(probes) if p.case == LEADING and p.red >= 0}
    return tuple(
        (on[frozenset((p.red, p.black))], n)
        for n, p in enumerate(probes)
        if p.case == OFF and p.red >= 0 and frozenset((p.red, p.black)) in on
    )


def _known(
    laid: Laid, showing: Floats, spread: Floats, own: Floats, complaint: Complaint | None, *, beside: bool
) -> tuple[Known, Ints, Ints]:
    """Stretches of all faults with their chances, nothing wrong being the first."""
    table, noticed, flows = laid.of_faults(showing).T, _noticed(laid, complaint), _flows(laid, complaint)
    low, high, fault_of, size_of = _stretches(laid, np.asarray(np.isfinite(table).all(axis=1)))
    odds = np.array([fault.odds / max(len(fault.sizes) - 1, 1) for fault in laid.faults] or [1.0])
    whole = sum(fault.odds for fault in laid.faults) or 1.0
    chance = (1.0 - HEALTHY) * odds[fault_of] / whole * 0.5 * (noticed[low] + noticed[high])
    nothing = HEALTHY * (1.0 if complaint is None else WITHOUT_CAUSE)
    if beside:
        nothing, chance = HEALTHY_BESIDE, chance * (1.0 - HEALTHY_BESIDE) / max(float(chance.sum()), 1e-300)
    sound = showing[:, 0]
    start = np.vstack([sound, table[low]])
    way = np.vstack([np.zeros(len(sound)), table[high] - table[low]])
    weights = np.concatenate([[nothing], chance])
    places = np.array([fault.segment for fault in laid.faults] or [0])
    known = Known(
        start=start,
        way=way,
        chance=weights / weights.sum(),
        place=np.concatenate([[HEALTHY_PLACE], places[fault_of]]),
        spread=spread,
        own=own,
        flow=np.concatenate([[1.0], np.maximum(flows[low], flows[high])]),
        shape=SHAPE * np.abs(start + 0.5 * way - sound),
    )
    return known, np.concatenate([[HEALTHY_PLACE], fault_of]), np.concatenate([[0], size_of])


def _stretches(laid: Laid, solved: NDArray[np.bool_]) -> tuple[Ints, Ints, Ints, Ints]:
    """Rows at the smaller and the larger end of each stretch, its fault and its smaller size."""
    found: list[tuple[int, int, int, int]] = []
    first = 0
    for number, fault in enumerate(laid.faults):
        count = len(fault.sizes)
        for size in range(max(count - 1, 1)):
            low, high = first + size, first + min(size + 1, count - 1)
            if solved[low] and solved[high]:
                found.append((low, high, number, size))
        first += count
    table = np.array(found, dtype=int).reshape(-1, 4)
    return table[:, 0], table[:, 1], table[:, 2], table[:, 3]


def _noticed(laid: Laid, complaint: Complaint | None) -> Floats:
    """Chance that each size of each fault makes somebody complain as they did. [1]"""
    rows = laid.solved[LEADING]
    if complaint is None or complaint.load is None:
        return np.ones(rows.branch_v.shape[1] - laid.first_fault)
    load = laid.wiring.index(complaint.load)
    volts, amps = rows.branch_v[load], rows.branch_a[load]
    share_v = np.nan_to_num(laid.of_faults(volts) / volts[0])
    share_a = np.nan_to_num(laid.of_faults(amps) / amps[0])
    weak = 1.0 - np.minimum(share_v, share_a)
    dead = _rises(weak, DEAD_SHARE, 0.05)
    seen = dead if complaint.dead else _rises(weak, NOTICED_SHARE, NOTICED_SHARE / 2) * (1.0 - dead)
    return np.asarray(MISSED + (1.0 - MISSED) * seen)


def _rises(value: Floats, middle: float, width: float) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip((value - middle) / width, -50.0, 50.0))))


def _flows(laid: Laid, complaint: Complaint | None) -> Floats:
    """How many times more flows to the load than where nothing is wrong: what parts lose differs by that."""
    rows = laid.solved[LEADING]
    if complaint is None or complaint.load is None:
        return np.ones(rows.branch_a.shape[1] - laid.first_fault)
    amps = rows.branch_a[laid.wiring.index(complaint.load)]
    return np.asarray(np.clip(np.nan_to_num(laid.of_faults(amps) / amps[0], nan=1.0), 1.0, 4.0))


def _doubt(
    laid: Laid, probes: tuple[Probe, ...], showing: Floats, gain: Floats, alone: Floats
) -> tuple[Floats, Floats]:
    """Covariance of readings by what sound vehicles differ by and one meter's gain; each one's own."""
    moves = np.nan_to_num(laid.of_spreads(showing) - showing[:, :1])
    volts = np.array([probe.kind is ProbeKind.VOLTS for probe in probes])
    signed = gain * np.sign(showing[:, 0])
    of_volts, of_amps = np.where(volts, signed, 0.0), np.where(volts, 0.0, signed)
    spread = moves @ moves.T + np.outer(of_volts, of_volts) + np.outer(of_amps, of_amps)
    wanders = moves[:, [each.wanders for each in laid.spreads]] * (SAG_V / BATTERY_V)
    own = alone**2 + np.where(volts, CONTACT_V**2, 0.0) + (wanders**2).sum(axis=1)
    return spread, own
