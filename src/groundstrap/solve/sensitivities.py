"""How much a reading moves with each parameter: one back-substitution a reading, by the adjoint.

At a working point F(v, p) = 0, so dv/dp = -J^-1 dF/dp; a reading c'v moves by -(J^-T c)' dF/dp. Source:
implicit function theorem; adjoint network method, S. W. Director and R. A. Rohrer, IEEE Trans. Circuit
Theory 16 (1969) 318 (from memory).
"""

import math
from collections.abc import Sequence

import numpy as np

from groundstrap.errors import NetworkError
from groundstrap.records import dataclass
from groundstrap.solve.network import Array, Law, Network, Parameters
from groundstrap.solve.reach import components
from groundstrap.solve.results import Point


@dataclass(frozen=True, slots=True)
class Reading:
    """Volts of one node against another, by their indices."""

    plus: int
    minus: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """Volts that a reading gains per unit of each parameter, in the order of the network's parameters.

    0 for a parameter that does not act at this point: the limit of a source that is below it, say.
    """

    reading: Reading
    per_unit_v: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class _Slope:
    """Of one branch's current: by its own volts, and by each parameter."""

    by_volts_s: float
    by_parameters: tuple[float, ...]


def sensitivities(
    network: Network, point: Point, parameters: Parameters, readings: Sequence[Reading]
) -> tuple[Sensitivity, ...]:
    """Return how readings at a working point move with each parameter.

    By hand: a divider of 1 and 3 ohm on a stiff 12 V: 9 V, which falls by 12 * 3/16 = 2.25 V per ohm of the
    upper.

    >>> from groundstrap.solve import Branch, Law, Network, solve_one
    >>> network = Network(
    ...     ("minus", "middle"), (Branch("cell", Law.BATTERY, 1, 0), Branch("load", Law.RESISTOR, 1, 0))
    ... )
    >>> values = [(12.0, 1.0, 1.0), (3.0,)]
    >>> found = sensitivities(network, solve_one(network, values), values, [Reading(1)])
    >>> round(found[0].per_unit_v[0][1], 9), round(found[0].per_unit_v[1][0], 9)
    (-2.25, 0.75)
    """
    if not point.found:
        raise NetworkError(f"no derivatives: {point.status.value}", wanted="a working point to take them at")
    slopes = [_slope(network, point, parameters, index) for index in range(len(network.branches))]
    jacobian = _jacobian(network, point, parameters, slopes)
    columns = np.zeros((len(network.nodes), len(readings)))
    for column, reading in enumerate(readings):
        columns[reading.plus, column] += 1.0
        columns[reading.minus, column] -= 1.0
    adjoint = np.zeros_like(columns)
    adjoint[1:] = np.linalg.solve(jacobian[1:, 1:].T, columns[1:])
    return tuple(
        Sensitivity(
            reading=reading, per_unit_v=_gains(network, point, parameters, slopes, adjoint[:, column])
        )
        for column, reading in enumerate(readings)
    )


def _gains(
    network: Network, point: Point, parameters: Parameters, slopes: list[_Slope], adjoint: Array
) -> tuple[tuple[float, ...], ...]:
    across = [float(adjoint[b.start] - adjoint[b.end]) for b in network.branches]
    gains = [[-across[index] * by for by in slope.by_parameters] for index, slope in enumerate(slopes)]
    for index, branch in enumerate(network.branches):
        if branch.feeds is not None and not _idle(point, branch.feeds):
            factor = point.branch_v[branch.feeds] / (parameters[index][0] * point.branch_v[index])
            for position, by in enumerate(slopes[branch.feeds].by_parameters):
                gains[branch.feeds][position] += across[index] * factor * by
    return tuple(tuple(row) for row in gains)


