"""Where a function crosses zero between two ends: one number, or many rows at once.

Chandrupatla's method (Advances in Engineering Software 28, 1997): bisection that takes an inverse quadratic
step wherever that step can be trusted. Written here because nothing that runs may need scipy.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from groundstrap.physics._numbers import Array

_MOST_STEPS: Final = 100
_SPACING: Final = 2.3e-16


def crossing(function: Callable[[float], float], low: float, high: float, *, tolerance: float) -> float:
    """Return the argument at which a function that has opposite signs at the two ends crosses zero.

    >>> round(crossing(lambda x: x * x - 2, 0, 2, tolerance=1e-12), 9)
    1.414213562
    """
    a, b = high, low
    fa, fb = function(a), function(b)
    if fa == 0.0 or fb == 0.0:
        return a if fa == 0.0 else b
    if (fa > 0.0) == (fb > 0.0):
        raise ArithmeticError("the function has the same sign at both ends")
    c, fc, share = a, fa, 0.5
    for _ in range(_MOST_STEPS):
        x = a + share * (b - a)
        fx = function(x)
        if (fx > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, fx
        best, f_best = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        least = (2 * _SPACING * abs(best) + tolerance) / abs(b - a)
        if least > 0.5 or f_best == 0.0:
            return best
        share = min(1 - least, max(least, _share(a, b, c, fa, fb, fc)))
    return best


def _share(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    if phi * phi < xi and (1 - phi) ** 2 < 1 - xi:
        return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5


def crossing_rows(function: Callable[[Array], Array], low: Array, high: Array, *, tolerance: float) -> Array:
    """Return, row by row, where a function that has opposite signs at the two ends crosses zero.

    >>> aim, high = np.array([2.0, 9.0]), np.full(2, 4.0)
    >>> rows = crossing_rows(lambda x: x * x - aim, np.zeros(2), high, tolerance=1e-12)
    >>> rows.round(9).tolist()
    [1.414213562, 3.0]
    """
    a, b = high.copy(), low.copy()
    fa, fb = function(a), function(b)
    if bool((np.sign(fa) * np.sign(fb) > 0).any()):
        raise ArithmeticError("the function has the same sign at both ends of some row")
    share = np.full_like(a, 0.5)
    for _ in range(_MOST_STEPS):
        x = a + share * (b - a)
        fx = function(x)
        same = (fx > 0.0) == (fa > 0.0)
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, fx
        first = np.abs(fa) < np.abs(fb)
        best, f_best = np.where(first, a, b), np.where(first, fa, fb)
        span = np.maximum(np.abs(b - a), np.finfo(float).tiny)
        least = (2 * _SPACING * np.abs(best) + tolerance) / span
        if bool(((least > 0.5) | (f_best == 0.0)).all()):
            return best
        share = np.clip(
            _share_rows((a, b, c), (fa, fb, fc)), np.minimum(least, 0.5), 1 - np.minimum(least, 0.5)
        )
    return best


def _share_rows(x: tuple[Array, Array, Array], f: tuple[Array, Array, Array]) -> Array:
    (a, b, c), (fa, fb, fc) = x, f
    with np.errstate(all="ignore"):  # rows that have finished divide by nothing; their share is not used
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        trusted = (phi * phi < xi) & ((1 - phi) ** 2 < 1 - xi)
        quadratic = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return np.where(trusted & np.isfinite(quadratic), quadratic, 0.5)
