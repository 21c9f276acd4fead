"""What people type in passing, as they type it in threads and on paper, and what is understood of it."""

from __future__ import annotations

from typing import Any

import pytest

from groundstrap.job import FirstLook, SlipKind, Source, Understood, read_job, understood
from groundstrap.report.first_words import first_look
from groundstrap.vet import vet
from tests.support.edited import held


def look(**typed: str) -> Understood:
    return understood(FirstLook(**{"kind": "thing", **typed}))


def load_of(made: Understood) -> dict[str, Any]:
    return next(iter(held(made.text)["loads"].values()))


def slips(made: Understood) -> list[SlipKind]:
    return [slip.kind for slip in made.slips]


@pytest.mark.parametrize(
    ("typed", "claims"),
    [
        ("45W", {"power": "45 W"}),
        ("45 watts", {"power": "45 W"}),
        ("1.5kw", {"power": "1.5 kW"}),
        ("5 VA", {"power": "5 W"}),
        ("3.2 amps", {"current": "3.2 A"}),
        ("0.35 a", {"current": "0.35 A"}),
        ("350mA", {"current": "350 mA"}),
        ("12V 5A", {"current": "5 A", "voltage": "12 V"}),
        ("60 W at 12 V", {"power": "60 W", "voltage": "12 V"}),
        ("DC 12V / 45W", {"power": "45 W", "voltage": "12 V"}),
        ("60W. 12V.", {"power": "60 W", "voltage": "12 V"}),
        ("max 120W", {"power": "120 W"}),
        ("1000 lm 20 W", {"power": "20 W"}),
        ("IP67 48W", {"power": "48 W"}),
        ("0,8A", {"current": "0.8 A"}),
        ("1,5 kW", {"power": "1.5 kW"}),
        ("60-80 W", {"power": "80 W"}),
        ("~60 W", {"power": "60 W"}),
        ("24V 250W", {"power": "250 W", "voltage": "24 V"}),
        ("5V 2.4A", {"power": "12 W"}),
        ("230V 2000W", {"power": "2000 W"}),
        ("0.5 A, 0 V", {"current": "0.5 A"}),
        ("no idea", "unknown"),
        ("", "unknown"),
    ],
)
def test_what_a_label_says(typed: str, claims: object) -> None:
    assert load_of(look(label=typed))["claims"] == claims


def test_watts_and_amperes_of_one_label_are_two_claims() -> None:
    made = look(label="60W (5A) 12V")
    assert load_of(made)["claims"] == [
        {"power": "60 W", "voltage": "12 V"},
        {"current": "5 A", "voltage": "12 V"},
    ]
    assert not made.slips


@pytest.mark.parametrize(("typed", "count"), [("2x55W", "2"), ("55W x 2", "2"), ("4 x 27 W", "4")])
def test_how_many_alike(typed: str, count: str) -> None:
    assert load_of(look(label=typed))["count"] == count


@pytest.mark.parametrize(
    ("typed", "count", "name"),
    [("2 x lamp 55W", "2", "lamp"), ("4x marker light 5 W", "4", "marker light"),
     ("2 Stück Arbeitsscheinwerfer 55 Watt", "2", "Arbeitsscheinwerfer")],
)  # fmt: skip
def test_how_many_stand_before_the_name(typed: str, count: str, name: str) -> None:
    made = look(kind=typed)
    assert (load_of(made)["count"], made.name) == (count, name)
    assert load_of(made)["claims"]["power"].endswith("5 W")


def test_volts_times_amperes_are_no_count() -> None:
    made = look(label="12 V x 5 A")
    assert "count" not in load_of(made)
    assert load_of(made)["claims"] == {"current": "5 A", "voltage": "12 V"}


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("Wasserpumpe", "pump"), ("Kühlbox", "compressor"), ("Arbeitsscheinwerfer", "lamp"),
        ("LED-Lichtbalken", "led"), ("Sitzheizung", "heater"), ("Seilwinde", "motor"),
        ("Rückfahrkamera", "electronics"), ("Wechselrichter", "inverter"),
        ("Ladegerät", "charger"), ("Dachlüfter", "fan"),
    ],
)  # fmt: skip
def test_german_words_mean_the_same_kinds(typed: str, kind: str) -> None:
    assert load_of(look(kind=typed))["kind"] == kind


