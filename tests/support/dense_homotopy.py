"""Dense, independent decision whether a network has a working point, and which one.

Method: the currents of all elements are the gradient of one function of the node voltages, the co-content.
At share 0 (constant-power loads off) it is convex and its minimum is found from any start. The share then
goes to 1 in steps; each step is a descent on the co-content that may never leave the region where the
Jacobian is positive definite and every constant-power load stands above 0 V. Where even a step of 1e-6
finds nothing, the point has ceased to exist.

It shares nothing with the solver under test: full matrices, heated wires in voltage form, sources with
their limits and their one-way behaviour written as one piecewise law, a line search on a potential. Only
numpy and LAPACK are used. Source: W. Millar, 'Some general theorems for non-linear systems possessing
resistance', Phil. Mag. 42 (1951) 1150 (co-content and its stationary points; cited from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy.linalg.lapack import dpotrf, dpotrs

from .plain import POWER_LAW_FLOOR_V, Case, Element

Vector = npt.NDArray[np.float64]
Matrix = npt.NDArray[np.float64]

SMALLEST_STEP: Final = 1e-6
# Far from the full share the end need not be located so closely to be an end.
_PART_OF_REST: Final = 1e-4
_MOST_STEPS: Final = 30
# With the loads off the co-content is convex: patience pays (a wire near its own limit overshoots a
# thousandfold). With them on, giving up early only makes the next share smaller.
_MOST_STEPS_NO_LOAD: Final = 300
_SMALLEST_DAMPING: Final = 1 / 8
_SMALLEST_DAMPING_NO_LOAD: Final = 1e-9
_CONVERGED_V: Final = 1e-11
_KINK_V: Final = 1e-9
# With the loads off, where a source at its limit has no slope to aim by.
_LONGEST_STEP_V: Final = 3.0
# Below this step the co-content is flat within rounding.
_FLAT_V: Final = 1e-8


@dataclass(frozen=True, slots=True)
class _Law:
    """Elements of one law: their columns, and functions drop_v -> (amps, slope) and drop_v -> co-content."""

    columns: npt.NDArray[np.intp]
    amps_and_slope: Callable[[Vector], tuple[Vector, Vector]]
    co_content_w: Callable[[Vector], Vector]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the dense method decided: `node_v` of the stable point, or None with the share where it ended."""

    node_v: Vector | None
    share: float


@dataclass(frozen=True, slots=True)
class _Look:
    """One evaluation inside the admissible region."""

    drop_v: Vector
    residual_a: Vector
    factor: Matrix
    """The Jacobian's own by Cholesky: that there is one says that the point is stable."""


def _columns(case: Case, law: str) -> tuple[npt.NDArray[np.intp], Matrix]:
    chosen = [(index, e) for index, e in enumerate(case.elements) if e.law == law]
    values = np.array([e.values for _, e in chosen], float).T if chosen else np.empty((3, 0))
    return np.array([index for index, _ in chosen], np.intp), values


def _resistors(case: Case) -> _Law:
    columns, (ohm, *_) = _columns(case, "RESISTOR")
    return _Law(columns, lambda u: (u / ohm, 1 / ohm), lambda u: u * u / (2 * ohm))


def _heated(case: Case) -> _Law:
    columns, (ohm, kappa, *_) = _columns(case, "HEATED")

    def law(u: Vector) -> tuple[Vector, Vector]:
        amps = 2 * u / (ohm + np.sqrt(ohm * ohm + 4 * kappa * u * u))
        share = kappa * amps * amps
        return amps, (1 - share) ** 2 / (ohm * (1 + share))

    def potential(u: Vector) -> Vector:
        amps, _ = law(u)
        share = kappa * amps * amps
        with np.errstate(invalid="ignore", divide="ignore"):
            content = np.where(share > 1e-12, -np.log1p(-share) / np.where(share > 0, share, 1), 1.0)
        content_w: Vector = u * amps - 0.5 * ohm * amps * amps * content
        return content_w

    return _Law(columns, law, potential)


def _batteries(case: Case) -> _Law:
    columns, (emf_v, discharge_ohm, charge_ohm) = _columns(case, "BATTERY")

    def law(u: Vector) -> tuple[Vector, Vector]:
        slope = 1 / np.where(u < emf_v, discharge_ohm, charge_ohm)
        return (u - emf_v) * slope, slope

    return _Law(columns, law, lambda u: 0.5 * (u - emf_v) * law(u)[0])


