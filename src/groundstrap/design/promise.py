"""Which swaps from a choice may pass, as far as can be told without trying them.

One circuit goes a size up for which others go one down. What each of these alone is over by is known by then,
and the one up can spare no more than its own wires lose less, of the limits of its loads alone. That others
gain a little too, as loads that keep their power draw less, is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from groundstrap.design.trim import Choice, Swap

__all__ = ["Promise"]

Floats = NDArray[np.float64]

_RELIEF_FACTOR = 1.4
"""One thicker circuit spares others no more than this times what its wires lose less at the same current.

Own judgement: cooler wires resist less, and loads that keep their power draw a few percent less; on random
vehicles it was at most 1.21 times that. Beside others one size thinner currents are a few percent larger.
"""

_TOGETHER = 0.9
"""Several circuits one size thinner drop at least this share of what each of them alone adds, summed.

Own judgement: of loads that keep their power they drop more than the sum; heaters and lamps draw less the
more is lost. On random vehicles it was never below 0.99.
"""


class Promise:
    """What is known of the neighbours of one choice."""

    def __init__(
        self, at: Choice, over_v: Callable[[Choice], Floats], spared_v: Callable[[str], Floats]
    ) -> None:
        """Take how far a choice is over each limit, and what a circuit one size up loses less for each. [V]

        Both are nan where there is no working point; then nothing is ruled out.
        """
        self._at, self._over_of, self._spared_of = at, over_v, spared_v
        self._base_v = over_v(at)
        self._over: dict[str, Floats] = {}
        self._spared: dict[str, Floats] = {}

    def may_pass(self, swap: Swap) -> bool:
        """Tell whether a swap may pass: the one up can make up for what those down are over by."""
        spared_v = self._spared.get(swap.up)
        if spared_v is None:
            spared_v = self._spared[swap.up] = _RELIEF_FACTOR * self._spared_of(swap.up)
        alone = [self._down(name) for name in swap.downs]
        over_v = alone[0]
        if len(alone) > 1:
            added_v = sum(np.maximum(each - self._base_v, 0.0) for each in alone)
            over_v = self._base_v + _TOGETHER * added_v
        return not (over_v > spared_v).any()

    def _down(self, name: str) -> Floats:
        if name not in self._over:
            lower: Mapping[str, int] = {**self._at, name: self._at[name] - 1}
            self._over[name] = self._over_of(lower)
        return self._over[name]
