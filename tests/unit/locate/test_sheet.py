"""Bands of readings against vehicles drawn at random, and what a person can read at all."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from groundstrap import api
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate.bands import expect
from groundstrap.locate.judged import Agreement
from groundstrap.locate.segments import segments_of
from groundstrap.locate.taken import probe_at
from groundstrap.locate.unknowns import World, unknowns_of
from groundstrap.model import MeterSpec, Situation
from groundstrap.report.network_bands import wiring_read
from groundstrap.report.test_points import Method, live_points
from groundstrap.vet.accuracy import accuracy_of

JOB = """groundstrap: 1
title: Work light and pump on a trailer
system: 12 V
supplies:
  battery: {kind: battery, capacity: 80 Ah, running: 0 A}
  alternator: none
loads:
  work light: {kind: led, claims: {power: 60 W, by: manual}}
  pump: {kind: pump, claims: {power: 90 W, voltage: 12 V, by: manual}}
circuits:
  work light: {path: [battery, fuse: 10 A, work light], length: 7 m, return: battery -, wire: 2.5 mm2}
  pump: {path: [battery, fuse: 15 A, switch, pump], length: 4 m, return: battery -, wire: 2.5 mm2}
"""
PAIRS = (
    ("battery + ", "work light +"),
    ("work light -", "battery -"),
    ("work light +", "work light -"),
    ("work light", ""),
    ("pump switch in", "pump switch out"),
    ("pump fuse in", "pump fuse out"),
    ("pump -", "battery -"),
    ("battery +", "pump +"),
)


@pytest.fixture(scope="module", name="wiring")
def _wiring() -> Wiring:
    return wiring_read(api.plan(api.read_job(JOB)).installation)


def test_of_vehicles_drawn_at_random_one_reading_in_twenty_lies_outside_its_band(wiring: Wiring) -> None:
    """JCGM 101: the same spreads drawn 400 times and put through the network, the meter's error beside them.

    Bands are added as squares: 5 % outside 95 %, 0.1 % outside 99.9 %; 3200 readings know that to a third.
    """
    case = Case(situation=Situation.RESTING, running=frozenset({"work light", "pump"}))
    probes = [probe_at(wiring.topology, red.strip(), black) for red, black in PAIRS]
    assert None not in probes
    handheld = MeterSpec(text="handheld", name="handheld")
    bands = expect(wiring, case, probes, meter=handheld)
    world = World(wiring=wiring, cases={0: case}, probes=tuple(probes), unknowns=unknowns_of(wiring, (case,)))
    rng = np.random.default_rng(7)
    shown = world.read(rng.normal(size=(400, len(world.unknowns))))
    assert np.isfinite(shown).all()
    own = [
        accuracy_of(
            probe.kind.value,
            abs(band.expected),
            handheld if probe.kind.value == "voltage" else MeterSpec(text="clamp", name="clamp"),
            last_digit=0.0,
        ).standard
        for probe, band in zip(probes, bands, strict=True)
    ]
    read = shown + rng.normal(size=shown.shape) * np.array(own)
    said = [[band.agreement(float(v)) for band, v in zip(bands, row, strict=True)] for row in read]
    flat = [each for row in said for each in row]
    assert 0.02 < sum(each is not Agreement.AGREES for each in flat) / len(flat) < 0.07
    assert sum(each is Agreement.FAILS for each in flat) / len(flat) < 0.004


def test_readings_with_one_meter_share_its_gain() -> None:
    """Two losses a quarter too high: with one meter one thing is off, with two it takes two.

    By hand, were nothing else uncertain: deviations g of each, correlated fully against not at all, make
    g^2 against 2 g^2 of chi-square.
    """
    chi2 = []
    for other in ("30 % + 0 digits", "30.0 % + 0 digits"):
        text = JOB + (
            "readings:\n  - when: resting\n    using: [work light, pump]\n    values:\n"
            "      - {work light - to battery -: 0.385 V, meter: 30 % + 0 digits}\n"
            f"      - {{pump - to battery -: 0.360 V, meter: {other}}}\n"
        )
        judged = api.plan(api.read_job(text)).judged
        assert judged is not None
        chi2.append(judged.sheet.chi2)
    assert 1.2 < chi2[1] / chi2[0] < 2.0


@pytest.mark.parametrize("name", ["hive-pickup", "book-bus", "oyster-skiff"])
def test_only_what_a_person_can_read_is_on_the_sheet(name: str) -> None:
    """Points that a lead reaches, no ohms on what is live, a clamp where a 10 A range would not do."""
    plan = api.plan(api.read_job_file(Path("examples") / f"{name}.job.yaml"))
    topology = wiring_read(plan.installation).topology
    reached = {topology.node(point) for each in segments_of(topology) for point in each.points}
    for point in live_points(plan, "handheld"):
        assert point.method is not Method.OHMS
        if point.method is Method.VOLTS:
            assert topology.node_of[point.red] in reached
            assert topology.node_of[point.black] in reached
        elif point.method is Method.SERIES:
            assert (point.look.high or 0.0) < 10.0, point.red
        assert abs(point.expected or 0.0) < 60.0 or point.method is Method.CLAMP


def test_a_reading_that_says_how_well_it_was_read_counts_by_that() -> None:
    """What is written behind `+-` widens its band where that is more than the meter's own."""
    base = "readings:\n  - {when: resting, using: [work light], meter: bench, values: [%s]}\n"
    narrow = api.plan(api.read_job(JOB + base % "work light - to battery -: 0.3000 V")).judged
    wide = api.plan(api.read_job(JOB + base % "work light - to battery -: 0.30 V +- 0.20 V")).judged
    assert narrow is not None
    assert wide is not None
    assert wide.readings[0].sound.look.high > narrow.readings[0].sound.look.high + 0.1
