"""What must hold of every assessment, on random trees of feeders and branches."""

from __future__ import annotations

import dataclasses

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from groundstrap.assess import Case, Level, assess, parameters, wire_up
from groundstrap.model import Installation, Situation
from groundstrap.solve import solve_one
from groundstrap.units import parse_size
from tests.support.installations import Builder, Cable, Device

SIZES = ("1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2")


@st.composite
def jobs(draw: st.DrawFn) -> Builder:
    """One battery, one to three blocks under one another or side by side, loads of every law on them."""
    job = Builder()
    job.battery()
    job.block("bus")
    job.circuit("negative", ["bus", Cable(draw(st.floats(0.2, 2.0)), "16 mm2"), "battery -"])
    blocks = ["battery +"]
    for number in range(draw(st.integers(1, 3))):
        name = f"block {number}"
        job.block(name)
        above = draw(st.sampled_from(blocks))
        cable = Cable(draw(st.floats(0.3, 4.0)), draw(st.sampled_from(SIZES[2:])))
        job.circuit(f"feed {number}", [above, Device("fuse", 40.0, "regular blade"), cable, name])
        blocks.append(name)
    for number in range(draw(st.integers(1, 4))):
        name = f"load {number}"
        exponent = draw(st.sampled_from((-1.0, 0.0, 0.55, 1.0, 1.5)))
        job.load(name, draw(st.floats(5.0, 60.0)), exponent=exponent)
        cable = Cable(draw(st.floats(0.3, 4.0)), draw(st.sampled_from(SIZES)))
        fuse = Device("fuse", 10.0, "regular blade")
        job.circuit(
            name, [draw(st.sampled_from(blocks)), fuse, cable, f"{name} +"], [f"{name} -", cable, "bus"]
        )
    return job


def with_sizes(installation: Installation, circuit: str, size: str) -> Installation:
    found = installation.circuits[circuit]
    thicker = parse_size(size)
    changed = dataclasses.replace(
        found,
        path=tuple(dataclasses.replace(e, size=thicker) if hasattr(e, "parallel") else e for e in found.path),
        back=tuple(dataclasses.replace(e, size=thicker) if hasattr(e, "parallel") else e for e in found.back),
    )
    return dataclasses.replace(installation, circuits={**installation.circuits, circuit: changed})


@settings(max_examples=25, deadline=None)
@given(jobs())
def test_a_feeder_carries_the_sum_of_what_hangs_on_it(job: Builder) -> None:
    found = wire_up(job.build(), job.estimates)
    for name, feeding in found.tree.circuits.items():
        draws = [found.currents.draws[load] for load in feeding.loads]
        wire = found.installation.circuits[name].wires[0].name
        low, high = (sum(getattr(d, f"continuous_{end}_a") for d in draws) for end in ("low", "high"))
        assert found.currents.pieces[wire].continuous_a == pytest.approx(max(low, high), abs=1e-6)
        assert found.currents.pieces[wire].drop_a == pytest.approx(sum(d.drop_a for d in draws), abs=1e-6)
        assert not feeding.in_loop


@settings(max_examples=15, deadline=None)
@given(jobs(), st.data())
def test_a_thicker_wire_never_worsens_its_own_circuit(job: Builder, data: st.DataObject) -> None:
    installation = job.build()
    name = data.draw(st.sampled_from([n for n in installation.circuits if n.startswith("load")]))
    thin, thick = sorted(
        data.draw(st.lists(st.sampled_from(range(len(SIZES))), min_size=2, max_size=2, unique=True))
    )
    before, after = (
        assess(with_sizes(installation, name, SIZES[k]), job.estimates).circuits[name] for k in (thin, thick)
    )
    assert before.drop.drop_v is not None
    assert after.drop.drop_v is not None
    assert after.drop.drop_v <= before.drop.drop_v + 1e-9
    assert after.conductor_c is not None
    assert before.conductor_c is not None
    assert after.conductor_c <= before.conductor_c + 1e-9
    assert after.ampacity_a is not None
    assert before.ampacity_a is not None
    assert after.ampacity_a >= before.ampacity_a
    margin = [c.fuses[f"{name} fuse"].window.most_limit_a or 0.0 for c in (before, after)]
    assert margin[1] >= margin[0]


@settings(max_examples=15, deadline=None)
@given(jobs(), st.randoms(use_true_random=False))
def test_the_order_of_entries_does_not_matter(job: Builder, random) -> None:  # type: ignore[no-untyped-def]
    installation = job.build()
    shuffled = list(installation.circuits.items())
    random.shuffle(shuffled)
    loads = list(installation.loads.items())
    random.shuffle(loads)
    other = dataclasses.replace(installation, circuits=dict(shuffled), loads=dict(loads))
    one, two = assess(installation, job.estimates), assess(other, job.estimates)
    for name, circuit in one.circuits.items():
        again = two.circuits[name]
        assert again.continuous_a == pytest.approx(circuit.continuous_a)
        assert again.drop.drop_v == pytest.approx(circuit.drop.drop_v, abs=1e-8)
        assert again.fault_least_a == (
            None if circuit.fault_least_a is None else pytest.approx(circuit.fault_least_a)
        )
        assert {n: f.window.ratings for n, f in again.fuses.items()} == {
            n: f.window.ratings for n, f in circuit.fuses.items()
        }


@settings(max_examples=15, deadline=None)
@given(jobs())
def test_the_true_network_never_drops_more_than_the_design_currents_do(job: Builder) -> None:
    """Where every limit is kept, loads stand above the volts that their design current counts at."""
    found = wire_up(job.build(), job.estimates)
    case = Case(situation=Situation.RESTING, running=frozenset(job.loads), level=Level.LOW)
    values = parameters(found, case)
    point = solve_one(found.network, values)
    assessed = assess(job.build(), job.estimates)
    if not point.found or not all(assessed.circuits[n].drop.decided for n in job.loads):
        return
    for number, piece in enumerate(found.topology.pieces):
        if piece.wire is not None:
            limit = found.currents.pieces[piece.name].drop_a
            assert limit is not None
            assert abs(point.branch_a[number]) <= limit + 1e-3
