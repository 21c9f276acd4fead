"""A few vehicles of the study of planted faults: ngspice's world is read, and the place is found.

The whole study is benchmarks/planted_faults.py.
"""

from __future__ import annotations

import shutil

import pytest

from groundstrap.locate import Complaint, ProbeKind
from groundstrap.locate.probes import Probe
from groundstrap.locate.pursue import Question, Standing, stand, weigh
from groundstrap.locate.search import Search
from groundstrap.records import replace
from tests.support.planted import Planted, planted

NGSPICE = shutil.which("ngspice")
MOST = 12

pytestmark = pytest.mark.skipif(NGSPICE is None, reason="ngspice, the circuit simulator, is not installed")


def read(vehicle: Planted, probe: Probe, moment: int) -> float:
    if probe.kind is ProbeKind.VOLTS:
        return vehicle.reads_v(probe.red, probe.black, moment, off=probe.case == 1)
    in_line = not vehicle.question.running
    return probe.sign * vehicle.reads_a(probe.through, moment, in_line=in_line)


def followed(
    looked: Search, vehicle: Planted, probes: list[Probe], values: list[float], *, may_part: bool
) -> Standing:
    """Read what the search asks for until one answer stands."""
    while True:
        taken = [looked.probes.index(probe) for probe in probes]
        found = weigh(looked, taken, values, may_part=may_part)
        number = looked.next_reading(found.belief, taken)
        if found.stands or number is None or len(probes) >= MOST:
            return found
        probes.append(looked.probes[number])
        values.append(read(vehicle, looked.probes[number], len(values)))


def made(seed: int, task: str) -> tuple[Planted, Question]:
    assert NGSPICE is not None
    vehicle = planted(seed, NGSPICE, task=task)
    assert vehicle is not None
    said = Complaint(load=vehicle.load, dead=vehicle.dead, flat=task == "flat")
    complaint = said if task in {"complaint", "flat"} else None
    return vehicle, Question(wiring=vehicle.wiring, case=vehicle.question, complaint=complaint)


@pytest.mark.parametrize(("seed", "task"), [(20004, "complaint"), (20003, "walk"), (20002, "flat")])
def test_a_planted_fault_is_found(seed: int, task: str) -> None:
    vehicle, question = made(seed, task)
    found = followed(question.searched(), vehicle, [], [], may_part=False)
    assert found.stands
    assert found.top == vehicle.faults[0].segment


def test_two_planted_faults_are_found_one_after_the_other() -> None:
    vehicle, question = made(20003, "two")
    probes: list[Probe] = []
    values: list[float] = []
    first = followed(question.searched(), vehicle, probes, values, may_part=True)
    beside = stand(replace(question, taken=tuple(probes)), first)
    second = followed(beside, vehicle, probes, values, may_part=False)
    assert {first.top, second.top} == {each.segment for each in vehicle.faults}
    assert len(values) <= MOST
