"""What the job file takes in braces, said as people say it: each becomes what the format has for it."""

from __future__ import annotations

from typing import Any

import pytest

from groundstrap import api
from groundstrap.errors import JobError
from groundstrap.job import SENTENCES, FirstLook, read_job, understood
from tests.support.edited import held

JOB = """groundstrap: 1
title: Water
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay}
loads:
  pump: {kind: pump}
circuits:
  pump: {path: [battery, fuse, pump], length: 2 m}
"""


def put(path: tuple[str | int, ...], value: Any, text: str = JOB, **how: Any) -> dict[str, Any]:
    edit = api.Edit(path=path, value=value, **how)
    return held(api.edited(text, [edit]))


@pytest.mark.parametrize(
    ("key", "said", "meant"),
    [
        ("claims", "8 A", {"current": "8 A"}),
        ("claims", "60 W at 12 V, label", {"power": "60 W", "voltage": "12 V", "by": "label"}),
        ("claims", "4 A, fuse 10 A", {"current": "4 A"}),
        ("claims", "10 A fuse, 4 A", {"current": "4 A"}),
        ("claims", "4 A, Sicherung: 10 A", {"current": "4 A"}),
        ("claims", "8 Ampere laut Anleitung", {"current": "8 A", "by": "manual"}),
        ("measured", "5.4 A at 12.4 V", {"current": "5.4 A", "voltage": "12.4 V"}),
        ("measured", "5,4 A bei 12,4 V", {"current": "5.4 A", "voltage": "12.4 V"}),
        ("measured", "1.2 ohm", {"resistance": "1.2 ohm"}),
        ("measured", "5.4 A", {"current": "5.4 A", "voltage": "unknown"}),
        ("fitted", "16 AWG 1.5 m, 10 A fuse, lighter",
         {"wire": "16 AWG", "length": "1.5 m", "fuse": "10 A", "plug": "lighter"}),
        ("fitted", "1,5 mm² Leitung, Sicherung 10 A", {"wire": "1.5 mm2", "fuse": "10 A"}),
        ("inrush", "30 A for 50 ms", {"current": "30 A", "time": "50 ms"}),
        ("duty", "40 s every 4 min", {"run": "40 s", "every": "4 min"}),
        ("duty", "30 percent", "30 %"),
        ("duty", "all the time", "continuous"),
        ("duty", "1 hour a day", {"run": "1 h", "every": "24 h"}),
        ("duty", "half an hour a day", {"run": "30 min", "every": "24 h"}),
        ("duty", "20 min every hour", {"run": "20 min", "every": "1 h"}),
        ("duty", "2 Stunden am Tag", {"run": "2 h", "every": "24 h"}),
        ("asleep", "15 milliamps", "15 mA"),
        ("stall", "11 A", "11 A"),
        ("stall", "11 A, does not survive", {"current": "11 A", "survives": "no"}),
        ("works", "10 to 30 V", "10..30 V"),
        ("works", "10-30 V", "10..30 V"),
        ("claims", "{power: 60 W, by: seller}", {"power": "60 W", "by": "seller"}),
        ("claims", "unknown", "unknown"),
    ],
)  # fmt: skip
def test_a_value_as_it_is_said(key: str, said: str, meant: object) -> None:
    assert put(("loads", "pump", key), said)["loads"]["pump"][key] == meant


@pytest.mark.parametrize("label", ["8 A", "60 W at 12 V, label", "12V 5A", "2.4", "0,8A"])
def test_a_claim_is_read_as_the_first_look_reads_it(label: str) -> None:
    first = held(understood(FirstLook(kind="pump", label=label)).text)["loads"]["pump"]["claims"]
    assert put(("loads", "pump", "claims"), label)["loads"]["pump"]["claims"] == first


@pytest.mark.parametrize("key", [key for key in SENTENCES if key not in {"ambient", "setpoint", "values"}])
def test_what_a_field_shows_as_an_example_is_understood(key: str) -> None:
    section = "circuits" if key in {"path", "return"} else "loads"
    if key == "path":
        # The names of the example are those of no job; that it is read as steps is what counts.
        assert put((section, "pump", key), SENTENCES[key])["circuits"]["pump"][key] == [
            "battery",
            "fuse",
            "lamp",
        ]
        return
    put((section, "pump", key), SENTENCES[key])


