"""Newton from above on a block of rows, until every row has a point, has lost it, or does not settle.

A pivot that is not positive, or a constant-power load that would stand at or below 0 V, says that no
working point lies below: see ``decide`` for what is made of it.

Method: Newton from above on a convex system falls monotonically to the greatest solution (J. M. Ortega and
W. C. Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables, 1970, sec. 13.3; from
memory).
"""

from typing import Final

import numpy as np

from groundstrap.records import dataclass
from groundstrap.solve.block import Block, State
from groundstrap.solve.kernel import NEXT_STEP_V, load_watts
from groundstrap.solve.network import Array, Flags
from groundstrap.solve.topology import Indices

STEP_V: Final = 1e-10
QUADRATIC_BELOW_V: Final = 0.05
#: A converter's input follows its output by one step: it has settled where both agree to this.
STEP_W: Final = 1e-9
STEP_PART: Final = 1e-12
#: Where an input follows itself (over a common negative, or two batteries that are linked) by more than this
#: for each watt, its power is not foreseen: close to 1 it runs away, and the steps must show it.
MOST_FEEDBACK: Final = 0.95
LEAST_FEEDBACK: Final = -4.0
FORESEEN_BELOW_V: Final = 0.5
# Where heat comes next, the cold point needs to exist, not to be known: steps that shrink tenfold prove it.
COLD_ENOUGH_V: Final = 1e-4
CONTRACTS: Final = 0.1
#: With heat the loads' volts may settle before the currents do, whose next step their ratio does not tell.
HOT_NEAR_V: Final = 2e-8
MOST_STEPS: Final = 40
# From here on the volts of loads and the currents of conductors move by half a step: two laws with a kink may
# otherwise throw a row to and fro. Where inputs of converters settle too, only just after a kink.
HALVE_FROM: Final = 10
#: From above, where lamps must not throw a row below its point, their laws are secants for so many steps.
SECANT_STEPS: Final = 2
_DROP_FINISHED: Final = 0.5


@dataclass(slots=True)
class Run:
    """Where Newton ended: rows that ``found`` a point, rows where it is ``gone``; others did not settle."""

    state: State
    found: Flags
    gone: Flags

    def take(self, chosen: Flags) -> "Run":
        """Return some of the rows."""
        return Run(self.state.take(np.flatnonzero(chosen)), self.found[chosen], self.gone[chosen])


@dataclass(slots=True)
class _Going:
    """The rows that are still going: their places in the whole, and where they stand."""

    rows: Indices
    block: Block
    state: State
    share: Array
    watts: Array
    before_v: Array
    done: Flags
    #: Where it is enough that a point is sure to exist; None where that is nowhere.
    loose: Flags | None
    #: Of the step before, where there are converters: what the loads took, and were then said to take.
    before_w: tuple[Array, Array] | None = None

    def take(self, left: Indices) -> "_Going":
        """Go on with some of the rows."""
        return _Going(
            rows=self.rows[left],
            block=self.block.take(left),
            state=self.state.take(left),
            share=self.share[:, left],
            watts=self.watts[:, left],
            before_v=self.before_v[left],
            done=np.zeros(left.size, np.bool_),
            loose=None if self.loose is None else self.loose[left],
            before_w=None if self.before_w is None else tuple(w[:, left] for w in self.before_w),  # type: ignore[arg-type]
        )


def newton(
    block: Block,
    state: State,
    share: Array,
    *,
    hot: bool,
    clipped: bool = False,
    no_load_first: bool = False,
    loose: bool | Flags = False,
    only: Flags | None = None,
    most: int = MOST_STEPS,
) -> Run:
    """Run Newton from a state, with a share of each constant-power load, until every row is done.

    ``hot`` lets conductors heat. ``clipped`` lets each regulated source stand by where the rest is above
    it; else its line goes on into the absorbing side, which keeps the way from above. ``no_load_first``
    takes the first step without constant-power loads. ``loose`` ends where a point is sure to exist, in every
    row or in some; ``only`` says which rows are solved at all, the others are not found.
    """
    run = Run(state, np.zeros(block.rows, np.bool_), np.zeros(block.rows, np.bool_))
    going = _all_rows(block, state, share, no_load=no_load_first, loose=loose)
    if only is not None:
        going.done = ~only
    # With heat, and on a path, a row starts beside its point; of its steps only the first tells nothing.
    secant = not (hot or clipped) and block.factor.shape[0] > 0
    begin = SECANT_STEPS if secant else 1
    for step in range(most):
        _step(
            run,
            going,
            step,
            begin,
            secant=secant,
            hot=hot,
            clipped=clipped,
            idle=no_load_first and step == 0,
        )
        if np.count_nonzero(going.done) > _DROP_FINISHED * going.done.size:
            _hand_back(run, going)
            if going.done.all():
                return run
            going = going.take(np.flatnonzero(~going.done))
    _hand_back(run, going)
    return run


