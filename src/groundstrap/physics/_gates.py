"""Gates as every formula about a fuse wants them: as many times as multiples, rising and falling."""

import math
from collections.abc import Sequence
from itertools import pairwise

from groundstrap.errors import OutOfRangeError


def check_gates(function: str, multiples: Sequence[float], times_s: Sequence[float]) -> None:
    """Refuse gates that do not rise in current or that rise in time."""
    if len(multiples) != len(times_s) or not multiples:
        raise OutOfRangeError(
            function, "number of gates", len(times_s), max(1, len(multiples)), len(multiples)
        )
    for before, after in pairwise(multiples):
        if after <= before:
            raise OutOfRangeError(
                function, "gate_multiples", after, math.nextafter(before, math.inf), math.inf
            )
    for before, after in pairwise(times_s):
        if not 0 < after <= before:
            raise OutOfRangeError(function, "gate times", after, 0, before)
