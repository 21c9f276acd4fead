"""Plain values for JSON: absent instead of null, uncertain values as triples, the unknown by name."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from functools import lru_cache
from json.encoder import encode_basestring
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
    return _written(value, "\n") + "\n"


def _written(value: Any, line: str) -> str:
    """A value as JSON, as the standard library lays it out with an indent, which it does in half the speed.

    `line` is how a line begins where the value stands.
    """
    if isinstance(value, str):
        return encode_basestring(value)
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, dict):
        inner = f"{line}  "
        each = [f"{inner}{encode_basestring(str(key))}: {_written(v, inner)}" for key, v in value.items()]
        return f"{{{','.join(each)}{line}}}" if each else "{}"
    if isinstance(value, list | tuple):
        inner = f"{line}  "
        return f"[{','.join([inner + _written(v, inner) for v in value])}{line}]" if value else "[]"
    return "null" if value is None else json.dumps(value)


@lru_cache(maxsize=8192)
def _number(value: float) -> str:
    """A number with no more digits than are sure; a minus before nothing says nothing, and is left out."""
    if not math.isfinite(value):
        return json.dumps(value, allow_nan=False)  # refuses it
    return float.__repr__(float(f"{value:.{_DIGITS}g}")) if value else "0.0"
