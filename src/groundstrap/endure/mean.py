"""Loads that run in turns: their mean current, from the network's answers while each is on."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.endure.laws import Shown
from groundstrap.endure.port import posts_alone
from groundstrap.endure.scene import Consumer, Scene
from groundstrap.records import dataclass
from groundstrap.solve import Law

if TYPE_CHECKING:
    from groundstrap.endure.course import Course
    from groundstrap.endure.stage import Stage

__all__ = ["MeanShare", "mean_shares"]

Floats = NDArray[np.float64]

MEAN_MOVES_V: Final = 0.05
"""Move of a battery's volts after which means are found anew, at 12 V. [V]"""


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """What was found for one row, and at what volts of the batteries."""

    at_v: Floats
    bend: Floats
    on_share: Floats


@dataclass(slots=True, kw_only=True, eq=False)
class MeanShare:
    """Of each load of a scene: what it takes on average, as a share of its power, and volts while on."""

    duty: Floats
    bend: Floats
    """Current while on over that which its law gives at the mean volts: (loads, rows). [1]"""
    on_share: Floats
    """Volts while on over the mean volts: (loads, rows). [1]"""
    extra: Floats
    """How much more of the time it runs than its duty says: (loads, rows). [1]"""
    any_turns: bool
    known: dict[tuple[bool, ...], Known] = field(default_factory=dict)
    """For one row, by which loads were off: what was found then."""
    found: Known | None = None
    """What stands now."""

    @classmethod
    def begin(cls, scene: Scene, rows: int) -> MeanShare:
        """Nothing known yet: what it takes on is taken as at the mean volts."""
        duty = np.array([one.duty for one in scene.consumers], dtype=float).reshape(-1, 1)
        ones = np.ones((len(scene.consumers), rows))
        turns = bool((duty < 1.0).any())
        return cls(duty=duty, bend=ones, on_share=ones.copy(), extra=ones.copy(), any_turns=turns)

    @property
    def factor(self) -> Floats:
        """Share of its power that makes the mean current at the mean volts. [1]"""
        found: Floats = self.duty * self.bend * self.extra
        return found


def mean_shares(course: Course, stage: Stage, rows: NDArray[np.intp], shown: Shown) -> int:
    """Find the means of one row anew; return how many solves that took.

    Each load that runs in turns is on once, while the others stand at their mean.
    """
    means = stage.means
    assert means is not None
    off = tuple(stage.flags.off[:, rows[0]].tolist())
    emf_v = shown.emf_v[:, 0, 0]
    known = means.known.get(off)
    if known is not None and np.abs((emf_v - known.at_v) / course.scale[:, 0]).max() < MEAN_MOVES_V:
        if known is not means.found:
            means.found = known
            means.bend[:, rows[0]], means.on_share[:, rows[0]] = known.bend, known.on_share
        return 0
    anew = known is None
    turns = [
        number
        for number, one in enumerate(stage.scene.consumers)
        if one.duty < 1.0 and not stage.flags.off[number, rows[0]] and one.duty > 0.0
    ]
    solves = 0
    for _ in range(2 if len(turns) > 1 and anew else 1):
        factors = course.factors(stage, rows, turned_on=False)
        begun = course.begun(course.values(stage, rows, factors), shown)
        mean = begun.point
        solves += 1
        if not mean.found:
            return solves
        for number in turns:
            one = stage.scene.consumers[number]
            on = factors.copy()
            on[number] = course.factors(stage, rows, turned_on=True)[number]
            values = course.values(stage, rows, on)
            found = posts_alone(course.wiring.network, values, course.branches, shown, begun).point
            solves += 1
            if not found.found or min(found.branch_v[one.branch], mean.branch_v[one.branch]) <= 0.0:
                continue
            ratio = found.branch_v[one.branch] / mean.branch_v[one.branch]
            means.on_share[number, rows[0]] = ratio
            means.bend[number, rows[0]] = ratio ** _exponent(one)
    means.found = Known(emf_v, means.bend[:, rows[0]].copy(), means.on_share[:, rows[0]].copy())
    means.known[off] = means.found
    return solves


def _exponent(one: Consumer) -> float:
    """How its current follows its volts."""
    if one.law is Law.CONSTANT_POWER:
        return -1.0
    if one.law is Law.RESISTOR:
        return 1.0
    return 0.0 if one.law is Law.CONSTANT_CURRENT else one.exponent
