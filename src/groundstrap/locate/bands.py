"""What sound vehicles show at any two points: the bands that readings are held against."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import PieceKind
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.figures import Z_95, Z_999
from groundstrap.locate.judged import Band, ExpectedReading
from groundstrap.locate.probes import Probe, ProbeKind
from groundstrap.locate.unknowns import Noise, World, noise_of, unknowns_of
from groundstrap.model import MeterSpec, Reading
from groundstrap.records import dataclass, replace

__all__ = ["SoundSpread", "expect", "expected_at"]

Floats = NDArray[np.float64]


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
    spread = SoundSpread.of(world, ())
    if spread is None:
        return ()
    values = spread.sound
    readings = [
        Reading(kind=each.kind.value, value=float(v), last_digit=0.0)
        for each, v in zip(plain, values, strict=True)
    ]
    noise = noise_of(plain, readings, meters or {}, meter)
    return tuple(expected_at(world, spread, noise, number) for number in range(len(plain)))


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundSpread:
    """What the readings show on the sound vehicle, and how each thing that differs moves them."""

    sound: Floats
    moves: Floats
    """Readings x unknowns, by one standard deviation; those that a fault adds behind the others."""
    look: tuple[Floats, Floats]
    """By how much less and more 1.96 of them show, readings x unknowns."""
    fail: tuple[Floats, Floats]

    @classmethod
    def of(cls, world: World, added: Sequence[object]) -> SoundSpread | None:
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


def expected_at(world: World, spread: SoundSpread, noise: Noise, number: int) -> ExpectedReading:
    """Return both bands: what each thing moves it by on each side, with the meter's own, as squares."""
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