def _regulated(case: Case) -> _Law:
    columns, (set_v, limit_a, droop_ohm) = _columns(case, "REGULATED")

    def law(u: Vector) -> tuple[Vector, Vector]:
        wanted_a = (set_v - u) / droop_ohm
        given_a = np.minimum(np.maximum(wanted_a, 0.0), limit_a)
        # On the kink itself, where nothing else holds it, a source is ready to deliver.
        on = u < set_v + _KINK_V
        return -given_a, np.where(on & (wanted_a < limit_a), 1 / droop_ohm, 0.0)

    def potential(u: Vector) -> Vector:
        given_a = -law(u)[0]
        content_w: Vector = given_a * (set_v - u) - 0.5 * droop_ohm * given_a * given_a
        return content_w

    return _Law(columns, law, potential)


def _constant_currents(case: Case) -> _Law:
    columns, (amps, *_) = _columns(case, "CONSTANT_CURRENT")
    return _Law(columns, lambda u: (amps + 0 * u, 0 * u), lambda u: amps * u)


def _power_laws(case: Case) -> _Law:
    columns, (ref_a, ref_v, exponent) = _columns(case, "POWER_LAW")
    floor_a = ref_a * (POWER_LAW_FLOOR_V / ref_v) ** exponent

    def law(u: Vector) -> tuple[Vector, Vector]:
        above = u > POWER_LAW_FLOOR_V
        safe_v = np.where(above, u, POWER_LAW_FLOOR_V)
        amps = ref_a * (safe_v / ref_v) ** exponent
        straight = floor_a / POWER_LAW_FLOOR_V
        return np.where(above, amps, straight * u), np.where(above, exponent * amps / safe_v, straight)

    def potential(u: Vector) -> Vector:
        above = u > POWER_LAW_FLOOR_V
        safe_v = np.where(above, u, POWER_LAW_FLOOR_V)
        amps = ref_a * (safe_v / ref_v) ** exponent
        at_floor = floor_a * POWER_LAW_FLOOR_V
        upper = (amps * safe_v - at_floor) / (exponent + 1) + 0.5 * at_floor
        content_w: Vector = np.where(above, upper, 0.5 * floor_a * u * u / POWER_LAW_FLOOR_V)
        return content_w

    return _Law(columns, law, potential)


_MONOTONE: Final = (_resistors, _heated, _batteries, _regulated, _constant_currents, _power_laws)


