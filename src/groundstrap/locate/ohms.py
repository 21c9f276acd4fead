"""Ohms between two points from what was read there: volts over the current that flows on the way.

What a load draws may differ from one visit to the next; the ohms of a joint do not hang on it. So they are
what one visit is compared with another by.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable
from typing import Final

import numpy as np

from groundstrap.assess.topology import Topology
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.faults import Change, columns, sound_values, spreads_of, with_unknown
from groundstrap.locate.figures import CONTACT_V, LEAST_A, Z_95
from groundstrap.locate.segments import segments_of
from groundstrap.locate.taken import leading_case
from groundstrap.locate.unknowns import amps_meter
from groundstrap.model import MeterSpec, Reading, ReadingSet, Uncertain
from groundstrap.records import dataclass
from groundstrap.solve import solve_rows
from groundstrap.vet.accuracy import accuracy_of

__all__ = ["OhmsFound", "OhmsRead", "ohms_read"]

_SAME: Final = 0.02
"""Share by which currents on one way may differ: a sleeping device beside it; own judgement. [1]"""
_STEPS: Final = 6
_STILL: Final = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class OhmsRead:
    """Ohms between two points, with what they were made of."""

    red: str
    black: str
    place: str | None
    """The one place between the two; None where there are several."""
    circuits: tuple[str, ...]
    """Circuits that the way between them belongs to."""
    ohm: Uncertain
    standard_ohm: float
    """Standard uncertainty: the meter's, its leads', and that of the current. [ohm]"""
    usual: Uncertain
    """What it has by the plan. [ohm]"""
    volts_v: float
    current_a: float
    current_read: bool
    """Whether the current was read; else it is what the plan solves to with these ohms in it."""
    text: str
    """The reading as it was written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OhmsFound:
    """All ohms that readings give, and the readings that give none."""

    read: tuple[OhmsRead, ...]
    left_out: tuple[str, ...]


def ohms_read(wiring: Wiring, sets: Iterable[ReadingSet], *, meter: MeterSpec | None = None) -> OhmsFound:
    """Return the ohms between all pairs of points whose volts were read while a current flowed between them.

    Left out are volts across a load or supply, over an open switch, and where the current has two ways. Of
    readings at one place the last one counts: it was read again.

    Parameters
    ----------
    wiring : Wiring
        The installation as it was planned.
    sets : iterable of ReadingSet
        The readings of one visit.
    meter : MeterSpec or None
        What read the volts that name none; left out, a basic one.
    """
    found: dict[frozenset[str], OhmsRead] = {}
    left_out: list[str] = []
    for each in sets:
        at = _Visit(wiring, each, meter)
        for reading in each.values:
            ohms = at.ohms(reading)
            if ohms is not None:
                found.pop(frozenset((ohms.red, ohms.black)), None)
                found[frozenset((ohms.red, ohms.black))] = ohms
            elif reading.kind == "voltage":
                left_out.append(f"{reading.red} to {reading.black}: {reading.text}")
    return OhmsFound(read=tuple(found.values()), left_out=tuple(left_out))


