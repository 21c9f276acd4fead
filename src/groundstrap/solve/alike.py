"""Cases of one network that differ in some of its conductors, each begun where the first ended."""

import math
from collections.abc import Mapping, Sequence

from groundstrap.records import dataclass
from groundstrap.solve.case import current_in
from groundstrap.solve.kernel import NEXT_STEP_V
from groundstrap.solve.network import Law, Network, Parameters, check_one
from groundstrap.solve.results import Point
from groundstrap.solve.run import solve_one
from groundstrap.solve.scalar import (
    OUT_OF_THE_ORDINARY,
    Stand,
    point_at,
    stand_near,
    stand_plainly,
    stands_alone,
)
from groundstrap.solve.topology import compile_topology
from groundstrap.solve.written import fill_in

__all__ = ["Alike", "Volts", "solve_alike"]

_Changed = Mapping[int, tuple[float, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Volts:
    """Of a working point the volts alone; see ``Point``. Without one there are none."""

    found: bool
    node_v: Sequence[float]
    branch_v: Sequence[float]


class Alike:
    """Cases that differ in the ohms and the heat of some conductors.

    Each begins where the first one ended, which takes fewer steps than from nothing. Where it is not sure to
    end at the point that would be found from nothing, it is solved so.
    """

    def __init__(self, network: Network, parameters: Parameters) -> None:
        """Solve the first case."""
        check_one(network, parameters)
        self._network, self._parameters = network, list(parameters)
        self._stand = _first_stand(network, parameters)
        self._first = None if self._stand is None else _volts_at(self._stand)

    def volts(self, changed: _Changed) -> Volts:
        """Return the volts with other values of some conductors, by branch."""
        found = self._near(changed)
        if found is not None:
            return found
        point = solve_one(self._network, self._with(changed))
        return Volts(found=point.found, node_v=point.node_v, branch_v=point.branch_v)

    def point(self, parameters: Parameters) -> Point | None:
        """Return a working point; None for a case that differs in more than conductors, or is not near."""
        changed = self._changed_to(parameters)
        near = None if changed is None else self._stand_near(changed)
        return None if near is None else point_at(self._network, near)

    def _changed_to(self, parameters: Parameters) -> _Changed | None:
        """The conductors in which a case differs; None where it differs in more, or in what is open."""
        pairs = enumerate(zip(parameters, self._parameters, strict=True))
        changed = {branch: given for branch, (given, own) in pairs if given != own}
        for branch in changed:
            conducts = self._network.branches[branch].law in {Law.RESISTOR, Law.HEATED}
            if not conducts or math.inf in self._parameters[branch]:
                return None
        return changed

    def _with(self, changed: _Changed) -> list[tuple[float, ...]]:
        parameters = self._parameters.copy()
        for branch, given in changed.items():
            parameters[branch] = given
        return parameters

    def _near(self, changed: _Changed) -> Volts | None:
        near = self._stand_near(changed)
        if near is None or near is self._stand:
            return None if near is None else self._first
        return _volts_at(near)

    def _stand_near(self, changed: _Changed) -> Stand | None:
        """Where a case ends; the first where the change is nowhere that current flows."""
        stand = self._stand
        if stand is None:
            return None
        counts = {}
        for branch, given in changed.items():
            if not 0.0 < given[0] < math.inf or not 0.0 <= given[-1] < math.inf:
                return None
            amps = current_in(stand.case, stand.state, branch)
            if not (_loses_nothing(given, amps) and _loses_nothing(self._parameters[branch], amps)):
                counts[branch] = given
        if not counts:
            return stand
        try:
            return stand_near(stand, counts)
        except OUT_OF_THE_ORDINARY:
            return None


def _loses_nothing(conductor: tuple[float, ...], amps: float) -> bool:
    """Whether so few volts are lost in a conductor that Newton's method takes no step for them."""
    kappa = conductor[1] if len(conductor) > 1 else 0.0
    return conductor[0] * abs(amps) < NEXT_STEP_V * (1.0 - kappa * amps * amps)


def _first_stand(network: Network, parameters: Parameters) -> Stand | None:
    """Where a first case ends, if others may begin there."""
    stand = stand_plainly(compile_topology(network), parameters, heat=True)
    return stand if stand is not None and stands_alone(stand) else None


def _volts_at(stand: Stand) -> Volts | None:
    """The volts; None where a check fails."""
    try:
        sheet = fill_in(stand.case, stand.state, heat=True)
    except OUT_OF_THE_ORDINARY:
        return None
    return None if sheet is None else Volts(found=True, node_v=sheet.node_v, branch_v=sheet.branch_v)


def solve_alike(network: Network, cases: Sequence[Parameters]) -> list[Point]:
    """Return the working points of some cases; those that differ in conductors alone begin near each other.

    >>> from groundstrap.solve import Branch, Law, Network
    >>> cell, wire = Branch("cell", Law.BATTERY, 1, 0), Branch("wire", Law.HEATED, 1, 2)
    >>> network = Network(("minus", "plus", "lamp"), (cell, wire, Branch("lamp", Law.CONSTANT_CURRENT, 2, 0)))
    >>> points = solve_alike(network, [[(12.0, 0.1, 0.1), (ohm, 0.0), (2.0,)] for ohm in (0.1, 0.4)])
    >>> [round(point.branch_v[2], 9) for point in points]
    [11.6, 11.0]
    """
    begun: list[Alike] = []
    points = []
    for parameters in cases:
        near = (alike.point(parameters) for alike in begun)
        point = next((found for found in near if found is not None), None)
        if point is None:
            begun.append(Alike(network, parameters))
            point = begun[-1].point(parameters) or solve_one(network, parameters)
        points.append(point)
    return points
