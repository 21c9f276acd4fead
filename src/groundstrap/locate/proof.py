"""What readings prove: the fewest things that have to be set free until all of them fit."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.topology import PieceKind
from groundstrap.locate.faults import sound_values
from groundstrap.locate.figures import FAULT_ODDS, FITS, LEAST_A, OPEN_SHARE, Z_95, Z_999
from groundstrap.locate.judged import Estimated, Proven, ProvenKind
from groundstrap.locate.probes import ProbeKind
from groundstrap.locate.results import Fit
from groundstrap.locate.segments import Segment, SegmentKind, segments_of
from groundstrap.locate.state import Free, Screened, Settled, screen, settle
from groundstrap.locate.things import conducts, estimated, kind_of, law_of, piece_kind, place_of
from groundstrap.locate.unknowns import Noise, Unknown, World
from groundstrap.model import Uncertain
from groundstrap.physics.distributions import chi_square_exceeds, chi_square_quantile
from groundstrap.records import dataclass, replace
from groundstrap.solve import Law

__all__ = ["Proof", "prove"]

Floats = NDArray[np.float64]

_BY_CHANCE: Final = 0.001
"""Chance that something is proven on a whole sheet of sound readings, shared among them. [1]"""
_ALIKE: Final = 4.0
"""Between two chi-squares of which neither tells one from the other: two standard deviations. [1]"""
_FARTHER: Final = 3.0
"""Times as far off as the likeliest, from where another thing is no equal of it; own judgement. [1]"""
_MOST_THINGS: Final = 3
_TRIED: Final = 6
"""Things that are set free in earnest, those that promise most. [1]"""
_FARTHEST_START: Final = 2.0
_HOPELESS: Final = 100.0
"""Chi-square a reading, from where no spread of sound vehicles brings them back. [1]"""
_UNHEARD: Final = 1e5
"""Times its own noise, from where a reading says nothing. [1]"""
_ROUGH: Final = 0.5
"""Added to the noise where open places are told apart roughly: batteries differ as much. [V, A]"""
_TRIED_OPEN: Final = 4
_CHECKED: Final = 3
"""Readings from which the others can say of one that it is wrong itself. [1]"""
_MOST_VOLTS: Final = 3.0
"""That a 12 V battery or source may be off before it is another thing that is wrong; own judgement. [V]"""
_MOST_OF_METER: Final = 0.2
"""That a meter with a flat battery shows too much; own judgement. [1]"""
_MOST_DEVIATIONS: Final = 60.0
"""Of a load, a draw or a battery's resistance: beyond that nothing of its kind is. [1]"""
_ODDS_OF_METER: Final = 0.5
_SOURCES = {PieceKind.BATTERY, PieceKind.MACHINE, PieceKind.PANEL}


@dataclass(frozen=True, slots=True)
class OfEach:
    """How far off each reading is."""

    residuals: tuple[float, ...]
    """Normalised, against all that is known of sound vehicles and the other readings. [1]"""
    deviations: tuple[float, ...]
    """By itself, in standard deviations of sound vehicles. [1]"""

    @classmethod
    def of(cls, off: Floats, alone: Floats, inverse: Floats) -> OfEach:
        """Make both of what each reads beyond what is expected, and of the inverse of their covariance."""
        residuals = (inverse @ off) / np.sqrt(np.diag(inverse))
        return cls(tuple(residuals.tolist()), tuple((off / alone).tolist()))


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """How well readings fit a sound vehicle, and what they prove where they don't."""

    sheet: Fit
    explained: Fit
    proven: tuple[Proven, ...]
    estimated: tuple[Estimated, ...]
    each: OfEach


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """What was set free last, with all that explains as much."""

    chosen: Settled
    alike: tuple[Settled, ...]


