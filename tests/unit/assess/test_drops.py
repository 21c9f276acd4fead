"""Drops, volts and faults against a calculation by hand."""

import math

import pytest

from groundstrap.assess import assess
from groundstrap.model import Basis
from tests.support.installations import Builder, Cable, Device

COPPER_ALPHA_20 = 0.00393


def plain(size="10 mm2", *, zone="room", watts=120.0, exponent=1.0, length_m=5.0, **more):
    """A load on two cables and nothing else: no part, in a room that stands at 20 degC."""
    job = Builder(**more)
    job.battery()
    job.load("lamp", watts, exponent=exponent)
    job.circuit(
        "lamp",
        ["battery +", Cable(length_m, size, zone=zone), "lamp +"],
        ["lamp -", Cable(length_m, size, zone=zone), "battery -"],
    )
    return job


def assessed(job):
    return assess(job.build(), job.estimates)


def test_drop_out_and_back_by_hand():
    # ISO 6722: 10 mm2 is 1.82 mohm/m; four ring terminals of 0.1 mohm (from memory); 1.2 ohm load; its own
    # heat raises the copper by about 1 K at 10 A, which is 0.4 %.
    circuit = assessed(plain()).circuits["lamp"]
    ohm = 2 * 5.0 * 0.00182 + 4 * 0.0001
    assert circuit.drop.drop_v == pytest.approx(12.0 * ohm / (1.2 + ohm), rel=0.01)
    assert circuit.drop.drop_v > 12.0 * ohm / (1.2 + ohm)
    assert circuit.drop.load_v == pytest.approx(12.0 - circuit.drop.drop_v, abs=1e-3)
    assert circuit.drop.limit_v == pytest.approx(0.6)
    assert circuit.drop.decided is True


def test_the_copper_is_as_hot_as_its_zone():
    hot = assessed(plain(zone="engine bay", watts=12.0)).circuits["lamp"]
    cool = assessed(plain(zone="room", watts=12.0)).circuits["lamp"]
    ratio = hot.drop.drop_v / cool.drop.drop_v
    # 85 degC against 20 degC; the terminals do not warm with the air.
    assert ratio == pytest.approx(1 + COPPER_ALPHA_20 * 65, rel=0.02)


def test_pieces_of_a_circuit_add_up_to_its_drop():
    circuit = assessed(plain()).circuits["lamp"]
    assert math.fsum(e.drop_v for e in circuit.drop.elements) == pytest.approx(circuit.drop.drop_v, abs=1e-9)


def test_too_thin_a_wire_is_decided_against():
    circuit = assessed(plain("1 mm2")).circuits["lamp"]
    assert circuit.drop.drop_v > circuit.drop.limit_v
    assert circuit.drop.decided is False


def test_a_collapsing_load_has_no_drop_and_is_decided_against():
    # 2 x 20 m of 1 mm2 is about 0.8 ohm: at most 12^2 / (4 x 0.8) = 45 W get through.
    found = assessed(plain("1 mm2", watts=200.0, exponent=-1.0, length_m=20.0))
    assert found.circuits["lamp"].drop.drop_v is None
    assert found.circuits["lamp"].drop.decided is False


def test_the_other_circuits_still_have_their_drop_when_one_collapses():
    job = plain("1 mm2", watts=200.0, exponent=-1.0, length_m=20.0)
    job.load("radio", 24.0)
    job.circuit(
        "radio",
        ["battery +", Cable(2.0, "2.5 mm2"), "radio +"],
        ["radio -", Cable(2.0, "2.5 mm2"), "battery -"],
    )
    found = assessed(job)
    assert found.circuits["lamp"].drop.decided is False
    assert found.circuits["radio"].drop.decided is True


def test_an_unknown_size_leaves_the_drop_unknown():
    found = assessed(plain(None)).circuits["lamp"]
    assert found.drop.drop_v is None
    assert found.drop.decided is None
    assert {"drop_v", "ampacity_a", "conductor_c"} <= set(found.unknown)


