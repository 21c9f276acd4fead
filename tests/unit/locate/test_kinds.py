"""Each way to fail, put into the network by hand: what a meter then shows leads to its place and its way.

The readings are those of the network with the fault in it, solved one row at a time, to the meter's digit; of
the search's own rows none is used.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from groundstrap import api
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.locate import Complaint, FaultKind, Location, locate
from groundstrap.locate.faults import sound_values, with_unknown
from groundstrap.model import Situation
from groundstrap.solve import Point, solve_one

from .test_engine import JOB, readings_text, wired_job

RUNNING = frozenset({"cooler", "lamp"})
RELAY = JOB.replace(
    "  rocker: {kind: switch, at: rear, rating: 16 A}", "  helper: {kind: relay, at: rear, rating: 30 A}"
).replace("fuse, rocker, cooler]", "fuse, helper, cooler]")


def point_with(
    wiring: Wiring, changes: Mapping[str, tuple[float, ...]], running: frozenset[str] = RUNNING
) -> Point:
    """The network with the values of some branches by name."""
    values = sound_values(wiring, Case(situation=Situation.RESTING, running=running))
    for number, branch in enumerate(with_unknown(wiring).branches):
        values[number] = changes.get(branch.name, values[number])
    point = solve_one(with_unknown(wiring), values)
    assert point.found
    return point


def ohm(wiring: Wiring, name: str) -> tuple[float, ...]:
    """What a branch has in the sound circuit."""
    return sound_values(wiring, Case(situation=Situation.RESTING, running=RUNNING))[wiring.index(name)]


def more(wiring: Wiring, name: str, added: float) -> tuple[float, ...]:
    first, *rest = ohm(wiring, name)
    return (first + added, *rest)


def read(wiring: Wiring, point: Point, *asked: str) -> str:
    """Readings as a job has them: `a to b` in volts, a name alone in amps."""
    found = []
    for each in asked:
        red, to, black = each.partition(" to ")
        if to:
            volts = point.node_v[wiring.node(red)] - point.node_v[wiring.node(black)]
            found.append(f"{each}: {volts:.3f} V" if abs(volts) < 6.0 else f"{each}: {volts:.2f} V")
        else:
            found.append(f"{each}: {point.branch_a[wiring.index(each)]:.3f} A")
    return ", ".join(found)


def located(job: str, values: str, complaint: Complaint | None, using: str = "cooler, lamp") -> Location:
    sets = api.read_job(job + readings_text(values, using)).installation.readings
    return locate(wired_job(job), complaint, readings=sets)


def test_a_load_that_draws_at_rest_is_found_by_amps_with_all_off() -> None:
    wiring = wired_job(JOB)
    node = wiring.topology.pieces[wiring.index("lamp wire 1")].end
    point = point_with(wiring, {f"leak at {node}": (0.35,)}, frozenset())
    values = read(wiring, point, "feed wire 1", "lamp wire 1", "cooler wire 1")
    found = located(JOB, values, Complaint(flat=True), using="")
    best = found.suspects[0]
    assert found.flat
    assert best.ways[0].kind in {FaultKind.DRAIN, FaultKind.CHAFED}
    assert {best.place, *best.same_as} & {"lamp"}
    assert best.extra_a is not None
    assert best.extra_a.low < 0.35 < best.extra_a.high
    assert found.healthy < 0.05


def test_at_rest_only_amps_and_the_volts_over_fuses_are_asked_for() -> None:
    found = locate(wired_job(JOB), Complaint(flat=True))
    assert found.proposals
    assert all(each.using == () for each in found.proposals)
    assert all(each.through or "fuse" in each.red for each in found.proposals)


def test_current_to_the_body_behind_a_fuse_that_holds_is_found_by_a_clamp_on_both_ends() -> None:
    wiring = wired_job(JOB)
    node = wiring.topology.pieces[wiring.index("lamp wire 1")].end
    point = point_with(wiring, {f"leak at {node}": (4.0,)})
    values = read(
        wiring,
        point,
        "feed wire 1",
        "lamp wire 1",
        "lamp return 1",
        "lamp",
        "cooler",
        "lamp fuse in to lamp fuse out",
    )
    found = located(JOB, values, None)
    assert found.suspects[0].ways[0].kind is FaultKind.CHAFED
    assert found.suspects[0].place.startswith("lamp")
    extra = found.suspects[0].extra_a
    assert extra is not None
    assert extra.low < 4.0 < extra.high


def test_a_relay_whose_load_hangs_on_its_coil_s_leads_lets_some_milliamps_through() -> None:
    wiring = wired_job(RELAY)
    # A coil of 80 ohm in series, and a compressor that does not start on what is left: 12.7 V / 80 ohm.
    point = point_with(wiring, {"helper": (80.0,), "cooler": (0.0,)})
    volts = f"helper in to battery -: {point.node_v[wiring.node('helper in')]:.2f} V"
    values = f"{volts}, helper in to helper out: 12.4 V, cooler: 0.15 A"
    found = located(RELAY, values, Complaint(load="cooler", dead=True))
    assert found.suspects[0].place == "helper"
    assert {way.kind for way in found.suspects[0].ways} & {FaultKind.OPEN, FaultKind.SWAPPED}


def test_a_blown_fuse_is_found_by_volts_on_one_side_alone() -> None:
    wiring = wired_job(JOB)
    point = point_with(wiring, {"cooler fuse": (math.inf,)})
    values = read(wiring, point, "cooler fuse in to battery -")
    found = located(
        JOB, f"{values}, cooler fuse out to battery -: 0.00 V", Complaint(load="cooler", dead=True)
    )
    assert found.suspects[0].place == "cooler fuse"
    assert found.suspects[0].ways[0].kind is FaultKind.OPEN


def test_a_thin_cable_is_told_as_one() -> None:
    wiring = wired_job(JOB)
    cold, kappa = ohm(wiring, "cooler wire 1")
    # 0.5 mm2 in place of 2.5: five times the ohms.
    point = point_with(wiring, {"cooler wire 1": (5.0 * cold, kappa)})
    values = read(
        wiring, point, "cooler", "rocker out to cooler +", "cooler fuse out to rocker in", "box to cooler +"
    )
    found = located(JOB, values, Complaint(load="cooler"))
    best = found.suspects[0]
    assert best.place == "cooler wire 1"
    assert best.wire is not None
    assert best.wire.planned_mm2 == 2.5
    assert best.wire.area_mm2.low < 0.5 < best.wire.area_mm2.high
    assert not best.wire.clad


def test_two_faults_are_told_one_beside_the_other() -> None:
    wiring = wired_job(JOB)
    point = point_with(
        wiring,
        {
            "cooler return 1": more(wiring, "cooler return 1", 0.15),
            "lamp return 1": more(wiring, "lamp return 1", 0.4),
        },
    )
    values = read(
        wiring, point, "cooler - to chassis at rear", "lamp - to chassis at rear",
        "cooler + to cooler -", "lamp + to lamp -", "lamp - to battery -", "cooler - to battery -",
    )  # fmt: skip
    found = located(JOB, values, None)
    assert {found.suspects[0].place, found.second[0].place} == {"cooler return 1", "lamp return 1"}
    assert found.explained
    assert found.stands


def test_what_fits_nothing_is_never_sure_and_asks_on() -> None:
    # Volts that come from nowhere: each end reads as much against the other as no piece between them could.
    values = (
        "battery + to cooler +: 3.0 V, box to rocker in: 0.01 V, cooler: 14.4 V, battery: 12.6 V, "
        "cooler - to battery -: 0.02 V, rocker in to cooler +: 0.01 V, battery + to box: 0.02 V"
    )
    found = located(JOB, values, Complaint(load="cooler"), using="cooler")
    assert found.best.p < 0.001
    assert not found.stands
    assert found.proposals or found.doubted is not None


@pytest.mark.parametrize("load", ["cooler", None])
def test_the_same_search_serves_from_one_reading_to_the_next(load: str | None) -> None:
    wiring = wired_job(JOB)
    complaint = None if load is None else Complaint(load=load)
    locate(wiring, complaint)
    rows = wiring.kept.once(("laid", "lately"), dict)
    before = len(rows)
    one = wired_job(JOB + readings_text("cooler: 12.3 V", "cooler, lamp" if load is None else "cooler"))
    sets = one.installation.readings
    first = locate(wiring, complaint, readings=sets)
    assert len(first.readings) == 1
    assert len(wiring.kept.once(("laid", "lately"), dict)) <= before + 1
    assert first.suspects == locate(one, complaint).suspects
