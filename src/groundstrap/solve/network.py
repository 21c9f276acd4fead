"""The network that the numeric core is given: nodes, branches and the law of each branch.

A network has no values; those come beside it as parameters, one tuple a branch in the branch's order, each
entry a number or an array with one number a row. Current counts from ``start`` to ``end`` through the
branch, so a source that delivers has a negative one.
"""

import math
from collections.abc import Sequence
from dataclasses import field
from enum import StrEnum
from itertools import chain
from typing import Final

import numpy as np
import numpy.typing as npt

from groundstrap.errors import NetworkError
from groundstrap.records import dataclass

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Parameters = Sequence[tuple[float, ...]]
RowParameters = Sequence[tuple[float | Array, ...]]


class Law(StrEnum):
    """How the current of a branch depends on the volts across it."""

    RESISTOR = "resistor"
    HEATED = "heated"
    BATTERY = "battery"
    REGULATED = "regulated"
    CONSTANT_POWER = "constant power"
    CONSTANT_CURRENT = "constant current"
    POWER_LAW = "power law"


#: What each law is given, in order. A resistor of ``inf`` is open; ``kappa_per_a2`` is the rise of a
#: conductor's resistance per square ampere over its cold resistance: 1 minus the ratio of cold to hot is
#: kappa times I squared.
PARAMETER_NAMES: Final[dict[Law, tuple[str, ...]]] = {
    Law.RESISTOR: ("ohm",),
    Law.HEATED: ("cold_ohm", "kappa_per_a2"),
    Law.BATTERY: ("emf_v", "discharge_ohm", "charge_ohm"),
    Law.REGULATED: ("set_v", "limit_a", "droop_ohm"),
    Law.CONSTANT_POWER: ("watts",),
    Law.CONSTANT_CURRENT: ("amps",),
    Law.POWER_LAW: ("amps_at_ref", "ref_v", "exponent"),
}
#: A converter's input takes what its output gives over its efficiency, and this much besides.
CONVERTER_PARAMETERS: Final = ("efficiency", "idle_w")


@dataclass(frozen=True, slots=True)
class Branch:
    """One element between two nodes.

    ``feeds`` makes a constant-power branch the input of a converter: the index of the regulated branch that
    it supplies; its parameters are then those of a converter.
    """

    name: str
    law: Law
    start: int
    end: int
    feeds: int | None = None

    @property
    def parameter_names(self) -> tuple[str, ...]:
        """What the branch is given, in order."""
        return PARAMETER_NAMES[self.law] if self.feeds is None else CONVERTER_PARAMETERS


@dataclass(frozen=True, slots=True)
class Network:
    """Nodes and branches; the first node is the reference at 0 V.

    >>> Network(nodes=("minus", "plus"), branches=(Branch("wire", Law.RESISTOR, 0, 2),))
    Traceback (most recent call last):
    groundstrap.errors.NetworkError: branch 'wire' ends at node 2; wanted a node from 0 to 1
    """

    nodes: tuple[str, ...]
    branches: tuple[Branch, ...]
    #: What has been worked out about this network once; no part of its value.
    memo: dict[str, object] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __reduce__(self) -> tuple[object, ...]:
        """Cross process borders without what has been worked out."""
        return Network, (self.nodes, self.branches)

    def __post_init__(self) -> None:
        """Refuse what is no network."""
        if not self.nodes:
            raise NetworkError("a network without nodes", wanted="at least the reference node")
        last = len(self.nodes) - 1
        for branch in self.branches:
            for node in (branch.start, branch.end):
                if not 0 <= node <= last:
                    raise NetworkError(
                        f"branch {branch.name!r} ends at node {node}",
                        wanted=f"a node from 0 to {last}",
                        where=(branch.name,),
                    )
            if branch.start == branch.end:
                raise NetworkError(
                    f"branch {branch.name!r} starts and ends at node {branch.start}",
                    wanted="two different nodes; leave a shorted part out",
                    where=(branch.name,),
                )
            self._check_feed(branch)
        fed = [branch.feeds for branch in self.branches if branch.feeds is not None]
        if len(fed) != len(set(fed)):
            raise NetworkError("two converter inputs feed one output", wanted="one input an output")

    def _check_feed(self, branch: Branch) -> None:
        if branch.feeds is None:
            return
        right = (
            branch.law is Law.CONSTANT_POWER
            and 0 <= branch.feeds < len(self.branches)
            and self.branches[branch.feeds].law is Law.REGULATED
        )
        if not right:
            raise NetworkError(
                f"branch {branch.name!r} ({branch.law}) feeds branch {branch.feeds}",
                wanted="a constant power branch that feeds a regulated one",
                where=(branch.name,),
            )

    def index_of(self, name: str) -> int:
        """Return the index of the branch with this name."""
        for index, branch in enumerate(self.branches):
            if branch.name == name:
                return index
        raise NetworkError(f"no branch {name!r}", wanted="the name of a branch", where=(name,))


def taken_rows(parameters: RowParameters, rows: npt.NDArray[np.intp]) -> RowParameters:
    """Return the parameters of some rows; a number that stands for all of them stays one."""
    return [tuple(v[rows] if isinstance(v, np.ndarray) and v.ndim else v for v in p) for p in parameters]