class DenseNetwork:
    """A case prepared for dense evaluation; converters are outside what this oracle decides."""

    def __init__(self, case: Case) -> None:
        """Prepare the incidence matrix and the laws of `case`."""
        if any(e.feeds is not None for e in case.elements):
            raise ValueError("the dense oracle knows no converters; check those against ngspice")
        self.case = case
        self._incidence = incidence(case)
        # A source that stands by, alone on its island, leaves a node without slope; a nanosiemens settles it.
        self._leak = 1e-9 * np.eye(case.node_count - 1)
        self._laws = [law for make in _MONOTONE if (law := make(case)).columns.size]
        self._power_columns, values = _columns(case, "CONSTANT_POWER")
        self._watts: Vector = values[0]
        self._source_columns, self._sources = _columns(case, "REGULATED")

    def amps(self, drop_v: Vector, share: float = 1.0) -> tuple[Vector, Vector]:
        """Return current in A and slope in A/V of each element at its voltage."""
        amps = np.empty(len(self.case.elements))
        slope = np.empty_like(amps)
        for law in self._laws:
            amps[law.columns], slope[law.columns] = law.amps_and_slope(drop_v[law.columns])
        power_v = drop_v[self._power_columns]
        amps[self._power_columns] = share * self._watts / power_v
        slope[self._power_columns] = -share * self._watts / power_v**2
        return amps, slope

    def look(self, node_v: Vector, share: float) -> _Look | None:
        """Evaluate at `node_v` in V; None outside the admissible region (J > 0, loads above 0 V)."""
        drop_v = self._incidence.T @ node_v[1:]
        power_v = drop_v[self._power_columns]
        if share > 0 and power_v.size and power_v.min() <= 0:
            return None
        if share == 0:  # a load that is off may stand anywhere; keep its unused 1/V finite
            drop_v = drop_v.copy()
            drop_v[self._power_columns] = 1.0
        amps, slope = self.amps(drop_v, share)
        jacobian = (self._incidence * slope) @ self._incidence.T + self._leak
        factor, failed = dpotrf(jacobian, lower=1, clean=0)
        if failed:
            return None
        return _Look(drop_v, self._incidence @ amps, factor)

    def co_content_w(self, drop_v: Vector, share: float) -> float:
        """Return the function whose gradient the currents are, in W (the zero is arbitrary)."""
        potential = sum(float(law.co_content_w(drop_v[law.columns]).sum()) for law in self._laws)
        if share > 0:
            potential += share * float((self._watts * np.log(drop_v[self._power_columns])).sum())
        return potential

    def descend(self, node_v: Vector, share: float) -> Vector | None:
        """Return the stable point at this share reached from `node_v`, or None where it is not reached."""
        here, best_a = self.look(node_v, share), np.inf
        for _ in range(_MOST_STEPS if share > 0 else _MOST_STEPS_NO_LOAD):
            if here is None:
                return None
            step_v: Vector = -dpotrs(here.factor, here.residual_a, lower=1)[0]
            largest_v = float(np.abs(step_v).max())
            if largest_v < _CONVERGED_V:
                return node_v
            if share == 0 and largest_v > _LONGEST_STEP_V:
                step_v *= _LONGEST_STEP_V / largest_v
            best_a = min(best_a, float(np.abs(here.residual_a).max()))
            found = self._damped(node_v, step_v, here, share, best_a)
            if found is None:
                return None
            node_v, here, stalled = found
            if stalled:  # rounding is all that is left
                return node_v
        return None

    def _damped(
        self, node_v: Vector, step_v: Vector, here: _Look, share: float, best_a: float
    ) -> tuple[Vector, _Look, bool] | None:
        """Halve the step until the least residual is halved or the co-content falls; say if neither did."""
        fall_w = float(here.residual_a @ step_v)
        largest_v = float(np.abs(step_v).max())
        here_w: float | None = None
        damping, smallest = 1.0, _SMALLEST_DAMPING if share > 0 else _SMALLEST_DAMPING_NO_LOAD
        while damping >= smallest:
            trial_v = node_v.copy()
            trial_v[1:] += damping * step_v
            there = self.look(trial_v, share)
            if there is not None and not (share == 0 and self._skips_a_band(here.drop_v, there.drop_v)):
                there_a = float(np.abs(there.residual_a).max())
                if there_a <= 0.5 * best_a or largest_v < _FLAT_V:
                    return trial_v, there, there_a > 0.5 * best_a
                here_w = self.co_content_w(here.drop_v, share) if here_w is None else here_w
                if self.co_content_w(there.drop_v, share) <= here_w + 1e-4 * damping * fall_w:
                    return trial_v, there, False
            damping /= 2
        return None

    def _skips_a_band(self, from_v: Vector, to_v: Vector) -> bool:
        """Say whether a source passes from its limit to standing by; alone on its island it would stay."""
        set_v, limit_a, droop_ohm = self._sources
        limited = from_v[self._source_columns] < set_v - limit_a * droop_ohm
        return bool(np.any(limited & (to_v[self._source_columns] > set_v + _KINK_V)))


def incidence(case: Case) -> Matrix:
    """Return the node-element incidence matrix without the reference node."""
    matrix = np.zeros((case.node_count, len(case.elements)))
    for column, element in enumerate(case.elements):
        matrix[element.start, column] += 1
        matrix[element.end, column] -= 1
    return matrix[1:]


def no_load_point(case: Case) -> Vector | None:
    """Return the node voltages in V with every constant-power load off, or None."""
    return DenseNetwork(case).descend(np.array(case.start_v), 0.0)


Descent = Callable[[Vector, float], Vector | None]


