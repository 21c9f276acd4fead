"""Plain values for JSON: absent instead of null, uncertain values as triples, the unknown by name."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from typing import Any, Final

from groundstrap.model import Uncertain

__all__ = ["Json", "json_text", "known", "triple"]

Json = dict[str, Any]

_DIGITS: Final = 10
"""Significant digits of a number: more than any meter has, fewer than the noise of the arithmetic."""


def triple(value: Uncertain | None) -> Json | None:
    """Return an uncertain value with both ends of its 95 % interval.

    >>> triple(Uncertain(2.0, 1.5, 2.5))
    {'value': 2.0, 'low': 1.5, 'high': 2.5}
    """
    return None if value is None else {"value": value.value, "low": value.low, "high": value.high}


def known(values: Mapping[str, Any], unknown: Iterable[str] = ()) -> Json:
    """Return what is there; None is left out, and what could not be reckoned is named.

    >>> known({"ampacity_a": None, "length_m": 2.0, "label": None}, ["ampacity_a"])
    {'length_m': 2.0, 'unknown': ['ampacity_a']}
    """
    there = {key: value for key, value in values.items() if value is not None}
    named = sorted({key for key in unknown if key not in there})
    return {**there, "unknown": named} if named else there


def json_text(value: Json) -> str:
    """Return one JSON object as text; names stay readable in any script.

    >>> print(json_text({"drop_v": 0.30000000000000004}), end="")
    {
      "drop_v": 0.3
    }
    """
    return json.dumps(_rounded(value), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        if value == 0.0 or not math.isfinite(value):
            # A minus before nothing says nothing; what is not finite is refused by the writer.
            return abs(value) if value == 0.0 else value
        return float(f"{value:.{_DIGITS}g}")
    if isinstance(value, dict):
        return {str(key): _rounded(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(inner) for inner in value]
    return value
