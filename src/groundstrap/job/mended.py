"""One value as a person writes it, put as the file has it: `2.5 metres`, `-10 C`, `16 sq mm`, `850 CCA`.

Only a spelling is mended here, never a number or a missing unit: those are asked for by the form of the key.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from groundstrap.errors import QuantityError
from groundstrap.job.forms import Shape, ValueKind
from groundstrap.job.grammar import place_of
from groundstrap.units import parse_size, parse_value_or_range

__all__ = ["cranking_said", "mended"]

_THOUSANDTHS: Final = re.compile(r"\d\s*M[A-Z]{1,2}$")
"""`20 MA` may be milli or mega: nobody can tell, so it is asked."""
_CRANKING: Final = re.compile(
    r"(?:CCA\s*:?\s*(\d{2,4})\s*(?:a|amps?|amperes?)?|(\d{2,4})\s*(?:a|amps?|amperes?)?\s*\(?CCA\)?)",
    re.IGNORECASE,
)
_BY_STANDARD: Final = re.compile(
    r"(?:CCA\s*:?\s*)?(\d{2,4})\s*(?:a|amps?|amperes?)?,?\s*(?:CCA\s*)?\(?(?:by\s+)?(EN|SAE)\)?",
    re.IGNORECASE,
)


def mended(path: Sequence[str], value: str) -> str | None:
    """Return a value as the file spells it; None where nothing is to mend, or nobody can tell how.

    Parameters
    ----------
    path : Sequence of str
        Keys down to where it goes.
    value : str
        What was given.

    Examples
    --------
    >>> mended(("zones", "shelf", "ambient"), "-10 C"), mended(("circuits", "horn", "wire"), "16 sq mm")
    ('-10 degC', '16 mm2')
    >>> mended(("circuits", "horn", "length"), "2,5 metres"), mended(("circuits", "horn", "length"), "2.5")
    ('2.5 m', None)
    """
    form = place_of(path).form
    if form is None or _THOUSANDTHS.search(value) is not None:
        return None
    meant = _meant(value, form.shape)
    return None if meant is None or _meant(meant, form.shape) is not None else meant


def _meant(value: str, shape: Shape) -> str | None:
    try:
        if shape.kind is ValueKind.SIZE:
            parse_size(value)
        elif shape.quantities:
            parse_value_or_range(value, shape.quantities)
    except QuantityError as error:
        return error.nearest
    return None


def cranking_said(text: str) -> str | None:
    """Return a cranking current with its standard; `CCA` alone is the name of the American one.

    Source: sae-j537, whose rating it is the name of; a label by EN says so. Common practice.

    Parameters
    ----------
    text : str
        As it stands on a label, or as a person says it.

    Examples
    --------
    >>> cranking_said("850 CCA"), cranking_said("850A (EN)"), cranking_said("850 A")
    ('850 A SAE', '850 A EN', None)
    """
    standard = _BY_STANDARD.fullmatch(text.strip())
    if standard is not None:
        return f"{standard[1]} A {standard[2].upper()}"
    match = _CRANKING.fullmatch(text.strip())
    return None if match is None else f"{match[1] or match[2]} A SAE"
