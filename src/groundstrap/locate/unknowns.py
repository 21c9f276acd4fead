"""What nobody knows exactly of a vehicle, and what readings show for any values of it.

An unknown counts in its own standard deviations, 0 being what the plan says: a resistance and a load by their
logarithm, volts and what draws unseen by their value. A fault is an unknown without a prior: ohms added to a
place, from nothing up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.faults import Change, sound_values, spreads_of, with_unknown
from groundstrap.locate.figures import BATTERY_V, CONTACT_V, LEAST_A, SAG_V
from groundstrap.locate.probes import Probe, ProbeKind, shown
from groundstrap.locate.segments import Segment, segments_of
from groundstrap.model import MeterSpec, Reading
from groundstrap.records import dataclass
from groundstrap.solve import Network, Rows, solve_rows
from groundstrap.vet.accuracy import accuracy_of

__all__ = [
    "Noise",
    "Unknown",
    "World",
    "added_at",
    "amps_meter",
    "flowing",
    "noise_of",
    "unknowns_of",
    "wandering",
]

Floats = NDArray[np.float64]

_NOTHING_A: Final = 1e-3
"""Below it not even the widest joint loses what a meter shows. [A]"""
_CLAMP: Final = MeterSpec(text="clamp", name="clamp")
_MOST_SERIES_A: Final = 10.0
"""The usual range of a handheld meter in series; common practice. [A]"""
_STEP_V: Final = 0.1
"""What the unit of an added resistance takes at the sound current. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """One thing in which vehicles differ, or ohms that a fault adds: what one unit of it changes."""

    name: str
    changes: tuple[Change, ...]
    piece: int
    """Number of its branch."""
    wanders: bool = False
    """Whether it moves from one reading to the next."""
    unit_ohm: float = 0.0
    """Of an added resistance: ohms in its unit; 0 of what differs among sound vehicles. [ohm]"""
    segment: int = -1
    """Of an added resistance: the place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """Of readings: what each has alone, and the share that all of one meter have in common."""

    own: Floats
    gains: Floats
    """Readings x meters: by how much one standard deviation of a meter's gain moves each. [V, A]"""
    meters: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """The network in the cases that readings were taken in."""

    wiring: Wiring
    cases: Mapping[int, Case]
    """By the number that probes name."""
    probes: tuple[Probe, ...]
    unknowns: tuple[Unknown, ...]
    hard: dict[int, bool] = field(default_factory=dict)
    """Of each case, once its sound vehicle was solved: whether that takes the long way, as beside a source at
    its limit; then all others take it too."""

    def read(self, states: Floats) -> Floats:
        """Return what the probes show, rows x probes, for rows of values of unknowns; nan without a point."""
        count = len(states)
        found = np.full((count, len(self.probes)), np.nan)
        for number, case in self.cases.items():
            here = [n for n, probe in enumerate(self.probes) if probe.case == number]
            columns = _columns(sound_values(self.wiring, case), self.unknowns, states)
            rows = self._solved(number, columns, count)
            plain = tuple(_in_case(self.probes[n]) for n in here)
            found[:, here] = np.where(rows.found[:, None], shown(plain, (rows,)).T, np.nan)
        return found

    @property
    def network(self) -> Network:
        """The network with what nobody knows of."""
        return with_unknown(self.wiring)

    def amps(self, state: Floats) -> Floats | None:
        """Return the current of every branch at one state, cases x branches; None without a point. [A]"""
        found = []
        for number, case in self.cases.items():
            columns = _columns(sound_values(self.wiring, case), self.unknowns, state[None, :])
            rows = self._solved(number, columns, 1)
            if not rows.found[0]:
                return None
            found.append(rows.branch_a[:, 0])
        return np.array(found)

    def _solved(self, number: int, columns: list[tuple[float | Floats, ...]], count: int) -> Rows:
        """Rows of a case; the first that are asked for begin with the sound vehicle."""
        rows = solve_rows(self.network, columns, rows=count, plainly=not self.hard.get(number, False))
        if number not in self.hard:
            self.hard[number] = not rows.found[0]
            if self.hard[number]:
                rows = solve_rows(self.network, columns, rows=count)
        return rows


def _in_case(probe: Probe) -> Probe:
    return Probe(probe.kind, red=probe.red, black=probe.black, through=probe.through, sign=probe.sign)


