"""The solved situations as a SPICE netlist, for whoever wants to reckon them with other means.

Each situation is a network of its own about the common node 0; they touch nowhere else. Every source and
load keeps its law; cable is as hot as it became, which is the one thing that is taken over from the answer.
`.nodeset` lines start each node where it was found: loads of constant power have a second working point at
low voltage, which a simulator ends at readily.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from groundstrap.assess import (
    Piece,
    PieceKind,
    SituationAssessment,
    Wiring,
    parameters,
    situation_case,
    wire_up,
)
from groundstrap.assess.topology import UnionFind
from groundstrap.report.plan import Plan
from groundstrap.report.stamp import stamp_words
from groundstrap.solve import Branch, Law, solve_one
from groundstrap.solve.block import POWER_LAW_FLOOR_V

__all__ = ["netlist"]

_FLOOR_SHARE: Final = 0.25
"""Below this share of its voltage a load of constant power is written as a resistor: none is 1/0. [1]"""
_HELD_OHM: Final = 1e6
"""From a part that hangs on nothing else to node 0. [ohm]"""
_SOURCES: Final = frozenset({PieceKind.BATTERY, PieceKind.MACHINE})
_OPTIONS: Final = ".options reltol=1e-9 vntol=1e-10 abstol=1e-10 itl1=500"


def netlist(plan: Plan, wiring: Wiring | None = None) -> str:
    """Return the netlist of all situations that were solved, as ASCII text.

    Source: own-computation.

    Parameters
    ----------
    plan : Plan
        What `plan` said.
    wiring : Wiring or None
        The network of its job where it was laid out before: that takes longest.
    """
    wiring = wiring or wire_up(plan.installation, plan.estimates)
    solved = [each for each in plan.assessment.situations.values() if each.volts_v]
    lines = [
        f"* {_ascii(plan.installation.title)}",
        f"* fingerprint {plan.fingerprint}",
        *((f"* {_ascii(stamp)}",) if (stamp := stamp_words(plan)) else ()),
        "* Volts against the negative post of the first battery, node 0. One network a situation.",
        "* B elements are currents by an expression: sources with a limit, loads of constant power.",
    ]
    for number, situation in enumerate(solved, 1):
        lines += ["", *_Situation(wiring, situation, number).lines()]
    unsolved = [each.situation.value for each in plan.assessment.situations.values() if not each.volts_v]
    lines += [f"* {name}: no working point was found, so nothing stands here" for name in unsolved]
    return "\n".join(["", *lines, "", _OPTIONS, ".op", ".end", ""]).removeprefix("\n")


class _Situation:
    """One situation: its nodes with names that any simulator takes, and its elements."""

    def __init__(self, wiring: Wiring, solved: SituationAssessment, number: int) -> None:
        self.wiring, self.solved, self.number = wiring, solved, number
        self.values = parameters(wiring, situation_case(wiring, solved))
        self.volts = {wiring.topology.node_of[point]: volts for point, volts in solved.volts_v.items()}
        self.anchors = self._islands()
        self.names = self._named()

    def _islands(self) -> tuple[int, ...]:
        """Take in what hangs on a source and not on node 0, such as what an isolated converter feeds.

        Return a node of each such island, which is held: a simulator needs every volt to count from node 0.
        """
        sets = UnionFind(len(self.wiring.topology.nodes))
        joined = [p for n, p in enumerate(self.wiring.topology.pieces) if self._joins(n, p)]
        for piece in joined:
            sets.join(piece.start, piece.end)
        fed = {sets.root(piece.start) for piece in joined if piece.kind in _SOURCES}
        # Where nothing runs the source gives nothing, and its volts are anything.
        islands = fed & {sets.root(p.start) for p in joined if p.kind is PieceKind.LOAD} - {0}
        point = solve_one(self.wiring.network, self.values) if islands else None
        if point is None or not point.found:
            return ()
        for node, volts in enumerate(point.node_v):
            if sets.root(node) in islands:
                self.volts[node] = volts
        # The solver holds one node of each at nothing.
        inside = [node for node in self.volts if sets.root(node) in islands]
        return tuple(
            min(
                (node for node in inside if sets.root(node) == island), key=lambda node: abs(self.volts[node])
            )
            for island in sorted(islands)
        )

    def _joins(self, index: int, piece: Piece) -> bool:
        """Whether current may pass a piece."""
        law, values = self.wiring.network.branches[index].law, self.values[index]
        if law in {Law.RESISTOR, Law.HEATED}:
            return math.isfinite(values[0])
        if piece.kind is PieceKind.LOAD:
            return piece.name in self.solved.running
        return piece.kind is PieceKind.BATTERY or (piece.kind is PieceKind.MACHINE and values[1] > 0)

    def _named(self) -> Mapping[int, str]:
        """A name for each node that hangs together with node 0: situation and point."""
        taken: set[str] = set()
        found = {}
        for node in sorted(self.volts):
            stem = f"{self.solved.situation.value}_{_plain(self.wiring.topology.nodes[node])}"
            name = stem if stem not in taken else f"{stem}_{node}"
            taken.add(name)
            found[node] = "0" if node == 0 else name
        return found

    def _points(self, node: int) -> list[str]:
        """Every point that is one node."""
        return [point for point, other in self.wiring.topology.node_of.items() if other == node]

    def lines(self) -> list[str]:
        """Return everything of it."""
        said = f"* {self.solved.situation.value}: {self.solved.outcome.value}"
        running = ", ".join(sorted(self.solved.running)) or "nothing"
        points = [
            f"* {self.names[node]} = {_ascii(self.wiring.topology.nodes[node])}"
            for node in sorted(self.names)
        ]
        sets = [
            f".nodeset v({self.names[node]})={_figure(volts)}"
            for node, volts in sorted(self.volts.items())
            if node != 0
        ]
        return [f"{said}; on: {_ascii(running)}", *points, *self._elements(), *sets]

    def _elements(self) -> Iterator[str]:
        for node in self.anchors:
            yield "* held by a resistor that carries nothing: this part hangs on nothing else"
            yield f"R{self.number}_held_{node} {self.names[node]} 0 {_figure(_HELD_OHM)}"
        pieces = self.wiring.topology.pieces
        for index, (piece, branch) in enumerate(zip(pieces, self.wiring.network.branches, strict=True)):
            if piece.start in self.volts and piece.end in self.volts:
                yield from self._element(index, piece, branch)
                if piece.kind is PieceKind.MACHINE:
                    # Where nothing is taken its volts hang on nothing: any above its own would do.
                    ends = f"{self.names[piece.start]} {self.names[piece.end]}"
                    yield f"R{self.number}_idle_{index} {ends} {_figure(_HELD_OHM)}"

    def _element(self, index: int, piece: Piece, branch: Branch) -> Iterator[str]:
        values = self.values
        ends = f"{self.names[piece.start]} {self.names[piece.end]}"
        name = f"{self.number}_{index}"
        across_v = self.volts[piece.start] - self.volts[piece.end]
        if branch.law in {Law.RESISTOR, Law.HEATED}:
            ohm = values[index][0]
            if branch.law is Law.HEATED:
                cold_ohm, kappa_per_a2 = values[index]
                ohm = _hot_ohm(cold_ohm, kappa_per_a2, across_v)
            lines = [f"R{name} {ends} {_figure(ohm)}"] if math.isfinite(ohm) else []
        elif branch.law is Law.CONSTANT_CURRENT:
            lines = [f"I{name} {ends} {_figure(values[index][0])}"]
        else:
            current = self._current(piece, branch, values, index)
            lines = [f"B{name} {ends} I={current}"] if current else []
        if lines:
            yield f"* {_ascii(piece.name)}"
            yield from lines

    def _across(self, start: int, end: int) -> str:
        """Volts from one node to another as an expression; node 0 has none of its own."""
        one = f"v({self.names[start]})" if start else "0"
        other = f"v({self.names[end]})" if end else "0"
        return f"({one}-{other})"

    def _current(self, piece: Piece, branch: Branch, values: Sequence[tuple[float, ...]], index: int) -> str:
        """The current of an element as an expression; empty where it takes and gives none."""
        across, own = self._across(piece.start, piece.end), values[index]
        if branch.law is Law.BATTERY:
            emf_v, discharge_ohm, charge_ohm = own
            if math.isinf(discharge_ohm):
                return ""
            # A line and a bend: two half-lines would have no slope at all where they meet.
            bend_s = 1 / charge_ohm - 1 / discharge_ohm
            straight = f"({across}-{_figure(emf_v)})/{_figure(discharge_ohm)}"
            return (
                straight
                if bend_s == 0
                else f"{straight}+max({across}-{_figure(emf_v)},0)*({_figure(bend_s)})"
            )
        if branch.law is Law.REGULATED:
            return f"-{_regulated(across, own)}" if own[1] > 0 else ""
        if branch.law is Law.POWER_LAW:
            ref_a, ref_v, exponent = own
            # As the solver has it: a plain resistor below its floor, so nothing is taken at no volts.
            held = f"max({across},{_figure(POWER_LAW_FLOOR_V)})"
            law = f"{_figure(ref_a)}*pow({held}/{_figure(ref_v)},{_figure(exponent)})"
            return f"{law}*{across}/{held}" if ref_a > 0 else ""
        watts = self._watts(branch, values, own)
        floor_v = max(_FLOOR_SHARE * (self.volts[piece.start] - self.volts[piece.end]), 0.5)
        held = f"max({across},{_figure(floor_v)})"
        return f"{watts}*{across}/({held}*{held})" if watts else ""

    def _watts(self, branch: Branch, values: Sequence[tuple[float, ...]], own: tuple[float, ...]) -> str:
        """Power of a load, or of a converter's input by what its output gives; empty where it is nothing."""
        if branch.feeds is None:
            return _figure(own[0]) if own[0] > 0 else ""
        output = self.wiring.topology.pieces[branch.feeds]
        efficiency, idle_w = own
        given = "0"
        there = output.start in self.volts and output.end in self.volts
        if there and values[branch.feeds][1] > 0:
            across = self._across(output.start, output.end)
            given = f"{across}*{_regulated(across, values[branch.feeds])}/{_figure(efficiency)}"
        if given == "0" and idle_w == 0:
            return ""
        return f"({given}+{_figure(idle_w)})"


def _regulated(across: str, values: tuple[float, ...]) -> str:
    """What a source with a set voltage gives, between nothing and its limit."""
    set_v, limit_a, droop_ohm = values
    return f"min(max(({_figure(set_v)}-{across})/{_figure(droop_ohm)},0),{_figure(limit_a)})"


def _hot_ohm(cold_ohm: float, kappa_per_a2: float, across_v: float) -> float:
    """Resistance of a conductor that its own current has heated: R = R0 / (1 - kappa I2), with I = U / R."""
    return 0.5 * (cold_ohm + math.sqrt(cold_ohm**2 + 4 * kappa_per_a2 * across_v**2))


def _figure(value: float) -> str:
    """A number with all its digits; without a letter behind it that a simulator reads as a unit."""
    return repr(float(value))


def _ascii(text: str) -> str:
    """A text for a comment: one line, ASCII."""
    return "".join(char if char.isprintable() and char.isascii() else "?" for char in text)


def _plain(point: str) -> str:
    """A point as part of a node's name: plus and minus in letters, what is no letter as a low line."""
    text = re.sub(r"\+$", "plus", re.sub(r"-$", "minus", point.lower()))
    return re.sub(r"[^a-z0-9]+", "_", text).strip("_") or "node"
