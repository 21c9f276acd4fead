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

if TYPE_CHECKING:
    from groundstrap.endure.course import Local, Stage

__all__ = ["Ledger"]

Floats = NDArray[np.float64]

_HOUR_S: Final = 3600.0


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
        self._loads = {
            name: wiring.index(name) for name in wiring.installation.loads if name in wiring.topology.index
        }

    def book(self, stage: Stage, local: Local, begin: Floats, end: Floats, length_s: float) -> None:
        """Add what flows in a step, by its beginning, middle and end."""
        last, passed = local.change(end), self._at(local, end, length_s / 6.0)
        first = local.change(begin)
        passed += self._at(local, begin, length_s / 6.0)
        middle = 0.5 * (begin + end) + length_s / 8.0 * (first - last)
        passed += self._at(local, middle, length_s * 4.0 / 6.0)
        for number, one in enumerate(stage.scene.consumers):
            if stage.flags.off[number, 0] or stage.flags.cycling[number, 0]:
                rests = 1.0 if stage.flags.off[number, 0] else 1.0 - float(stage.flags.share[number, 0])
                lost = one.watts * one.duty * rests * length_s
                self.unserved_ws[one.name] = self.unserved_ws.get(one.name, 0.0) + lost
            assert stage.means is not None
            share = stage.means.on_share[number, 0]
            if share != 1.0:
                # It runs below the mean volts while it runs: the rest of that power stays in the cables.
                moved = passed[one.branch] * (1.0 - share)
                passed[one.branch] -= moved
                self.wires_ws += moved
        self.taken_ws += passed

    def _at(self, local: Local, wells: Floats, seconds: float) -> Floats:
        sight = local.sight(wells)
        volts = sight.answer.volts_v[:, 0]
        nodes = local.port.nodes_at(volts)[:, 0]
        amps = local.port.branches_at(volts)[:, 0]
        self.charge_as += seconds * amps
        change = sight.change[:, :, 0, 0] * _HOUR_S
        inner = local.batteries.inner_emf_v(wells, local.air)[:, :, 0, 0]
        self.stored_ws += seconds * (inner * change).sum(axis=0)
        found: Floats = seconds * amps * (nodes[self._start] - nodes[self._end])
        return found

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