def _columns(
    values: Sequence[tuple[float, ...]], unknowns: Sequence[Unknown], states: Floats
) -> list[tuple[float | Floats, ...]]:
    """The parameters with one row a state: factors of all unknowns that move one, then what they add."""
    times: dict[tuple[int, int], Floats] = {}
    plus: dict[tuple[int, int], Floats] = {}
    for number, unknown in enumerate(unknowns):
        state = states[:, number]
        if not state.any():
            continue
        for change in unknown.changes:
            key = (change.branch, change.parameter)
            times[key] = times.get(key, np.ones(len(states))) * change.times**state
            plus[key] = plus.get(key, np.zeros(len(states))) + change.plus * state
    return [
        tuple(
            # An open switch stays open, whatever its contact would be.
            value * times[branch, n] + plus[branch, n]
            if (branch, n) in times and np.isfinite(value)
            else value
            for n, value in enumerate(own)
        )
        for branch, own in enumerate(values)
    ]


def unknowns_of(wiring: Wiring, cases: Sequence[Case]) -> tuple[Unknown, ...]:
    """Return everything in which sound vehicles differ and which some case has running."""
    running = frozenset().union(*(case.running for case in cases))
    return tuple(
        Unknown(name=each.name, changes=each.changes, piece=each.changes[0].branch, wanders=each.wanders)
        for each in spreads_of(wiring, running)
    )


def flowing(wiring: Wiring, unknowns: Sequence[Unknown], amps: Floats) -> tuple[Unknown, ...]:
    """Return those that can move a reading: what conducts and carries nothing in any case moves none."""
    most, pieces = np.abs(amps).max(axis=0), wiring.topology.pieces
    return tuple(
        each
        for each in unknowns
        if each.piece >= len(pieces) or not pieces[each.piece].conducts or most[each.piece] >= _NOTHING_A
    )


def added_at(wiring: Wiring, amps: Floats) -> tuple[Unknown, ...]:
    """Return ohms that may be too many at each place that a current passes in some case.

    `amps` are those of the sound circuit, cases x branches.
    """
    most = np.abs(amps).max(axis=0)
    found = []
    for number, segment in enumerate(segments_of(wiring.topology)):
        piece = _conductor(wiring, segment, most)
        if piece is not None:
            unit_ohm = _STEP_V / float(most[piece])
            found.append(
                Unknown(
                    name=segment.name,
                    changes=(Change(piece, 0, plus=unit_ohm),),
                    piece=piece,
                    unit_ohm=unit_ohm,
                    segment=number,
                )
            )
    return tuple(found)


def _conductor(wiring: Wiring, segment: Segment, most: Floats) -> int | None:
    pieces = [n for n in segment.pieces if wiring.topology.pieces[n].conducts and most[n] >= LEAST_A]
    return max(pieces, key=lambda n: float(most[n]), default=None)


def amps_meter(amps: float, named: MeterSpec | None) -> MeterSpec:
    """Return what read a current: a clamp where no meter is named, or none carries it in series."""
    in_series = named is not None and (named.name is None or abs(amps) <= _MOST_SERIES_A)
    return named if named is not None and in_series else _CLAMP


def noise_of(
    probes: Sequence[Probe],
    readings: Sequence[Reading],
    meters: Mapping[int, MeterSpec],
    usual: MeterSpec | None,
) -> Noise:
    """Return how well each was read: by the meter that is named; else volts by a usual one, amps by a clamp.

    More amps than a meter in series may carry were read with a clamp, whatever read the volts beside them.
    """
    own: list[float] = []
    shares: list[float] = []
    names: list[tuple[str, ProbeKind]] = []
    for number, (probe, reading) in enumerate(zip(probes, readings, strict=True)):
        volts = probe.kind is ProbeKind.VOLTS
        named = meters.get(number)
        spec = (named or usual) if volts else amps_meter(reading.value, named)
        found = accuracy_of(
            probe.kind.value,
            abs(reading.value),
            spec,
            last_digit=reading.last_digit,
            half_width=reading.half_width,
        )
        own.append(float(np.hypot(found.own, CONTACT_V if volts else 0.0)))
        shares.append(found.gain * (1.0 if reading.value >= 0.0 else -1.0))
        names.append((spec.text if spec is not None else found.meter, probe.kind))
    told = tuple(dict.fromkeys(names))
    gains = np.zeros((len(own), len(told)))
    for number, (name, share) in enumerate(zip(names, shares, strict=True)):
        gains[number, told.index(name)] = share
    return Noise(own=np.array(own), gains=gains, meters=tuple(name for name, _ in told))


def wandering(unknowns: Sequence[Unknown], moves: Floats) -> Floats:
    """Return by how much batteries that wander move each reading: `moves` are readings x unknowns. [V, A]"""
    mine = moves[:, [n for n, each in enumerate(unknowns) if each.wanders]] * (SAG_V / BATTERY_V)
    return np.asarray(np.sqrt((mine**2).sum(axis=1)))
