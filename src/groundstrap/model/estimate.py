"""What a load really takes, as the evidence says: made by `vet`, read by everything above it."""

from __future__ import annotations

import math
from enum import StrEnum

from groundstrap.errors import CannotDoError
from groundstrap.model.values import Uncertain
from groundstrap.records import dataclass

__all__ = ["LoadEstimate", "LoadLaw"]


class LoadLaw(StrEnum):
    """How the current follows the voltage: I = I0 (V/V0)^exponent."""

    RESISTIVE = "resistive"
    CONSTANT_POWER = "constant power"
    CONSTANT_CURRENT = "constant current"
    FILAMENT = "filament"
    MOTOR = "motor"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadEstimate:
    """Power of a load (all of its `count` together) at one voltage, and how it moves with voltage.

    `known` is False where nothing says what the load takes; then `power_w` is None.
    """

    load: str
    law: LoadLaw
    exponent: float
    """1 resistive, 0 constant current, -1 constant power, 0.55 filament, 1.5 motor under a fan or pump."""
    at_v: float
    power_w: Uncertain | None
    known: bool = True
    why: str = ""

    def current_a(self, volts: float, power_w: float | None = None) -> float:
        """Current at a voltage, for the estimate's value or for another power at `at_v`. [A]

        A load that nothing is known of has no current: ask `power_w` first.

        >>> heater = LoadEstimate(load="warmer", law=LoadLaw.RESISTIVE, exponent=1, at_v=12.0,
        ...                       power_w=Uncertain(120.0, 110.0, 130.0))
        >>> heater.current_a(14.4)
        12.0
        """
        if power_w is None:
            if self.power_w is None:
                raise CannotDoError(f"nothing says what {self.load} takes", next_step="measure it")
            power_w = self.power_w.value
        return power_w / self.at_v * math.pow(volts / self.at_v, self.exponent)
