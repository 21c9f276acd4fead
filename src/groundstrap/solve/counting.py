"""What a working point hangs on: where nothing flows, resistance makes no difference to anything else."""

import math
from typing import Final

from groundstrap.records import dataclass
from groundstrap.solve.network import Law, Network, Parameters
from groundstrap.solve.topology import Topology, compile_topology

_CONDUCTORS: Final = frozenset({Law.RESISTOR, Law.HEATED})
_TAKERS: Final = frozenset({Law.CONSTANT_POWER, Law.CONSTANT_CURRENT, Law.POWER_LAW})


@dataclass(frozen=True, slots=True)
class WhatCounts:
    """Cases of which this is equal have the same volts at every node outside the chains without current."""

    topology: Topology
    values: Parameters


def what_counts(network: Network, parameters: Parameters) -> WhatCounts:
    """Return the parameters without the ohms of conductors in series with an open part or a load that is off.

    >>> from groundstrap.solve import Branch, Law, Network
    >>> laws = (Branch("cell", Law.BATTERY, 1, 0), Branch("wire", Law.RESISTOR, 1, 2))
    >>> network = Network(("minus", "plus", "lamp"), (*laws, Branch("lamp", Law.CONSTANT_POWER, 2, 0)))
    >>> thin, thick = ([(12.0, 0.1, 0.1), (ohm,), (0.0,)] for ohm in (1.0, 0.1))
    >>> what_counts(network, thin) == what_counts(network, thick)
    True
    """
    topology = compile_topology(network)
    branches, values = topology.branches, list(parameters)
    for chain in topology.chains:
        if any(_stops(branches[part.branch], parameters[part.branch]) for part in chain.parts):
            for part in chain.parts:
                given = parameters[part.branch]
                if branches[part.branch][0] in _CONDUCTORS and math.inf not in given:
                    # Whether anything heats at all decides how the rest is solved.
                    values[part.branch] = given[1:]
    return WhatCounts(topology, tuple(values))


def _stops(branch: tuple[Law, int, int, int | None], values: tuple[float, ...]) -> bool:
    """Whether nothing flows through a branch whatever the volts."""
    law, _, _, feeds = branch
    if law in _TAKERS:
        return feeds is None and values[0] == 0.0
    return law in _CONDUCTORS and math.inf in values
