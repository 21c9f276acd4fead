"""Faults taken apart: the volts before each, the resistance that it sees, and what feeds it."""

from __future__ import annotations

import math
from collections.abc import Mapping

from groundstrap.assess.faults import (
    WEAK_IN,
    Linear,
    far_end_of,
    holder_lead_ohm,
    linear_in,
    minus_of,
    siemens_in,
    strong_case,
    weak_case,
)
from groundstrap.assess.flows import Floats
from groundstrap.assess.wiring import Wiring
from groundstrap.model import SupplyKind
from groundstrap.records import dataclass

__all__ = ["Short", "least_shorts", "most_shorts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """A linear network in which a fault is reckoned."""

    linear: Linear
    siemens: Floats
    battery: str | None
    """The one that feeds alone, weak and cold; None where everything feeds."""
    joints: str
    """End that joints and contacts stand at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """One fault as it is reckoned, and where it lies."""

    network: Network
    plus: int
    minus: int
    volts_v: float
    ohm: float
    """With its lead. [ohm]"""
    lead_ohm: float

    def ohm_of(self, number: int) -> float | None:
        """Resistance of one piece; None where it does not conduct. [ohm]"""
        value = float(self.network.siemens[number])
        return 1.0 / value if value > 0.0 else None


def least_shorts(wiring: Wiring, least_a: Mapping[str, float]) -> Mapping[str, Short]:
    """Return the least far-end fault of each circuit taken apart, by the current that was found."""
    batteries = [name for name, found in wiring.supplies.items() if found.kind is SupplyKind.BATTERY]
    networks: list[Network] = []
    for case in map(weak_case, WEAK_IN):
        siemens = _only_conductors(wiring, siemens_in(wiring, case, {}))
        networks += [
            Network(linear=linear_in(wiring, case, name), siemens=siemens, battery=name, joints=case.joints)
            for name in batteries
        ]
    networks.append(_strong(wiring))
    found = {}
    for name, amps in least_a.items():
        far = far_end_of(wiring, wiring.installation.circuits[name])
        if far is not None:
            each = (_short(network, far[0], far[1], far[2], amps) for network in networks)
            short = next((one for one in each if one is not None), None)
            found.update({} if short is None else {name: short})
    return found


def most_shorts(wiring: Wiring, most_a: Mapping[str, float]) -> Mapping[str, Short]:
    """Return the most current at each fuse taken apart, by the current that was found."""
    strong = _strong(wiring)
    found: dict[str, Short] = {}
    for name, amps in most_a.items():
        piece = wiring.topology.pieces[wiring.index(name)]
        other, lead_ohm = minus_of(wiring, piece.circuit or ""), holder_lead_ohm(wiring, piece)
        for node in (piece.start, piece.end):
            short = _short(strong, node, other, lead_ohm, amps)
            if short is not None:
                found.setdefault(name, short)
    return found


def _strong(wiring: Wiring) -> Network:
    case = strong_case()
    siemens = _only_conductors(wiring, siemens_in(wiring, case, {}))
    return Network(linear=linear_in(wiring, case, None), siemens=siemens, battery=None, joints=case.joints)


def _only_conductors(wiring: Wiring, siemens: Floats) -> Floats:
    for number, piece in enumerate(wiring.topology.pieces):
        if not piece.conducts:
            siemens[number] = 0.0
    return siemens


def _short(network: Network, plus: int, minus: int, lead_ohm: float, amps: float) -> Short | None:
    """A short in one network, if it is the one of this current."""
    made = network.linear.short_a(plus, minus, lead_ohm)
    if made is None or not math.isclose(made, amps, rel_tol=1e-9):
        return None
    volts = network.linear.volts_v
    return Short(
        network=network,
        plus=plus,
        minus=minus,
        volts_v=abs(float(volts[plus] - volts[minus])),
        ohm=network.linear.z.between(plus, minus) + lead_ohm,
        lead_ohm=lead_ohm,
    )