def test_a_first_look_in_german() -> None:
    """As a workshop there says it; a decimal comma and a way out and back included."""
    made = look(
        kind="Wasserpumpe", label="8 Ampere laut Typenschild", measured="5,4 A bei 12,4 Volt gemessen",
        distance="6 Meter hin und zurück", fed_from="von der Starterbatterie im Motorraum",
    )  # fmt: skip
    assert load_of(made)["claims"] == {"current": "8 A", "by": "label"}
    assert load_of(made)["measured"] == [{"current": "5.4 A", "voltage": "12.4 V"}]
    assert (made.name, made.length, made.battery, made.place) == (
        "Wasserpumpe", "3 m", "starter battery", "engine bay",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "source"),
    [
        ("Zigarettenanzünder", Source.SOCKET),
        ("vom Sicherungskasten", Source.FUSE_BOX),
        ("Bordbatterie", Source.BATTERY),
    ],
)
def test_where_it_is_fed_from_in_german(typed: str, source: Source) -> None:
    assert look(fed_from=typed).source is source


def test_the_volts_it_works_between() -> None:
    assert load_of(look(label="10-30V 48W"))["works"] == "10..30 V"


@pytest.mark.parametrize(
    ("typed", "measured"),
    [
        ("3.2 A at 12.6", {"current": "3.2 A", "voltage": "12.6 V"}),
        ("3.2A @ 13.8V", {"current": "3.2 A", "voltage": "13.8 V"}),
        ("3,1 amps at 13,8", {"current": "3.1 A", "voltage": "13.8 V"}),
        ("13.8v 3.9a", {"current": "3.9 A", "voltage": "13.8 V"}),
        ("41 W at 12.9 V", {"power": "41 W", "voltage": "12.9 V"}),
        ("2.4 ohms", {"resistance": "2.4 ohm"}),
        ("2.4Ω", {"resistance": "2.4 ohm"}),
        ("3.2 A", {"current": "3.2 A", "voltage": "unknown"}),
    ],
)
def test_what_a_meter_showed(typed: str, measured: dict[str, str]) -> None:
    assert load_of(look(measured=typed))["measured"] == [measured]


@pytest.mark.parametrize(
    ("typed", "length"),
    [
        ("4 m", "4 m"), ("4m", "4 m"), ("7 meters", "7 m"), ("3 metres", "3 m"), ("900 mm", "900 mm"),
        ("13ft", "13 ft"), ("12'", "12 ft"), ("6 feet", "6 ft"), ("3 1/2 m", "3.5 m"), ("4,5 m", "4.5 m"),
        ("12 ft 6 in", "3.81 m"), ("2 m + 3 m", "5 m"), ("about 4 m", "4 m"), ("4-5 m", "5 m"),
        ("8 m there and back", "4 m"), ("6 metres round trip", "3 m"), ("20 ft total", "10 ft"),
        ("2 x 4 m", "4 m"), ("4", "4 m"), ("4 m of 6 mm2", "4 m"), ("", "about 5 m"),
        ("not far", "about 5 m"),
    ],
)  # fmt: skip
def test_how_far_it_is_one_way(typed: str, length: str) -> None:
    assert next(iter(held(look(distance=typed).text)["circuits"].values()))["length"] == length


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("LED light bar", "led"), ("work lamp", "lamp"), ("fridge", "compressor"), ("cool box", "compressor"),
        ("12V kettle", "heater"), ("dash cam", "electronics"), ("bilge pump", "pump"), ("winch", "motor"),
        ("1000W inverter", "inverter"), ("USB charger", "charger"), ("roof fan", "fan"), ("gizmo", "other"),
        ("tyre compressor", "motor"), ("fridge compressor", "compressor"), ("Luftkompressor", "motor"),
    ],
)  # fmt: skip
def test_what_it_is(typed: str, kind: str) -> None:
    assert load_of(look(kind=typed))["kind"] == kind


