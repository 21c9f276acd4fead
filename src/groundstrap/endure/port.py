"""The network as the batteries see it: solved once, and a straight line from there.

Whatever hangs on the batteries' posts answers their volts with currents. That answer is nearly straight, and
it hangs on nothing inside the batteries; so one solve and its slopes serve until the posts have moved, or
something switches. Sums of the straight lines still obey both of Kirchhoff's laws, so energy adds up on them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.battery import Shown
from groundstrap.records import dataclass
from groundstrap.solve import Network, Point, solve_one, solve_rows

__all__ = ["STEP_V", "Answer", "Port", "Values", "look", "posts_alone"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Values = list[tuple[float | Floats, ...]]
"""Parameters of every branch: a number, or one for each row."""

STEP_V: Final = 0.02
"""By which a battery's volts are moved to find slopes, of a 12 V one. [V]"""

_MODES: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Port:
    """What the network answers near one point: (batteries, rows), slopes (..., batteries, rows)."""

    volts_v: Floats
    amps_a: Floats
    """Into each battery. [A]"""
    slope_s: Floats
    """Of the current into battery i by the volts of battery j, as the network has it. [S]"""
    nodes_v: Floats
    nodes_by_v: Floats
    branches_a: Floats
    branches_by_v: Floats
    found: Flags
    joined: Flags
    """Batteries that are connected at all."""

    def put(self, rows: NDArray[np.intp], part: Port) -> None:
        """Write other rows in place of some of these."""
        for name in Port.__dataclass_fields__:
            getattr(self, name)[..., rows] = getattr(part, name)

    def rows(self, chosen: NDArray[np.intp]) -> Port:
        """Some rows of it."""
        return Port(**{name: getattr(self, name)[..., chosen] for name in Port.__dataclass_fields__})

    def answer(self, shown: Shown) -> Answer:
        """Return volts and currents at the batteries; what they show has (batteries, columns, rows)."""
        if len(self.volts_v) == 1:
            return self._single(shown)
        return self._several(shown)

    def _single(self, shown: Shown) -> Answer:
        slope, volts0, amps0 = self.slope_s[0], self.volts_v[:1], self.amps_a[:1]
        emf, joined = shown.emf_v, self.joined[0]
        # The sign of what flows where the battery holds just its own volts tells which way it goes.
        charges = amps0 + slope * (emf - volts0) > 0.0
        ohm = np.where(charges, shown.charge_ohm, shown.discharge_ohm)
        amps = (amps0 + slope * (emf - volts0)) / (1.0 - slope * ohm)
        amps = np.where(joined, amps, 0.0)
        return Answer(np.where(joined, emf + amps * ohm, volts0), amps)

    def _several(self, shown: Shown) -> Answer:
        count = len(self.volts_v)
        volts0, amps0 = self.volts_v[:, None, :], self.amps_a[:, None, :]
        joined = np.broadcast_to(self.joined[:, None, :], shown.emf_v.shape)
        # (columns, rows, batteries, batteries): what stands for each answer.
        slope = np.broadcast_to(np.moveaxis(self.slope_s, 2, 0)[None], (*shown.emf_v.shape[1:], count, count))
        fixed = amps0 - np.einsum("ijr,jcr->icr", self.slope_s, np.broadcast_to(volts0, shown.emf_v.shape))
        charges = np.broadcast_to(amps0 > 0.0, shown.emf_v.shape)
        for _ in range(_MODES):
            per_ohm = 1.0 / np.where(charges, shown.charge_ohm, shown.discharge_ohm)
            per_ohm = np.where(joined, per_ohm, 1.0)
            right = np.where(joined, shown.emf_v * per_ohm + fixed, volts0)
            matrix = -slope + np.moveaxis(per_ohm, 0, -1)[..., None] * np.eye(count)
            volts = np.linalg.solve(matrix, np.moveaxis(right, 0, -1)[..., None])[..., 0]
            volts = np.moveaxis(volts, -1, 0)
            now = volts > shown.emf_v
            if (now == charges).all():
                break
            charges = now
        through: Floats = np.where(joined, (volts - shown.emf_v) * per_ohm, 0.0)
        return Answer(np.asarray(volts, dtype=np.float64), through)

    def nodes_at(self, volts: Floats) -> Floats:
        """Volts of every kept node with the batteries' posts at given volts: (nodes, rows). [V]"""
        moved = volts - self.volts_v
        if len(moved) == 1:
            return np.asarray(self.nodes_v + self.nodes_by_v[:, 0] * moved)
        return np.asarray(self.nodes_v + np.einsum("nbr,br->nr", self.nodes_by_v, moved))

    def branches_at(self, volts: Floats) -> Floats:
        """Current of every kept branch likewise: (branches, rows). [A]"""
        moved = volts - self.volts_v
        if len(moved) == 1:
            return np.asarray(self.branches_a + self.branches_by_v[:, 0] * moved)
        return np.asarray(self.branches_a + np.einsum("nbr,br->nr", self.branches_by_v, moved))


