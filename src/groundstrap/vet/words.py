"""The sentences of `vet`: the one place here where numbers are rounded, and only for their words.

A `why` and a `remark` are results, so they are made with the figures they speak of; the figures themselves
stay whole beside them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from groundstrap.words import joined, words

__all__ = ["amps", "chance", "either", "figures", "multiple", "ohms", "percent", "remarks", "volts", "watts"]


def figures(value: float, significant: int = 3) -> str:
    """Return a number with so many significant figures and no exponent.

    >>> figures(248.3), figures(0.7204), figures(15.0), figures(2222.2)
    ('248', '0.72', '15', '2220')
    """
    if value == 0:
        return "0"
    places = significant - 1 - math.floor(math.log10(abs(value)))
    # Half goes up, as people round: 20.25 A is 20.3 A. Twelve figures first, so that 0.1 + 0.2 is 0.3.
    shown = Decimal(f"{value:.12g}").quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    text = f"{shown:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def watts(value_w: float) -> str:
    """Return a power in words.

    >>> watts(79.38)
    '79.4 W'
    """
    return f"{figures(value_w)} W"


def amps(value_a: float) -> str:
    """Return a current in words.

    >>> amps(20.25), amps(0.15)
    ('20.3 A', '0.15 A')
    """
    return f"{figures(value_a)} A"


def ohms(value_ohm: float) -> str:
    """Return a resistance in words.

    >>> ohms(0.72)
    '0.72 ohm'
    """
    return f"{figures(value_ohm)} ohm"


def volts(value_v: float) -> str:
    """Return a voltage in words: always one decimal, two where one would change it.

    >>> volts(12), volts(13.35)
    ('12.0 V', '13.35 V')
    """
    return f"{value_v:.1f} V" if abs(round(value_v, 1) - value_v) < 1e-9 else f"{value_v:.2f} V"


def multiple(count: int, text: str) -> str:
    """Return a quantity of one piece with how many there are.

    >>> multiple(4, "27 W"), multiple(1, "27 W")
    ('4 x 27 W', '27 W')
    """
    return text if count == 1 else f"{count} x {text}"


def chance(probability: float) -> str:
    """Return a probability in words.

    >>> chance(0.352), chance(0.9999), chance(0.0)
    ('35 %', 'over 99 %', 'under 1 %')
    """
    if probability > 0.99:
        return words("over 99 %")
    return words("under 1 %") if probability < 0.01 else f"{probability * 100:.0f} %"


def percent(share: float) -> str:
    """Return a share in words.

    >>> percent(0.88), percent(0.9245)
    ('88 %', '92 %')
    """
    return f"{share * 100:.0f} %"


def either(first: str, second: str, joint: str) -> str:
    """Return two texts joined, or one where both are the same.

    >>> either("5 A", "5 A", "to"), either("5 A", "6 A", "to")
    ('5 A', '5 A to 6 A')
    """
    return first if first == second else joined(" ", (first, joint, second))


def remarks(parts: Sequence[str]) -> str:
    """Return remarks in one line, empty ones left out.

    >>> remarks(("cold ohms", "", "leads unknown"))
    'cold ohms; leads unknown'
    """
    return joined("; ", [part for part in parts if part])
