"""Which code takes the Newton steps of many rows: numpy's, or machine code where numba is installed."""

import importlib
import importlib.util
from enum import StrEnum
from typing import Protocol

from groundstrap.errors import CannotDoError
from groundstrap.records import dataclass
from groundstrap.solve.block import TakesStride, Writes
from groundstrap.solve.kernel import stride
from groundstrap.solve.network import RowParameters
from groundstrap.solve.results import Rows
from groundstrap.solve.topology import Topology


class Settles(Protocol):
    """Write down every row that has an easy answer, where it can; see ``fast_settle``."""

    def __call__(  # noqa: D102
        self, topology: Topology, parameters: RowParameters, result: Rows, /, *, heat: bool
    ) -> bool: ...


class Backend(StrEnum):
    """``AUTO`` takes machine code where it is to be had; ``FAST`` insists on it."""

    NUMPY = "numpy"
    AUTO = "auto"
    FAST = "fast"


@dataclass(frozen=True, slots=True)
class Code:
    """What takes the steps, and what writes down where they end (None: ``recover``), and what does both."""

    stride: TakesStride
    writes: Writes | None
    settles: Settles | None


def code_of(backend: Backend) -> Code:
    """Return the code of a backend."""
    plain = Code(stride, None, None)
    if backend is Backend.NUMPY:
        return plain
    if importlib.util.find_spec("numba") is None:
        if backend is Backend.AUTO:
            return plain
        raise CannotDoError(
            "the fast backend needs numba, which is not installed",
            next_step="install groundstrap with the extra 'fast', or ask for 'numpy' or 'auto'",
        )
    # Late on purpose: numba takes a second to import, and nobody pays for it who does not ask.
    fast = importlib.import_module("groundstrap.solve.fast")
    writing = importlib.import_module("groundstrap.solve.fast_write")
    settling = importlib.import_module("groundstrap.solve.fast_settle")
    return Code(fast.stride, writing.write, settling.settle)
