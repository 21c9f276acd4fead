"""What a solve gives back: a status, and the working point where there is one."""

from dataclasses import field, fields, replace
from enum import StrEnum
from typing import Final

import numpy as np
import numpy.typing as npt

from groundstrap.records import dataclass
from groundstrap.solve.network import Array, Flags, Network


class Status(StrEnum):
    """Whether a row has a working point; the list is closed."""

    FOUND = "found"
    NO_WORKING_POINT = "no working point"
    DOES_NOT_START_COLD = "does not start cold"
    TOO_HOT = "too hot to settle"
    UNSOLVED = "unsolved"

    @property
    def code(self) -> int:
        """The number that stands for the status in arrays."""
        return STATUSES.index(self)


#: The statuses in the order of their codes.
STATUSES: Final = tuple(Status)
FOUND_CODE: Final = 0
Codes = npt.NDArray[np.int8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One row's answer; without a working point every number but the count of iterations is nan.

    ``branch_a`` counts from start to end, ``branch_w`` is what a branch takes, so negative in a source that
    delivers. ``heat_share`` is kappa times the square of the current and ``hot_ratio`` the hot over the
    cold resistance; 0 and 1 in branches that do not heat. ``off`` are regulated sources that stand by
    because the rest holds a higher voltage than they would; ``unfed`` are loads that no source reaches,
    switched off beforehand.
    """

    network: Network = field(repr=False)
    status: Status
    node_v: tuple[float, ...]
    branch_v: tuple[float, ...]
    branch_a: tuple[float, ...]
    branch_w: tuple[float, ...]
    heat_share: tuple[float, ...]
    off: tuple[str, ...]
    unfed: tuple[str, ...]
    iterations: int
    worst_kirchhoff_a: float
    power_error_w: float

    @property
    def hot_ratio(self) -> tuple[float, ...]:
        """Hot over cold resistance of each branch, 1 where it does not heat."""
        return tuple(1.0 / (1.0 - share) for share in self.heat_share)

    @property
    def found(self) -> bool:
        """Whether there is a working point."""
        return self.status is Status.FOUND


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """The answers to many rows: arrays with one column a row; see ``Point`` for what each holds."""

    network: Network
    status_code: Codes
    node_v: Array
    branch_v: Array
    branch_a: Array
    heat_share: Array
    off: Flags
    unfed: Flags
    iterations: npt.NDArray[np.intp]
    worst_kirchhoff_a: Array
    power_error_w: Array

    @property
    def rows(self) -> int:
        """How many rows."""
        return int(self.status_code.size)

    @property
    def branch_w(self) -> Array:
        """What each branch takes, negative in a source that delivers."""
        return self.branch_v * self.branch_a

    @property
    def hot_ratio(self) -> Array:
        """Hot over cold resistance of each branch."""
        ratio: Array = 1.0 / (1.0 - self.heat_share)
        return ratio

    @property
    def found(self) -> Flags:
        """In which rows there is a working point."""
        flags: Flags = self.status_code == FOUND_CODE
        return flags

    def part(self, first: int, last: int) -> "Rows":
        """Return rows ``first`` up to ``last``; the arrays are parts of these."""
        arrays = {
            f.name: value[..., first:last]
            for f in fields(self)
            if isinstance(value := getattr(self, f.name), np.ndarray)
        }
        return replace(self, **arrays)  # type: ignore[arg-type]

    def put(self, rows: npt.NDArray[np.intp], part: "Rows") -> None:
        """Write other rows in place of some of these."""
        for f in fields(self):
            value = getattr(part, f.name)
            if isinstance(value, np.ndarray):
                getattr(self, f.name)[..., rows] = value

    def count(self, status: Status) -> int:
        """Return how many rows ended with a status."""
        return int(np.count_nonzero(self.status_code == status.code))

    def status(self, row: int) -> Status:
        """Return the status of a row."""
        return STATUSES[int(self.status_code[row])]

    def row(self, row: int) -> Point:
        """Return one row's answer."""
        names = [branch.name for branch in self.network.branches]
        branch_w = self.branch_v[:, row] * self.branch_a[:, row]
        return Point(
            network=self.network,
            status=self.status(row),
            node_v=tuple(self.node_v[:, row].tolist()),
            branch_v=tuple(self.branch_v[:, row].tolist()),
            branch_a=tuple(self.branch_a[:, row].tolist()),
            branch_w=tuple(branch_w.tolist()),
            heat_share=tuple(self.heat_share[:, row].tolist()),
            off=tuple(name for name, is_off in zip(names, self.off[:, row], strict=True) if is_off),
            unfed=tuple(name for name, is_off in zip(names, self.unfed[:, row], strict=True) if is_off),
            iterations=int(self.iterations[row]),
            worst_kirchhoff_a=float(self.worst_kirchhoff_a[row]),
            power_error_w=float(self.power_error_w[row]),
        )


def empty_rows(network: Network, rows: int) -> Rows:
    """Return room for the answers to many rows; ``heat_share``, ``off`` and ``unfed`` are nothing so far."""
    branches, nodes = len(network.branches), len(network.nodes)
    return Rows(
        network=network,
        status_code=np.zeros(rows, np.int8),
        node_v=np.empty((nodes, rows)),
        branch_v=np.empty((branches, rows)),
        branch_a=np.empty((branches, rows)),
        heat_share=np.zeros((branches, rows)),
        off=np.zeros((branches, rows), np.bool_),
        unfed=np.zeros((branches, rows), np.bool_),
        iterations=np.zeros(rows, np.intp),
        worst_kirchhoff_a=np.empty(rows),
        power_error_w=np.empty(rows),
    )
