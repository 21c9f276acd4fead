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

from groundstrap.endure.laws import Shown
from groundstrap.records import dataclass, replace
from groundstrap.solve import Nearby, Network, Point, begin_nearby, solve_rows

__all__ = ["STEP_V", "Answer", "Port", "Solved", "Values", "look", "posts_alone", "solved_nodes"]

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
    kept: NDArray[np.intp] | None
    """Branches whose currents are kept; all where it is None."""
    nearby: Nearby | None = None
    """Of one row: where the next solve may begin."""

    def put(self, rows: NDArray[np.intp], part: Port) -> None:
        """Write other rows in place of some of these."""
        for name in _ARRAYS:
            getattr(self, name)[..., rows] = getattr(part, name)

    def rows(self, chosen: NDArray[np.intp]) -> Port:
        """Some rows of it."""
        return replace(self, **{name: getattr(self, name)[..., chosen] for name in _ARRAYS})

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
        volts0, amps0, slope = self.volts_v[:, None, :], self.amps_a[:, None, :], self.slope_s[:, :, None, :]
        joined = self.joined[:, None, :]
        # Currents with the posts held at what the batteries hold without current.
        fixed = amps0 + (slope * (shown.emf_v - volts0)[None]).sum(axis=1)
        charges = fixed > 0.0
        for _ in range(_MODES):
            ohm = np.where(charges, shown.charge_ohm, shown.discharge_ohm)
            amps = np.where(joined, _solved(slope, ohm, fixed), 0.0)
            now = amps > 0.0
            if (now == charges).all():
                break
            charges = now
        return Answer(np.where(joined, shown.emf_v + amps * ohm, volts0), amps)

    def refreshed(
        self,
        network: Network,
        values: Values,
        batteries: Sequence[int],
        shown: Shown,
        *,
        plainly: bool = False,
    ) -> Port:
        """Return the port solved anew; its slopes go on bending as they did since the last time.

        A straight line through both points is the slope half way; twice its change leads to the new point,
        which is exact for a parabola.
        """
        base = _begun(network, values, batteries, shown, self.nearby, plainly=plainly)
        here = list(batteries)
        volts, amps = base.volts_v[here], np.where(self.joined, base.amps_a[here], 0.0)
        moved = np.where(base.found, volts - self.volts_v, 0.0)
        size = (moved * moved).sum(axis=0)
        twice = np.where(size > 0.0, 2.0 / np.maximum(size, 1e-30), 0.0) * moved

        def bent(now: Floats, before: Floats, by: Floats) -> Floats:
            miss = now - before - (by * moved[None]).sum(axis=1)
            found: Floats = by + np.where(base.found, miss, 0.0)[:, None] * twice[None]
            return found

        branches = base.amps_a if self.kept is None else base.amps_a[self.kept]
        return replace(
            self,
            volts_v=volts,
            amps_a=amps,
            slope_s=bent(amps, self.amps_a, self.slope_s),
            nodes_v=base.nodes_v,
            nodes_by_v=bent(base.nodes_v, self.nodes_v, self.nodes_by_v),
            branches_a=branches,
            branches_by_v=bent(branches, self.branches_a, self.branches_by_v),
            found=base.found,
            nearby=base.nearby,
        )

    def nodes_at(self, volts: Floats) -> Floats:
        """Volts of every kept node with the batteries' posts at given volts: (nodes, rows). [V]"""
        moved = volts - self.volts_v
        if len(moved) == 1:
            return np.asarray(self.nodes_v + self.nodes_by_v[:, 0] * moved)
        return np.asarray(self.nodes_v + (self.nodes_by_v * moved[None]).sum(axis=1))

    def branches_at(self, volts: Floats) -> Floats:
        """Current of every kept branch likewise: (branches, rows). [A]"""
        moved = volts - self.volts_v
        if len(moved) == 1:
            return np.asarray(self.branches_a + self.branches_by_v[:, 0] * moved)
        return np.asarray(self.branches_a + (self.branches_by_v * moved[None]).sum(axis=1))


_ARRAYS: Final = tuple(name for name in Port.__dataclass_fields__ if name not in {"kept", "nearby"})


def _solved(slope_s: Floats, ohm: Floats, fixed_a: Floats) -> Floats:
    """Currents i with i = fixed + slope ohm i, of a few batteries: (batteries, columns, rows)."""
    count = len(ohm)
    by = slope_s * ohm[None]
    if count == 2:
        a, b, c, d = 1.0 - by[0, 0], -by[0, 1], -by[1, 0], 1.0 - by[1, 1]
        whole = a * d - b * c
        return np.stack(
            [(d * fixed_a[0] - b * fixed_a[1]) / whole, (a * fixed_a[1] - c * fixed_a[0]) / whole]
        )
    matrix = np.eye(count) - np.moveaxis(by, (0, 1), (-2, -1))
    found = np.linalg.solve(matrix, np.moveaxis(fixed_a, 0, -1)[..., None])[..., 0]
    return np.ascontiguousarray(np.moveaxis(found, -1, 0))


@dataclass(frozen=True, slots=True)
class Answer:
    """Volts at the posts and currents into the batteries."""

    volts_v: Floats
    amps_a: Floats


@dataclass(frozen=True, slots=True)
class Solved:
    """Volts and currents of some rows, as a solve finds them."""

    nodes_v: Floats
    volts_v: Floats
    amps_a: Floats
    found: Flags
    nearby: Nearby | None = None
    """Of one row: where the next solve may begin."""


