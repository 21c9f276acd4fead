"""A vehicle of the examples with one fault put in by hand, and a person who reads it with a meter.

Volts and amps come from the network with the fault in it, solved once for each case that is asked for: not
from the rows of the search. A meter shows four digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from groundstrap import api
from groundstrap.assess.topology import PieceKind
from groundstrap.assess.wiring import Case, Wiring, parameters, wire_up
from groundstrap.model import LoadKind, Situation
from groundstrap.solve import Point, solve_one

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@dataclass(frozen=True)
class Planted:
    """What is wrong with which example, and what its owner says."""

    example: str
    load: str
    place: str
    ohm: float
    """Added there. [ohm]"""

    @property
    def text(self) -> str:
        return (EXAMPLES / f"{self.example}.job.yaml").read_text(encoding="utf-8")

    def read(self, where: str, when: str, using: tuple[str, ...]) -> str:
        """Return what the meter shows where a reading is asked for, with its unit."""
        wiring, point = _wiring(self.text), _solved(self, when, using)
        red, to, black = where.partition(" to ")
        topology = wiring.topology
        if to:
            volts = point.node_v[topology.node_of[red]] - point.node_v[topology.node_of[black]]
            return f"{volts * 1000:.1f} mV" if abs(volts) < 0.6 else f"{volts:.3f} V"
        number = topology.index[where]
        supplies = {PieceKind.BATTERY, PieceKind.MACHINE}
        sign = -1.0 if topology.pieces[number].kind in supplies else 1.0
        return f"{sign * point.branch_a[number]:.2f} A"


# By hand: 8.6 A through a relay's contact of 0.25 ohm more lose 2 V of 12; 4 A at 24 V through a return of
# 0.3 ohm 1.2 V; 8 A through a fuse holder of 0.12 ohm 1 V.
PLANTED = (
    Planted("hive-pickup", "work lights", "work light relay", 0.25),
    Planted("book-bus", "heater fan", "heater fan return 1", 0.3),
    Planted("oyster-skiff", "wash-down pump", "wash-down pump fuse", 0.12),
)


@cache
def _wiring(text: str) -> Wiring:
    planned = api.plan(api.read_job(text))
    estimates = {name: found.estimate for name, found in planned.vetting.loads.items()}
    return wire_up(planned.installation, estimates)


@cache
def _solved(planted: Planted, when: str, using: tuple[str, ...]) -> Point:
    wiring = _wiring(planted.text)
    coils = {
        name: load.relay for name, load in wiring.installation.loads.items() if load.kind is LoadKind.COIL
    }
    relays = {
        part.name
        for circuit in wiring.installation.circuits.values()
        if set(circuit.loads) & set(using)
        for part in circuit.parts
    }
    running = set(using) | {name for name, relay in coils.items() if relay in relays}
    values = parameters(wiring, Case(situation=Situation(when), running=frozenset(running)))
    number = wiring.topology.index[planted.place]
    values[number] = (values[number][0] + planted.ohm, *values[number][1:])
    found = solve_one(wiring.network, values)
    assert found.found
    return found