@dataclass(frozen=True, slots=True)
class Answer:
    """Volts at the posts and currents into the batteries."""

    volts_v: Floats
    amps_a: Floats


@dataclass(frozen=True, slots=True)
class _Raw:
    nodes_v: Floats
    volts_v: Floats
    amps_a: Floats
    found: Flags


def look(
    network: Network,
    values: Values,
    batteries: Sequence[int],
    shown: Shown,
    *,
    rows: int,
    keep: NDArray[np.intp] | None = None,
) -> Port:
    """Solve the network and its slopes with what the batteries show: (batteries, 1, rows).

    A battery whose discharge resistance is infinite is parted from it. `keep` are the branches whose current
    is wanted; all of them where it is left out.
    """
    count = len(batteries)
    joined = np.isfinite(shown.discharge_ohm[:, 0])
    base = _solve(network, values, batteries, shown, shown.emf_v, rows)
    volts_by, amps_by = np.empty((count, count, rows)), np.empty((count, count, rows))
    nodes_by = np.empty((len(network.nodes), count, rows))
    chosen = np.arange(len(network.branches)) if keep is None else keep
    branches_by = np.empty((chosen.size, count, rows))
    found = base.found.copy()
    here = list(batteries)
    for number in range(count):
        emf = shown.emf_v.copy()
        emf[number] += STEP_V
        moved = _solve(network, values, batteries, shown, emf, rows)
        found &= moved.found
        volts_by[:, number] = (moved.volts_v[here] - base.volts_v[here]) / STEP_V
        amps_by[:, number] = (moved.amps_a[here] - base.amps_a[here]) / STEP_V
        nodes_by[:, number] = (moved.nodes_v - base.nodes_v) / STEP_V
        branches_by[:, number] = (moved.amps_a[chosen] - base.amps_a[chosen]) / STEP_V
    inverse = _inverse(volts_by, joined)
    return Port(
        volts_v=base.volts_v[here],
        amps_a=np.where(joined, base.amps_a[here], 0.0),
        slope_s=_times(amps_by, inverse) * joined[:, None],
        nodes_v=base.nodes_v,
        nodes_by_v=_times(nodes_by, inverse),
        branches_a=base.amps_a[chosen],
        branches_by_v=_times(branches_by, inverse),
        found=found,
        joined=joined,
    )


def _times(left: Floats, right: Floats) -> Floats:
    if right.shape[0] == 1:
        return left * right[0]
    found: Floats = np.einsum("nbr,bcr->ncr", left, right)
    return found


def _inverse(volts_by: Floats, joined: Flags) -> Floats:
    """EMFs by post volts; those of a parted battery move nothing."""
    count = len(volts_by)
    if count == 1:
        with np.errstate(divide="ignore"):
            return np.where(joined & (volts_by != 0.0), 1.0 / volts_by, 0.0)
    apart = ~joined[:, None] & np.eye(count, dtype=bool)[..., None]
    matrix = np.moveaxis(volts_by + apart, 2, 0)
    found = np.zeros_like(matrix)
    good = np.isfinite(matrix).all(axis=(1, 2))
    found[good] = np.linalg.inv(matrix[good])
    inverse: Floats = np.moveaxis(found, 0, 2) * (joined[:, None] & joined[None, :])
    return inverse


def _solve(
    network: Network, values: Values, batteries: Sequence[int], shown: Shown, emf_v: Floats, rows: int
) -> _Raw:
    if rows == 1:
        for number, branch in enumerate(batteries):
            values[branch] = (
                float(emf_v[number, 0, 0]),
                float(shown.discharge_ohm[number, 0, 0]),
                float(shown.charge_ohm[number, 0, 0]),
            )
        one = solve_one(network, values)  # type: ignore[arg-type]
        return _Raw(
            np.array(one.node_v)[:, None],
            np.array(one.branch_v)[:, None],
            np.array(one.branch_a)[:, None],
            np.array([one.found]),
        )
    for number, branch in enumerate(batteries):
        values[branch] = (
            np.ascontiguousarray(np.broadcast_to(emf_v[number, 0], rows)),
            np.ascontiguousarray(np.broadcast_to(shown.discharge_ohm[number, 0], rows)),
            np.ascontiguousarray(np.broadcast_to(shown.charge_ohm[number, 0], rows)),
        )
    many = solve_rows(network, values, rows=rows)
    return _Raw(many.node_v, many.branch_v, many.branch_a, many.found)


def posts_alone(network: Network, values: Values, batteries: Sequence[int], shown: Shown) -> Point:
    """Return the working point of one row, without slopes."""
    for number, branch in enumerate(batteries):
        values[branch] = (
            float(shown.emf_v[number, 0, 0]),
            float(shown.discharge_ohm[number, 0, 0]),
            float(shown.charge_ohm[number, 0, 0]),
        )
    return solve_one(network, values)  # type: ignore[arg-type]
