"""Two short cuts of choosing beside the long way round: all sizes at a time, and few choices one by one."""

from __future__ import annotations

import numpy as np
import pytest

from groundstrap.assess import Case, parameters, wire_values
from groundstrap.assess.drops import DropGauge, drop_cases
from groundstrap.design.judge import Task
from groundstrap.design.tried import FEW, OpenWire, Tried
from groundstrap.model import Situation
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


def test_few_choices_one_by_one_are_those_of_the_batch() -> None:
    job = random_job(5)
    task = Task.of(job.build(), job.estimates)
    case = next(case for case in drop_cases(task.wiring) if case.body == "high")
    names = sorted(task.open_wires)
    wires = [
        OpenWire(task.wiring.index(wire.name), place, *task.hot.of(wire))
        for place, name in enumerate(names)
        for wire in task.open_wires[name]
    ]
    gauge = DropGauge(task.wiring, case, names)
    tried = Tried(task.wiring.network, parameters(task.wiring, case), wires, gauge)
    choices = np.random.default_rng(5).integers(4, len(task.shelf.sizes), (FEW + 1, len(names)))
    batch = tried.drops_v(choices)
    assert np.isfinite(batch).all()
    assert np.abs(tried.drops_v(choices[:FEW]) - batch[:, :FEW]).max() < 1e-9