@pytest.mark.parametrize(
    ("typed", "slip", "meant"),
    [
        ({"kind": "bilge pump", "label": "60 A"}, SlipKind.WATTS_AS_AMPS, "60 W"),
        ({"kind": "lamp", "label": "55A"}, SlipKind.WATTS_AS_AMPS, "55 W"),
        ({"kind": "camera", "measured": "350 A at 12.6 V"}, SlipKind.AMPS_AS_MILLIAMPS, "350 mA"),
        ({"kind": "fan", "measured": "3 mA at 12.6 V"}, SlipKind.TOO_SMALL, "3 A"),
        ({"label": "60"}, SlipKind.NO_UNIT, "60 A"),
        ({"label": "4,5 A"}, SlipKind.COMMA, ""),
        ({"label": "12V 60W 2A"}, SlipKind.PRODUCT, ""),
        ({"label": "20 amp fuse"}, SlipKind.FUSE, ""),
        ({"label": "4 A, fuse 10 A"}, SlipKind.FUSE, ""),
        ({"label": "30 x 1 W"}, SlipKind.NOT_UNDERSTOOD, ""),
        ({"label": "600 W peak"}, SlipKind.PEAK, ""),
        ({"label": "5V 2A"}, SlipKind.OTHER_VOLTS, ""),
        ({"label": "8", "measured": "67 W at 13.2"}, SlipKind.ABOVE_LABEL, ""),
        ({"label": "0.5 A", "measured": "5 A"}, SlipKind.ABOVE_LABEL, ""),
        # a reading counts for each piece (format of the job file): 5.1 A of all four is 5.1 / 4 for each
        ({"label": "4 x 18 W", "measured": "5.1 A 12.4 V"}, SlipKind.OF_ALL, "1.275 A 12.4 V"),
        ({"label": "2 x 55 W", "measured": "9.2 A at 12.8 V"}, SlipKind.OF_ALL, "4.6 A 12.8 V"),
        ({"label": "0 W", "measured": "5 A at 12 V"}, SlipKind.NOT_UNDERSTOOD, ""),
        ({"label": "5 W", "measured": "5 A at 0 V"}, SlipKind.NO_VOLTS, ""),
        ({"measured": "3.2 A"}, SlipKind.NO_VOLTS, ""),
        ({"measured": "12.4 V"}, SlipKind.VOLTS_ALONE, ""),
        ({"distance": "8 m there and back"}, SlipKind.BOTH_WAYS, ""),
        ({"distance": "16 m"}, SlipKind.LONG, "8 m"),
        ({"distance": "6 mm"}, SlipKind.SHORT, "6 m"),
        ({"distance": "4-5 m"}, SlipKind.RANGE, ""),
        ({"distance": "4 m of 6 mm"}, SlipKind.DIAMETER, ""),
        ({"wire": "6 mm"}, SlipKind.DIAMETER, "6 mm2"),
        ({"wire": "thick"}, SlipKind.NO_SIZE, ""),
        ({"distance": "not far"}, SlipKind.NOT_UNDERSTOOD, ""),
    ],
)
def test_slips_are_caught(typed: dict[str, str], slip: SlipKind, meant: str) -> None:
    made = look(**typed)
    assert slip in slips(made)
    assert next(each.meant for each in made.slips if each.kind is slip) == meant


@pytest.mark.parametrize(
    "typed",
    [
        {"kind": "light bar", "label": "180W", "measured": "13.1 A at 13.6 V", "distance": "3 m"},
        {"kind": "fridge", "label": "45 W", "distance": "16 ft", "fed_from": "battery"},
        {"kind": "winch", "label": "12V 350A"},
        # 2 ohm: 72 W at 12 V, 104 W at 14.4 V (72 * 1.44); and one of two lamps
        {"kind": "heater", "label": "72 W", "measured": "7.2 A at 14.4 V"},
        {"kind": "lamp", "label": "2 x 55 W", "measured": "4.6 A at 12.8 V"},
        {"kind": "dash cam", "label": "12V 0.3A"},
        {"kind": "1000W inverter", "label": "1000 W 12V 100A"},
    ],
)
def test_what_is_right_is_no_slip(typed: dict[str, str]) -> None:
    assert not look(**typed).slips


