"""Faults taken apart: the volts before each, the resistance that it sees, and what feeds it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

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
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.model import SupplyKind
from groundstrap.records import dataclass

__all__ = ["Network", "Short", "Shorts", "shorts_of"]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Shorts:
    """Faults taken apart: the least at the far end of each circuit, the most at each fuse."""

    least: Mapping[str, Short]
    most: Mapping[str, Short]


def shorts_of(wiring: Wiring, least_a: Mapping[str, float], most_a: Mapping[str, float]) -> Shorts:
    """Return faults taken apart, each found again by the current that was reckoned for it. [A]"""
    networks = _Networks(wiring)
    strong = networks.strong
    most: dict[str, Short] = {}
    for name, amps in most_a.items():
        piece = wiring.topology.pieces[wiring.index(name)]
        other, lead_ohm = minus_of(wiring, piece.circuit or ""), holder_lead_ohm(wiring, piece)
        for node in (piece.start, piece.end):
            short = _short(strong, node, other, lead_ohm, amps)
            if short is not None:
                most.setdefault(name, short)
    least = {}
    for name, amps in least_a.items():
        far = far_end_of(wiring, wiring.installation.circuits[name])
        if far is not None:
            each = (_short(network, far[0], far[1], far[2], amps) for network in networks.from_weakest())
            short = next((one for one in each if one is not None), None)
            least.update({} if short is None else {name: short})
    return Shorts(least=least, most=most)


class _Networks:
    """Networks in which faults are reckoned, each made when it is first wanted."""

    def __init__(self, wiring: Wiring) -> None:
        self._wiring = wiring
        self._weak: list[list[Network]] = []
        self.strong = _strong(wiring)

    def from_weakest(self) -> Iterator[Network]:
        """Yield each battery alone, parted first, then linked, and at last everything together."""
        for number, situation in enumerate(WEAK_IN):
            if number == len(self._weak):
                self._weak.append(self._alone(weak_case(situation)))
            yield from self._weak[number]
        yield self.strong

    def _alone(self, case: Case) -> list[Network]:
        wiring = self._wiring
        siemens = _only_conductors(wiring, siemens_in(wiring, case, {}))
        batteries = [name for name, found in wiring.supplies.items() if found.kind is SupplyKind.BATTERY]
        return [
            Network(linear=linear_in(wiring, case, name), siemens=siemens, battery=name, joints=case.joints)
            for name in batteries
        ]


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
