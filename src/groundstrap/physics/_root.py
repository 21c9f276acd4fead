"""Where a function crosses zero between two ends.

Chandrupatla's method (Advances in Engineering Software 28, 1997): bisection that takes an inverse quadratic
step wherever that step can be trusted. Written here because nothing that runs may need scipy.
"""

from collections.abc import Callable
from typing import Final

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