def test_the_air_of_a_zone_a_setpoint_and_a_reading() -> None:
    zones = put(("zones", "locker"), {"ambient": "-20 to 55 °C"}, do=api.EditKind.ADD)
    assert zones["zones"]["locker"]["ambient"] == "-20..55 degC"
    said = {"when": "idling", "values": "battery 14.2 V, from battery to pump 0,3 V"}
    told = put(("readings",), said, do=api.EditKind.ADD)
    assert told["readings"][0]["values"] == [{"battery": "14.2 V"}, {"battery to pump": "0.3 V"}]


def test_a_reading_keeps_its_sign() -> None:
    """Less than nothing is read where current runs the other way, or the leads do (common practice)."""
    said = {"when": "idling", "values": "pump - to battery -: -310 mV, battery to pump -0,3 V"}
    told = put(("readings",), said, do=api.EditKind.ADD)
    assert told["readings"][0]["values"] == [
        {"pump - to battery -": "-310 mV"},
        {"battery to pump": "-0.3 V"},
    ]


def test_a_second_reading_is_said_like_the_first() -> None:
    text = api.edited(JOB, [api.Edit(path=("loads", "pump", "measured"), value="5.4 A at 12.4 V")])
    both = put(("loads", "pump", "measured"), "5.6 A at 13 V", text, do=api.EditKind.ADD)
    assert [each["current"] for each in both["loads"]["pump"]["measured"]] == ["5.4 A", "5.6 A"]


def test_a_load_and_its_circuit_are_added_in_words_without_a_fault() -> None:
    load = api.Edit(
        path=("loads", "work lamp"), value={"claims": "2 x 55 W at 12 V", "at": "roof"}, do=api.EditKind.ADD
    )
    way = {"from": "battery", "length": "4 m"}
    circuit = api.Edit(path=("circuits", "work lamp"), value=way, do=api.EditKind.ADD)
    job = api.edited(JOB, [load, circuit])
    read_job(job)
    assert held(job)["loads"]["work lamp"] == {
        "count": "2", "kind": "lamp", "claims": {"power": "55 W", "voltage": "12 V"}, "at": "roof",
    }  # fmt: skip
    assert held(job)["circuits"]["work lamp"]["path"] == ["battery", "fuse", "work lamp"]


