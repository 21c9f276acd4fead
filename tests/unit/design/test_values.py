"""Two short cuts of choosing beside the long way round: all sizes at a time, and few rows one by one."""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.assess import Case, parameters, wire_up, wire_values
from groundstrap.design.few import FEW_ROWS, solve_choices
from groundstrap.design.judge import Task
from groundstrap.model import Situation
from groundstrap.solve import solve_rows
from tests.unit.design.jobs import random_job

HOT = Case(situation=Situation.RESTING, running=frozenset())


def test_every_size_of_every_wire_is_what_it_is_alone() -> None:
    job = random_job(3)
    task = Task.of(job.build(), job.estimates)
    for wires in task.open_wires.values():
        for wire in wires:
            cold_ohm, kappa = task.hot.of(wire)
            alone = [wire_values(task.wiring, wire, size, HOT) for size in task.shelf.sizes]
            assert cold_ohm == pytest.approx([value.cold_ohm for value in alone], rel=1e-12)
            assert kappa == pytest.approx([value.kappa_per_a2 for value in alone], rel=1e-12)


def test_few_rows_one_by_one_are_those_of_the_batch() -> None:
    job = random_job(5)
    wiring = wire_up(job.build(), job.estimates)
    case = Case(situation=Situation.RESTING, running=frozenset(job.loads))
    base = parameters(wiring, case)
    number = wiring.index("negative wire 1")
    cold_ohm, kappa = base[number]
    own = (cold_ohm * np.linspace(0.5, 2.0, FEW_ROWS), np.full(FEW_ROWS, kappa))
    few = solve_choices(wiring.network, base, {number: own}, FEW_ROWS)
    batch = solve_rows(wiring.network, [own if k == number else one for k, one in enumerate(base)])
    assert few.found.all()
    assert np.abs(few.node_v - batch.node_v).max() < 1e-9
    assert np.abs(few.branch_v - batch.branch_v).max() < 1e-9
    assert np.abs(few.branch_a - batch.branch_a).max() < 1e-6
