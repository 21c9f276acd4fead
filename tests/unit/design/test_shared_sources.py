"""Two batteries on one bus: shares of current count as shares, what charges one does not load the other."""

from __future__ import annotations

from groundstrap.assess import assess
from groundstrap.design import choose
from groundstrap.model import SupplyKind
from tests.support.installations import Builder, Cable, Device


def pair(*, alternator: bool) -> Builder:
    job = Builder()
    for name in ("A", "B"):
        job.battery(name, capacity_ah=200.0)
        path = [f"{name} +", Device("fuse", 200.0, "class T"), Cable(0.6, "70 mm2"), "bus"]
        job.circuit(name, path)
        job.circuit(f"{name} back", ["minus", Cable(0.6, "70 mm2"), f"{name} -"])
    if alternator:
        job.machine("alternator", SupplyKind.ALTERNATOR)
        job.circuit(
            "charging",
            ["alternator +", Cable(0.5, "35 mm2"), "A +"],
            ["alternator -", Cable(0.5, "35 mm2"), "A -"],
        )
    job.load("inverter", 1200.0)
    job.circuit("inverter", ["bus", Cable(1.0), "inverter +"], ["inverter -", Cable(1.0), "minus"])
    return job


def test_a_load_on_two_batteries_gets_a_size() -> None:
    job = pair(alternator=False)
    design = choose(job.build(), job.estimates)
    assert not design.unsolved
    found = assess(design.installation, job.estimates).circuits["inverter"]
    assert found.drop.decided is True


def test_an_alternator_of_no_written_rating_caps_what_flows_by_the_engine_alone() -> None:
    # 1200 W at 11.4 V are 105 A, half of them by each battery; by the engine alone all of them and what
    # B takes, 305 A, could pass A's cable if nothing said what an alternator gives.
    alone, driven = (
        assess(job.build(), job.estimates) for job in (pair(alternator=False), pair(alternator=True))
    )
    share_a, most_a = alone.circuits["A"].continuous_a, driven.circuits["A"].continuous_a
    gives_a = driven.supplies["alternator"].capability_a
    assert share_a is not None
    assert most_a is not None
    assert gives_a is not None
    assert 50.0 < share_a < 55.0
    assert most_a <= max(gives_a, share_a)
