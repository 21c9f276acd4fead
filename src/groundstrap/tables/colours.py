"""Colours of cables by the letters that drawings write for them."""

from __future__ import annotations

import re
from typing import Final

from groundstrap.tables._remember import remembered
from groundstrap.tables.table import table

__all__ = ["colour_code"]

_SAME: Final = {"gray": "grey", "light blue": "blue", "dark blue": "blue", "purple": "violet"}
_BETWEEN: Final = re.compile(r"\s*(?:/|-and-|\band\b|-|\s)\s*")


@remembered
def colour_code(colour: str) -> str | None:
    """Return the letters for a colour of a cable, or for two of them; None where a word is none of the table.

    Source: iec-60757.

    >>> [colour_code(text) for text in ("red", "Blue/white", "gray", "RD", "mauve")]
    ['RD', 'BUWH', 'GY', 'RD', None]
    """
    known = {row.text("colour"): row.text("letters") for row in table("colours_iec60757")}
    whole = _SAME.get(colour.strip().lower(), colour.strip().lower())
    if whole in known:
        return known[whole]
    letters = set(known.values())
    found = []
    for word in _BETWEEN.split(whole):
        code = word.upper() if word.upper() in letters else known.get(_SAME.get(word, word))
        if code is None:
            return None
        found.append(code)
    return "".join(found)