def check_shape(network: Network, parameters: RowParameters) -> int | None:
    """Check how many parameters each branch has; return the rows that the arrays among them have, or None."""
    if len(parameters) != len(network.branches):
        raise NetworkError(
            f"{len(parameters)} tuples of parameters for {len(network.branches)} branches",
            wanted="one tuple a branch, in their order",
        )
    rows: int | None = None
    for branch, values in zip(network.branches, parameters, strict=True):
        if len(values) != len(branch.parameter_names):
            raise NetworkError(
                f"branch {branch.name!r} ({branch.law}) has {len(values)} parameters",
                wanted=f"({', '.join(branch.parameter_names)})",
                where=(branch.name,),
            )
        for value in values:
            if isinstance(value, np.ndarray) and value.ndim:
                if value.ndim != 1 or rows not in {None, value.size}:
                    raise NetworkError(
                        f"branch {branch.name!r} has an array of shape {value.shape}",
                        wanted="one number a row, as many rows as every other array",
                        where=(branch.name,),
                    )
                rows = value.size
    return rows


# Limits of one parameter: lowest, whether the lowest itself is allowed, whether infinity is.
_LIMITS: Final[dict[str, tuple[float, bool, bool]]] = {
    "ohm": (0.0, False, True),
    "cold_ohm": (0.0, False, True),
    "kappa_per_a2": (0.0, True, False),
    "emf_v": (-np.inf, False, False),
    "discharge_ohm": (0.0, False, True),
    "charge_ohm": (0.0, False, True),
    "set_v": (-np.inf, False, False),
    "limit_a": (0.0, True, True),
    "droop_ohm": (0.0, False, False),
    "watts": (0.0, True, False),
    "efficiency": (0.0, False, False),
    "idle_w": (0.0, True, False),
    "amps": (-np.inf, False, False),
    "amps_at_ref": (0.0, True, False),
    "ref_v": (0.0, False, False),
    "exponent": (0.0, False, False),
}


@dataclass(frozen=True, slots=True)
class _Bounds:
    """Closed limits of all parameters of a network, one after another, and how many each branch has."""

    counts: list[int]
    lowest: Array
    highest: Array


def _bounds(network: Network) -> _Bounds:
    found = network.memo.get("bounds")
    if not isinstance(found, _Bounds):
        names = [branch.parameter_names for branch in network.branches]
        limits = [_LIMITS[name] for name in chain.from_iterable(names)]
        largest = float(np.finfo(float).max)
        found = _Bounds(
            counts=[len(some) for some in names],
            lowest=np.array([low if with_low else np.nextafter(low, np.inf) for low, with_low, _ in limits]),
            highest=np.array([np.inf if with_infinity else largest for _, _, with_infinity in limits]),
        )
        network.memo["bounds"] = found
    return found


def check_one(network: Network, parameters: Parameters) -> None:
    """Check the parameters of one case: shape and ranges."""
    bounds = _bounds(network)
    if [len(values) for values in parameters] == bounds.counts:
        flat = np.array(list(chain.from_iterable(parameters)))
        plain = flat.ndim == 1 and flat.dtype.kind == "f"
        if plain and (flat >= bounds.lowest).all() and (flat <= bounds.highest).all():
            _check_pairs(network, parameters)
            return
    if check_shape(network, parameters) is not None:
        raise NetworkError("arrays where one case was asked for", wanted="one number a parameter")
    check_values(network, parameters)


def check_values(network: Network, parameters: RowParameters) -> None:
    """Refuse parameters outside their ranges, and nan; says which branch and what would do."""
    for branch, values in zip(network.branches, parameters, strict=True):
        for name, value in zip(branch.parameter_names, values, strict=True):
            lowest, with_lowest, with_infinity = _LIMITS[name]
            low, high = (value, value) if isinstance(value, float | int) else (np.min(value), np.max(value))
            above = low >= lowest if with_lowest else low > lowest
            if not (above and (high < np.inf or with_infinity)):
                _refuse(branch, name, float(low if not above else high))
    _check_pairs(network, parameters)


def _check_pairs(network: Network, parameters: RowParameters) -> None:
    """Check what one limit a parameter can't say."""
    special = network.memo.get("special")
    if not isinstance(special, list):
        special = [
            index
            for index, branch in enumerate(network.branches)
            if branch.law in {Law.BATTERY, Law.POWER_LAW} or branch.feeds is not None
        ]
        network.memo["special"] = special
    for index in special:
        branch, values = network.branches[index], parameters[index]
        if branch.law is Law.BATTERY and _mixed(values[1], values[2]):
            _refuse(branch, "charge_ohm", float(np.max(values[2])))
        if branch.feeds is not None and bool(np.max(values[0]) > 1):
            _refuse(branch, "efficiency", float(np.max(values[0])))
        if branch.law is Law.POWER_LAW and isinstance(values[2], np.ndarray) and np.ptp(values[2]) > 0:
            _refuse(branch, "exponent", float(np.max(values[2])))


def _mixed(discharge_ohm: float | Array, charge_ohm: float | Array) -> bool:
    """Whether a battery is open one way only."""
    if isinstance(discharge_ohm, float) and isinstance(charge_ohm, float):
        return math.isinf(discharge_ohm) != math.isinf(charge_ohm)
    return bool(np.any(np.isinf(discharge_ohm) != np.isinf(charge_ohm)))


def _refuse(branch: Branch, name: str, value: float) -> None:
    lowest, with_lowest, with_infinity = _LIMITS[name]
    wanted = (
        "a finite number" if lowest == -np.inf else f"{'at least' if with_lowest else 'above'} {lowest:g}"
    )
    if name in {"ohm", "cold_ohm"}:
        wanted += " (merge the nodes of a part without resistance; inf is open)"
    elif name == "charge_ohm":
        wanted += ", inf only where discharge_ohm is (a battery taken out)"
    elif name == "efficiency":
        wanted += " and at most 1"
    elif name == "exponent":
        wanted += " and the same in every row"
    elif not with_infinity and lowest != -np.inf:
        wanted += " and finite"
    raise NetworkError(
        f"branch {branch.name!r} ({branch.law}) has {name}={value:g}", wanted=wanted, where=(branch.name,)
    )
