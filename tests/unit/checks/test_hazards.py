"""Cautions come from what a job really holds, each at the step where it matters; no hazard, no caution."""

from __future__ import annotations

import pytest

from groundstrap.api import plan, read_job
from groundstrap.report.values import Json
from groundstrap.report.working import work_steps
from groundstrap.tables import caution

_LAMP = """
supplies:
  battery: {kind: battery, at: tray, chemistry: agm, capacity: 70 Ah, cranking: 600 A EN}
  alternator: none
loads: {lamp: {kind: led, at: cabin, claims: {power: 20 W}}}
places: {tray: cabin}
circuits: {lamp: {path: [battery, fuse, lamp], length: 2 m}}
"""


def _steps(body: str, *, system: str = "12 V", title: str = "a lamp") -> list[Json]:
    job = read_job(f"groundstrap: 1\ntitle: {title}\nsystem: {system}\n{body}")
    return work_steps(plan(job))


def _hazards(step: Json) -> list[str]:
    return [each["hazard"] for each in step["cautions"]]


def _where(steps: list[Json], hazard: str) -> list[str]:
    """Beginnings of the steps that hold a caution."""
    return [step["text"] for step in steps if hazard in _hazards(step)]


def test_a_small_clean_job_has_the_basic_caution_alone() -> None:
    steps = _steps(_LAMP)
    assert _hazards(steps[0]) == ["short circuit", "law and licence"]
    # A driver of LEDs switches fast: kept from aerials and data cables (common practice).
    assert [_hazards(step) for step in steps[1:] if _hazards(step)] == [["interference"], ["live joint"]]


@pytest.mark.parametrize(
    ("hazard", "old", "new", "begins"),
    [
        ("battery gas", "chemistry: agm", "chemistry: flooded", "Make it dead"),
        ("second source", "alternator: none",
         "alternator: none\n  panel: {kind: solar, at: cabin, power: 50 W}", "Make it dead"),
        ("airbag", "at: cabin, claims", "at: cabin, note: beside the airbag module, claims", "Make it dead"),
        ("hot surface", "places: {tray: cabin}", "places: {tray: engine bay}", "Lay 'lamp'"),
        ("under the vehicle", "places: {tray: cabin}", "places: {tray: underbody}", "Lay 'lamp'"),
        ("fuel vapour", "places: {tray: cabin}", "zones: {tray: {ambient: 0..40 degC, vapour: petrol}}",
         "Lay 'lamp', First power to 'lamp'"),
        ("mains voltage", "kind: led", "kind: inverter", "Lay 'lamp'"),
        ("capacitor", "kind: led", "kind: inverter", "First power to 'lamp'"),
        ("unfused battery cable", "[battery, fuse, lamp]", "[battery, length: 20 cm, fuse, lamp]",
         "Connect the battery"),
        ("lithium short circuit", "chemistry: agm, capacity: 70 Ah, cranking: 600 A EN",
         "chemistry: lfp, capacity: 100 Ah", "Connect the battery"),
    ],
)  # fmt: skip
def test_each_hazard_appears_at_its_step_and_nowhere_without_it(
    hazard: str, old: str, new: str, begins: str
) -> None:
    assert old in _LAMP
    assert not _where(_steps(_LAMP), hazard)
    found = _where(_steps(_LAMP.replace(old, new)), hazard)
    pairs = list(zip(found, begins.split(", "), strict=True))
    assert all(text.startswith(begin) for text, begin in pairs), found


def test_what_disturbs_receivers_is_told_of_once_and_a_heater_is_not() -> None:
    """Inverter, charger, converter and LED drivers (common practice); the words of the table of cautions."""
    assert len(_where(_steps(_LAMP), "interference")) == 1
    assert not _where(_steps(_LAMP.replace("kind: led", "kind: heater")), "interference")
    two = _LAMP.replace(
        "lamp: {kind: led", "inv: {kind: inverter, at: cabin, claims: {power: 90 W}}, lamp: {kind: led"
    )
    two = two.replace("circuits: {", "circuits: {inv: {path: [battery, fuse, inv], length: 2 m}, ")
    assert len(_where(_steps(two), "interference")) == 1


def test_a_hazard_of_one_circuit_is_no_caution_of_another() -> None:
    """Two circuits, one of them through the engine bay: only that one is told of hot metal."""
    horn = "horn: {kind: other, at: engine bay, claims: {current: 4 A}}"
    body = _LAMP.replace("lamp: {kind: led", f"{horn}, lamp: {{kind: led")
    body = body.replace("circuits: {", "circuits: {horn: {path: [battery, fuse, horn], length: 2 m}, ")
    steps = _steps(body)
    assert [text.split("'")[1] for text in _where(steps, "hot surface")] == ["horn"]


def test_a_lithium_battery_charged_where_it_freezes_is_told_of_at_the_hand_over() -> None:
    body = _LAMP.replace(
        "chemistry: agm, capacity: 70 Ah, cranking: 600 A EN", "chemistry: lfp, capacity: 100 Ah"
    )
    body = body.replace("alternator: none", "alternator: {kind: alternator, at: engine bay, rating: 90 A}")
    steps = _steps(body)
    assert _where(steps, "lithium cold charge") == [steps[-1]["text"]]
    warm = body.replace("places: {tray: cabin}", "zones: {tray: {ambient: 5..40 degC}}")
    assert not _where(_steps(warm), "lithium cold charge")


def test_orange_cables_of_a_hybrid_are_told_of_before_anything_is_opened() -> None:
    steps = _steps(_LAMP, title="Lamp in a hybrid van")
    assert {"high voltage", "high voltage stored"} <= set(_hazards(steps[0]))
    told = [each["text"].lower() for each in steps[0]["cautions"]]
    assert any(caution("high voltage").text in text for text in told)


def test_an_inverter_s_input_fills_through_the_test_lamp() -> None:
    steps = _steps(_LAMP.replace("kind: led", "kind: inverter"))
    assert [step for step in steps if "fades while the input charges" in step["text"]]
    assert not [step for step in _steps(_LAMP) if "fades" in step["text"]]


def test_the_traction_battery_of_a_cart_is_no_orange_cable() -> None:
    body = _LAMP.replace("battery: {kind", "traction battery: {kind").replace("[battery", "[traction battery")
    assert "high voltage" not in _hazards(_steps(body)[0])


def test_contacts_at_48_v_are_told_of_where_a_connector_stands() -> None:
    body = """
supplies:
  battery: {kind: battery, at: cabin, chemistry: agm, bank: 4 in series, capacity: 70 Ah}
  alternator: none
loads: {lamp: {kind: led, at: cabin, claims: {power: 40 W}}}
circuits: {lamp: {path: [battery, fuse, connector: 20 A, lamp], length: 2 m}}
"""
    found = _where(_steps(body, system="48 V"), "48 V contacts")
    assert found, "a connector at 48 V"
    assert all(text.startswith("First power to 'lamp'") for text in found)
    plain = body.replace("connector: 20 A, ", "")
    assert not _where(_steps(plain, system="48 V"), "48 V contacts")