def prove(
    world: World,
    values: Floats,
    noise: Noise,
    predicted: Floats,
    moves: Floats,
    *,
    sound: int,
    texts: Sequence[str],
    turned: Sequence[int],
    closely: bool,
) -> Proof:
    """Set free what it takes until the readings fit; nothing where they fit a sound vehicle.

    `predicted` and `moves` are those of the sound vehicle, `texts` the readings as they were written;
    those in `turned` would fit with the other sign, and prove nothing; `closely` says that some other fails.
    """
    covariance = _covariance(moves[:, :sound], noise)
    inverse = np.asarray(np.linalg.inv(covariance), dtype=np.float64)
    off, alone = values - predicted, np.sqrt(np.diag(covariance))
    linear = _fit(float(off @ inverse @ off), len(values))
    told = OfEach.of(off, alone, inverse)
    if linear.p >= _CLOSELY and not closely:
        found = _straight(world, off, inverse, moves[:, :sound])
        return Proof(sheet=linear, explained=linear, proven=(), estimated=found, each=told)
    search = _Search(
        world=world,
        values=values,
        noise=_without(noise, turned),
        sound=sound,
        texts=tuple(texts),
        closely=closely,
        hopeless=not turned and linear.chi2 > _HOPELESS * len(values),
        proves=chi_square_quantile(1.0 - _BY_CHANCE / len(values), 1),
    )
    start, stages = search.stages(predicted, moves)
    last = stages[-1].chosen if stages else start
    sheet = linear if start is None or turned else _of(start)
    return Proof(
        sheet=sheet,
        explained=sheet if last is None or not stages else _of(last),
        proven=search.proven(stages, alone),
        estimated=() if last is None else estimated(world, last.state, last.deviation, sound, last.free),
        each=told,
    )


_CLOSELY: Final = FITS
"""Chance of all readings on a sound vehicle, below which they are looked at more closely. [1]"""


def _straight(world: World, off: Floats, inverse: Floats, moves: Floats) -> tuple[Estimated, ...]:
    """What readings say of each thing where nothing is far off, so that all is straight."""
    left = 1.0 - np.einsum("in,ij,jn->n", moves, inverse, moves)
    return estimated(world, moves.T @ inverse @ off, np.sqrt(np.maximum(left, 0.0)), moves.shape[1], ())


def _without(noise: Noise, readings: Sequence[int]) -> Noise:
    """The same with some readings that say nothing."""
    own = noise.own.copy()
    own[list(readings)] *= _UNHEARD
    return replace(noise, own=own)


def _covariance(moves: Floats, noise: Noise) -> Floats:
    return np.asarray(moves @ moves.T + noise.gains @ noise.gains.T + np.diag(noise.own**2))


def _fit(chi2: float, degrees: int) -> Fit:
    return Fit(chi2, degrees, chi_square_exceeds(chi2, degrees) if degrees > 0 else 1.0)