def _follow(
    descend: Descent,
    start_v: Vector,
    *,
    last: float = 1.0,
    first_step: float,
    smallest_step: float = SMALLEST_STEP,
) -> Answer:
    """Follow a stable point along a parameter from 0 up to `last` or to where it ends."""
    node_v, share, step, easy = start_v, 0.0, first_step, 0
    while share < last:
        target = min(last, share + step)
        found_v = descend(node_v, target)
        if found_v is None:
            step, easy = min(step, target - share) / 2, 0
            if step < max(smallest_step, _PART_OF_REST * (last - share) if last <= 1 else 0.0):
                return Answer(node_v=None, share=share)
            continue
        node_v, share, easy = found_v, target, easy + 1
        if easy >= 2:
            step *= 2
    return Answer(node_v=node_v, share=share)


def decide(case: Case) -> Answer:
    """Decide whether the case has a stable point with every load on, following the share of the loads."""
    network = DenseNetwork(case)
    start_v = network.descend(np.array(case.start_v), 0.0)
    if start_v is None:
        return Answer(node_v=None, share=-1.0)
    return _follow(network.descend, start_v, first_step=0.5)


def decide_by_warming(case: Case, cold_v: Vector) -> Answer:
    """Decide by following the heat instead: all loads on, from the cold point to the hot one."""

    def descend(node_v: Vector, share: float) -> Vector | None:
        return DenseNetwork(_with_heat(case, share)).descend(node_v, 1.0)

    return _follow(descend, cold_v, first_step=0.5)


def decide_by_charging(case: Case) -> Answer:
    """Decide by following the batteries instead: first as stiff on charge as on discharge, then as they are.

    A battery that charges reluctantly beside a source at its limit makes the path of the loads end where the
    volts fall, and a stable point may lie below. With stiff batteries nothing falls.
    """

    def charging(part: float) -> Case:
        def bent(e: Element) -> Element:
            emf_v, discharge_ohm, charge_ohm = e.values
            siemens = (1 - part) / discharge_ohm + part / charge_ohm
            return replace(e, values=(emf_v, discharge_ohm, 1 / siemens))

        return replace(case, elements=tuple(bent(e) if e.law == "BATTERY" else e for e in case.elements))

    stiff = decide(charging(0.0))
    if stiff.node_v is None:
        return stiff
    return _follow(lambda v, part: DenseNetwork(charging(part)).descend(v, 1.0), stiff.node_v, first_step=0.5)


def stable_points(case: Case) -> Iterator[Vector]:
    """Yield the stable points of a job that starts cold, the same one twice where two paths end there.

    A point must exist with cold wires and again with their own heat. Heat can make two of them: a wire deep
    in its own heat carries hardly more at twice the voltage, so a charged battery behind it is fed well or
    badly, both stable. Hence two paths are followed, the second only if the caller asks for more: the loads
    with warm wires, and the heat with all loads.
    """
    heated = any(e.law == "HEATED" for e in case.elements)
    cold_case = with_cold_wires(case) if heated else case
    cold = decide(cold_case)
    if cold.node_v is None:
        cold = decide_by_charging(cold_case)
    if cold.node_v is None:
        return
    if not heated:
        yield cold.node_v
        return
    found = False
    for answer in (decide_by_warming(case, cold.node_v), decide(case)):
        if answer.node_v is not None:
            found = True
            yield answer.node_v
    if not found and (last := decide_by_charging(case)).node_v is not None:
        yield last.node_v


def nose(case: Case, *, most: float = 1e4) -> float:
    """Return the common factor on all constant-power loads at which the stable point ends (-1: no start)."""
    network = DenseNetwork(case)
    start_v = network.descend(np.array(case.start_v), 0.0)
    if start_v is None:
        return -1.0
    rough = _follow(network.descend, start_v, last=most, first_step=1.0, smallest_step=1e-2).share
    first_step, smallest_step = (rough, 1e-7 * rough) if rough > 0 else (1e-2, 1e-9)
    return _follow(
        network.descend, start_v, last=most, first_step=first_step, smallest_step=smallest_step
    ).share


def with_cold_wires(case: Case) -> Case:
    """Return the case with every wire held at its cold resistance."""
    return _with_heat(case, 0.0)


def _with_heat(case: Case, factor: float) -> Case:
    """Return the case with the heating of every wire scaled by `factor`."""
    elements = tuple(
        replace(e, values=(e.values[0], e.values[1] * factor)) if e.law == "HEATED" else e
        for e in case.elements
    )
    return replace(case, elements=elements)
