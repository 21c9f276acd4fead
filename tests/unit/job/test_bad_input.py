"""What bad input gets: one message for each fault, all in one go, where it stands, with what would do."""

import pytest

from groundstrap.errors import JobError
from groundstrap.job import decode_job, read_job
from tests.support.jobs import BASE, changed, faults, only_fault

LAMP = "[battery, fuse, lamp]"
END = BASE.count("\n")
"""Lines of the bench job; what is put behind begins on the next one."""


def place(text: str, part: str) -> tuple[int, int]:
    """Return line and column of a part of a text."""
    index = text.index(part)
    return text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index)


@pytest.mark.parametrize(
    ("old", "new", "at", "found", "nearest"),
    [
        pytest.param("{power: 60 W}", "{power: 60,5 W}", "60,5", "60,5 W", "60.5 W", id="comma in braces"),
        pytest.param(LAMP, "[battery, length: 1,5 m, lamp]", "1,5", "1,5 m", "1.5 m", id="comma in a list"),
        pytest.param(
            "{power: 60 W}", "{power:60 W}", "power:", "power:60 W", "power: 60 W", id="no space in braces"
        ),
        pytest.param(
            LAMP, "[battery, fuse:15 A, lamp]", "fuse:", "fuse:15 A", "fuse: 15 A", id="no space in a list"
        ),
        pytest.param("title: Bench", "title: Van #2", "#2", "#2", "'Van #2'", id="title loses its tail"),
        pytest.param(
            "title: Bench", "#Bench\ntitle: B", "#B", "#Bench", "# Bench", id="comment without space"
        ),
        pytest.param(
            "title: Bench",
            "title: Van: second",
            "Van",
            "Van: second",
            "title: 'Van: second'",
            id="colon in title",
        ),
        pytest.param("title: Bench", "title: @home", "@home", "@home", "'@home'", id="odd first letter"),
        pytest.param("  lamp: {path", "\tlamp: {path", "\t", "a tab", None, id="tab"),
        pytest.param("title: Bench", "title: &a Bench", "&a", "&a", None, id="anchor"),
        pytest.param("title: Bench", "title: !!str Bench", "!!", "tag:yaml.org,2002:str", None, id="tag"),
        pytest.param("{power: 60 W}", "{power: 60}", "60}", "60", None, id="bare number"),
        pytest.param("{power: 60 W}", "{power: 60 Watt}", "60 W", "60 Watt", "60 W", id="unit misspelt"),
        pytest.param("{power: 60 W}", "{power: 60 A}", "60 A", "60 A", None, id="wrong unit"),
        pytest.param(
            "claims: {power: 60 W}", "clams: {power: 60 W}", "clams", "clams", "claims", id="key misspelt"
        ),
        pytest.param("kind: fan", "kind: fann", "fann", "fann", "fan", id="kind misspelt"),
        pytest.param(LAMP, "[batery, fuse, lamp]", "batery", "batery", "battery", id="name misspelt"),
        pytest.param(
            LAMP, "[battery +, fuse, lamp plus]", "lamp plus", "lamp plus", None, id="point misspelt"
        ),
        pytest.param(LAMP, "[panel 5, fuse, lamp]", "panel 5", "panel 5", None, id="way that is not there"),
        pytest.param(LAMP, "[battery, fuse, wire: 6 mm, lamp]", "6 mm", "6 mm", None, id="outside diameter"),
        pytest.param(
            LAMP, "[battery, fuse, wire: 2 x 6 mm2, lamp]", "2 x", "2 x 6 mm2", None, id="twin cable"
        ),
        pytest.param(
            LAMP,
            "[battery, {fuse: 10 A, family: regular blad}, lamp]",
            "regular",
            "regular blad",
            "regular blade",
            id="family misspelt",
        ),
        pytest.param(
            LAMP,
            "[battery, {fuse: 10 A, wire: 6 mm2}, lamp]",
            "{fuse",
            "{fuse: 10 A, wire: 6 mm2}",
            None,
            id="two things in one step",
        ),
        pytest.param(
            LAMP, "[battery, fuse, lamp, wire: 6 mm2]", "wire:", "wire: 6 mm2", None, id="ends with cable"
        ),
        pytest.param(LAMP, "[fuse, lamp]", "fuse, lamp]", "fuse", None, id="begins with a part"),
        pytest.param(LAMP, "[battery]", "battery],", "battery", None, id="leads nowhere"),
        pytest.param(LAMP, "[]", "[]", "[]", None, id="empty path"),
        pytest.param(
            LAMP, "[battery, fuse, plug, lamp]", "plug, lamp", "plug", None, id="plug without its way"
        ),
        pytest.param(
            LAMP,
            "[battery, wire: 6 mm2, fuse, wire: 4 mm2, lamp]",
            "wire: 4",
            "wire: 4 mm2",
            None,
            id="two cables without length",
        ),
        pytest.param(LAMP, "[battery, length: 1 m, fuse, length: 1 m, lamp]", "3 m}", "3 m", None, id="sum"),
        pytest.param(LAMP, "[battery, length: 4 m, fuse, lamp]", "3 m}", "3 m", None, id="pieces too long"),
        pytest.param(", length: 3 m", "", "lamp]", "lamp", None, id="no length"),
        pytest.param("  fan: {", "  'fan, big': {", "'fan", "fan, big", None, id="comma in a name"),
        pytest.param("  fan: {", "  road to rome: {", "road", "road to rome", None, id="to in a name"),
        pytest.param("  fan: {", "  fuse: {", "fuse: {", "fuse", None, id="a word of paths as a name"),
        pytest.param("  fan: {", "  rocker: {", "rocker: {kind: fan", "rocker", None, id="a name twice"),
        pytest.param("  fan: {", "  panel 1: {", "panel 1", "panel 1", None, id="a name that is a way"),
        pytest.param(
            "  fan: {", "  lamp fuse: {", "lamp fuse", "lamp fuse", None, id="a name that is a part"
        ),
        pytest.param(
            "at: boot, claims: {power",
            "at: engine bey, claims: {power",
            "engine bey",
            "engine bey",
            "engine bay",
            id="place one letter off",
        ),
        pytest.param("system: 12 V", "system: 13 V", "13", "13 V", None, id="system"),
        pytest.param("groundstrap: 1", "groundstrap: 2", "2", "2", None, id="format"),
        pytest.param(
            "ways: 4}\n  relay",
            "ways: 4, coil: 1 A}\n  relay",
            "coil: 1",
            "coil",
            None,
            id="key of another kind",
        ),
        pytest.param(
            "chemistry: flooded", "chemistry: floded", "floded", "floded", "flooded", id="chemistry"
        ),
        pytest.param(
            "chemistry: flooded", "cranking: 640 A", "640", "640 A", None, id="cranking without standard"
        ),
        pytest.param("places: {dash: cabin,", "places: {dash: cabn,", "cabn", "cabn", "cabin", id="zone"),
        pytest.param("system: 12 V", "system: 12 V\nday:", "day", "", None, id="empty section"),
        pytest.param("system: 12 V", "system: 12 V\nsytem: x", "sytem", "sytem", "system", id="top key"),
        pytest.param(
            "length: 3 m", "length: 3 m, return: negativ bus", "negativ", "negativ bus", None, id="return"
        ),
        pytest.param(
            "length: 3 m",
            "length: 3 m, return: battery minus",
            "battery minus",
            "battery minus",
            None,
            id="point of the return",
        ),
        pytest.param(
            "system: 12 V",
            "system: 12 V\nbasis: boat\nreturn: chassis",
            "chassis",
            "chassis",
            None,
            id="chassis on a boat",
        ),
        pytest.param(
            "system: 12 V",
            "system: 12 V\nbody: wood\nreturn: chassis",
            "chassis",
            "chassis",
            None,
            id="chassis of wood",
        ),
        pytest.param(
            "kind: fan,", "kind: fan, never_with: [lamb],", "lamb", "lamb", "lamp", id="excluded load"
        ),
        pytest.param(
            "kind: fan,",
            "kind: fan, duty: {run: 5 min, every: 1 min},",
            "{run",
            "{run: 5 min, every: 1 min}",
            None,
            id="duty over 100 %",
        ),
        pytest.param(
            "kind: fan,",
            "kind: fan, inrush: {current: unknown, time: 40 ms},",
            "{current: unknown",
            "{current: unknown, time: 40 ms}",
            None,
            id="a surge that nobody knows",
        ),
        pytest.param(
            "kind: fan,",
            "kind: fan, measured: {current: 4 A, voltage: 12 V, meter: 150 % + 2 digits},",
            "150 %",
            "150 % + 2 digits",
            None,
            id="a meter off by more than it shows",
        ),
        pytest.param(
            "kind: fan,",
            "kind: fan, measured: {current: 4 A, voltage: 12 V, meter: 0.8 % + 5000 digits},",
            "0.8 %",
            "0.8 % + 5000 digits",
            None,
            id="a meter with too many digits",
        ),
        pytest.param(
            "{current: 4 A}",
            "{current: 4 A, power: 48 W}",
            "{current",
            "{current: 4 A, power: 48 W}",
            None,
            id="two values in a claim",
        ),
    ],
)
def test_is_told_where_it_stands(old: str, new: str, at: str, found: str, nearest: str | None) -> None:
    text = changed((old, new))
    fault = only_fault((old, new))
    assert (fault.line, fault.column) == place(text, at)
    assert (fault.found, fault.nearest) == (found, nearest)
    assert fault.wanted
    assert fault.file == "bench.yaml"


