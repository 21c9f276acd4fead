"""Cases of one network that differ in some of its heated conductors, each begun where the first ended."""

import math
from collections.abc import Mapping, Sequence

from groundstrap.solve.network import Network, check_one
from groundstrap.solve.results import Point
from groundstrap.solve.run import solve_one
from groundstrap.solve.scalar import OUT_OF_THE_ORDINARY, stand_near, stand_plainly
from groundstrap.solve.topology import compile_topology
from groundstrap.solve.written import write_down

__all__ = ["Alike"]


class Alike:
    """Cases that differ in the ohms and the heat of some heated conductors.

    Each begins where the first one ended, which takes fewer steps than from nothing. Where it is not sure to
    end at the point that would be found from nothing, it is solved so.
    """

    def __init__(self, network: Network, parameters: Sequence[tuple[float, ...]]) -> None:
        """Solve the first case."""
        check_one(network, parameters)
        self._network, self._parameters = network, list(parameters)
        try:
            self._stand = stand_plainly(compile_topology(network), parameters, heat=True)
        except OUT_OF_THE_ORDINARY:
            self._stand = None

    def point(self, changed: Mapping[int, tuple[float, float]]) -> Point:
        """Return the working point with other ohms and kappa of some heated conductors, by branch."""
        parameters = self._parameters.copy()
        for branch, given in changed.items():
            parameters[branch] = given
        point = self._near(parameters, changed)
        return point if point is not None else solve_one(self._network, parameters)

    def _near(
        self, parameters: Sequence[tuple[float, ...]], changed: Mapping[int, tuple[float, float]]
    ) -> Point | None:
        stand = self._stand
        if stand is None or not all(0.0 < ohm < math.inf > kappa >= 0.0 for ohm, kappa in changed.values()):
            return None
        try:
            near = stand_near(stand, changed)
            return (
                None
                if near is None
                else write_down(self._network, near.case, near.state, parameters, heat=True)
            )
        except OUT_OF_THE_ORDINARY:
            return None
