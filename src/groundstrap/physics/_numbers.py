"""Numbers as the formulas take them: a plain float, or an array of rows, by the same text."""

import math
from typing import TypeVar, overload

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Num = TypeVar("Num", float, Array)


@overload
def square_root(x: float) -> float: ...
@overload
def square_root(x: Array) -> Array: ...
def square_root(x: float | Array) -> float | Array:
    """Square root of a float or of each number of an array; plain floats stay plain and fast.

    >>> square_root(9.0)
    3.0
    """
    return np.sqrt(x) if isinstance(x, np.ndarray) else math.sqrt(x)


@overload
def power(x: float, exponent: float) -> float: ...
@overload
def power(x: Array, exponent: float) -> Array: ...
def power(x: float | Array, exponent: float) -> float | Array:
    """A number that is not negative to a real power.

    >>> power(4.0, 1.5)
    8.0
    """
    return np.power(x, exponent) if isinstance(x, np.ndarray) else math.pow(x, exponent)


@overload
def expm1(x: float) -> float: ...
@overload
def expm1(x: Array) -> Array: ...
def expm1(x: float | Array) -> float | Array:
    """e to a number, less one; keeps its digits where the number is small.

    >>> expm1(0.0)
    0.0
    """
    return np.expm1(x) if isinstance(x, np.ndarray) else math.expm1(x)


@overload
def like(values: float | Array, given: float) -> float: ...
@overload
def like(values: float | Array, given: Array) -> Array: ...
def like(values: float | Array, given: float | Array) -> float | Array:
    """What was worked out on arrays, as a plain float where plain floats were given.

    >>> like(np.asarray(2.0), 1.0)
    2.0
    """
    return np.asarray(values) if isinstance(given, np.ndarray) else float(values)