def test_every_fault_in_one_go_and_in_order() -> None:
    text = changed(
        ("title: Bench", "title: Van: second"),
        ("{power: 60 W}", "{power: 60,5 W}"),
        ("{current: 4 A}", "{current:4 A}"),
        (LAMP, "[batery, fuse: 15 amps, lamb]"),
        ("kind: switch", "kind: swich"),
    )
    found = faults(text)
    assert [fault.key for fault in found] == [
        "title",
        "gear.rocker.kind",
        "loads.lamp.claims.power",
        "loads.fan.claims.current:4 A",
        "circuits.lamp.path.1.fuse",
    ]
    assert [fault.line for fault in found] == sorted(fault.line for fault in found)


def test_names_are_looked_up_although_other_entries_are_faulty() -> None:
    found = faults(changed(("kind: switch", "kind: swich"), (LAMP, "[batery, rocker, lamp]")))
    assert [fault.found for fault in found] == ["swich", "batery"]


def test_key_of_the_fault_is_its_path() -> None:
    assert only_fault(("{power: 60 W}", "{power: 60}")).key == "loads.lamp.claims.power"
    assert only_fault((LAMP, "[battery, fuse, lamb]")).key == "circuits.lamp.path.2"
    assert only_fault(("title: Bench", "title: Van #2")).key == "title"


