"""A reading of a load that would fit its claim in another unit: ohms typed for milliohms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from groundstrap.vet.claims import ClaimFigure
from groundstrap.vet.words import figures
from groundstrap.words import words

__all__ = ["other_unit"]

_THOUSAND: Final = 1000.0
_NEAR: Final = 2.0
"""Times a claim, within which a reading in another unit would fit it; own judgement. [1]"""


def other_unit(
    says: Mapping[str, float | str], nominal_v: float, pieces: int, claimed: Sequence[ClaimFigure]
) -> str:
    """Return what was meant where a reading fits a claim a thousand times less or more; empty else.

    Parameters
    ----------
    says : mapping of str to float or str
        What was read: `resistance_ohm` or `current_a`.
    nominal_v : float
        Of what feeds it. [V]
    pieces : int
        How many of it there are: a reading is of one.
    claimed : sequence of ClaimFigure
        What is claimed of it.
    """
    ohm, amp = says.get("resistance_ohm"), says.get("current_a")
    value = ohm if isinstance(ohm, float) else amp
    if not isinstance(value, float) or value <= 0.0:
        return ""
    read_w = (nominal_v**2 / value if value is ohm else value * nominal_v) * pieces
    for times, less in ((1.0 / _THOUSAND, value is not ohm), (_THOUSAND, value is ohm)):
        near = [each for each in claimed if each.power_w / _NEAR <= read_w * times <= each.power_w * _NEAR]
        if near:
            unit = "ohm" if value is ohm else "A"
            meant = f"{figures(value)} m{unit}" if less else f"{figures(_THOUSAND * value)} {unit}"
            return words("did you mean {meant}? That would fit what is claimed", meant=meant)
    return ""