def look(
    network: Network,
    values: Values,
    batteries: Sequence[int],
    shown: Shown,
    *,
    keep: NDArray[np.intp] | None = None,
    near: Nearby | None = None,
    plainly: bool = False,
) -> Port:
    """Solve the network and its slopes with what the batteries show: (batteries, 1, rows).

    A battery whose discharge resistance is infinite is parted from it. `keep` are the branches whose current
    is wanted; all of them where it is left out. One row begins where `near` ended, if it can end nowhere else
    than from nothing. Where `plainly`, rows without an easy answer count as not found.
    """
    count, rows = len(batteries), shown.emf_v.shape[-1]
    joined = np.isfinite(shown.discharge_ohm[:, 0])
    base = _begun(network, values, batteries, shown, near, plainly=plainly)
    volts_by, amps_by = np.full((count, count, rows), np.nan), np.full((count, count, rows), np.nan)
    nodes_by = np.full((len(network.nodes), count, rows), np.nan)
    chosen = np.arange(len(network.branches)) if keep is None else keep
    branches_by = np.full((chosen.size, count, rows), np.nan)
    found, here = base.found.copy(), list(batteries)
    # Where there is no point there are no slopes, and to find that out each time takes longest of all.
    for number in range(count) if found.any() else ():
        moved = _raised(network, values, batteries, number, shown, base.nearby, plainly=plainly)
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
        kept=keep,
        nearby=base.nearby,
    )


def _times(left: Floats, right: Floats) -> Floats:
    if right.shape[0] == 1:
        return np.asarray(left * right[0])
    found: Floats = np.einsum("nbr,bcr->ncr", left, right)
    return found


def _inverse(volts_by: Floats, joined: Flags) -> Floats:
    """EMFs by post volts; those of a parted battery move nothing."""
    count = len(volts_by)
    if count == 1:
        with np.errstate(divide="ignore"):
            single: Floats = np.where(joined & (volts_by != 0.0), 1.0 / volts_by, 0.0)
            return single
    apart = ~joined[:, None] & np.eye(count, dtype=bool)[..., None]
    matrix = np.moveaxis(volts_by + apart, 2, 0)
    found = np.zeros_like(matrix)
    good = np.isfinite(matrix).all(axis=(1, 2))
    found[good] = np.linalg.inv(matrix[good])
    return np.asarray(np.moveaxis(found, 0, 2) * (joined[:, None] & joined[None, :]))


def _begun(
    network: Network,
    values: Values,
    batteries: Sequence[int],
    shown: Shown,
    near: Nearby | None,
    *,
    plainly: bool,
) -> Solved:
    """Solve all rows; a single one so that others may begin there."""
    if shown.emf_v.shape[-1] > 1:
        return _solve(network, values, batteries, shown, shown.emf_v, plainly=plainly)
    return _as_solved(posts_alone(network, values, batteries, shown, near, plainly=plainly))


def _raised(
    network: Network,
    values: Values,
    batteries: Sequence[int],
    number: int,
    shown: Shown,
    begun: Nearby | None,
    *,
    plainly: bool,
) -> Solved:
    """The same with one battery a little higher."""
    if begun is not None:
        return _row(begun.raised(batteries[number], STEP_V, plainly=plainly))
    emf = shown.emf_v.copy()
    emf[number] += STEP_V
    return _solve(network, values, batteries, shown, emf, plainly=plainly)


def _row(one: Point) -> Solved:
    return Solved(
        np.array(one.node_v)[:, None],
        np.array(one.branch_v)[:, None],
        np.array(one.branch_a)[:, None],
        np.array([one.found]),
    )


def _as_solved(begun: Nearby) -> Solved:
    return replace(_row(begun.point), nearby=begun)


def posts_alone(
    network: Network,
    values: Values,
    batteries: Sequence[int],
    shown: Shown,
    near: Nearby | None = None,
    *,
    plainly: bool = True,
) -> Nearby:
    """Solve one row, without slopes, so that others may begin there; where `plainly`, if that is easy."""
    for number, branch in enumerate(batteries):
        values[branch] = (
            float(shown.emf_v[number, 0, 0]),
            float(shown.discharge_ohm[number, 0, 0]),
            float(shown.charge_ohm[number, 0, 0]),
        )
    if near is None:
        return begin_nearby(network, values, plainly=plainly)  # type: ignore[arg-type]
    return near.beside(values, plainly=plainly)  # type: ignore[arg-type]


def _solve(
    network: Network,
    values: Values,
    batteries: Sequence[int],
    shown: Shown,
    emf_v: Floats,
    *,
    plainly: bool,
) -> Solved:
    rows = emf_v.shape[-1]
    for number, branch in enumerate(batteries):
        values[branch] = (
            np.ascontiguousarray(np.broadcast_to(emf_v[number, 0], rows)),
            np.ascontiguousarray(np.broadcast_to(shown.discharge_ohm[number, 0], rows)),
            np.ascontiguousarray(np.broadcast_to(shown.charge_ohm[number, 0], rows)),
        )
    many = solve_rows(network, values, rows=rows, plainly=plainly)
    return Solved(many.node_v, many.branch_v, many.branch_a, many.found)


def solved_nodes(
    network: Network, values: Values, batteries: Sequence[int], shown: Shown, *, plainly: bool
) -> Solved:
    """Return the working point of some rows, without slopes."""
    return _begun(network, values, batteries, shown, None, plainly=plainly)
