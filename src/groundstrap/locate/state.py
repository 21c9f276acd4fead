"""The state of a network from readings: least squares with what is known before, and what has to be set free.

What sound vehicles differ by has a prior, which is one more reading of nothing off. Where all together do not
fit, one thing after another is set free: ohms added to a place, a load, a battery, the meter, or the reading
itself. Setting something free takes the square of its normalised residual off the chi-square, so the largest
one comes first; those that take off as much can't be told from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.errors import CallError
from groundstrap.locate.unknowns import Noise, World
from groundstrap.physics.distributions import chi_square_exceeds
from groundstrap.physics.estimation import StateEstimate, estimate_state
from groundstrap.records import dataclass

__all__ = ["Free", "Screened", "Settled", "screen", "settle"]

Floats = NDArray[np.float64]

_STEP: Final = 0.25
"""Of a standard deviation, over which a slope is taken. [1]"""
_MOST_STEPS: Final = 6
_STILL: Final = 0.1
"""Standard deviations within which a state has settled; what it shows is read there once more. [1]"""
_FARTHEST: Final = 2.0
"""Most standard deviations that a step takes. [1]"""
_MATTERS: Final = 0.05
"""Of a reading's own noise, from where an unknown is looked at. [1]"""
_WIDE: Final = 1e6
"""Variance of what is free, in its units: nothing is known of it before. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """One thing that is set free: an unknown by its number, a meter's gain, or a reading that is left out."""

    unknown: int | None = None
    """Number among all unknowns, those of added ohms behind those of sound vehicles."""
    meter: int | None = None
    reading: int | None = None
    opened: bool = False
    """Whether it is a place that nothing passes any more: then its ohms are no question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Screened:
    """What each thing takes off the chi-square if it is set free, seen from one state in straight lines."""

    chi2: float
    gains: tuple[tuple[Free, float, float], ...]
    """What is set free, what that takes off, and at which value of it; most first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A state that readings agree on best, with some things free."""

    free: tuple[Free, ...]
    state: Floats
    """Of all unknowns. [1]"""
    deviation: Floats
    """Standard deviations that are left to each. [1]"""
    gain: Floats
    """Of all meters, in standard deviations. [1]"""
    gain_deviation: Floats
    chi2: float
    degrees: int
    left: tuple[float, ...]
    """Of each reading: read less what the state says. [V, A]"""

    @property
    def p(self) -> float:
        """Chance of sound readings that fit less. [1]"""
        return chi_square_exceeds(self.chi2, self.degrees) if self.degrees > 0 else 1.0


def screen(
    predicted: Floats, moves: Floats, values: Floats, noise: Noise, free: Sequence[int], sound: int
) -> Screened:
    """Say what each thing takes off the chi-square if it is set free.

    `predicted` is what the readings show at the state, `moves` (readings x unknowns) by how much more with
    one unit of each; the first `sound` unknowns have a prior, and those in `free` none.
    """
    known = [n for n in range(sound) if n not in free]
    covariance = moves[:, known] @ moves[:, known].T + noise.gains @ noise.gains.T + np.diag(noise.own**2)
    open_ = moves[:, list(free)]
    # As wide as they need to be against all that is known.
    scale = np.maximum((open_**2).sum(axis=0), 1e-30)
    covariance += _WIDE * float(np.trace(covariance)) * (open_ / scale) @ open_.T
    inverse = np.linalg.inv(covariance)
    off = values - predicted
    found = []
    for each, column in _directions(moves, noise, free):
        strength = float(column @ inverse @ column)
        if strength > 1e-12:
            size = float(column @ inverse @ off) / strength
            if each.unknown is None or each.unknown < sound or size > 0.0:
                found.append((each, size**2 * strength, size))
    ordered = sorted(found, key=lambda each: -each[1])
    return Screened(chi2=float(off @ inverse @ off), gains=tuple(ordered))


def _directions(moves: Floats, noise: Noise, free: Sequence[int]) -> Iterator[tuple[Free, Floats]]:
    """Everything that may be set free, with how readings move by it."""
    for number in range(moves.shape[1]):
        if number not in free:
            yield Free(unknown=number), moves[:, number]
    for number in range(noise.gains.shape[1]):
        yield Free(meter=number), noise.gains[:, number]
    for number in range(len(moves)):
        yield Free(reading=number), np.eye(len(moves))[number]


def settle(
    world: World,
    values: Floats,
    noise: Noise,
    moves: Floats,
    hypotheses: Sequence[tuple[Sequence[Free], Floats]],
    sound: int,
) -> tuple[Settled | None, ...]:
    """Find the best state for several things set free, all at once; None where no step leads on.

    `hypotheses` are what is free and where to begin; the first `sound` unknowns of `world` are those of sound
    vehicles, then come those that a fault adds.
    """
    matters = (np.abs(moves[:, :sound]) > _MATTERS * noise.own[:, None]).any(axis=0)
    base = [int(n) for n in np.flatnonzero(matters)]
    runs = [_Run.of(free, start, base, sound, values, noise) for free, start in hypotheses]
    for _ in range(_MOST_STEPS):
        left = [run for run in runs if not run.ended]
        if not left:
            break
        rows = np.vstack([run.rows() for run in left])
        read = world.read(rows)
        first = 0
        for run in left:
            count = 1 + len(run.active)
            run.step(read[first : first + count])
            first += count
    # Where each has ended is read once more: what was straight on the way there need not be so here.
    last = world.read(np.vstack([run.state for run in runs]))
    return tuple(run.settled(read) for run, read in zip(runs, last, strict=True))


class _Run:
    """One hypothesis on its way to its best state."""

    def __init__(
        self,
        free: tuple[Free, ...],
        state: Floats,
        active: list[int],
        sound: int,
        values: Floats,
        noise: Noise,
    ) -> None:
        self.free, self.state, self.active, self.sound = free, state, active, sound
        self.values, self.noise = values, noise
        self.gain = np.zeros(noise.gains.shape[1])
        self.ended = False
        self.estimate: StateEstimate | None = None
        dropped = {each.reading for each in free}
        self.kept = [n for n in range(len(values)) if n not in dropped]

    @classmethod
    def of(
        cls,
        free: Sequence[Free],
        start: Floats,
        base: Sequence[int],
        sound: int,
        values: Floats,
        noise: Noise,
    ) -> _Run:
        mine = [each.unknown for each in free if each.unknown is not None and not each.opened]
        active = [*base, *(n for n in mine if n not in base)]
        return cls(tuple(free), start.copy(), active, sound, values, noise)

    def rows(self) -> Floats:
        """The state, and a step along each unknown."""
        rows = np.tile(self.state, (1 + len(self.active), 1))
        for row, number in enumerate(self.active, 1):
            rows[row, number] += self._step_of(number)
        return rows

    def _step_of(self, number: int) -> float:
        """A slope that is straight over what a fault adds: a share of it."""
        return _STEP if number < self.sound else _STEP * max(1.0, 0.4 * float(self.state[number]))

    def step(self, read: Floats) -> None:
        """Take one step of Gauss and Newton, no farther than the slopes reach."""
        if not np.isfinite(read[0]).all():
            # Too far: there is no working point. Half of the way back to a sound vehicle.
            self.state = 0.5 * self.state
            return
        predicted = read[0]
        slopes = np.array(
            [
                np.where(np.isfinite(row), (row - predicted) / self._step_of(number), 0.0)
                for row, number in zip(read[1:], self.active, strict=True)
            ]
        ).T.reshape(len(predicted), len(self.active))
        self._solve(predicted, slopes)

    def _solve(self, predicted: Floats, slopes: Floats) -> None:
        meters, count = len(self.gain), len(self.active)
        now = self.state[self.active]
        if not np.isfinite(now).all():
            # Ohms without end are an open place, which is a hypothesis of its own.
            self.ended, self.estimate = True, None
            return
        own = self.noise.own[self.kept]
        design = np.hstack([slopes, self.noise.gains])[self.kept]
        target = (self.values - predicted + slopes @ now)[self.kept]
        open_ = {each.unknown for each in self.free}
        met = {each.meter for each in self.free}
        known = [n for n, number in enumerate(self.active) if number not in open_]
        known += [count + n for n in range(meters) if n not in met]
        priors = np.eye(count + meters)[known]
        try:
            found = estimate_state(
                np.vstack([design, priors]),
                np.concatenate([target, np.zeros(len(known))]),
                np.concatenate([own**2, np.ones(len(known))]),
            )
        except CallError:
            self.ended, self.estimate = True, None
            return
        step = found.state[:count] - now
        for n, number in enumerate(self.active):
            if number < self.sound:
                step[n] = float(np.clip(step[n], -_FARTHEST, _FARTHEST))
            else:
                # Ohms that a fault adds are none too few.
                step[n] = max(float(step[n]), -0.9 * float(now[n]))
        self.state[self.active] = now + step
        self.gain = found.state[count:]
        self.estimate = found
        limits = np.array(
            [_STILL if n < self.sound else _STILL * max(1.0, abs(self.state[n])) for n in self.active]
        )
        self.ended = bool((np.abs(step) <= limits).all())

    def settled(self, read: Floats) -> Settled | None:
        """Where it ended, with what the readings show there; None where that is no working point."""
        found = self.estimate
        if found is None or not np.isfinite(read).all():
            return None
        left = self.values - read - self.noise.gains @ self.gain
        loose = [each.unknown for each in self.free if each.unknown is not None]
        known = np.delete(self.state, loose)
        met = np.delete(self.gain, [each.meter for each in self.free if each.meter is not None])
        chi2 = float(((left / self.noise.own)[self.kept] ** 2).sum() + (known**2).sum() + (met**2).sum())
        deviation = np.ones(len(self.state))
        every, count = np.sqrt(np.diag(found.covariance)), len(self.active)
        deviation[self.active] = every[:count]
        return Settled(
            free=self.free,
            state=self.state,
            deviation=deviation,
            gain=self.gain,
            gain_deviation=every[count:],
            chi2=chi2,
            degrees=found.degrees,
            left=tuple(left.tolist()),
        )
