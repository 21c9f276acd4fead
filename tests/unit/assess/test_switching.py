"""Contacts by class of load, coils in the heat, terminal numbers: figures of sources, worked by hand."""

from __future__ import annotations

import pytest

from groundstrap.assess import Assessment, PartAssessment, SwitchAssessment, assess
from groundstrap.assess.switching import nominal_class_v
from groundstrap.job import read_job
from groundstrap.vet import vet


def assessed(body: str, system: str = "12 V") -> Assessment:
    installation = read_job(f"groundstrap: 1\ntitle: t\nsystem: {system}\n{body}").installation
    estimates = {name: found.estimate for name, found in vet(installation).loads.items()}
    return assess(installation, estimates)


def switched(kind: str, system: str, key: str = "") -> tuple[PartAssessment, SwitchAssessment]:
    bank = ", bank: 2 in series" if system == "24 V" else ""
    found = assessed(
        f"""
supplies: {{battery: {{kind: battery, at: cabin, capacity: 100 Ah{bank}}}, alternator: none}}
loads: {{thing: {{kind: {kind}, at: cabin, claims: {{current: 3 A, voltage: {system}}}}}}}
circuits:
  thing:
    path: [battery, length: 10 cm, {{fuse: 10 A, family: regular blade}}, {{switch: 20 A{key}}}, thing]
    length: 2 m
    wire: 2.5 mm2
""",
        system,
    ).parts["thing switch"]
    assert found.switch is not None
    return found, found.switch


# FAA AC 43.13-1B, table 11-4: lamp 5 and 8, motor 2 and 3, heater 1 and 2 times, at 12 and 28 V.
@pytest.mark.parametrize(
    ("kind", "system", "factor"),
    [
        ("lamp", "12 V", 5.0),
        ("lamp", "24 V", 8.0),
        ("motor", "12 V", 2.0),
        ("fan", "24 V", 3.0),
        ("heater", "12 V", 1.0),
        ("heater", "24 V", 2.0),
    ],
)
def test_a_contact_needs_the_factor_of_its_load(kind: str, system: str, factor: float) -> None:
    part, switch = switched(kind, system)
    assert part.through_a is not None
    assert switch.needed_a == pytest.approx(factor * part.through_a)
    assert switch.loads[0].source == "faa-ac-43-13-1b" or factor == 1.0


def test_a_rating_for_that_class_counts_as_it_is() -> None:
    part, switch = switched("motor", "24 V", ", rated_for: motor")
    assert switch.needed_a == pytest.approx(part.through_a)
    # A lamp is another class: the rating for motors says nothing of it, so its own factor counts.
    part, switch = switched("lamp", "24 V", ", rated_for: motor")
    assert switch.needed_a == pytest.approx(8 * (part.through_a or 0.0))


def test_what_no_table_has_is_not_known() -> None:
    assert switched("other", "12 V")[1].needed_a is None
    # Inputs with capacitors: no factor is printed, so their steady current is all that counts here.
    part, switch = switched("led", "12 V")
    assert switch.loads[0].factor is None
    assert switch.needed_a == pytest.approx(part.through_a)


def test_margin_is_what_is_left_of_the_limit() -> None:
    part, _ = switched("heater", "12 V")
    assert part.limit_a == 20.0
    assert part.through_a is not None
    assert part.margin_pct == pytest.approx(100 * (20.0 - part.through_a) / 20.0)
    # Typical values of the trade: a small switch has 10 to 50 milliohm, 20 as a rule.
    assert part.contact_v is not None
    assert part.contact_v.value / part.through_a == pytest.approx(0.020)


RELAY = """
supplies: {{battery: {{kind: battery, at: {place}, capacity: 100 Ah}}, alternator: none}}
loads: {{lamp: {{kind: lamp, at: cabin, claims: {{power: 60 W}}}}}}
gear: {{lamp relay: {{kind: relay, at: {place}, rating: 30 A, coil: 0.15 A{key}}}}}
circuits:
  lamp:
    path: [battery, length: 10 cm, {{fuse: 10 A, family: regular blade}}, lamp relay, lamp]
    length: 2 m
    wire: 2.5 mm2
  control:
    path: [battery, length: 10 cm, {{fuse: 3 A, family: regular blade}}, switch: 10 A, lamp relay coil]
    length: 2 m
    wire: 0.75 mm2
"""


def test_a_hot_coil_wants_more_volts() -> None:
    found = assessed(RELAY.format(place="engine bay", key=", suppressor: diode")).parts["lamp relay"].switch
    assert found is not None
    coil = found.coil
    assert coil is not None
    # 8 V at 23 degC; a copper coil at 85 degC (IEC 60028): 8 * (234.5 + 85) / (234.5 + 23).
    assert coil.pick_up_v == pytest.approx(8 * 319.5 / 257.5)
    assert coil.lowest_v is not None
    assert coil.lowest_v < 12.0
    # Measured with a diode across the coil, maker-relay-data: 8 ms.
    assert coil.release_s == 0.008
    assert (found.control, found.relieves_a, found.relieves) == ("coil", 10.0, "control switch")


def test_a_cold_place_makes_no_better_coil_than_the_data_sheet() -> None:
    places = RELAY.format(place="cellar", key="")
    job = f"zones: {{cold: {{ambient: -20..10 degC}}}}\nplaces: {{cellar: cold}}\n{places}"
    found = assessed(job).parts["lamp relay"].switch
    assert found is not None
    assert found.coil is not None
    assert found.coil.pick_up_v == pytest.approx(8.0)
    assert found.coil.release_s is None


def test_terminal_numbers_of_a_relay() -> None:
    # DIN 72552: 30 from the battery, 87 make contact, 86 start and 85 end of the coil.
    found = assessed(RELAY.format(place="cabin", key="")).parts["lamp relay"]
    assert dict(found.terminals) == {
        "lamp relay in": "30",
        "lamp relay out": "87",
        "lamp relay coil +": "86",
        "lamp relay coil -": "85",
    }


@pytest.mark.parametrize(
    ("volts", "system_v"), [(13.4, 12.0), (14.4, 12.0), (25.6, 24.0), (51.2, 48.0), (18.0, 18.0)]
)
def test_volts_count_as_the_system_they_lie_near(volts: float, system_v: float) -> None:
    assert nominal_class_v(volts) == system_v