def _all_rows(block: Block, state: State, share: Array, *, no_load: bool, loose: bool | Flags) -> _Going:
    """Every row at its beginning, without constant-power loads where these wait for the second step."""
    return _Going(
        rows=np.arange(block.rows),
        block=block,
        state=state.copy(),
        share=share,
        watts=np.zeros_like(block.watts) if no_load else load_watts(block, state, share),
        before_v=np.full(block.rows, np.inf),
        done=np.zeros(block.rows, np.bool_),
        loose=np.broadcast_to(loose, block.rows) if np.any(loose) else None,
    )


def _hand_back(run: Run, going: _Going) -> None:
    """Write where the rows that are going stand into the whole."""
    if going.rows.size == run.found.size:
        run.state = going.state
    else:
        run.state.put(going.rows, going.state)


def _step(
    run: Run,
    going: _Going,
    step: int,
    begin: int,
    *,
    secant: bool,
    hot: bool,
    clipped: bool,
    idle: bool,
) -> None:
    """Take a step with all rows that are going, noting which are done; ``begin`` is the first that tells."""
    state, powers = going.state, going.watts.shape[0]
    stride = going.block.stride(
        going.block,
        state,
        going.watts,
        secant=secant and step < begin,
        hot=hot,
        clipped=clipped,
        halve=_halved(going) if step >= HALVE_FROM else None,
    )
    moved_v, next_w = stride.moved_v, _next_watts(going, idle=idle)
    settled: Flags | np.bool_ = np.True_
    if going.block.topology.converters:
        missing_w, law_v = np.abs(next_w - going.watts), moved_v
        settled = (missing_w <= STEP_W + STEP_PART * next_w).all(axis=0)
        if going.loose is not None:
            settled |= going.loose
        moved_v = np.maximum(moved_v, (missing_w / (1.0 + going.watts)).max(axis=0))
        next_w = _foreseen(going, next_w, law_v)
    state.iterations += ~going.done
    below = (state.active_v[:powers] <= 0) & (next_w > 0)
    dead = ~stride.positive | np.logical_or.reduce(below, axis=0)
    still = _still(moved_v, going.before_v, tells=step > begin, hot=hot, loose=going.loose) & settled
    still &= not (idle and powers)
    fresh = ~going.done
    run.found[going.rows[still & ~dead & fresh]] = True
    run.gone[going.rows[dead & fresh]] = True
    going.done |= still | dead
    going.before_v, going.watts = moved_v, next_w


def _next_watts(going: _Going, *, idle: bool) -> Array:
    """Return what loads take at the state: but for the inputs of converters, their share alone says so."""
    if idle or going.block.topology.converters:
        return load_watts(going.block, going.state, going.share)
    return going.watts


def _halved(going: _Going) -> Flags:
    if going.block.topology.converters:
        return np.isinf(going.before_v)
    return np.ones(going.done.size, np.bool_)


def _foreseen(going: _Going, given_w: Array, moved_v: Array) -> Array:
    """Return what loads take in the next step; what inputs of converters will, from their last two steps.

    While any battery or source has just changed its line, inputs keep their power: what their outputs give
    then belongs to lines that nobody stands on any more. From above, an input starts with nothing and is
    asked for more only once its output has found its line. On one line it follows itself by a share of each
    watt; that share tells where it will end.
    """
    next_w, before = given_w.copy(), going.before_w
    held, smooth = np.isinf(moved_v), moved_v < FORESEEN_BELOW_V
    for entry, _ in going.block.topology.converters:
        now_w, then_w = going.watts[entry], given_w[entry]
        if before is not None:
            feedback = (then_w - before[1][entry]) / (now_w - before[0][entry])
            tells = smooth & (feedback > LEAST_FEEDBACK) & (feedback < MOST_FEEDBACK)
            ahead_w = np.maximum(now_w + (then_w - now_w) / (1.0 - feedback), 0.0)
            next_w[entry] = np.where(tells, ahead_w, then_w)
        next_w[entry, held] = now_w[held]
    if before is None:
        going.before_w = (going.watts, given_w)
    else:
        going.before_w = (np.where(held, before[0], going.watts), np.where(held, before[1], given_w))
    return next_w


def _still(moved_v: Array, before_v: Array, *, tells: bool, hot: bool, loose: Flags | None) -> Flags:
    """In which rows the next step would be too small to matter.

    Two steps on one line in the quadratic regime tell the size of the next (``tells``: both were Newton's).
    """
    still: Flags = moved_v < STEP_V
    if tells:
        enough = moved_v * (moved_v / before_v) ** 2 < NEXT_STEP_V
        if hot:
            enough &= moved_v < HOT_NEAR_V
        if loose is not None:
            enough |= loose & (moved_v < COLD_ENOUGH_V) & (moved_v < CONTRACTS * before_v)
        still |= (moved_v < before_v) & (before_v < QUADRATIC_BELOW_V) & enough
    return still
