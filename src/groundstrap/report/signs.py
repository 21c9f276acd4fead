"""Signs as print has them: mm², °C, Ω, and numbers that keep their unit beside them."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

__all__ = ["HELD", "UNIT", "signs"]

HELD: Final = "\N{NO-BREAK SPACE}"
"""Between a number and its unit, so that no line ends there."""
UNIT: Final = (
    r"(?:[mkµM]?(?:Ah|Wh|ohm|Nm|[VAWΩmsg])|cm|mm2|mm²|cm3|cm³|AWG|SAE|ft|in|min|h|deg[CF]|°[CF]|K|%|kg|lbf in"
    r"|pc)"
)
"""Every unit that a number has in a text of this tool, as a terminal and as print has it."""
_SIGNS: Final = (
    (r"\bmm2\b", "mm²"),
    (r"\bcm3\b", "cm³"),
    (r"\bdeg([CF])\b", r"°\1"),
    (r"(?<=[\d})] )([mkµ]?)ohm\b", r"\1Ω"),
    (r"(?<=[\d}]) x (?=[\d{])", " × "),
    (r"(?<![\w-])-(?=\d)", "\N{MINUS SIGN}"),
)  # fmt: skip
_BEFORE_UNIT: Final = rf"(?<=[\d}}]) (?={UNIT}(?!\w))"


@lru_cache(maxsize=4096)
def signs(text: str) -> str:
    r"""Return a text, or a template of one, with the signs of print in it.

    >>> signs("16 mm2 at 60 degC, 3.7 mohm, -5 degC") == "16\xa0mm² at 60\xa0°C, 3.7\xa0mΩ, −5\xa0°C"
    True
    """
    for pattern, sign in _SIGNS:
        text = re.sub(pattern, sign, text)
    return re.sub(_BEFORE_UNIT, HELD, text)
