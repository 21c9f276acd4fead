"""The state of a network from readings: weighted least squares, and which reading does not fit.

A design row says by how much a reading moves with each unknown. What is known before a reading is taken (a
part's tolerance) is one more row, with the value expected as its reading. The chi-square of the residuals
says whether all fits together; a residual over its own standard deviation says which reading does not.
"""

import math
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.errors import CallError, OutOfRangeError
from groundstrap.physics._numbers import Array
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics.distributions import chi_square_exceeds
from groundstrap.records import dataclass

LARGEST_SOUND: Final = 3.0
"""Normalised residual above which a reading counts as bad; Abur and Exposito, chapter 5. [1]"""

_BLIND: Final = 1e-9
"""Share of its own variance under which a residual can't move: nothing checks that reading. [1]"""
_MOST_STEPS: Final = 50
_STILL: Final = 1e-12
"""Step over the size of the state, from where it has settled. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StateEstimate:
    """Unknowns as readings have them, and how well the readings agree.

    ``residuals`` are readings less what the state predicts; ``normalised`` are those over their own standard
    deviation, nan where nothing else says anything about a reading, so that its error can't show
    (``critical``). ``p`` is the chance of sound readings that agree less; 1 without redundancy.
    """

    state: Array
    covariance: Array
    predicted: Array
    residuals: Array
    normalised: Array
    critical: NDArray[np.bool_]
    chi2: float
    degrees: int
    p: float
    steps: int

    @property
    def worst(self) -> int | None:
        """The reading with the largest normalised residual, None where all are critical."""
        if bool(self.critical.all()):
            return None
        return int(np.nanargmax(np.abs(self.normalised)))


@dataclass(frozen=True, slots=True)
class Linearised:
    """What a model predicts at a state, and how each prediction moves with each unknown."""

    predicted: Array
    design: Array


def estimate_state(design: Array, readings: Sequence[float] | Array, covariance: Array) -> StateEstimate:
    r"""Unknowns of a linear model by weighted least squares, with the tests of the readings.

    Source: F. C. Schweppe and J. Wildes, IEEE Trans. PAS-89 (1970) 120, from memory; Abur and Exposito,
    Power System State Estimation (2004), chapters 2 and 5.

    .. math:: \hat x = (H^T V^{-1} H)^{-1} H^T V^{-1} z, \quad
        r^N_i = \frac{|r_i|}{\sqrt{\Omega_{ii}}}, \quad \Omega = V - H (H^T V^{-1} H)^{-1} H^T

    Parameters
    ----------
    design : array of float, readings x unknowns
        How each reading moves with each unknown. [unit of the reading / unit of the unknown]
    readings : sequence of float
        The readings. [their units]
    covariance : array of float
        Covariance of the readings, positive definite; or their variances alone. [their units squared]

    Examples
    --------
    By hand: one ohm from 20 mV and 22 mV at 20 A, each within 1 mV: the mean, and 1 mV off from both.

    >>> found = estimate_state(np.array([[20.0], [20.0]]), (0.020, 0.022), np.array([1e-6, 1e-6]))
    >>> round(float(found.state[0]) * 1e3, 6), round(found.chi2, 6), found.degrees
    (1.05, 2.0, 1)
    >>> found.normalised.round(4).tolist()
    [-1.4142, 1.4142]
    """
    h, z = np.asarray(design, dtype=float), np.asarray(readings, dtype=float)
    v = _sound(covariance)
    gain, normal = _normal(h, v)
    state = np.linalg.solve(normal, gain.T @ z)
    return _tested(h, z, h @ state, v, state, _inverse(normal), steps=1)


def estimate_by_steps(
    model: Callable[[Array], Linearised],
    start: Sequence[float] | Array,
    readings: Sequence[float] | Array,
    covariance: Array,
) -> StateEstimate:
    """Unknowns of a model that is not linear: the linear answer again and again from where it leads.

    Source: Gauss-Newton method; Abur and Exposito, chapter 2.

    Parameters
    ----------
    model : callable
        Unknowns -> what it predicts, and how that moves with each. [their units]
    start : sequence of float
        Where to begin. [units of the unknowns]
    readings : sequence of float
        The readings. [their units]
    covariance : array of float
        Covariance of the readings, or their variances alone. [their units squared]

    Examples
    --------
    By hand: a square of 9 within 0.1 and a value of 3.1 within 0.1 lie near 3.

    >>> def both(x):
    ...     return Linearised(np.array([x[0] ** 2, x[0]]), np.array([[2 * x[0]], [1.0]]))
    >>> found = estimate_by_steps(both, (2.0,), (9.0, 3.1), np.array([0.01, 0.01]))
    >>> round(float(found.state[0]), 3), found.steps < 8
    (3.003, True)
    """
    x, z, v = np.array(start, dtype=float), np.asarray(readings, dtype=float), _sound(covariance)
    for steps in range(1, _MOST_STEPS + 1):
        at = model(x)
        gain, normal = _normal(at.design, v)
        step = np.linalg.solve(normal, gain.T @ (z - at.predicted))
        x = x + step
        if float(np.abs(step).max()) <= _STILL * max(1.0, float(np.abs(x).max())):
            at = model(x)
            _, normal = _normal(at.design, v)
            return _tested(at.design, z, at.predicted, v, x, _inverse(normal), steps=steps)
    raise CallError(
        f"the state does not settle in {_MOST_STEPS} steps", wanted="readings that one state can explain"
    )


@within(variance=NOT_NEGATIVE, noise=POSITIVE)
def information_nat(variance: float, *, noise: float) -> float:
    r"""What a reading is expected to tell of something, where both are normal. [nat]

    Source: D. V. Lindley, Ann. Math. Statist. 27 (1956) 986, from memory.

    .. math:: I = \tfrac{1}{2} \ln \left(1 + \frac{h P h^T}{\sigma^2}\right)

    Parameters
    ----------
    variance : float
        Variance of the reading by what is not known yet. [unit of the reading squared]
    noise : float
        Standard uncertainty of the reading itself. [unit of the reading]

    Examples
    --------
    By hand: what is known to 20 mV read within 10 mV: ln(5) / 2.

    >>> round(information_nat(0.02**2, noise=0.01), 4)
    0.8047
    """
    return 0.5 * math.log1p(variance / noise**2)


def _sound(covariance: Array) -> Array:
    """A covariance, or variances alone, of which none is nothing."""
    given = np.asarray(covariance, dtype=float)
    least = float((given if given.ndim == 1 else np.linalg.eigvalsh(given)).min())
    if not least > 0.0:
        raise OutOfRangeError("estimate_state", "covariance", least, 0.0, math.inf)
    return given


def _over(covariance: Array, values: Array) -> Array:
    """Values over their covariance; variances alone need no solving."""
    if covariance.ndim == 1:
        return np.asarray((values.T / covariance).T, dtype=np.float64)
    return np.asarray(np.linalg.solve(covariance, values), dtype=np.float64)


def _normal(design: Array, covariance: Array) -> tuple[Array, Array]:
    """Weighted design and normal matrix; refused where the readings leave an unknown open."""
    gain = _over(covariance, design)
    normal = np.asarray(design.T @ gain, dtype=np.float64)
    unknowns = normal.shape[0]
    scale = np.sqrt(np.maximum(np.diag(normal), 0.0))
    if not scale.all() or np.linalg.matrix_rank(normal / np.outer(scale, scale), hermitian=True) < unknowns:
        raise CallError(
            "the readings leave an unknown open",
            wanted=f"readings that say something of all {unknowns}, or what is known of each before",
        )
    return gain, normal


def _inverse(matrix: Array) -> Array:
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)


def _tested(
    design: Array,
    readings: Array,
    predicted: Array,
    covariance: Array,
    state: Array,
    spread: Array,
    *,
    steps: int,
) -> StateEstimate:
    residuals = readings - predicted
    alone = covariance if covariance.ndim == 1 else np.diag(covariance)
    own = alone - np.einsum("ij,jk,ik->i", design, spread, design, optimize=True)
    critical = own <= _BLIND * alone
    normalised = np.full(len(readings), np.nan)
    normalised[~critical] = residuals[~critical] / np.sqrt(own[~critical])
    chi2 = float(residuals @ _over(covariance, residuals))
    degrees = len(readings) - len(state)
    return StateEstimate(
        state=state,
        covariance=spread,
        predicted=predicted,
        residuals=residuals,
        normalised=normalised,
        critical=critical,
        chi2=chi2,
        degrees=degrees,
        p=chi_square_exceeds(chi2, degrees) if degrees > 0 else 1.0,
        steps=steps,
    )
