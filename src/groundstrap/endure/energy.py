"""Where every watt-hour of a run comes from and goes to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.assess.topology import PieceKind
from groundstrap.endure.battery import Batteries
from groundstrap.endure.results import EnergySum
from groundstrap.records import dataclass

if TYPE_CHECKING:
    from groundstrap.endure.port import Port
    from groundstrap.endure.stage import Local, Stage

__all__ = ["Ledger"]

Floats = NDArray[np.float64]

_HOUR_S: Final = 3600.0


@dataclass(frozen=True, slots=True, eq=False)
class _Flow:
    """Currents and powers of all branches, and what batteries keep, at one moment."""

    branches_a: Floats
    branches_w: Floats
    stored_w: Floats


class Ledger:
    """Sums over time: of each branch power and charge, of each battery what it keeps."""

    def __init__(self, wiring: Wiring, batteries: Batteries) -> None:
        """Begin at nothing."""
        branches = wiring.network.branches
        self._wiring, self._blocks = wiring, batteries.blocks
        self._start = np.array([b.start for b in branches], dtype=np.intp)
        self._end = np.array([b.end for b in branches], dtype=np.intp)
        self.taken_ws = np.zeros(len(branches))
        self.charge_as = np.zeros(len(branches))
        self.stored_ws = np.zeros(len(batteries.blocks))
        self.wires_ws = 0.0
        """What loads that run in turns lose in their cables above the loss at their mean. [Ws]"""
        self.unserved_ws: dict[str, float] = {}
        self._last: tuple[Port, Floats, _Flow] | None = None
        self._loads = {
            name: wiring.index(name) for name in wiring.installation.loads if name in wiring.topology.index
        }

    def book(self, stage: Stage, local: Local, begin: Floats, end: Floats, length_s: float) -> None:
        """Add what flows in a step, by its beginning, middle and end."""
        first, last = self._flow(local, begin), self._flow(local, end)
        middle = 0.5 * (begin + end) + length_s / 8.0 * (local.sight(begin).change - local.sight(end).change)
        half = self._flow(local, middle)
        self._last = (local.port, end, last)
        by = length_s / 6.0
        passed = by * (first.branches_w + 4.0 * half.branches_w + last.branches_w)
        self.charge_as += by * (first.branches_a + 4.0 * half.branches_a + last.branches_a)
        self.stored_ws += by * (first.stored_w + 4.0 * half.stored_w + last.stored_w)
        means, flags = stage.means, stage.flags
        assert means is not None
        for number, one in enumerate(stage.scene.consumers):
            if flags.off[number, 0] or flags.cycling[number, 0]:
                rests = 1.0 if flags.off[number, 0] else 1.0 - float(flags.share[number, 0])
                lost = one.watts * one.duty * rests * length_s
                self.unserved_ws[one.name] = self.unserved_ws.get(one.name, 0.0) + lost
            if one.duty < 1.0:
                # It runs below the mean volts while it runs: the rest of that power stays in the cables.
                moved = passed[one.branch] * (1.0 - means.on_share[number, 0])
                passed[one.branch] -= moved
                self.wires_ws += moved
        self.taken_ws += passed

    def _flow(self, local: Local, wells: Floats) -> _Flow:
        """What flows at some wells; the end of a step is the beginning of the next."""
        if self._last is not None and self._last[0] is local.port and self._last[1] is wells:
            return self._last[2]
        sight = local.sight(wells)
        volts = sight.answer.volts_v[:, 0]
        nodes = local.port.nodes_at(volts)[:, 0]
        amps = local.port.branches_at(volts)[:, 0]
        inner = local.batteries.inner_emf_v(wells, local.air, sight.shown.emf_v)
        stored = (inner * sight.change).sum(axis=0)[:, 0, 0] * _HOUR_S
        return _Flow(amps, amps * (nodes[self._start] - nodes[self._end]), stored)

    def summed(self) -> EnergySum:
        """Return the sum in watt-hours."""
        given: dict[str, float] = {}
        taken: dict[str, float] = {}
        stored: dict[str, float] = {}
        lost: dict[str, float] = {"wires": float(self.wires_ws) / _HOUR_S}
        inputs = {
            p.supply.name
            for p in self._wiring.topology.pieces
            if p.kind is PieceKind.INPUT and p.supply is not None
        }
        block = {one.number: n for n, one in enumerate(self._blocks)}
        for number, piece in enumerate(self._wiring.topology.pieces):
            watt_h = float(self.taken_ws[number]) / _HOUR_S
            if piece.conducts:
                lost["wires"] += watt_h
            elif piece.kind is PieceKind.BATTERY and piece.supply is not None:
                name, kept = piece.supply.name, float(self.stored_ws[block[number]]) / _HOUR_S
                stored[name] = stored.get(name, 0.0) + kept
                lost[name] = lost.get(name, 0.0) + watt_h - kept
            elif piece.kind in {PieceKind.LOAD, PieceKind.OWN_DRAW}:
                taken[piece.name] = watt_h
            elif piece.supply is not None and piece.supply.name in inputs:
                lost[piece.supply.name] = lost.get(piece.supply.name, 0.0) + watt_h
            elif piece.supply is not None:
                given[piece.supply.name] = -watt_h
        balance = sum(given.values()) - sum(taken.values()) - sum(stored.values()) - sum(lost.values())
        through = (
            sum(map(abs, given.values())) + sum(map(abs, taken.values())) + sum(map(abs, stored.values()))
        )
        return EnergySum(
            given_wh=given,
            taken_wh=taken,
            stored_wh=stored,
            lost_wh=lost,
            error=abs(balance) / through if through > 0.0 else 0.0,
        )

    def taken_ah(self, charge_as: Floats) -> Mapping[str, float]:
        """By load, of charges of all branches. [Ah]"""
        return {name: float(charge_as[branch]) / _HOUR_S for name, branch in self._loads.items()}
