"""A wire that nobody knows leaves undecided only what hangs on it."""

from groundstrap.assess import Outcome, assess
from groundstrap.model import Situation, Span, State
from tests.support.installations import Builder, Cable, Device


def job_of(watts: float, lowest_v: float):
    job = Builder()
    job.battery()
    job.load("old", watts, works=Span(lowest_v, 15.0))
    job.load("new", 24.0, works=Span(9.0, 15.0))
    for name, size, state in (("old", None, State.EXISTING), ("new", "2.5 mm2", State.NEW)):
        path = ["battery +", Device("fuse", 15.0), Cable(4.0, size), f"{name} +"]
        job.circuit(name, path, [f"{name} -", Cable(4.0, "2.5 mm2"), "battery -"], state=state)
    return job


def resting(job):
    return assess(job.build(), job.estimates).situations[Situation.RESTING]


def test_an_unknown_wire_that_decides_nothing_leaves_the_outcome_told():
    found = resting(job_of(24.0, 9.0))
    assert found.outcome is Outcome.WORKS
    assert found.rests_on == ("old wire 1",)


def test_an_outcome_that_turns_on_the_unknown_size_is_not_told():
    # 100 W through 4 m: about 8 A, that lose 0.8 V in 0.75 mm2 (8 A x 4 m x 23 mohm/m) and 0.06 V in 10 mm2.
    assert resting(job_of(100.0, 11.9)).outcome is Outcome.UNSOLVED


def test_without_an_unknown_wire_nothing_stands_in():
    job = job_of(24.0, 9.0)
    path = ["battery +", Device("fuse", 15.0), Cable(4.0, "2.5 mm2"), "old +"]
    job.circuit("old", path, ["old -", Cable(4.0, "2.5 mm2"), "battery -"], state=State.EXISTING)
    assert resting(job).rests_on == ()
