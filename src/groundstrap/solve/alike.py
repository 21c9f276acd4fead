"""Cases of one network that differ in some of its heated conductors, each begun where the first ended."""

import math
from collections.abc import Mapping, Sequence

from groundstrap.records import dataclass
from groundstrap.solve.case import heated_currents
from groundstrap.solve.kernel import NEXT_STEP_V
from groundstrap.solve.network import Network, check_one
from groundstrap.solve.run import solve_one
from groundstrap.solve.scalar import OUT_OF_THE_ORDINARY, Stand, stand_near, stand_plainly, stands_alone
from groundstrap.solve.topology import compile_topology
from groundstrap.solve.written import fill_in

__all__ = ["Alike", "Volts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Volts:
    """Of a working point the volts alone; see ``Point``. Without one there are none."""

    found: bool
    node_v: Sequence[float]
    branch_v: Sequence[float]


class Alike:
    """Cases that differ in the ohms and the heat of some heated conductors.

    Each begins where the first one ended, which takes fewer steps than from nothing. Where it is not sure to
    end at the point that would be found from nothing, it is solved so.
    """

    def __init__(self, network: Network, parameters: Sequence[tuple[float, ...]]) -> None:
        """Solve the first case."""
        check_one(network, parameters)
        self._network, self._parameters = network, list(parameters)
        self._stand, self._first = _solved(network, parameters)
        self._heated_a = {} if self._stand is None else heated_currents(self._stand.case, self._stand.state)

    def volts(self, changed: Mapping[int, tuple[float, float]]) -> Volts:
        """Return the volts with other ohms and kappa of some heated conductors, by branch."""
        found = self._near(changed)
        if found is not None:
            return found
        parameters = self._parameters.copy()
        for branch, given in changed.items():
            parameters[branch] = given
        point = solve_one(self._network, parameters)
        return Volts(found=point.found, node_v=point.node_v, branch_v=point.branch_v)

    def _near(self, changed: Mapping[int, tuple[float, float]]) -> Volts | None:
        stand, first = self._stand, self._first
        if stand is None or first is None:
            return None
        if not all(0.0 < ohm < math.inf > kappa >= 0.0 for ohm, kappa in changed.values()):
            return None
        counts = {branch: given for branch, given in changed.items() if self._tells(branch, given)}
        if not counts:
            return first
        try:
            near = stand_near(stand, counts)
            return None if near is None else _read(near)
        except OUT_OF_THE_ORDINARY:
            return None

    def _tells(self, branch: int, given: tuple[float, float]) -> bool:
        """Whether other values of a heated conductor change anything: not where nothing flows in it."""
        amps = self._heated_a[branch]
        # So few volts that Newton's method takes no step for them.
        return any(
            not ohm * abs(amps) < NEXT_STEP_V * (1.0 - kappa * amps * amps)
            for ohm, kappa in (given, self._parameters[branch])
        )


def _solved(network: Network, parameters: Sequence[tuple[float, ...]]) -> tuple[Stand | None, Volts | None]:
    """The first case, and its volts where others may begin there."""
    try:
        stand = stand_plainly(compile_topology(network), parameters, heat=True)
        return stand, None if stand is None or not stands_alone(stand) else _read(stand)
    except OUT_OF_THE_ORDINARY:
        return None, None


def _read(stand: Stand) -> Volts | None:
    sheet = fill_in(stand.case, stand.state, heat=True)
    return None if sheet is None else Volts(found=True, node_v=sheet.node_v, branch_v=sheet.branch_v)
