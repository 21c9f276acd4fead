"""One day with one or two batteries in plain numbers: what is too small for arrays costs a tenth so."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.battery import Air, Batteries
from groundstrap.endure.laws import (
    BLOCKED_OHM,
    NUMBERS,
    Charge,
    Rested,
    Shown,
    change_of,
    head_of,
    line,
    shown_of,
)
from groundstrap.endure.port import Answer, Port
from groundstrap.records import dataclass

__all__ = ["MOST_BATTERIES", "Single"]

Floats = NDArray[np.float64]

MOST_BATTERIES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class _One:
    """One battery in one air."""

    rated_ah: float
    total_ah: float
    share: float
    rate_per_s: float
    full_ohm: float
    ohm_bend: float
    accepts_a: float
    float_a: float
    per_h: float
    absorption_v: float
    below: float
    volts_at: Callable[[float], float]
    kept_at: Callable[[float], float]
    air: _OneAir
    full: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _OneAir:
    capacity: float
    resistance_times: float
    accepts_per_h: float
    shift_v: float
    loses_per_s: float
    may_charge: bool
    mild: bool
    all_charge: bool


class Single:
    """Looks at one row."""

    def __init__(self, batteries: Batteries, air: Air, port: Port, full: NDArray[np.bool_]) -> None:
        """Take everything out of its arrays."""
        self._ones = [_one(batteries, air, n, bool(full[n, 0])) for n in range(len(batteries.blocks))]
        self._volts0 = port.volts_v[:, 0].tolist()
        self._amps0 = port.amps_a[:, 0].tolist()
        self._slope = port.slope_s[:, :, 0].tolist()
        self._joined = port.joined[:, 0].tolist()

    def _shown(self, wells: list[float]) -> list[Shown]:
        count, found = len(self._ones), []
        for number, one in enumerate(self._ones):
            available, bound, air = wells[number], wells[count + number], one.air
            head = head_of(NUMBERS, one, air, Charge(available, bound))
            missing = one.total_ah - available - bound
            kept = one.kept_at(1.0 - missing / one.rated_ah)
            rested = Rested(head, one.volts_at(head) + air.shift_v, missing, kept)
            shown = shown_of(NUMBERS, one, air, rested)
            if one.full:
                shown = Shown(shown.emf_v, shown.discharge_ohm, BLOCKED_OHM, shown.keeps)
            found.append(shown)
        return found

    def _amps(self, shown: list[Shown]) -> list[float]:
        if len(shown) == 1:
            if not self._joined[0]:
                return [0.0]
            slope, one = self._slope[0][0], shown[0]
            fixed = self._amps0[0] + slope * (one.emf_v - self._volts0[0])
            ohm = one.charge_ohm if fixed > 0.0 else one.discharge_ohm
            return [fixed / (1.0 - slope * ohm)]
        (a, b), (c, d) = self._slope
        first, second = shown
        by, and_by = first.emf_v - self._volts0[0], second.emf_v - self._volts0[1]
        fixed, other = self._amps0[0] + a * by + b * and_by, self._amps0[1] + c * by + d * and_by
        charges, charges_too = fixed > 0.0, other > 0.0
        for _ in range(8):
            ohm = first.charge_ohm if charges else first.discharge_ohm
            ohm_too = second.charge_ohm if charges_too else second.discharge_ohm
            e, f, g, h = 1.0 - a * ohm, -b * ohm_too, -c * ohm, 1.0 - d * ohm_too
            whole = e * h - f * g
            amps = (h * fixed - f * other) / whole if self._joined[0] else 0.0
            amps_too = (e * other - g * fixed) / whole if self._joined[1] else 0.0
            now, now_too = amps > 0.0, amps_too > 0.0
            if now == charges and now_too == charges_too:
                break
            charges, charges_too = now, now_too
        return [amps, amps_too]

    def _change(self, wells: list[float], amps: list[float], shown: list[Shown]) -> list[float]:
        count = len(self._ones)
        found = [0.0] * (2 * count)
        for number, one in enumerate(self._ones):
            charge = Charge(wells[number], wells[count + number])
            made = change_of(NUMBERS, one, one.air, charge, amps[number], shown[number].keeps)
            found[number], found[count + number] = made.available, made.bound
        return found

    def changes(self, wells: Floats) -> Floats:
        """What becomes of wells: (2, batteries, columns, 1). [Ah/s]"""
        columns = wells.reshape(2 * len(self._ones), -1).T.tolist()
        found = []
        for column in columns:
            shown = self._shown(column)
            found.append(self._change(column, self._amps(shown), shown))
        return np.array(found).T.reshape(wells.shape)

    def sight(self, wells: Floats) -> Seeing:
        """Batteries and network at some wells, as arrays again."""
        column = wells.reshape(-1).tolist()
        shown = self._shown(column)
        amps = self._amps(shown)
        volts = [
            one.emf_v + amp * (one.charge_ohm if amp > 0.0 else one.discharge_ohm) if joined else volts0
            for one, amp, joined, volts0 in zip(shown, amps, self._joined, self._volts0, strict=True)
        ]
        table = np.array(
            [
                [s.emf_v, s.discharge_ohm, s.charge_ohm, s.keeps, v, a]
                for s, v, a in zip(shown, volts, amps, strict=True)
            ]
        ).T.reshape(6, len(shown), 1, 1)
        change = np.array(self._change(column, amps, shown)).reshape(wells.shape)
        return Seeing(Shown(table[0], table[1], table[2], table[3]), Answer(table[4], table[5]), change)


@dataclass(frozen=True, slots=True, eq=False)
class Seeing:
    """The batteries and the network at some wells."""

    shown: Shown
    answer: Answer
    change: Floats


def _one(batteries: Batteries, air: Air, number: int, full: bool) -> _One:  # noqa: FBT001
    def of(values: Floats) -> float:
        return float(values[number if len(values) > 1 else 0, 0, 0])

    curve = batteries.curves[number]
    return _One(
        rated_ah=of(batteries.rated_ah),
        total_ah=of(batteries.total_ah),
        share=of(batteries.share),
        rate_per_s=of(batteries.rate_per_s),
        full_ohm=of(batteries.full_ohm),
        ohm_bend=of(batteries.ohm_bend),
        accepts_a=of(batteries.accepts_a),
        float_a=of(batteries.float_a),
        per_h=of(batteries.per_h),
        absorption_v=of(batteries.absorption_v),
        below=of(batteries.below),
        volts_at=line(curve.heads.tolist(), curve.volts_v.tolist()),
        kept_at=line(curve.states.tolist(), curve.keeps.tolist()),
        air=_OneAir(
            capacity=of(air.capacity),
            resistance_times=of(air.resistance_times),
            accepts_per_h=of(air.accepts_per_h),
            shift_v=of(air.shift_v),
            loses_per_s=of(air.loses_per_s),
            may_charge=bool(air.may_charge[number, 0, 0]),
            mild=air.mild,
            all_charge=air.all_charge,
        ),
        full=full,
    )
