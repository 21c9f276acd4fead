"""A cache for look-ups that leaves their signature as it is for whoever checks types."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any, TypeVar, cast

__all__ = ["remembered"]

_Function = TypeVar("_Function", bound=Callable[..., Any])

_MOST: int = 8192
"""Answers kept per look-up: a fleet's worth of sizes, zones and counts, a few megabytes at most."""


def remembered(function: _Function) -> _Function:
    """Keep a pure look-up's answers; unlike the standard cache, argument types stay checked."""
    return cast("_Function", lru_cache(maxsize=_MOST)(function))
