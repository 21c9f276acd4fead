"""Pulse trains in a fuse: its element as one body that a pulse heats and a pause cools.

The body's state is a share: 0 at rest, 1 where the element melts. A pulse short beside the time constant adds
its heat integral over the melting integral; a current that flows for ever settles at the square of its share
of the current that just melts the element. Conductors have their own law in ``transient``.
"""

import math
from collections.abc import Callable

from groundstrap.errors import OutOfRangeError
from groundstrap.physics._range import NOT_NEGATIVE, POSITIVE, within
from groundstrap.physics._root import crossing
from groundstrap.records import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PulseTrain:
    """What an endless train of pulses does to a fuse's element.

    ``peak_share`` is the highest share of melting, ``start_share`` that just before each pulse, and
    ``pulses_to_melt`` the number of the pulse, from rest, in which it melts: inf where it never does, 0 where
    the current between the pulses does it alone.
    """

    peak_share: float
    start_share: float
    pulses_to_melt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulse:
    """A current that flows for ``run_s``: from ``peak_a`` it decays towards ``steady_a``.

    A rectangle has its peak equal to its steady current; its time constant then does not matter.
    """

    peak_a: float
    steady_a: float
    decay_s: float
    run_s: float


@within(melting_a2s=POSITIVE, melts_at_a=POSITIVE)
def element_time_constant_s(melting_a2s: float, *, melts_at_a: float) -> float:
    """Time constant of a fuse's element taken as one body. [s]

    Source: own-judgement: the body that melts after the melting integral in a short time and after a very
    long time at ``melts_at_a``.

    Parameters
    ----------
    melting_a2s : float
        Nominal melting integral. [A2 s]
    melts_at_a : float
        Least current that melts it in the end: between 1.1 and 1.35 times the rating. [A]

    Examples
    --------
    By hand: 308 / 25^2.

    >>> element_time_constant_s(308, melts_at_a=25)
    0.4928
    """
    return melting_a2s / melts_at_a**2


@within(start_share=NOT_NEGATIVE, time_s=NOT_NEGATIVE, melting_a2s=POSITIVE, time_constant_s=POSITIVE)
def share_after(
    start_share: float, time_s: float, *, pulse: Pulse, melting_a2s: float, time_constant_s: float
) -> float:
    r"""Share of melting that a fuse's element has reached within a pulse. [1]

    Source: du/dt = i^2 / A - u / tau with a current that decays, solved in closed form.

    .. math:: u(t) = u_0 e^{-t/\tau} + \frac{1}{A} \int_0^t i(s)^2 e^{-(t-s)/\tau} ds

    Parameters
    ----------
    start_share : float
        Share at the start of the pulse. [1]
    time_s : float
        Time since the start, also past ``run_s`` of the pulse, which is not looked at. [s]
    pulse : Pulse
        The current.
    melting_a2s : float
        Nominal melting integral. [A2 s]
    time_constant_s : float
        Time constant of the element. [s]

    Examples
    --------
    By hand, a rectangle for one time constant: 30^2 * 0.5 / 308 * (1 - 1/e).

    >>> long = Pulse(peak_a=30, steady_a=30, decay_s=1, run_s=9)
    >>> round(share_after(0, 0.5, pulse=long, melting_a2s=308, time_constant_s=0.5), 4)
    0.9236
    """
    _check("share_after", pulse)
    return _share(start_share, time_s, pulse, melting_a2s, time_constant_s)


def _share(start: float, time_s: float, pulse: Pulse, melting_a2s: float, tau_s: float) -> float:
    surplus_a = pulse.peak_a - pulse.steady_a
    parts = (
        (pulse.steady_a**2, 0.0),
        (2 * pulse.steady_a * surplus_a, 1 / pulse.decay_s),
        (surplus_a**2, 2 / pulse.decay_s),
    )
    heat = sum(weight * _kept(rate, 1 / tau_s, time_s) for weight, rate in parts)
    return start * math.exp(-time_s / tau_s) + heat / melting_a2s


def _kept(rate: float, loss: float, time_s: float) -> float:
    """Heat that came in as exp(-rate t), went as exp(-loss t) and is left at a time; never overflows."""
    gap = loss - rate
    if gap == 0:
        return time_s * math.exp(-loss * time_s)
    if gap > 0:
        return math.exp(-rate * time_s) * -math.expm1(-gap * time_s) / gap
    return math.exp(-loss * time_s) * math.expm1(gap * time_s) / gap


def _check(function: str, pulse: Pulse) -> None:
    for name in ("peak_a", "steady_a"):
        if not 0 <= getattr(pulse, name) < math.inf:
            raise OutOfRangeError(function, name, getattr(pulse, name), 0, math.inf)
    for name in ("decay_s", "run_s"):
        if not 0 < getattr(pulse, name) < math.inf:
            raise OutOfRangeError(function, name, getattr(pulse, name), 0, math.inf)
    if pulse.peak_a < pulse.steady_a:
        raise OutOfRangeError(function, "peak_a", pulse.peak_a, pulse.steady_a, math.inf)


