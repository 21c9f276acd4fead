"""What a lithium battery takes of an alternator when only conductors and contacts lie between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from groundstrap.assess import Case, Warmth, Wiring
from groundstrap.assess.positions import alternatives
from groundstrap.assess.topology import Piece, PieceKind, UnionFind
from groundstrap.assess.wiring import open_pieces, passive_values
from groundstrap.endure.day import Stretch
from groundstrap.endure.results import Straight
from groundstrap.endure.scene import mean_power_w
from groundstrap.model import Situation, State, Supply, SupplyKind
from groundstrap.physics.charging import charge_range
from groundstrap.records import dataclass
from groundstrap.tables import alternator_default, rested_voltage_v, vehicle_draw

__all__ = ["straight_on"]

_CHARGED_PCT: Final = (30.0, 50.0, 80.0)
"""States between which a lithium battery is charged on the way; own judgement."""

_JOINTS: Final = ("low", "typical", "high")


def straight_on(wiring: Wiring, stretches: Sequence[Stretch]) -> tuple[Straight, ...]:
    """Return what each lithium battery takes that is straight on an alternator while the day drives.

    Source: `charge_range` through the cables of the plan, as they lie; states of charge are own judgement.

    Parameters
    ----------
    wiring : Wiring
        The installation that is run.
    stretches : sequence of Stretch
        Its day; where it does not drive the engine idles, and where it does neither nothing is said.
    """
    found = (_longest(stretches, when) for when in (Situation.DRIVING, Situation.IDLING))
    stretch = next((each for each in found if each is not None), None)
    if stretch is None:
        return ()
    machines = [
        piece
        for piece in wiring.topology.pieces
        if piece.kind is PieceKind.MACHINE
        and piece.supply is not None
        and piece.supply.kind is SupplyKind.ALTERNATOR
    ]
    return tuple(
        one
        for piece in machines
        for battery in wiring.installation.supplies.values()
        if battery.chemistry == "lfp" and battery.kind is SupplyKind.BATTERY
        if battery.state is not State.REMOVE
        if (one := _straight(wiring, stretch, piece, battery)) is not None
    )


def _longest(stretches: Sequence[Stretch], when: Situation) -> Stretch | None:
    own = [each for each in stretches if each.situation is when]
    return max(own, key=lambda each: each.ends_s - each.begins_s, default=None)


def _straight(wiring: Wiring, stretch: Stretch, piece: Piece, battery: Supply) -> Straight | None:
    """Between one alternator and one battery; None where no conductors join both of their poles."""
    loops = [_Loop.of(wiring, stretch, joints).ohm(wiring, piece, battery) for joints in _JOINTS]
    low_ohm, middle_ohm, high_ohm = loops
    if low_ohm is None or middle_ohm is None or high_ohm is None:
        return None
    assert piece.supply is not None
    source, own = wiring.supplies[piece.supply.name], wiring.supplies[battery.name].ohm
    rating_a = source.limit_a if stretch.situation is Situation.DRIVING else source.idle_limit_a
    if rating_a is None:
        return None
    scale = battery.nominal_v / 12.0
    emf = [rested_voltage_v("lfp", state) * scale for state in _CHARGED_PCT]
    hot, draws = alternator_default("hot share"), vehicle_draw(engine_running=True)
    loads_a = mean_power_w(wiring, stretch) / source.emf_v
    found = charge_range(
        (source.low_v, source.emf_v, source.high_v),
        emf_v=(emf[0], emf[1], emf[2]),
        loop_ohm=(
            low_ohm + own.low + source.ohm.low,
            middle_ohm + own.typical + source.ohm.typical,
            high_ohm + own.high + source.ohm.high,
        ),
        limit_a=(
            max(rating_a * hot.low - draws.high / scale - loads_a, 0.0),
            max(rating_a * hot.typical - draws.typical / scale - loads_a, 0.0),
            max(rating_a * hot.high - draws.low / scale, 0.0),
        ),
    )
    return Straight(
        battery=battery.name,
        alternator=piece.supply.name,
        low_a=found.low_a,
        typical_a=found.typical_a,
        high_a=found.high_a,
        hot_a=rating_a * hot.typical,
        idling=stretch.situation is Situation.IDLING,
    )


@dataclass(frozen=True, slots=True)
class _Loop:
    """Everything that conducts in a stretch, with one end of its resistances."""

    pieces: tuple[Piece, ...]
    ohms: tuple[float, ...]

    @classmethod
    def of(cls, wiring: Wiring, stretch: Stretch, joints: str) -> _Loop:
        """What is closed while the engine runs: least with cold copper, most with hot air about it."""
        case = Case(
            situation=stretch.situation,
            running=frozenset(stretch.running),
            warmth=Warmth.COLD if joints == "low" else Warmth.HOT,
            joints=joints,
            body=joints,
            open=alternatives(wiring.topology)[0],
        )
        shut = open_pieces(wiring, case)
        values = passive_values(wiring, case)
        closed = [
            (piece, values[number][0])
            for number, piece in enumerate(wiring.topology.pieces)
            if piece.conducts and piece.name not in shut
        ]
        return cls(tuple(piece for piece, _ in closed), tuple(ohm for _, ohm in closed))

    def ohm(self, wiring: Wiring, machine: Piece, battery: Supply) -> float | None:
        """Out and back between a machine and a battery; None where one of the ways is not there. [ohm]"""
        out = self._between(machine.start, wiring.node(battery.plus))
        back = self._between(machine.end, wiring.node(battery.minus))
        return None if out is None or back is None else out + back

    def _between(self, one: int, other: int) -> float | None:
        """Between two nodes, whatever ways there are side by side: by the nodes' equations. [ohm]"""
        if one == other:
            return 0.0
        sets = UnionFind(1 + max((max(each.start, each.end) for each in self.pieces), default=0))
        for each in self.pieces:
            sets.join(each.start, each.end)
        nodes = list(self._joined(sets, one))
        if other not in nodes:
            return None
        number = {node: index for index, node in enumerate(nodes)}
        siemens = np.zeros((len(nodes), len(nodes)))
        for each, ohm in zip(self.pieces, self.ohms, strict=True):
            if each.start in number and each.start != each.end:
                a, b = number[each.start], number[each.end]
                siemens[[a, b], [a, b]] += 1.0 / ohm
                siemens[[a, b], [b, a]] -= 1.0 / ohm
        kept = [index for index in range(len(nodes)) if index != number[other]]
        driven = np.zeros(len(nodes))
        driven[number[one]] = 1.0
        volts = np.zeros(len(nodes))
        volts[kept] = np.linalg.solve(siemens[np.ix_(kept, kept)], driven[kept])
        return float(volts[number[one]])

    def _joined(self, sets: UnionFind, node: int) -> Iterator[int]:
        """The nodes that conductors join with one, itself first."""
        ends = dict.fromkeys([node, *(end for each in self.pieces for end in (each.start, each.end))])
        yield from (each for each in ends if each == node or sets.root(each) == sets.root(node))
