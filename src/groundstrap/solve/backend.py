"""Which code takes the Newton steps of many rows: numpy's, or machine code where numba is installed."""

import importlib
import importlib.util
from enum import StrEnum

from groundstrap.errors import CannotDoError
from groundstrap.solve.block import TakesStride
from groundstrap.solve.kernel import stride


class Backend(StrEnum):
    """``AUTO`` takes machine code where it is to be had; ``FAST`` insists on it."""

    NUMPY = "numpy"
    AUTO = "auto"
    FAST = "fast"


def stride_of(backend: Backend) -> TakesStride:
    """Return what takes the steps."""
    if backend is Backend.NUMPY:
        return stride
    if importlib.util.find_spec("numba") is None:
        if backend is Backend.AUTO:
            return stride
        raise CannotDoError(
            "the fast backend needs numba, which is not installed",
            next_step="install groundstrap with the extra 'fast', or ask for 'numpy' or 'auto'",
        )
    # Late on purpose: numba takes a second to import, and nobody pays for it who does not ask.
    fast = importlib.import_module("groundstrap.solve.fast")
    chosen: TakesStride = fast.stride
    return chosen