@pytest.mark.parametrize(
    ("basis", "critical", "pct"),
    [
        (Basis.ROAD, False, 5.0),
        (Basis.ROAD, True, 3.0),
        (Basis.BOAT, False, 10.0),
        (Basis.BOAT, True, 3.0),
    ],
)
def test_the_limit_follows_basis_and_purpose(basis, critical, pct):
    # common practice on the road; ISO 10133 and ABYC E-11 on boats.
    job = plain(basis=basis)
    job.load("lamp", 120.0, exponent=1.0, critical=critical)
    assert assessed(job).circuits["lamp"].drop.limit_pct == pct


def test_a_body_that_nobody_measured_decides_nothing_where_it_could_go_either_way():
    job = Builder()
    job.battery()
    job.load("winch", 1800.0, exponent=0.0)
    job.chassis += ["chassis at front", "chassis at rear"]
    job.circuit("earth", ["chassis at front", Cable(0.3, "70 mm2"), "battery -"])
    job.circuit(
        "winch",
        ["battery +", Cable(1.0, "70 mm2"), "winch +"],
        ["winch -", Cable(0.3, "70 mm2"), "chassis at rear"],
        drop_v=0.55,
    )
    drop = assessed(job).circuits["winch"].drop
    # 150 A over 1 to 5 mohm of body alone: 0.15 V to 0.75 V (own judgement).
    assert drop.high_v - drop.low_v == pytest.approx(150 * 0.004, rel=0.01)
    assert drop.low_v < drop.limit_v < drop.high_v
    assert drop.decided is None


def test_volts_and_amps_of_a_situation():
    found = assessed(plain()).situations["resting"]
    assert found.outcome == "works"
    assert found.volts_v["battery -"] == 0.0
    assert found.circuits_a["lamp"] == pytest.approx(found.loads_a["lamp"])
    # A rested full lead-acid battery stands at 12.6 to 12.7 V: common practice; 5 mohm inside.
    assert 12.5 < found.volts_v["battery +"] < 12.7


def test_highest_volts_stand_at_the_high_end_less_a_cold_drop():
    load = assessed(plain()).loads["lamp"]
    assert 14.5 < load.highest_v < 14.8
    assert load.lowest_v < 12.0


def test_the_least_fault_is_that_of_hot_copper_and_a_weak_battery():
    # 5 mohm battery at 12.0 V, copper at the 70 degC of its insulation, joints at their high end.
    found = assessed(plain()).circuits["lamp"]
    copper = 2 * 5.0 * 0.00182 * (1 + COPPER_ALPHA_20 * 50)
    ohm = 0.005 + copper + 4 * 0.00010
    # The lamp itself stands beside the short.
    assert found.fault_least_a <= 12.0 / (0.005 + copper)
    assert found.fault_least_a == pytest.approx(12.0 / ohm, rel=0.03)


def test_the_most_fault_at_a_fuse_on_the_post_is_that_of_the_battery():
    job = Builder()
    job.battery()
    job.load("lamp", 60.0)
    job.circuit(
        "lamp",
        ["battery +", Device("fuse", 10.0, "regular blade"), Cable(1.0, "2.5 mm2"), "lamp +"],
        ["lamp -", Cable(1.0, "2.5 mm2"), "battery -"],
    )
    # 12.65 V (full, flooded) over 5 mohm.
    assert assessed(job).circuits["lamp"].fault_most_a == pytest.approx(12.65 / 0.005, rel=1e-3)


def test_far_end_faults_are_smaller_than_near_ones():
    for circuit in assessed(plain()).circuits.values():
        assert circuit.fault_least_a < circuit.fault_most_a


def test_unfused_cable_is_named_with_its_length():
    (bare,) = assessed(plain()).circuits["lamp"].unprotected
    assert (bare.point, bare.length_m, bare.source) == ("battery +", 5.0, "battery")