def test_what_goes_to_the_body_has_no_fuse_of_its_own() -> None:
    """A strap from the minus: on the negative side there is none (common practice)."""
    way = {"from": "battery -", "to": "chassis", "length": "30 cm"}
    told = put(("circuits", "strap"), way, do=api.EditKind.ADD)
    assert told["circuits"]["strap"]["path"] == ["battery -", "chassis"]


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("claims", "much"),
        ("measured", "a lot"),
        ("inrush", "30 A"),
        ("fitted", "something"),
        ("duty", "often"),
        ("duty", "not continuous"),
    ],
)
def test_what_is_not_understood_is_refused_with_words_that_would_do(key: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        put(("loads", "pump", key), said)
    told = str(api.fault_said(caught.value.faults[0]))
    assert told.startswith("Pump, ")
    assert f"'{said}'" in told
    assert ":7:" not in told and "brace" not in told and "map" not in told  # noqa: PT018 - one claim in parts


@pytest.mark.parametrize(
    ("key", "said", "back"),
    [
        ("claims", "8 A", "Its label says 8 A: 96 W at 12 V."),
        ("measured", "5.4 A at 12.4 V", "5.4 A was measured, at 12.4 V."),
        ("inrush", "30 A for 50 ms", "30 A at switch-on, for 50 ms."),
        ("duty", "40 s every 4 min", "It runs 40 s at a time, every 4 min."),
        ("fitted", "16 AWG, 10 A fuse", "Its own lead is 16 AWG. It came with a fuse of 10 A."),
    ],
)
def test_what_was_said_is_said_back(key: str, said: str, back: str) -> None:
    edit = api.Edit(path=("loads", "pump", key), value=said)
    assert " ".join(api.edits_heard(JOB, [edit])) == back


def test_a_reading_of_one_of_several_is_said_for_each() -> None:
    """The format of the job file: a reading at its own leads is of one piece; 5.1 A of 4 is 1.275 A each."""
    bar = "loads:\n  bar: {count: 4, kind: led, claims: {power: 18 W}}\n"
    job = JOB.replace("loads:\n", bar)
    told = api.edits_heard(job, [api.Edit(path=("loads", "bar", "measured"), value="5.1 A 12.4 V")])
    assert told[0] == "5.1 A for each of 4 was measured, at 12.4 V."
    assert "if it was of all together, 1.275 A 12.4 V is for each" in told[1]


def test_what_has_the_form_of_the_file_is_not_said_back() -> None:
    edits = [
        api.Edit(path=("loads", "pump", "claims"), value={"power": "60 W"}),
        api.Edit(path=("circuits", "pump", "length"), value="3 m"),
        api.Edit(path=("loads", "pump", "duty"), value="30 %"),
    ]
    assert api.edits_heard(JOB, edits) == ()


@pytest.mark.parametrize(
    ("path", "said", "meant"),
    [
        # SAE J537 calls its rating cold cranking amperes; a label by EN 50342-1 says EN.
        (("supplies", "battery", "cranking"), "850 CCA", "850 A SAE"),
        (("supplies", "battery", "cranking"), "850A (EN)", "850 A EN"),
        (("supplies", "battery", "capacity"), "95 amp hours", "95 Ah"),
        (("supplies", "battery", "temperature"), "-10 C", "-10 degC"),
        (("circuits", "pump", "length"), "2.5 metres", "2.5 m"),
        (("circuits", "pump", "length"), "2,5 m", "2.5 m"),
        (("circuits", "pump", "wire"), "16 sq mm", "16 mm2"),
        (("circuits", "pump", "path", "1", "fuse"), "10 amps", "10 A"),
    ],
)
def test_only_a_spelling_is_mended(path: tuple[str, ...], said: str, meant: str) -> None:
    found: Any = put(path, said)
    for key in path:
        found = found[int(key) if key.isdecimal() else key]
    assert found == meant


@pytest.mark.parametrize(
    ("path", "said", "asked"),
    [
        (("supplies", "battery", "cranking"), "850 A", "850 A EN or 850 A SAE"),
        (("supplies", "battery", "temperature"), "40 degrees", "degC or degF"),
        (("circuits", "pump", "length"), "2.5", "bare number"),
        (("circuits", "pump", "wire"), "16 mm", "outside diameter"),
        (("loads", "pump", "asleep"), "20 MA", "A, mA"),
    ],
)
def test_what_may_mean_two_things_is_asked(path: tuple[str, ...], said: str, asked: str) -> None:
    with pytest.raises(JobError, match=asked):
        put(path, said)


@pytest.mark.parametrize(
    ("ends", "path"),
    [
        (("charger", "battery", "3 m"), ["charger", "fuse", {"length": "20 cm"}, "battery"]),
        (("charger", "battery", "25 cm"), ["charger", "fuse", "battery"]),
        (("battery", "spare", "3 m"), ["battery", "fuse", "fuse", {"length": "20 cm"}, "spare"]),
        (("battery", "pump", "3 m"), ["battery", "fuse", "pump"]),
    ],
)
def test_a_fuse_stands_at_each_battery_that_can_feed_a_short(
    ends: tuple[str, str, str], path: object
) -> None:
    more = "  charger: {kind: dc-dc, at: cabin}\n  spare: {kind: battery, at: cabin}\n"
    text = JOB.replace("loads:\n", f"{more}loads:\n")
    entry = dict(zip(("from", "to", "length"), ends, strict=True))
    assert put(("circuits", "run"), entry, text, do=api.EditKind.ADD)["circuits"]["run"]["path"] == path


@pytest.mark.parametrize(
    ("place", "basis", "zone"),
    [
        ("under bonnet", "road", "engine bay"),
        ("Under the hood", "road", "engine bay"),
        ("engine compartment", "boat", "engine space"),
        ("cooker hood", "road", "cabin"),
    ],
)
def test_a_place_by_the_engine_is_never_taken_for_the_cabin(place: str, basis: str, zone: str) -> None:
    text = JOB.replace("engine bay", place).replace("system", f"basis: {basis}\nsystem")
    job = read_job(text)
    installation = job.installation
    assert installation.places[place] == zone
    assert any(each.where == f"places.{place}" and each.value == zone for each in installation.assumptions)
