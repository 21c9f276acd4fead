"""Readings of a job held against what sound vehicles show."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.bands import SoundSpread, expected_at
from groundstrap.locate.counted import Counted, counted
from groundstrap.locate.judged import Agreement, ExpectedReading, Judged, JudgedReading
from groundstrap.locate.mends import mends_of
from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.proof import Proof, prove
from groundstrap.locate.results import Fit
from groundstrap.locate.taken import Taken, leading_case, taken_of
from groundstrap.locate.unknowns import Noise, World, added_at, flowing, noise_of, unknowns_of, wandering
from groundstrap.model import MeterSpec
from groundstrap.records import dataclass, replace

__all__ = ["judge"]

Floats = NDArray[np.float64]

_HELD: Final = frozenset(kind.value for kind in ProbeKind)
"""What the network says something of: no temperatures."""
_NOTHING: Final = Fit(0.0, 0, 1.0)


def judge(wiring: Wiring, *, meter: MeterSpec | None = None) -> Judged | None:
    """Hold the readings of a job against its plan; None where there are none, or no sound working point.

    Of readings at one place in one situation the last one counts: it was mended and read again.

    Parameters
    ----------
    wiring : Wiring
        The installation as it was planned, with its readings. What they say of a load is no evidence here of
        what it takes.
    meter : MeterSpec or None
        What read the volts that name no meter; left out, a basic one.
    """
    entries = [
        each for each in counted(wiring.installation.readings, mends_of(wiring)) if each.reading.kind in _HELD
    ]
    if not entries:
        return None
    sets = tuple(each.alone for each in entries)
    leading = leading_case(wiring, None, sets)
    taken = taken_of(wiring, leading, sets)
    if not taken.probes:
        return Judged(
            readings=(), sheet=_NOTHING, explained=_NOTHING, proven=(), estimated=(), left_out=taken.left_out
        )
    kept = [each for each in entries if any(each.reading is reading for reading in taken.readings)]
    seen = _seen(wiring, leading, taken, meter)
    return None if seen is None else _judged(seen, taken, kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """Readings as the search for what they prove takes them."""

    world: World
    spread: SoundSpread
    noise: Noise
    values: Floats
    sound: int
    """How many of the unknowns are those of sound vehicles."""


def _seen(wiring: Wiring, leading: Case, taken: Taken, meter: MeterSpec | None) -> _Seen | None:
    numbers = {probe.case for probe in taken.probes}
    every = (leading, replace(leading, running=frozenset()), *taken.cases)
    cases = {n: every[n] for n in sorted(numbers)}
    unknowns = unknowns_of(wiring, tuple(cases.values()))
    bare = World(wiring=wiring, cases=cases, probes=taken.probes, unknowns=unknowns)
    amps = bare.amps(np.zeros(len(unknowns)))
    if amps is None:
        return None
    unknowns, added = flowing(wiring, unknowns, amps), added_at(wiring, amps)
    world = replace(bare, unknowns=(*unknowns, *added))
    spread = SoundSpread.of(world, added)
    if spread is None:
        return None
    noise = noise_of(taken.probes, taken.readings, taken.meters, meter)
    wander = wandering(unknowns, spread.moves[:, : len(unknowns)])
    noise = replace(noise, own=np.hypot(noise.own, wander))
    values = np.array(taken.values)
    return _Seen(world=world, spread=spread, noise=noise, values=values, sound=len(unknowns))


def _judged(seen: _Seen, taken: Taken, entries: Sequence[Counted]) -> Judged:
    expected = [expected_at(seen.world, seen.spread, seen.noise, n) for n in range(len(entries))]
    values = taken.values
    failing = [n for n, each in enumerate(expected) if each.agreement(values[n]) is Agreement.FAILS]
    turned = [n for n in failing if expected[n].look.holds(-values[n])]
    proof = prove(
        seen.world,
        seen.values,
        seen.noise,
        seen.spread.sound,
        seen.spread.moves,
        sound=seen.sound,
        texts=[entry.reading.text for entry in entries],
        turned=turned,
        closely=len(failing) > len(turned),
    )
    return Judged(
        readings=tuple(_reading(entry, expected[n], proof, taken, n) for n, entry in enumerate(entries)),
        sheet=proof.sheet,
        explained=proof.explained,
        proven=proof.proven,
        estimated=proof.estimated,
        left_out=taken.left_out,
    )


def _reading(
    entry: Counted, expected: ExpectedReading, proof: Proof, taken: Taken, number: int
) -> JudgedReading:
    reading, of = entry.reading, entry.of
    spec = reading.meter or of.meter
    return JudgedReading(
        kind=taken.probes[number].kind,
        text=reading.text,
        red=reading.red or "",
        black=reading.black or "",
        through=reading.through or "",
        when=of.when,
        using=tuple(sorted(of.using)),
        meter="" if spec is None else spec.text,
        date=of.date or "",
        by=of.by or "",
        sound=expected,
        measured=reading.value,
        deviation=proof.each.deviations[number],
        residual=proof.each.residuals[number],
        before=entry.before,
    )
