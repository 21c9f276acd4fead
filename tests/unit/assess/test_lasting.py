"""What is on round the clock: which loads count, through which cable, and what it takes from the choice."""

from __future__ import annotations

import pytest

from groundstrap.api import plan, read_job
from groundstrap.api.planning import Plan
from groundstrap.assess import assess, wire_up
from groundstrap.assess.conductors import lasting_factor
from groundstrap.model import Basis, Duty, LoadKind, Situation
from tests.support.installations import Builder, Cable, Device, tiny


def lasting_a(job: Builder) -> float:
    """What goes on round the clock through the lamp's wire. [A]"""
    return wire_up(job.build(), job.estimates).lasting_a.get("lamp wire 1", 0.0)


def test_a_small_load_without_a_pause_is_on_round_the_clock() -> None:
    # 24 W at 11.4 V are 2.1 A: an 80 Ah battery feeds it for more than a day.
    assert lasting_a(tiny(24.0)) == pytest.approx(24 / 11.4)


def test_what_empties_the_battery_within_a_day_is_not() -> None:
    # 5.3 A from the 80 Ah that count where none are written: 15 h.
    assert lasting_a(tiny(60.0)) == 0.0


@pytest.mark.parametrize(
    "more",
    [
        {"duty": Duty(share_pct=50.0)},
        {"duty": Duty(share_pct=10.0, run_s=60.0, every_s=600.0)},
        {"runs": frozenset({Situation.DRIVING, Situation.IDLING}), "runs_written": True},
        {"kind": LoadKind.COIL},
    ],
    ids=["half the time", "a minute in ten", "with the engine", "a coil"],
)
def test_what_pauses_is_not(more: dict[str, object]) -> None:
    job = tiny(24.0)
    job.load("lamp", 24.0, **more)  # type: ignore[arg-type]
    assert lasting_a(job) == 0.0


def test_boat_cable_is_not_of_these_classes() -> None:
    job = tiny(24.0)
    job.basis = Basis.BOAT
    assert lasting_a(job) == 0.0


@pytest.mark.parametrize(
    ("class_c", "ambient_c", "factor"),
    [
        (105, 60, (25 / 45) ** 0.5),  # by hand: 20 K less of 45
        (125, 85, (20 / 40) ** 0.5),
        (85, 30, (35 / 55) ** 0.5),
        (105, 85, 0.30),  # nothing left: what does not warm the cable may go on
        (105, 84.9, 0.30),
        (70, 60, 1.0),  # building cable: vde-0298-4
    ],
)
def test_the_factor_by_hand(class_c: float, ambient_c: float, factor: float) -> None:
    assert lasting_factor(class_c, ambient_c) == pytest.approx(factor)


def test_hotter_air_never_leaves_more() -> None:
    for class_c in (85, 100, 105, 125, 150):
        factors = [lasting_factor(class_c, ambient_c) for ambient_c in range(-30, class_c)]
        assert factors == sorted(factors, reverse=True)


VAN = """groundstrap: 1
title: A fridge that mains keeps going
system: 12 V
basis: road
supplies:
  battery: {{kind: battery, at: floor, capacity: 100 Ah}}
  alternator: none
  charger: {{kind: mains charger, at: floor, current: 40 A, setpoint: 13.6 V}}
zones: {{floor: {{ambient: 0..85 degC}}}}
places: {{bench: floor}}
loads:
  fridge: {{at: bench, kind: heater, claims: {{power: 240 W, voltage: 12 V}}, {pause}}}
circuits:
  fridge: {{path: [battery, fuse: 40 A, fridge], return: battery -, length: 1 m, insulation: 105 degC{size}}}
  charge: {{path: [charger, fuse: 60 A, battery], length: 1 m, wire: 16 mm2}}
"""


def van(pause: str, size: str = "") -> Plan:
    return plan(read_job(VAN.format(pause=pause, size=size)))


def test_round_the_clock_takes_a_thicker_wire() -> None:
    # 105 degC in 85: without a pause 0.30 of the ampacity at most, with one all of it.
    always, now_and_then = (
        found.installation.circuits["fridge"].wires[0].size
        for found in (van("duty: continuous"), van("duty: 50 %"))
    )
    assert always is not None
    assert now_and_then is not None
    assert always.area_mm2 > now_and_then.area_mm2


def test_a_written_wire_gets_a_caution_and_the_load_is_named() -> None:
    found = van("duty: continuous", ", wire: 10 mm2")
    failed = [f for f in found.judgement.findings if f.rule == "THM005" and f.outcome.value == "fail"]
    assert failed
    assert all(f.level.value == "caution" for f in failed)
    assert any(a.where == "on round the clock" and "fridge" in a.why for a in found.assessment.assumptions)
    again = van("duty: 50 %", ", wire: 10 mm2")
    assert not any(f.rule == "THM005" and f.outcome.value == "fail" for f in again.judgement.findings)
    assert not any(a.where == "on round the clock" for a in again.assessment.assumptions)


def test_the_fuse_is_held_to_the_class_itself() -> None:
    # A 3 A load on 16 mm2 must not forbid the 80 A that 16 mm2 stands: nothing flows at 80 A for years.
    always, never = tiny(24.0, size="16 mm2"), tiny(24.0, size="16 mm2")
    never.load("lamp", 24.0, duty=Duty(share_pct=50.0))
    most = [
        assess(job.build(), job.estimates).circuits["lamp"].fuses["lamp fuse"].window.most_a
        for job in (always, never)
    ]
    assert most[0] == most[1]


def test_what_shares_a_way_back_against_each_other_is_no_more_than_the_design_current() -> None:
    job = tiny(24.0)
    job.load("radio", 12.0)
    job.circuit(
        "radio", ["battery +", Device("fuse", 5.0), Cable(1.0, "1 mm2"), "radio +"], ["radio -", "battery -"]
    )
    wiring = wire_up(job.build(), job.estimates)
    for name, amps in wiring.lasting_a.items():
        assert amps <= wiring.currents.pieces[name].known_a + 1e-9
