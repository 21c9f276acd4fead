"""Straight-line code for one case of a topology: Newton's step written out and compiled once.

A single case is too small for arrays: what it costs is the interpreter. Written out, the same sums as in
``kernel`` take microseconds. Only numbers of nodes and chains go into the text, never names or values.
"""

import math
from typing import Final, cast

from groundstrap.solve.block import POWER_LAW_FLOOR_V
from groundstrap.solve.case import current_at
from groundstrap.solve.kernel import AT_REST_V, HOT_SHARE, NEXT_STEP_V, OVER_LIMIT_A
from groundstrap.solve.stride_text import Stride, TakesStride, stride_text
from groundstrap.solve.topology import Topology

#: What the text may use beside its arguments.
_KNOWN: Final[dict[str, object]] = {
    "__builtins__": {},
    "abs": abs,
    "len": len,
    "zip": zip,
    "Stride": Stride,
    "current_at": current_at,
    "FLOOR": POWER_LAW_FLOOR_V,
    "HOT_SHARE": HOT_SHARE,
    "NEXT_STEP_V": NEXT_STEP_V,
    "AT_REST_V": AT_REST_V,
    "OVER_LIMIT_A": OVER_LIMIT_A,
    "INFINITE": math.inf,
}


def stride_for(topology: Topology) -> TakesStride:
    """Return the step of a topology, compiled at the first call."""
    found = topology.code_cache.get("stride")
    if found is None:
        scope: dict[str, object] = {}
        exec(compile(stride_text(topology), "<network>", "exec"), _KNOWN, scope)
        found = topology.code_cache["stride"] = scope["stride"]
    return cast(TakesStride, found)