class _Visit:
    """One set of readings, with the sound circuit solved in its case."""

    def __init__(self, wiring: Wiring, taken: ReadingSet, meter: MeterSpec | None) -> None:
        """Solve it once, with one row for each thing in which sound vehicles differ."""
        self.wiring, self.taken, self.meter = wiring, taken, meter
        self.case: Case = leading_case(wiring, None, (taken,))
        self.values = sound_values(wiring, self.case)
        spreads = spreads_of(wiring, self.case.running)
        rows = ((), *(each.changes for each in spreads))
        solved = solve_rows(with_unknown(wiring), columns(self.values, rows), rows=len(rows))
        self.found = bool(solved.found[0])
        self.amps = np.asarray(solved.branch_a[:, 0])
        moved = np.nan_to_num(np.asarray(solved.branch_a[:, 1:]) - self.amps[:, None])
        self.spread_a = np.sqrt((moved**2).sum(axis=1))

    def ohms(self, reading: Reading) -> OhmsRead | None:
        """Return what volts between two points come to; None where they say nothing of ohms."""
        topology = self.wiring.topology
        red, black = (topology.node_of.get(point or "") for point in (reading.red, reading.black))
        if not self.found or reading.kind != "voltage" or red is None or black is None or red == black:
            return None
        way = _way(topology, red, black)
        if not way or not self._one_current(way):
            return None
        usual = self._usual(way)
        # Along the way from red to black.
        forward = float(self.amps[way[0]]) * (1.0 if topology.pieces[way[0]].start == red else -1.0)
        if usual is None or usual.value <= 0.0 or not math.isfinite(usual.value):
            return None
        volts = math.copysign(reading.value, reading.value * forward)
        current = self._read_current(way)
        amps, amps_u = current or self._solved_current(way, volts, usual.value)
        spec = reading.meter or self.taken.meter or self.meter
        read = accuracy_of(
            "voltage", abs(volts), spec, last_digit=reading.last_digit, half_width=reading.half_width
        )
        volts_u = math.hypot(read.standard, CONTACT_V)
        ohm = volts / amps
        standard = math.hypot(volts_u, ohm * amps_u) / amps
        # Against the current nothing loses volts: leads swapped, or something else is wrong.
        if ohm < -Z_95 * standard:
            return None
        return OhmsRead(
            red=reading.red or "",
            black=reading.black or "",
            place=self._place(reading),
            circuits=tuple(dict.fromkeys(c for n in way if (c := topology.pieces[n].circuit) is not None)),
            ohm=Uncertain(ohm, max(ohm - Z_95 * standard, 0.0), ohm + Z_95 * standard),
            standard_ohm=standard,
            usual=usual,
            volts_v=volts,
            current_a=amps,
            current_read=current is not None,
            text=reading.text,
        )

    def _one_current(self, way: tuple[int, ...]) -> bool:
        """Whether one and the same current flows all along, and enough of it."""
        amps = np.abs(self.amps[list(way)])
        most = float(amps.max())
        return most >= LEAST_A and float(amps.min()) >= (1.0 - _SAME) * most

    def _usual(self, way: tuple[int, ...]) -> Uncertain | None:
        """Ohms of the way as planned, each piece at its low, usual and high end."""
        names = [self.wiring.topology.pieces[n].name for n in way]
        ends = [self.wiring.ends.get(name) for name in names]
        own = [float(self.values[n][0]) for n in way]
        low = sum(o if e is None else e.low for o, e in zip(own, ends, strict=True))
        high = sum(o if e is None else e.high for o, e in zip(own, ends, strict=True))
        value = sum(own)
        return Uncertain(value, min(low, value), max(high, value)) if math.isfinite(value) else None

    def _read_current(self, way: tuple[int, ...]) -> tuple[float, float] | None:
        """A current of the same set that flows on this way too, with its standard uncertainty."""
        topology, flows = self.wiring.topology, abs(float(self.amps[way[0]]))
        for reading in self.taken.values:
            number = topology.index.get(reading.through or "")
            if reading.kind != "current" or number is None or abs(reading.value) < LEAST_A:
                continue
            if abs(abs(float(self.amps[number])) - flows) <= _SAME * flows:
                spec = amps_meter(reading.value, reading.meter or self.taken.meter)
                read = accuracy_of(
                    "current", abs(reading.value), spec, last_digit=reading.last_digit,
                    half_width=reading.half_width,
                )  # fmt: skip
                return abs(reading.value), read.standard
        return None

    def _solved_current(self, way: tuple[int, ...], volts: float, usual_ohm: float) -> tuple[float, float]:
        """The current with ohms on the way at which it loses what was read there."""
        sound = abs(float(self.amps[way[0]]))
        share = float(self.spread_a[way[0]]) / sound
        amps = sound
        for _ in range(_STEPS):
            times = max(abs(volts) / amps / usual_ohm, 1e-6)
            changes = tuple(Change(n, 0, times=times) for n in way)
            row = solve_rows(with_unknown(self.wiring), columns(self.values, (changes,)), rows=1)
            flows = abs(float(row.branch_a[way[0], 0]))
            if not bool(row.found[0]) or flows < LEAST_A or abs(flows - amps) <= _STILL * amps:
                break
            amps = flows
        return amps, share * amps

    def _place(self, reading: Reading) -> str | None:
        """The place between two points, where they are its ends."""
        ends = {reading.red, reading.black}
        for segment in segments_of(self.wiring.topology):
            if {segment.start, segment.end} == ends:
                return segment.name
        return None


def _way(topology: Topology, start: int, end: int) -> tuple[int, ...]:
    """The pieces from one node to another, nothing but conductors; none where there are two ways."""
    found = _path(topology, start, end, frozenset())
    # Without any one piece of it the two must hang apart: else the current has another way.
    return found if found and not any(_path(topology, start, end, frozenset({n})) for n in found) else ()


def _path(topology: Topology, start: int, end: int, without: frozenset[int]) -> tuple[int, ...]:
    came: dict[int, tuple[int, int]] = {start: (-1, -1)}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        if node == end:
            break
        for number, piece in enumerate(topology.pieces):
            if not piece.conducts or number in without or node not in {piece.start, piece.end}:
                continue
            other = piece.end if piece.start == node else piece.start
            if other not in came:
                came[other] = (node, number)
                queue.append(other)
    if end not in came:
        return ()
    way: list[int] = []
    node = end
    while node != start:
        node, number = came[node]
        way.append(number)
    return tuple(reversed(way))
