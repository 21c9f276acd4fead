"""How much load a network bears, and which load to cut where it bears less than it has."""

from typing import Final

import numpy as np

from groundstrap.records import dataclass
from groundstrap.solve.block import Block, prepare, start_state
from groundstrap.solve.decide import at_rest, decide, follow_from, full_share
from groundstrap.solve.kernel import stride
from groundstrap.solve.network import Network, Parameters, check_one
from groundstrap.solve.newton import Run
from groundstrap.solve.results import FOUND_CODE
from groundstrap.solve.topology import compile_topology

#: A network that bears this many times its constant-power loads is taken to bear any number.
UNLIMITED: Final = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Loadability:
    """The common factor on all constant-power loads at which the working point ends.

    0 where there is none even without them, ``inf`` where they are not what limits. Above 1 the job works;
    ``margin`` is what may be added as a part of the loads.
    """

    factor: float

    @property
    def margin(self) -> float:
        """The factor less one; negative where the job has no working point."""
        return self.factor - 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Culprit:
    """The load that needs the smallest cut: what it takes, the most it could have, the volts it then has."""

    branch: str
    wanted_w: float
    power_w: float
    at_v: float

    @property
    def cut_w(self) -> float:
        """How much less it must take. [W]"""
        return self.wanted_w - self.power_w


def loadability(network: Network, parameters: Parameters, *, heat: bool = True) -> Loadability:
    """Return how many times its constant-power loads a network bears, to a millionth.

    By hand: behind 20 mohm from 12.6 V no more than 12.6^2/(4 * 0.02) = 1984.5 W can be had.

    >>> from groundstrap.solve import Branch, Law, Network
    >>> network = Network(
    ...     ("minus", "plus"), (Branch("source", Law.BATTERY, 1, 0), Branch("load", Law.CONSTANT_POWER, 1, 0))
    ... )
    >>> round(loadability(network, [(12.6, 0.02, 0.02), (600.0,)]).factor * 600.0, 1)
    1984.5
    """
    block = _one_row(network, parameters)
    with np.errstate(all="ignore"):
        start = at_rest(block, hot=heat and block.heats)
        none = np.zeros_like(block.watts)
        end = follow_from(
            block, start, none, full_share(block), hot=heat and block.heats, furthest=UNLIMITED, exact=True
        )
    factor = float(end.share[0])
    if factor >= UNLIMITED or (factor >= 0 and not block.watts.any()):
        return Loadability(factor=float("inf"))
    return Loadability(factor=max(factor, 0.0))


def smallest_cut(
    network: Network,
    parameters: Parameters,
    *,
    heat: bool = True,
    among: frozenset[str] | None = None,
    failing: bool = False,
) -> Culprit | None:
    """Return the constant-power load that needs the smallest cut for the rest to work.

    None where the network works as it is, and where cutting one load (of those ``among``) is not enough. The
    inputs of converters are not loads of their own; what hangs on their outputs is. ``failing`` says that no
    working point was found already, so that it is not looked for again.
    """
    block = _one_row(network, parameters)
    if not failing and decide(block, heat=heat).status_code[0] == FOUND_CODE:
        return None
    topology = block.topology
    inputs = {entry for entry, _ in topology.converters}
    names = [network.branches[topology.branch_of_chain(chain)].name for chain in range(topology.powers)]
    chosen = [
        chain
        for chain, name in enumerate(names)
        if chain not in inputs and block.watts[chain, 0] > 0 and (among is None or name in among)
    ]
    if not chosen:
        return None
    return _best_cut(block, names, chosen, heat=heat)


def _best_cut(block: Block, names: list[str], chosen: list[int], *, heat: bool) -> Culprit | None:
    """Let each chosen load in turn grow from nothing beside all the others, and take the least shortfall."""
    rows = np.zeros(len(chosen), np.intp)
    without = block.take(rows)
    growing = np.zeros_like(without.watts)
    growing[chosen, np.arange(len(chosen))] = 1.0
    without.watts = without.watts * (1.0 - growing)
    hot = heat and block.heats
    decision = decide(without, heat=heat)
    works = decision.status_code == FOUND_CODE
    if not works.any():
        return None
    full = block.take(rows)
    state = decision.state
    state.off = start_state(full).off
    with np.errstate(all="ignore"):
        end = follow_from(full, Run(state, works, ~works), 1.0 - growing, growing, hot=hot, exact=True)
    culprits = [
        Culprit(
            branch=names[chain],
            wanted_w=float(block.watts[chain, 0]),
            power_w=float(block.watts[chain, 0] * end.share[row]),
            at_v=float(end.state.active_v[chain, row]),
        )
        for row, chain in enumerate(chosen)
        if works[row]
    ]
    return min(culprits, key=lambda culprit: culprit.cut_w)


def _one_row(network: Network, parameters: Parameters) -> Block:
    check_one(network, parameters)
    return prepare(compile_topology(network), parameters, 0, 1, stride=stride)