def _of(found: Settled) -> Fit:
    return Fit(found.chi2, found.degrees, found.p)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Search:
    """Readings, and everything that may be set free."""

    world: World
    values: Floats
    noise: Noise
    sound: int
    texts: tuple[str, ...]
    closely: bool
    hopeless: bool
    """Whether they are so far off that no sound vehicle needs to be tried."""
    proves: float
    """Off the chi-square by one thing set free, from where that is proven. [1]"""

    def stages(self, predicted: Floats, moves: Floats) -> tuple[Settled | None, tuple[_Stage, ...]]:
        """Set one thing after another free, each time what takes most off, until all fits."""
        begin = np.zeros(len(self.world.unknowns))
        start = None
        if not self.hopeless:
            start = settle(self.world, self.values, self.noise, moves, [((), begin)], self.sound)[0]
        if start is not None and start.p >= FITS and not self.closely:
            return start, ()
        found: list[_Stage] = []
        now = start
        while len(found) < _MOST_THINGS and (now is None or now.p < FITS or not found):
            free = () if now is None else now.free
            if found:
                begin = self._only(found[-1].chosen)
                predicted, moves = self._seen_from(begin)
            stage = self._stage(now, free, begin, predicted, moves)
            if stage is None or (stage.chosen.free[-1].reading is not None and len(self.values) < _CHECKED):
                break
            found.append(stage)
            now = stage.chosen
        return start, tuple(found)

    def _stage(
        self, now: Settled | None, free: tuple[Free, ...], begin: Floats, predicted: Floats, moves: Floats
    ) -> _Stage | None:
        """Set one more thing free; None where nothing takes off more than chance does."""
        held = [each.unknown for each in free if each.unknown is not None]
        tried = self._tried(screen(predicted, moves, self.values, self.noise, held, self.sound), free)
        runs = [((*free, each), self._begun(begin, each, size)) for each, size in tried]
        settled = settle(self.world, self.values, self.noise, moves, runs, self.sound) if runs else ()
        fitting = [each for each in settled if each is not None and self._is_proven(each)]
        stage = _chosen(now, fitting, self._rank, self.proves)
        if stage is None or stage.chosen.p < FITS:
            stage = _chosen(now, [*fitting, *self._opened(begin, free, moves)], self._rank, self.proves)
        return stage

    def _opened(self, begin: Floats, free: Sequence[Free], moves: Floats) -> list[Settled]:
        """Places that nothing passes any more, those that promise most: no slope leads there."""
        added = range(self.sound, len(begin))
        rows = np.tile(begin, (len(added), 1))
        for row, number in enumerate(added):
            rows[row, number] = math.inf
        read = self.world.read(np.vstack([begin[None, :], rows]))[1:]
        off = (((self.values - read) / np.hypot(self.noise.own, _ROUGH)) ** 2).sum(axis=1)
        best = [int(n) for n in np.argsort(np.where(np.isfinite(off), off, np.inf))[:_TRIED_OPEN]]
        runs = [((*free, Free(unknown=added[n], opened=True)), rows[n]) for n in best if np.isfinite(off[n])]
        if not runs:
            return []
        found = settle(self.world, self.values, self.noise, moves, [((), begin), *runs], self.sound)
        return [each for each in found[1:] if each is not None]

    def _only(self, now: Settled) -> Floats:
        """What was set free at its value, all else sound."""
        state = np.zeros(len(self.world.unknowns))
        for each in now.free:
            if each.unknown is not None:
                state[each.unknown] = now.state[each.unknown]
        return state

    def _seen_from(self, state: Floats) -> tuple[Floats, Floats]:
        count = len(self.world.unknowns)
        read = self.world.read(np.vstack([state[None, :], state + np.eye(count)]))
        return read[0], np.nan_to_num(read[1:] - read[0]).T

    def _tried(self, found: Screened, free: Sequence[Free]) -> list[tuple[Free, float]]:
        """Those that promise most: places and things, and the one reading that does."""
        held = {each.unknown for each in free} - {None}
        things = [
            (each, size)
            for each, gain, size in found.gains
            if each.reading is None and each.unknown not in held and each not in free
            if gain >= 0.25 * self.proves and self._may(each, size)
        ]
        slips = [
            (each, size) for each, _, size in found.gains if each.reading is not None and each not in free
        ]
        return [*things[:_TRIED], *slips[:1]]

    def _may(self, each: Free, size: float) -> bool:
        """Whether it can be so far off; a conductor is by ohms added to it alone."""
        if each.meter is not None:
            return abs(self._share(each.meter) * size) <= _MOST_OF_METER
        if each.unknown is None or each.unknown >= self.sound:
            return True
        unknown = self.world.unknowns[each.unknown]
        kind = piece_kind(self.world, unknown)
        if kind is PieceKind.BATTERY or kind is PieceKind.MACHINE:
            scale = self.world.wiring.installation.system_v / 12.0
            return abs(unknown.changes[0].plus * size) <= _MOST_VOLTS * scale
        return not conducts(self.world, unknown) and abs(size) <= _MOST_DEVIATIONS

    def _is_proven(self, found: Settled) -> bool:
        """Whether what was set free last is surely off at all, and as far as it can be."""
        number = found.free[-1].unknown
        if number is None or found.free[-1].opened:
            return True
        size = float(found.state[number])
        return abs(size) > Z_95 * float(found.deviation[number]) and self._may(found.free[-1], size)

    def _begun(self, begin: Floats, each: Free, size: float) -> Floats:
        state = begin.copy()
        if each.unknown is not None and each.unknown >= self.sound:
            state[each.unknown] = size
        elif each.unknown is not None:
            state[each.unknown] = float(np.clip(size, -_FARTHEST_START, _FARTHEST_START))
        return state

    def _rank(self, found: Settled) -> tuple[float, float]:
        """First what fails more often, then what has to be less far off."""
        each = found.free[-1]
        return (-self._odds(found), 0.0 if each.unknown is None else abs(float(found.state[each.unknown])))

    def _odds(self, found: Settled) -> float:
        each = found.free[-1]
        if each.reading is not None:
            return 0.0
        if each.unknown is None:
            return _ODDS_OF_METER
        unknown = self.world.unknowns[each.unknown]
        if unknown.segment >= 0:
            odds = FAULT_ODDS[segments_of(self.world.wiring.topology)[unknown.segment].kind]
            return odds * (OPEN_SHARE if each.opened else 1.0)
        return FAULT_ODDS[SegmentKind.LOAD] if piece_kind(self.world, unknown) else _ODDS_OF_METER

    def proven(self, stages: Sequence[_Stage], deviations: Floats) -> tuple[Proven, ...]:
        """Return what was set free, in the words of the job; `deviations` are those of sound vehicles."""
        if not stages:
            return ()
        last, count = stages[-1].chosen, len(self.world.unknowns)
        alone = np.zeros((len(last.free), count))
        for row, each in enumerate(last.free):
            if each.unknown is not None:
                alone[row, each.unknown] = last.state[each.unknown]
        read = np.nan_to_num(self.world.read(np.vstack([np.zeros((1, count)), alone])))
        shown = np.abs(read[1:] - read[0]) > Z_95 * deviations
        return tuple(
            replace(self._proven(stage, last), shows_at=at, by_amps=self._by_amps(at))
            for stage, at in zip(stages, (tuple(np.flatnonzero(row).tolist()) for row in shown), strict=True)
        )

    def _by_amps(self, at: Sequence[int]) -> bool:
        return bool(at) and all(self.world.probes[number].kind is ProbeKind.AMPS for number in at)

    def _proven(self, stage: _Stage, last: Settled) -> Proven:
        each = stage.chosen.free[-1]
        others = [found.free[-1] for found in stage.alike]
        slip = next((other.reading for other in others if other.reading is not None), None)
        same = tuple(dict.fromkeys(self._name(other) for other in others if other.reading is None))
        return replace(
            self._thing(each, last),
            fit=_of(stage.chosen),
            same_as=same,
            or_reading="" if slip is None or each.reading is not None else self.texts[slip],
        )

    def _name(self, each: Free) -> str:
        if each.meter is not None:
            return self.noise.meters[each.meter]
        assert each.unknown is not None
        return place_of(self.world, self.world.unknowns[each.unknown])

    def _thing(self, each: Free, last: Settled) -> Proven:
        if each.reading is not None:
            off = last.left[each.reading]
            size = Uncertain(off, off, off)
            return Proven(
                kind=ProvenKind.READING, place=self.texts[each.reading], size=size, reading=each.reading
            )
        if each.unknown is None:
            assert each.meter is not None
            return Proven(kind=ProvenKind.METER, place=self._name(each), size=self._gain(each.meter, last))
        unknown = self.world.unknowns[each.unknown]
        if each.opened:
            return self._open_place(unknown)
        x, spread = float(last.state[each.unknown]), Z_95 * float(last.deviation[each.unknown])
        ends = (x - spread, x, x + spread)
        if unknown.segment >= 0:
            return self._resistance(unknown, ends, last)
        kind = kind_of(self.world, unknown)
        return Proven(kind=kind, place=place_of(self.world, unknown), size=self._size(unknown, kind, ends))

    def _gain(self, meter: int, last: Settled) -> Uncertain:
        """Times what is there that a meter shows."""
        share = self._share(meter)
        middle, spread = (
            1.0 + share * float(last.gain[meter]),
            Z_95 * share * float(last.gain_deviation[meter]),
        )
        return Uncertain(middle, middle - spread, middle + spread)

    def _share(self, meter: int) -> float:
        """Of what it shows, one standard deviation of a meter's gain. [1]"""
        column = self.noise.gains[:, meter]
        number = int(np.argmax(np.abs(column)))
        return float(column[number] / self.values[number]) if self.values[number] else 0.0

    def _size(self, unknown: Unknown, kind: ProvenKind, ends: tuple[float, float, float]) -> Uncertain:
        """Times what it should be, of a load or a battery's resistance; else volts or amps too many."""
        change = unknown.changes[0]
        if kind in {ProvenKind.LOAD, ProvenKind.BATTERY_OHM}:
            turned = kind is ProvenKind.LOAD and law_of(self.world, unknown) is Law.RESISTOR
            base = 1.0 / change.times if turned else change.times
            sizes = [base**each for each in ends]
        elif change.plus:
            sizes = [change.plus * each for each in ends]
        else:
            own = abs(self._values()[change.branch][change.parameter])
            sizes = [own * (change.times**each - 1.0) for each in ends]
        return Uncertain(sizes[1], min(sizes), max(sizes))

    def _values(self) -> list[tuple[float, ...]]:
        """Parameters of the first case."""
        return sound_values(self.world.wiring, next(iter(self.world.cases.values())))

    def _resistance(self, unknown: Unknown, ends: tuple[float, float, float], last: Settled) -> Proven:
        segment = segments_of(self.world.wiring.topology)[unknown.segment]
        amps = self.world.amps(last.state)
        current_a = 0.0 if amps is None else float(np.abs(amps[:, unknown.piece]).max())
        if current_a < LEAST_A:
            return self._open_place(unknown)
        usual, allowed = self._usual(segment)
        low, middle, high = (max(each, 0.0) * unknown.unit_ohm for each in ends)
        return Proven(
            kind=ProvenKind.RESISTANCE,
            place=segment.name,
            of=segment.kind,
            points=segment.points,
            circuit=segment.circuit,
            size=Uncertain(middle, low, high),
            usual_ohm=usual,
            allowed_ohm=allowed,
            current_a=current_a,
        )

    def _open_place(self, unknown: Unknown) -> Proven:
        segment = segments_of(self.world.wiring.topology)[unknown.segment]
        return Proven(
            kind=ProvenKind.OPEN,
            place=segment.name,
            of=segment.kind,
            points=segment.points,
            circuit=segment.circuit,
            size=Uncertain(math.inf, math.inf, math.inf),
        )

    def _usual(self, segment: Segment) -> tuple[float, float]:
        """Ohms of a sound place, and those that 99.9 % of sound ones keep below."""
        values = self._values()
        spread = {u.piece: u.changes[0].times for u in self.world.unknowns[: self.sound]}
        own = {n: values[n][0] for n in segment.pieces if np.isfinite(values[n][0])}
        return sum(own.values()), sum(ohm * spread.get(n, 1.0) ** Z_999 for n, ohm in own.items())


def _chosen(
    base: Settled | None,
    found: Sequence[Settled],
    rank: Callable[[Settled], tuple[float, float]],
    proves: float,
) -> _Stage | None:
    """What explains most; of those that explain as much the likeliest, a reading last."""
    much = [each for each in found if base is None or base.chi2 - each.chi2 >= proves]
    pool = [each for each in much if each.p >= FITS] or much
    if not pool:
        return None
    least = min(each.chi2 for each in pool)
    alike = [each for each in pool if each.chi2 <= least + _ALIKE]
    first, *others = sorted(alike, key=rank)
    # As likely a thing that has to be much farther off is no equal of it.
    most = _FARTHER * rank(first)[1] if first.free[-1].reading is None else math.inf
    return _Stage(chosen=first, alike=tuple(each for each in others if rank(each)[1] <= most))