@pytest.mark.parametrize("way", ["relay one", "rocker", "plug 1"])
def test_two_circuits_through_one_part_are_refused(way: str) -> None:
    fault = only_fault(
        (LAMP, f"[battery, fuse, {way}, lamp]"), more=f"  fan: {{path: [battery, {way}, fan], length: 2 m}}\n"
    )
    assert (fault.found, fault.line) == (way, END + 1)
    assert "lamp passes it" in fault.reason


def test_a_return_where_the_path_is_one_conductor_is_refused() -> None:
    fault = only_fault(more="  feed: {path: [battery, fuse, panel], length: 1 m, return: chassis}\n")
    assert fault.key == "circuits.feed.return"


def test_a_return_said_twice_is_refused() -> None:
    fault = only_fault(
        ("length: 3 m}", "length: 3 m, return: battery -}"),
        more="  by hand: {path: [battery, fuse, switch, lamp], length: 1 m, return: chassis}\n",
    )
    assert fault.key == "circuits.by hand.return"


def test_a_circuit_may_not_take_the_name_of_gear() -> None:
    assert only_fault(more="  rocker: {path: [battery, fuse, fan], length: 1 m}\n").found == "rocker"


def test_a_converter_in_the_middle_of_a_path_is_refused() -> None:
    fault = only_fault(
        ("  alternator: none", "  alternator: none\n  step down: {kind: dc-dc, at: boot, setpoint: 5 V}"),
        (LAMP, "[battery, fuse, step down, lamp]"),
    )
    assert "ends at the input" in fault.reason