@within(start_share=NOT_NEGATIVE, melting_a2s=POSITIVE, time_constant_s=POSITIVE)
def highest_share(start_share: float, *, pulse: Pulse, melting_a2s: float, time_constant_s: float) -> float:
    """Highest share of melting that a fuse's element reaches in one pulse. [1]

    Source: ``share_after`` where it stops rising: the current never rises, so that happens once at most.

    Parameters
    ----------
    start_share : float
        Share at the start of the pulse. [1]
    pulse : Pulse
        The current.
    melting_a2s : float
        Nominal melting integral. [A2 s]
    time_constant_s : float
        Time constant of the element. [s]

    Examples
    --------
    A short pulse adds its heat integral: by hand 60^2 * 0.02 / 2 over 308.

    >>> lamp = Pulse(peak_a=60, steady_a=0, decay_s=0.02, run_s=0.2)
    >>> round(highest_share(0, pulse=lamp, melting_a2s=308, time_constant_s=1e4), 4)
    0.1169
    """
    _check("highest_share", pulse)
    return _highest(start_share, pulse, melting_a2s, time_constant_s)


def _highest(start: float, pulse: Pulse, melting_a2s: float, tau_s: float) -> float:
    def speed(time_s: float) -> float:
        current_a = pulse.steady_a + (pulse.peak_a - pulse.steady_a) * math.exp(-time_s / pulse.decay_s)
        return current_a**2 / melting_a2s - _share(start, time_s, pulse, melting_a2s, tau_s) / tau_s

    if speed(0.0) <= 0:
        return start
    if speed(pulse.run_s) >= 0:
        return _share(start, pulse.run_s, pulse, melting_a2s, tau_s)
    top_s = crossing(speed, 0.0, pulse.run_s, tolerance=1e-12 * pulse.run_s)
    return _share(start, top_s, pulse, melting_a2s, tau_s)


@within(every_s=POSITIVE, rest_a=NOT_NEGATIVE, melting_a2s=POSITIVE, time_constant_s=POSITIVE)
def pulse_train(
    pulse: Pulse, *, every_s: float, rest_a: float, melting_a2s: float, time_constant_s: float
) -> PulseTrain:
    """What an endless train of pulses does to a fuse's element: whether it opens for no fault.

    Source: ``share_after`` for pulse and pause in turn, solved for the cycle that repeats itself. Wear by the
    number of pulses is not in it: see ``pulse_budget_a2s``.

    Parameters
    ----------
    pulse : Pulse
        The current of each pulse.
    every_s : float
        From the start of one pulse to the next; not under the pulse's ``run_s``. [s]
    rest_a : float
        Current between pulses. [A]
    melting_a2s : float
        Nominal melting integral. [A2 s]
    time_constant_s : float
        Time constant of the element. [s]

    Examples
    --------
    By hand, 1 s in 2 s, tau 1 s, a pulse that alone settles at 1: (1 - e^-1) / (1 - e^-2).

    >>> train = pulse_train(Pulse(peak_a=10, steady_a=10, decay_s=1, run_s=1), every_s=2, rest_a=0,
    ...                     melting_a2s=100, time_constant_s=1)
    >>> round(train.peak_share, 4), train.pulses_to_melt
    (0.7311, inf)
    """
    _check("pulse_train", pulse)
    if every_s < pulse.run_s:
        raise OutOfRangeError("pulse_train", "every_s", every_s, pulse.run_s, math.inf)
    pause_s = every_s - pulse.run_s
    rest = Pulse(peak_a=rest_a, steady_a=rest_a, decay_s=time_constant_s, run_s=every_s)
    after_pulse = _share(0.0, pulse.run_s, pulse, melting_a2s, time_constant_s)
    gained = _share(after_pulse, pause_s, rest, melting_a2s, time_constant_s)
    start = gained / -math.expm1(-every_s / time_constant_s)

    def top(share: float) -> float:
        return max(share, _highest(share, pulse, melting_a2s, time_constant_s))

    return PulseTrain(
        peak_share=top(start),
        start_share=start,
        pulses_to_melt=_pulses_to_melt(
            top,
            first=rest_a**2 * time_constant_s / melting_a2s,
            last=start,
            cycle_spans=every_s / time_constant_s,
        ),
    )


def _pulses_to_melt(top: Callable[[float], float], *, first: float, last: float, cycle_spans: float) -> float:
    """Number of the pulse that melts: before each one the share nears ``last`` by the same factor."""
    if first >= 1:
        return 0.0
    if top(first) >= 1:
        return 1.0
    if top(last) <= 1:
        return math.inf
    enough = crossing(lambda share: top(share) - 1, first, last, tolerance=1e-14)
    if enough >= last:
        return math.inf
    return 1.0 + math.ceil(math.log((last - first) / (last - enough)) / cycle_spans)
