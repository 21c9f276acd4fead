"""What sound vehicles show at any two points, and readings of a job held against it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import PieceKind
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.counted import Counted, counted
from groundstrap.locate.figures import Z_95, Z_999
from groundstrap.locate.judged import Agreement, Band, ExpectedReading, Judged, JudgedReading
from groundstrap.locate.probes import Probe, ProbeKind
from groundstrap.locate.proof import Proof, prove
from groundstrap.locate.results import Fit
from groundstrap.locate.taken import Taken, leading_case, taken_of
from groundstrap.locate.unknowns import Noise, World, added_at, flowing, noise_of, unknowns_of, wandering
from groundstrap.model import MeterSpec, Reading
from groundstrap.records import dataclass, replace

__all__ = ["expect", "judge"]

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
    entries = [each for each in counted(wiring.installation.readings) if each.reading.kind in _HELD]
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


def expect(
    wiring: Wiring,
    case: Case,
    probes: Sequence[Probe],
    *,
    meter: MeterSpec | None = None,
    meters: Mapping[int, MeterSpec] | None = None,
) -> tuple[ExpectedReading, ...]:
    """Return what sound vehicles show in a case at some probes; empty where the case has no working point.

    Parameters
    ----------
    wiring : Wiring
        The installation as it was planned.
    case : Case
        Situation, and what runs.
    probes : sequence of Probe
        Volts between two points, or a current; their number of a case is not looked at.
    meter : MeterSpec or None
        What reads the volts; left out, a basic one.
    meters : mapping of int to MeterSpec or None
        What reads single probes, by their number here; left out, the meter reads volts and a clamp amps.
    """
    plain = tuple(replace(each, case=0) for each in probes)
    world = World(wiring=wiring, cases={0: case}, probes=plain, unknowns=unknowns_of(wiring, (case,)))
    spread = _Spread.of(world, ())
    if spread is None:
        return ()
    values = spread.sound
    readings = [
        Reading(kind=each.kind.value, value=float(v), last_digit=0.0)
        for each, v in zip(plain, values, strict=True)
    ]
    noise = noise_of(plain, readings, meters or {}, meter)
    return tuple(_expected(world, spread, noise, number) for number in range(len(plain)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spread:
    """What the readings show on the sound vehicle, and how each thing that differs moves them."""

    sound: Floats
    moves: Floats
    """Readings x unknowns, by one standard deviation; those that a fault adds behind the others."""
    look: tuple[Floats, Floats]
    """By how much less and more 1.96 of them show, readings x unknowns."""
    fail: tuple[Floats, Floats]

    @classmethod
    def of(cls, world: World, added: Sequence[object]) -> _Spread | None:
        """Solve one row for each end of everything that differs; None without a sound working point."""
        count, more = len(world.unknowns) - len(added), len(added)
        whole = count + more
        ends = [np.hstack([s * np.eye(count), np.zeros((count, more))]) for s in (-Z_95, Z_95, -Z_999, Z_999)]
        extra = np.hstack([np.zeros((more, count)), np.eye(more)])
        read = world.read(np.vstack([np.zeros((1, whole)), *ends, extra]))
        if not np.isfinite(read[0]).all():
            return None
        off = (read[1:] - read[0]).T
        less, plus, least, most = (off[:, n * count : (n + 1) * count] for n in range(4))
        # Where the far end has no working point, the near one goes on straight, or the other side does.
        less, plus = (np.where(np.isfinite(a), a, -b) for a, b in ((less, plus), (plus, less)))
        less, plus = np.nan_to_num(less), np.nan_to_num(plus)
        least, most = (
            np.where(np.isfinite(far), far, near * Z_999 / Z_95)
            for far, near in ((least, less), (most, plus))
        )
        return cls(
            sound=read[0],
            moves=np.hstack([(plus - less) / (2.0 * Z_95), np.nan_to_num(off[:, 4 * count :])]),
            look=_sides(less, plus),
            fail=_sides(least, most),
        )


def _sides(one: Floats, other: Floats) -> tuple[Floats, Floats]:
    """By how much each thing moves a reading down and up; nothing where both ends move it the same way."""
    return np.minimum(np.minimum(one, other), 0.0), np.maximum(np.maximum(one, other), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """Readings as the search for what they prove takes them."""

    world: World
    spread: _Spread
    noise: Noise
    values: Floats
    sound: int
    """How many of the unknowns are those of sound vehicles."""


def _seen(wiring: Wiring, leading: Case, taken: Taken, meter: MeterSpec | None) -> _Seen | None:
    numbers = {probe.case for probe in taken.probes}
    cases = {n: leading if n == 0 else taken.cases[n - 2] for n in sorted(numbers)}
    unknowns = unknowns_of(wiring, tuple(cases.values()))
    bare = World(wiring=wiring, cases=cases, probes=taken.probes, unknowns=unknowns)
    amps = bare.amps(np.zeros(len(unknowns)))
    if amps is None:
        return None
    unknowns, added = flowing(wiring, unknowns, amps), added_at(wiring, amps)
    world = replace(bare, unknowns=(*unknowns, *added))
    spread = _Spread.of(world, added)
    if spread is None:
        return None
    noise = noise_of(taken.probes, taken.readings, taken.meters, meter)
    wander = wandering(unknowns, spread.moves[:, : len(unknowns)])
    noise = replace(noise, own=np.hypot(noise.own, wander))
    values = np.array(taken.values)
    return _Seen(world=world, spread=spread, noise=noise, values=values, sound=len(unknowns))


def _expected(world: World, spread: _Spread, noise: Noise, number: int) -> ExpectedReading:
    """Both bands: what each thing moves it by on each side, with the meter's own, as squares."""
    middle = float(spread.sound[number])
    meter = math.hypot(float(noise.own[number]), *noise.gains[number].tolist())

    def band(ends: tuple[Floats, Floats], times: float) -> Band:
        low, high = (math.hypot(*side[number].tolist(), times * meter) for side in ends)
        return Band(middle - low, middle + high)

    may_be_empty = _at_battery(world, world.probes[number])
    fails = None if may_be_empty else band(spread.fail, Z_999)
    return ExpectedReading(expected=middle, look=band(spread.look, Z_95), fails=fails)


def _at_battery(world: World, probe: Probe) -> bool:
    """Whether it is read across a battery: how full that is nobody knows."""
    ends = {probe.red, probe.black}
    return probe.kind is ProbeKind.VOLTS and any(
        piece.kind is PieceKind.BATTERY and {piece.start, piece.end} == ends
        for piece in world.wiring.topology.pieces
    )


def _judged(seen: _Seen, taken: Taken, entries: Sequence[Counted]) -> Judged:
    expected = [_expected(seen.world, seen.spread, seen.noise, n) for n in range(len(entries))]
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