def test_aliases_and_merge_keys_are_refused() -> None:
    found = faults(changed(("kind: fan", "<<: {kind: fan}")))
    assert [fault.found for fault in found] == ["<<"]
    assert [fault.found for fault in faults(changed(("title: Bench", "title: *a")))] == ["*a"]


def test_a_key_twice_is_refused() -> None:
    fault = only_fault(more="  lamp: {length: 4 m}\n")
    assert (fault.found, fault.line) == ("lamp", END + 1)
    assert f"line {END}" in fault.reason


def test_missing_top_keys_are_all_told() -> None:
    assert [fault.wanted for fault in faults("groundstrap: 1\n")] == [
        "a line system: ...",
        "loads or circuits",
        "a line title: ...",
    ]


@pytest.mark.parametrize(
    "text", ["", "   \n", "# nothing\n", "- a\n", "a text\n", "[1, 2", "{", "'", '"\\x', "a: b: c: d\n"]
)
def test_texts_that_are_no_job(text: str) -> None:
    assert faults(text)


@pytest.mark.parametrize(
    "text", ["groundstrap: 1\n---\ntitle: b\n", "%YAML 1.1\n---\ngroundstrap: 1\n", "groundstrap: \x00\n"]
)
def test_texts_that_are_no_single_plain_yaml(text: str) -> None:
    assert faults(text)[0].line > 0


def test_too_deep_and_too_large_are_refused() -> None:
    deep = faults("groundstrap: " + "[" * 30 + "]" * 30 + "\n")
    assert [fault.reason for fault in deep] == ["the text is too deep"]
    large = faults("# " + "x" * 1_000_000 + "\n")
    assert [fault.reason for fault in large] == ["the text is too large"]
    many = faults("groundstrap: [" + "a, " * 60_000 + "]\n")
    assert [fault.reason for fault in many] == ["the text is too large"]


def test_bytes_that_are_not_utf_8_are_told_with_their_place() -> None:
    with pytest.raises(JobError) as caught:
        decode_job(b"groundstrap: 1\ntitle: caf\xe9\n", "van.yaml")
    fault = caught.value.faults[0]
    assert (fault.line, fault.column, fault.wanted) == (2, 11, "UTF-8")


def test_nothing_turns_into_something_else() -> None:
    text = changed(
        ("system: 12 V", "system: 12 V\nabout: {a: 01, b: 1.10, c: no, d: 2026-03-01, e: null, f: 1_000}")
    )
    assert read_job(text).installation.about == {
        "a": "01",
        "b": "1.10",
        "c": "no",
        "d": "2026-03-01",
        "e": "null",
        "f": "1_000",
    }


def test_a_load_with_a_circuit_of_its_own_name_is_named_once() -> None:
    """Of a day that names no load: what would do is told without saying a word twice."""
    fault = only_fault(more="day:\n  - {resting: 2 h, using: [heater]}\n")
    assert fault.key == "day.0.using.0"
    assert fault.wanted == "one of lamp, fan"


def test_a_kind_that_is_misspelt_is_the_only_fault_of_the_smallest_job() -> None:
    # No battery is listed: it is assumed all the same, for a load can't be the battery.
    text = (
        "groundstrap: 1\ntitle: T\nsystem: 12 V\n"
        "loads: {lamp: {kind: heeter, claims: {power: 60 W}}}\ncircuits: {lamp: {length: 7 m}}\n"
    )
    assert [fault.found for fault in faults(text)] == ["heeter"]