def _jacobian(network: Network, point: Point, parameters: Parameters, slopes: list[_Slope]) -> Array:
    count = len(network.nodes)
    jacobian = np.zeros((count, count))

    def add(branch: int, of: int, slope_s: float) -> None:
        """Let the current of one branch rise with the volts of another."""
        start, end = network.branches[branch].start, network.branches[branch].end
        plus, minus = network.branches[of].start, network.branches[of].end
        jacobian[start, plus] += slope_s
        jacobian[start, minus] -= slope_s
        jacobian[end, plus] -= slope_s
        jacobian[end, minus] += slope_s

    for index, branch in enumerate(network.branches):
        add(index, index, slopes[index].by_volts_s)
        if branch.feeds is not None and not _idle(point, branch.feeds):
            output_v, output_a = point.branch_v[branch.feeds], point.branch_a[branch.feeds]
            given_s = -(output_a + output_v * slopes[branch.feeds].by_volts_s)
            add(index, branch.feeds, given_s / (parameters[index][0] * point.branch_v[index]))
    joined = components(
        count,
        [
            (b.start, b.end)
            for b, slope in zip(network.branches, slopes, strict=True)
            if slope.by_volts_s != 0 and b.law is not Law.CONSTANT_POWER
        ],
    )
    for node, first in enumerate(joined):
        if node == first:
            jacobian[node, node] += 1.0
    return jacobian


def _idle(point: Point, output: int) -> bool:
    return point.branch_a[output] >= 0


def _slope(network: Network, point: Point, parameters: Parameters, index: int) -> _Slope:
    """Derivatives of one branch's current at the point."""
    branch, values = network.branches[index], parameters[index]
    volts, amps = point.branch_v[index], point.branch_a[index]
    nothing = _Slope(0.0, (0.0,) * len(values))
    if branch.name in point.off or branch.name in point.unfed:
        return nothing
    if branch.law is Law.RESISTOR:
        return nothing if math.isinf(values[0]) else _Slope(1 / values[0], (-amps / values[0],))
    if branch.law is Law.HEATED:
        return nothing if math.isinf(values[0]) else _heated(values, amps)
    if branch.law is Law.BATTERY:
        return nothing if math.isinf(values[1]) else _battery(values, amps)
    if branch.law is Law.REGULATED:
        return _regulated(values, amps)
    if branch.law is Law.CONSTANT_CURRENT:
        return _Slope(0.0, (1.0,))
    if branch.law is Law.CONSTANT_POWER:
        return _power(branch.feeds is not None, values, volts, amps)
    return _power_law(values, volts, amps)


def _heated(values: tuple[float, ...], amps: float) -> _Slope:
    ohm, kappa = values
    heat = kappa * amps * amps
    slope_ohm = ohm * (1 + heat) / (1 - heat) ** 2
    by_kappa_v = ohm * amps**3 / (1 - heat) ** 2
    return _Slope(1 / slope_ohm, (-amps / (1 - heat) / slope_ohm, -by_kappa_v / slope_ohm))


def _battery(values: tuple[float, ...], amps: float) -> _Slope:
    charging = amps > 0
    ohm = values[2] if charging else values[1]
    by_ohm = -amps / ohm
    return _Slope(1 / ohm, (-1 / ohm, 0.0 if charging else by_ohm, by_ohm if charging else 0.0))


def _regulated(values: tuple[float, ...], amps: float) -> _Slope:
    _, limit_a, droop_ohm = values
    if limit_a <= 0:
        return _Slope(0.0, (0.0, 0.0, 0.0))
    if -amps >= limit_a:
        return _Slope(0.0, (0.0, -1.0, 0.0))
    return _Slope(1 / droop_ohm, (-1 / droop_ohm, 0.0, -amps / droop_ohm))


def _power(is_input: bool, values: tuple[float, ...], volts: float, amps: float) -> _Slope:  # noqa: FBT001
    if amps == 0:
        return _Slope(0.0, (0.0,) * len(values) if is_input else (1 / volts if volts > 0 else 0.0,))
    if is_input:
        given_a = amps - values[1] / volts
        return _Slope(-amps / volts, (-given_a / values[0], 1 / volts))
    return _Slope(-amps / volts, (1 / volts,))


def _power_law(values: tuple[float, ...], volts: float, amps: float) -> _Slope:
    at_ref_a, ref_v, exponent = values
    if at_ref_a == 0 or volts <= 0:
        return _Slope(0.0, (0.0, 0.0, 0.0))
    return _Slope(
        exponent * amps / volts,
        (amps / at_ref_a, -exponent * amps / ref_v, amps * math.log(volts / ref_v)),
    )
