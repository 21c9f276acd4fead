"""What is certain although something beside it is not known."""

from __future__ import annotations

import pytest

from groundstrap.assess import Assessment, assess
from groundstrap.job import read_job
from groundstrap.vet import vet

HEAD = "groundstrap: 1\ntitle: Known parts\nsystem: 12 V\n"
JOB = f"""{HEAD}
supplies: {{battery: {{kind: battery, capacity: 80 Ah, at: cabin}}, alternator: none}}
gear: {{box: {{kind: block, at: cabin, rating: 50 A}}}}
loads:
  lamp: {{kind: heater, claims: {{power: 120 W, voltage: 12 V}}, at: cabin}}
  radio: {{kind: electronics, claims: unknown, at: cabin}}
circuits:
  feed: {{path: [battery, length: 10 cm, fuse: 30 A, box], length: 2 m, wire: 6 mm2, state: existing}}
  lamp: {{path: [box, fuse: 15 A, lamp], length: 2 m, wire: 2.5 mm2, return: chassis at cabin}}
  radio: {{path: [box, fuse: 5 A, radio], length: 2 m, wire: 1 mm2, return: chassis at cabin}}
"""


def _assessed(job: str) -> Assessment:
    installation = read_job(job).installation
    estimates = {name: load.estimate for name, load in vet(installation).loads.items()}
    return assess(installation, estimates)


def test_what_known_loads_take_is_known_beside_one_that_is_not() -> None:
    found = _assessed(JOB)
    # By hand: 120 W at 12 V is 10 A; a resistance takes 14.8 / 12 of it at the high end.
    at_least_a = pytest.approx(10.0 * 14.8 / 12.0)
    assert found.circuits["feed"].continuous_a is None
    assert found.circuits["feed"].known_a == at_least_a
    assert found.circuits["lamp"].continuous_a == found.circuits["lamp"].known_a == at_least_a
    assert found.gear["box"].known_a == at_least_a
    assert found.supplies["battery"].known_a == at_least_a
    assert found.circuits["radio"].known_a == 0.0


def test_the_best_insulation_counts_only_where_nobody_wrote_it() -> None:
    feed = _assessed(JOB).circuits["feed"].wires["feed wire 2"]
    assert feed.insulation_assumed
    assert feed.ampacity_a is not None
    assert feed.ampacity_best_a is not None
    # Both are printed: VDE 0298-4 for PVC at 60 degC, 33 CFR 183.425 for 125 degC.
    assert feed.ampacity_best_a > 1.2 * feed.ampacity_a
    written = _assessed(JOB.replace("state: existing", "insulation: PVC, state: existing"))
    wire = written.circuits["feed"].wires["feed wire 2"]
    assert not wire.insulation_assumed
    assert wire.ampacity_best_a == wire.ampacity_a == feed.ampacity_a


def test_a_fault_behind_unknown_cable_lies_between_its_two_ends() -> None:
    known = {
        area: _assessed(JOB.replace("wire: 6 mm2", f"wire: {area} mm2")).circuits["lamp"].fuses["lamp fuse"]
        for area in (0.75, 120)
    }
    unknown = _assessed(JOB.replace("wire: 6 mm2", "wire: unknown")).circuits["lamp"]
    fuse = unknown.fuses["lamp fuse"]
    thin_a, thick_a = (known[area].fault_most_a for area in (0.75, 120))
    assert fuse.fault_sure_a is not None
    assert fuse.fault_most_a is not None
    assert thin_a is not None
    assert thick_a is not None
    # With a load nobody knows on it the thinnest that stands in is 0.75 mm2; the thickest is 120 mm2.
    assert fuse.fault_sure_a == pytest.approx(thin_a)
    assert fuse.fault_most_a == pytest.approx(thick_a)
    assert unknown.fault_least_a is None
    assert unknown.fault_best_a is not None


def test_with_everything_known_least_and_best_differ_by_the_body_alone() -> None:
    job = JOB.replace("claims: unknown", "claims: {current: 2 A}").replace("fuse: 15 A", "fuse: 200 A")
    found = _assessed(job).circuits["lamp"]
    assert found.fault_least_a is not None
    assert found.fault_best_a is not None
    assert found.fault_best_a >= found.fault_least_a
    # With cable back there is no body, and nothing is left open.
    cabled = job.replace("return: chassis at cabin", "return: battery -")
    same = _assessed(cabled).circuits["lamp"]
    assert same.fault_best_a == pytest.approx(same.fault_least_a)