@pytest.mark.parametrize(
    ("typed", "source"),
    [
        ("starter battery", Source.BATTERY), ("the lighter socket", Source.SOCKET), ("socket", Source.SOCKET),
        ("cigarette lighter", Source.SOCKET), ("fuse box", Source.FUSE_BOX), ("fuse tap", Source.FUSE_BOX),
        ("battery under the seat", Source.BATTERY), ("", Source.BATTERY),
    ],
)  # fmt: skip
def test_where_it_is_fed_from(typed: str, source: Source) -> None:
    made = look(fed_from=typed, label="5 W")
    assert made.source is source
    read_job(made.text)


def test_a_battery_has_its_name_and_place() -> None:
    made = look(fed_from="leisure battery under the seat", label="5 W")
    assert held(made.text)["supplies"] == {"leisure battery": {"kind": "battery", "at": "cabin"}}
    assert "leisure battery" in held(made.text)["circuits"]["thing"]["path"]


def test_a_label_of_24_volts_makes_a_24_volt_job() -> None:
    assert held(look(label="24V 50W").text)["system"] == "24 V"
    assert held(look(label="12/24V 50W").text)["system"] == "12 V"
    assert held(look(measured="2 A at 27.8 V").text)["system"] == "24 V"


def test_volts_that_nobody_read_never_stand_in_the_job_as_if_read() -> None:
    job = read_job(look(measured="3.2 A", label="40 W").text).installation
    assert job.loads["thing"].measured[0].voltage_v is None
    told = [(each.value, each.why) for each in vet(job).assumptions]
    assert ("11.8 V to 14.8 V", "nobody read the volts at the load; own judgement") in told


def test_a_length_that_nobody_gave_is_listed_as_assumed() -> None:
    guessed, given = (read_job(text).installation for text in (look().text, look(distance="5 m").text))
    said = [(str(a.where), str(a.value)) for a in guessed.assumptions if "length" in a.where]
    assert said == [("thing length", "5 m")]
    assert not [a for a in given.assumptions if "length" in a.where]
    assert guessed.circuits["thing"].path == given.circuits["thing"].path


def test_a_label_that_its_plug_cannot_feed_is_impossible() -> None:
    """500 W at 12 V are 42 A; what stands behind a lighter socket opens far below (ISO 8820-3)."""
    made = look(kind="heater with lighter plug", label="500 W", measured="1.2 ohm")
    assert load_of(made)["fitted"] == {"plug": "lighter"}
    assert vet(read_job(made.text).installation).loads[made.name].claims[0].verdict.value == "impossible"


def test_a_reading_far_above_its_label_is_said() -> None:
    answer = first_look(FirstLook(kind="pump", label="8", measured="67 W at 13.2"))
    told = next(slip.said for slip in answer.slips if slip.field == "measured")
    # 67 W / 8 W is 8.375
    assert told == "67 W was measured, 8.4 times the 8 W of its label; was one read in another unit?"


def test_kind_and_label_alone_give_a_job_and_say_what_was_assumed() -> None:
    answer = first_look(FirstLook(kind="light bar", label="45W"))
    read_job(answer.text)
    assert any("3.75 A" in told for told in answer.said)
    assert any("5 m" in told for told in answer.assumed)
    assert any("12 V" in told for told in answer.assumed)
    assert not answer.slips


@pytest.mark.parametrize("kind", ["", "???", "fuse", "wire", "a, b: {c}", "x" * 200, "road to hell", "60W"])
def test_whatever_it_is_called_a_job_comes_of_it(kind: str) -> None:
    read_job(look(kind=kind, label="5 W").text)


def test_every_slip_is_said_in_words_of_its_own() -> None:
    answer = first_look(FirstLook(kind="pump", label="60 A", measured="3,1", distance="40 m", wire="6 mm"))
    told = [slip.said for slip in answer.slips]
    assert len(set(told)) == len(told) >= 5
    assert all(slip.given in slip.said for slip in answer.slips)
