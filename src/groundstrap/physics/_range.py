"""The valid range of a formula: stated once, enforced on every call, printed in the docs from here."""

import functools
import inspect
import math
from collections.abc import Callable, Mapping
from typing import Final, ParamSpec, TypeVar

import numpy as np

from groundstrap.errors import OutOfRangeError

P = ParamSpec("P")
R = TypeVar("R")

POSITIVE: Final = (1e-15, 1e15)
"""More than nothing, and nothing that a vehicle knows is left out."""
NOT_NEGATIVE: Final = (0.0, 1e15)
ANY_FINITE: Final = (-1e15, 1e15)
POSITIVE_OR_ENDLESS: Final = (1e-15, math.inf)
NOT_NEGATIVE_OR_ENDLESS: Final = (0.0, math.inf)


def within(**limits: tuple[float, float]) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Declare a formula's valid range once: enforced here, printed in the docs from here.

    Works on floats and on arrays, where the first number outside is named; refuses nan. The range is kept
    on the function as ``valid_range``.

    >>> @within(temp_c=(-60, 250))
    ... def half(temp_c: float) -> float:
    ...     return temp_c / 2
    >>> half(20)
    10.0
    >>> half(293)
    Traceback (most recent call last):
    groundstrap.errors.OutOfRangeError: half: temp_c=293 is outside -60 to 250, the range its source covers
    >>> half.valid_range
    {'temp_c': (-60, 250)}
    """

    def wrap(function: Callable[P, R]) -> Callable[P, R]:
        checks = _checks(function, limits)
        name_of_function = getattr(function, "__name__", "formula")

        @functools.wraps(function)
        def inner(*args: P.args, **kwargs: P.kwargs) -> R:
            given = len(args)
            for name, place, low, high in checks:
                if name in kwargs:
                    value = kwargs[name]
                elif place < given:
                    value = args[place]
                else:
                    continue
                # Most are plain numbers within their range; the rest is looked at one by one.
                if value.__class__ is not float or not low <= value <= high:
                    check(name_of_function, name, value, (low, high))
            return function(*args, **kwargs)

        inner.__dict__["valid_range"] = dict(limits)
        return inner

    return wrap


def _checks(
    function: Callable[..., object], limits: Mapping[str, tuple[float, float]]
) -> list[tuple[str, int, float, float]]:
    """Where each limited parameter stands; a limit on a parameter that isn't there is our own mistake."""
    names = list(inspect.signature(function).parameters)
    return [(name, names.index(name), low, high) for name, (low, high) in limits.items()]


def check(function: str, name: str, value: object, limits: tuple[float, float]) -> None:
    """Refuse a number, or an array with a number, that is outside its limits; nan always is.

    >>> check("half", "temp_c", 20, (-60, 250))
    """
    low, high = limits
    if isinstance(value, np.ndarray):
        outside = ~((value >= low) & (value <= high))
        if outside.any():
            raise OutOfRangeError(function, name, float(value[outside].flat[0]), low, high)
    elif not low <= value <= high:  # type: ignore[operator]  # what is no number fails here by itself
        raise OutOfRangeError(function, name, value, low, high)  # type: ignore[arg-type]
