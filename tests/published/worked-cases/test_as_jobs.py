"""The same accepted answers, asked of the whole tool by a job text: the plan says what the trade does.

Where a case names no temperature the air is as cool as its own figures take it to be (20 to 30 degC).
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from groundstrap import api
from groundstrap.errors import JobError

BENCH = """groundstrap: 1
title: Bench
system: 12 V
{top}
supplies:
  battery: {{kind: battery, at: room, capacity: 60 Ah, running: 0 A}}
  alternator: none
zones: {{room: {{ambient: 15..{warm} degC}}}}
places: {{bench: room}}
loads:
  device: {{at: bench, {device}}}
circuits:
  device: {{path: [battery, {passes}device], return: battery -, {keys}}}
"""


def planned(text: str) -> dict[str, Any]:
    return json.loads(api.plan_json(api.plan(api.read_job(text))))  # type: ignore[no-any-return]


def bench(
    device: str, keys: str, *, passes: str = "", top: str = "basis: road", warm: float = 30
) -> dict[str, Any]:
    return planned(BENCH.format(device=device, keys=keys, passes=passes, top=top, warm=warm))


def constant_current(amps: str) -> str:
    return f"kind: motor, measured: [{{current: {amps} A, voltage: 12.00 V, meter: bench}}]"


def steps(plan: dict[str, Any], part: str, circuit: str = "device") -> list[dict[str, Any]]:
    found = plan["circuits"][circuit]
    return [step for step in (*found["path"], *found.get("return", ())) if step["part"] == part]


def failing(plan: dict[str, Any], rule: str) -> list[str]:
    return [each["text"] for each in plan["findings"] if each["rule"] == rule and each["outcome"] == "fail"]


US = "units: us\nsizes: awg"


@pytest.mark.parametrize(
    ("length", "drop", "gauge"),
    [
        ("10 ft", "3 %", "8 AWG"),  # the chart's 20 ft were the total, out and back
        ("20 ft", "3 %", "6 AWG"),  # they were one way
        ("10 ft", "6.5 %", "12 AWG"),  # total again, and about twice the drop
    ],
)
def test_each_chart_is_right_under_the_assumption_that_it_does_not_name(
    length: str, drop: str, gauge: str
) -> None:
    """20 A and 20 ft: three charts say 8, 6 and 12 AWG; accepted explanation, recomputed with K = 10.75.

    12 AWG loses 5.5 % at 29 degC; 20 A warm it, and 6.1 % are reckoned here: hence 6.5 % allowed.
    """
    plan = bench(constant_current("20.00"), f"length: {length}, drop: {drop}", top=US)
    assert {step["size"] for step in steps(plan, "wire")} == {gauge}
    circuit = plan["circuits"]["device"]
    assert circuit["binding"] == "drop"
    # What the charts leave out stands in the result: the limit, and the length as one way.
    assert circuit["drop_limit_pct"] == pytest.approx(float(drop.split(maxsplit=1)[0]))
    assert circuit["length_m"] == pytest.approx(float(length.split(maxsplit=1)[0]) * 0.3048)


@pytest.mark.parametrize(
    ("amps", "length", "gauge", "share_pct"),
    [
        ("20.00", "10 ft", "8 AWG", 2.2),
        ("20.00", "20 ft", "6 AWG", 2.7),
        ("20.00", "10 ft", "12 AWG", 5.5),
        ("10.00", "5 ft", "14 AWG", 2.2),
        ("10.00", "5 ft", "18 AWG", 5.5),
    ],
)
def test_the_share_of_each_chart_and_how_much_a_warm_wire_adds(
    amps: str, length: str, gauge: str, share_pct: float
) -> None:
    """The charts' own shares at 29 degC; never less here, and at most an eighth more for warmth and lugs."""
    plan = bench(constant_current(amps), f"length: {length}, wire: {gauge}", top=US)
    assert share_pct - 0.05 <= plan["circuits"]["device"]["drop_pct"] <= share_pct * 1.125


@pytest.mark.parametrize(("gauge", "measured_v"), [("14", 0.455), ("10", 0.180), ("6", 0.071)])
def test_cooler_at_the_back_of_a_pickup(gauge: str, measured_v: float) -> None:
    """6 A, 15 ft each way, as a secondary page measured it: within 5 % by the wire alone at 20 degC."""
    plan = bench(constant_current("6.000"), f"length: 15 ft, wire: {gauge} AWG")
    cold_v = sum(6 * step["ohm_per_m_20c"] * step["length_m"] for step in steps(plan, "wire"))
    assert cold_v == pytest.approx(measured_v, rel=0.05)
    # Warm, at the low end of the battery and with its lugs it is more, and never less.
    assert cold_v <= plan["circuits"]["device"]["drop_v"] <= 1.1 * cold_v


LIGHT_BAR = "kind: led, claims: {power: 75 W, voltage: 12 V}, fitted: {wire: 16 AWG, length: 1 m}"


@pytest.mark.parametrize("warm", [20, 45])
def test_a_light_bar_of_75_w_on_16_awg_gets_a_10_a_fuse(warm: float) -> None:
    """Accepted: no relay, 10 A at the feed. Outside it is up to 45 degC, where 10 A carry 6.9 A for hours."""
    plan = bench(LIGHT_BAR, "wire: 16 AWG, length: 3 m", passes="fuse, switch, ", warm=warm)
    (fuse,) = steps(plan, "fuse")
    assert fuse["rating_a"] == 10.0
    assert fuse["distance_m"] == 0.0
    for rule in ("PRT001", "PRT002", "PRT004", "PRT014"):
        assert not failing(plan, rule)


def test_in_a_closed_cabin_in_the_sun_10_a_is_too_small_and_16_awg_too_thin() -> None:
    """Known difference: at 60 degC 10 A carry 6.3 A for hours; the bar takes 6.6 A at 11.4 V.

    Its own lead stands no 15 A there.
    """
    plan = bench(LIGHT_BAR, "wire: 16 AWG, length: 3 m", passes="fuse, switch, ", warm=60)
    (fuse,) = steps(plan, "fuse")
    assert fuse["window_a"]["least"] == 15.0
    assert failing(plan, "PRT014")


@pytest.mark.parametrize("warm", [20, 45])
def test_20_a_is_called_wrong(warm: float) -> None:
    plan = bench(LIGHT_BAR, "wire: 16 AWG, length: 3 m, fuse: 20 A", passes="fuse, switch, ", warm=warm)
    found = [each for each in plan["findings"] if each["rule"] == "PRT004"]
    # The case does not say what the lead's insulation is: usual PVC stands 14.6 A there, so 20 A is no pass.
    assert [(each["outcome"], each["level"]) for each in found] == [("unknown", "stop")]
    assert all("fuse 20 A" in each["text"] and "of its own lead" in each["text"] for each in found)


@pytest.mark.parametrize(
    ("size", "at_fridge_v", "outcome"),
    [("0.56 mm2", 10.3, "works without"), ("2 mm2", 11.7, "works"), ("6 mm2", 12.0, "works")],
)
def test_a_fridge_cuts_out_on_thin_wire(size: str, at_fridge_v: float, outcome: str) -> None:
    """Needs more than 10.9 V (its maker); 5 A, 6 m each way, 12.2 V at the battery: fails, runs, runs."""
    device = "kind: compressor, claims: {current: 5 A, voltage: 12 V}, works: 10.9..15 V"
    plan = bench(device, f"wire: {size}, length: 6 m", passes="fuse: 15 A, ", warm=20)
    by_wire_v = 12.2 - sum(5 * step["ohm_per_m_20c"] * step["length_m"] for step in steps(plan, "wire"))
    assert by_wire_v == pytest.approx(at_fridge_v, abs=0.1)  # printed to 0.1 V
    assert bool(failing(plan, "VDP002")) is (outcome != "works")
    assert plan["situations"]["resting"]["outcome"] == outcome


@pytest.mark.parametrize(("joint", "amps", "volts"), [("0.001 mohm", 200, 10.0), ("90.0 mohm", 80, 4.00)])
def test_one_bad_joint_takes_84_percent_of_a_starters_power(joint: str, amps: float, volts: float) -> None:
    """University physics textbook: 12.0 V, 10 and 50 milliohm. Within 2.5 %: it has no wires or lugs."""
    text = BENCH.replace("capacity: 60 Ah", "rested: 12.0 V, resistance: 10.0 mohm").format(
        top="basis: road",
        warm=20,
        device="kind: heater, measured: [{resistance: 0.0500 ohm, leads: 0.0000 ohm, meter: bench}]",
        passes=f"{{joint, resistance: {joint}}}, ",
        keys="wire: 95 mm2, length: 1 cm",
    )
    resting = planned(text)["situations"]["resting"]
    assert resting["loads_a"]["device"] == pytest.approx(amps, rel=0.025)
    assert resting["loads_v"]["device"] == pytest.approx(volts, rel=0.025)


BOAT = """groundstrap: 1
title: Sixteen gauge on a boat
system: 12 V
basis: boat
units: us
sizes: awg
supplies:
  battery: {{kind: battery, at: locker, capacity: 100 Ah}}
  alternator: none
zones: {{room: {{ambient: 20..30 degC}}}}
places: {{bench: {zone}, locker: {zone}}}
routes: [{{from: locker, to: bench, length: 6 ft, laid: {laid}}}]
loads:
  device: {{kind: led, at: bench, claims: {{power: 60 W, voltage: 12 V}}}}
circuits:
  device: {{path: [battery, {fuse}, device], return: battery -, wire: 16 AWG, insulation: {insulation}}}
"""


@pytest.mark.parametrize(
    ("zone", "laid", "insulation", "amps"),
    [
        ("room", "free", "105 degC", 25),
        ("room", "loom, with: 3", "105 degC", 15),  # 4 to 6 in the bundle, 60 %
        ("room", "loom, with: 6", "105 degC", 12.5),  # 7 to 24, 50 %
        ("engine space", "free", "105 degC", 21.25),  # x 0.85
        ("room", "free", "60 degC", 15),
    ],
)
def test_one_wire_and_its_official_ampacities(zone: str, laid: str, insulation: str, amps: float) -> None:
    """33 CFR 183.425, table 5 and its notes: 16 AWG."""
    plan = planned(BOAT.format(zone=zone, laid=laid, insulation=insulation, fuse="fuse"))
    assert plan["circuits"]["device"]["ampacity_a"] == pytest.approx(amps)
    (fuse,) = steps(plan, "fuse")
    assert fuse["window_a"]["most"] <= amps


@pytest.mark.parametrize(("rating", "stopped"), [(20, False), (25, True), (30, True), (35, True)])
def test_practice_holds_the_fuse_to_what_the_wire_carries(rating: int, *, stopped: bool) -> None:
    """33 CFR 183.455 lets 150 % pass (37.5 A, so 35 A); practice threads stop at 100 %, which is 25 A.

    Known difference: a blade of 25 A opens too late to save 16 AWG between its rating and twice that, by the
    slowest curve of ISO 8820-3; 21.4 A is the most here, so 20 A.
    """
    text = BOAT.format(zone="room", laid="free", insulation="105 degC", fuse=f"fuse: {rating} A")
    assert bool(failing(planned(text), "PRT001")) is stopped


def test_the_aircraft_table_has_7_a() -> None:
    """FAA AC 43.13-1B, table 11-9: a large bundle, 70 degC, 60,000 ft. 3.6 to 1 beside the boat's 25 A."""
    row = api.table("faa_ampacity_table_11_9").find("awg", "16")
    assert row is not None
    assert row.number("at_105_c_a") == 7


@pytest.mark.parametrize(("critical", "gauges"), [("yes", {"10 AWG", "12 AWG"}), ("no", {"16 AWG"})])
def test_a_bilge_pump_by_3_and_by_10_percent(critical: str, gauges: set[str]) -> None:
    """10 A, 11 ft out and 10 ft back: 3 % is 10 AWG by ABYC E-11's table and 12 by its formula; 10 % is 16.

    With the fuse's own ohms 10 AWG comes out here: the circuit says how many volts the fuse takes.
    """
    text = BENCH.format(
        top="basis: boat\nunits: us\nsizes: awg",
        warm=30,
        device=f"{constant_current('10.00')}, critical: {critical}",
        passes="length: 1 cm, fuse: 20 A, length: 334.28 cm, ",
        keys="length: 335.28 cm",
    ).replace("return: battery -", "return: [length: 10 ft, battery -]")
    plan = planned(text)
    assert {step["size"] for step in steps(plan, "wire")} <= gauges
    assert plan["circuits"]["device"]["drop_limit_pct"] == (3 if critical == "yes" else 10)
    assert steps(plan, "fuse")[0]["drop_v"] > 0.03


TWO = """groundstrap: 1
title: Two consumers behind one main
system: 12 V
supplies:
  battery: {{kind: battery, at: room, capacity: 110 Ah}}
  alternator: none
zones: {{room: {{ambient: 20..25 degC}}}}
places: {{bench: room}}
return: minus
gear: {{plus: {{kind: block, at: bench, ways: 2}}, minus: {{kind: block, at: bench}}}}
loads:
  one: {{at: bench, {load}}}
  two: {{at: bench, {load}}}
circuits:
  main: {{path: [battery, length: 10 cm, fuse: 100 A, plus], length: 5 m, wire: 33 mm2}}
  main return: {{path: [minus, battery -], length: 5 m, wire: 33 mm2}}
  one: {{path: [plus 1{fuse}, one], length: 1 m, wire: 10 mm2}}
  two: {{path: [plus 2{fuse}, two], length: 1 m, wire: 10 mm2}}
"""


def test_two_consumers_of_50_a_behind_one_main() -> None:
    """Accepted (Swedish): 33 mm2 with 100 A, 10 mm2 with 50 A each; every wire then stands its fuse."""
    plan = planned(TWO.format(load=constant_current("50.00"), fuse=", fuse: 50 A"))
    assert not failing(plan, "PRT001")
    assert not failing(plan, "THM001")
    main_v = sum(
        step["ohm_per_m_20c"] * step["length_m"] * 100
        for name in ("main", "main return")
        for step in (*plan["circuits"][name]["path"], *plan["circuits"][name].get("return", []))
        if step["part"] == "wire"
    )
    assert main_v == pytest.approx(0.52, abs=0.015)  # recomputed by the case; stranded wire has 2 % more ohms


def test_the_main_fuse_alone_does_not_save_the_branches() -> None:
    plan = planned(TWO.format(load=constant_current("50.00"), fuse=""))
    assert any("100 A" in text and "may carry" in text for text in failing(plan, "PRT001"))


def test_a_size_that_is_an_outside_diameter_is_refused_and_asks_for_its_strands() -> None:
    """Australian auto cable: '6 mm' holds 4.6 mm2."""
    with pytest.raises(JobError) as raised:
        bench(constant_current("10.00"), "wire: 6 mm, length: 5 m")
    (fault,) = raised.value.faults
    assert "outside diameter" in str(fault)
    assert "strand" in str(fault)


def test_its_real_area_loses_30_percent_more() -> None:
    """4.6 against 6 mm2: 1.304, within 5 % of the metal that 84 strands of 0.30 mm hold (5.94 mm2)."""
    sizes = ("4.6 mm2", "84 x 0.30 mm", "6 mm2")
    wires = [bench(constant_current("10.00"), f"wire: {size}, length: 5 m") for size in sizes]
    real, wanted, nominal = (steps(plan, "wire")[0]["ohm_per_m_20c"] for plan in wires)
    assert real / wanted == pytest.approx(1.304, rel=0.05)
    # Known difference: 6 mm2 by name counts with the most ohms that ISO 6722 lets it have.
    assert 1.2 < real / nominal < real / wanted


ALTERNATOR = "alternator: {{kind: alternator, at: room, rating: RATING, idle: RATING}}"


@pytest.mark.parametrize(
    ("rating", "amps", "noted", "discharges"),
    [
        ("60 A", "48.00", False, False),
        ("60 A", "49.00", True, False),
        ("60 A", "59.00", True, False),
        ("60 A", "62.00", True, True),
        ("100 A", "80.00", False, False),
        ("100 A", "82.00", True, False),
        ("200 A", "160.0", False, False),
        ("200 A", "165.0", True, False),
    ],
)
def test_80_percent_of_an_alternator_for_what_runs_for_hours(
    rating: str, amps: str, *, noted: bool, discharges: bool
) -> None:
    """FAA AC 43.13-1B, 11-35: 48, 80 and 160 A of 60, 100 and 200 A, unless it is watched.

    The source calls it a rule of thumb and no load analysis, so it is a note; above all that it gives the
    solved network says that the batteries pay.
    """
    text = BENCH.replace("alternator: none", ALTERNATOR.replace("RATING", rating))
    keys = {"top": "basis: road", "warm": 20, "passes": "fuse: 300 A, ", "keys": "wire: 95 mm2, length: 1 m"}
    plan = planned(text.format(device=constant_current(amps).replace("12.00", "14.00"), **keys))
    assert bool(failing(plan, "SUP008")) is noted
    assert bool(failing(plan, "SUP002")) is discharges


def test_what_pauses_counts_by_its_duty_against_the_80_percent() -> None:
    """59 A for half the time are 29.5 A of 60."""
    text = BENCH.replace("alternator: none", ALTERNATOR.replace("RATING", "60 A"))
    device = constant_current("59.00").replace("12.00", "14.00") + ", duty: 50 %"
    keys = {"top": "basis: road", "warm": 20, "passes": "fuse: 300 A, ", "keys": "wire: 95 mm2, length: 1 m"}
    assert not failing(planned(text.format(device=device, **keys)), "SUP008")


FANS = """groundstrap: 1
title: Fans behind a relay
system: 12 V
supplies:
  battery: {{kind: battery, at: bay, capacity: 60 Ah}}
zones: {{bay: {{ambient: 15..40 degC}}}}
places: {{front: bay}}
return: battery -
gear: {{fan relay: {{kind: relay, at: front, rating: 40 A}}}}
loads:
  fans: {{kind: fan, at: front, claims: {{current: 22 A, voltage: 13.5 V}}}}
circuits:
  fans: {{path: [battery, fuse: 30 A, fan relay, fans], length: 2 m, wire: 6 mm2}}
  fan switch: {{path: [battery, fuse: 25 A, switch, fan relay coil], length: 3 m, wire: 1 mm2}}
readings:
  - when: idling
    using: [fans]
    meter: 3 % + 5 digits
    values:
      - fan switch: {amps} A
"""


@pytest.mark.parametrize(("amps", "swapped"), [("23.0", True), ("0.18", False)])
def test_a_relay_with_coil_and_contact_swapped(amps: str, *, swapped: bool) -> None:
    """Observed: 23 A through switch and thermostat; recomputed there: a coil takes 0.15 to 0.2 A."""
    found = failing(planned(FANS.format(amps=amps)), "LOD009")
    assert bool(found) is swapped
    assert all("23.0 A" in text or "23 A" in text for text in found)
    assert all("swapped" in text for text in found)


def test_the_smaller_fuse_would_not_have_saved_the_switch_lead() -> None:
    """The same case: 15 A was raised to 25 A. On 1 mm2 that is a stop of its own."""
    assert failing(planned(FANS.format(amps="0.18")), "PRT001")


def chosen_mm2(length: str, fuse: str) -> float | None:
    """Area that is chosen for 20 A over a length, None where nothing is. [mm2]"""
    plan = bench(constant_current("20.00"), f"length: {length}", passes=f"{fuse}, ")
    area_mm2: float | None = steps(plan, "wire")[0].get("area_mm2")
    assert area_mm2 is None or plan["circuits"]["device"]["ampacity_a"] >= 20.0
    return area_mm2


@pytest.mark.parametrize("length", ["1 m", "3 m", "9 m"])
def test_the_wire_is_chosen_first(length: str) -> None:
    """Common practice: by the load and its way, then the fuse by the wire.

    A fuse below what the load takes gets no thinner wire to match it: nothing is chosen. A larger one never
    leaves the wire thinner.
    """
    by_load, larger = (chosen_mm2(length, fuse) for fuse in ("fuse: 30 A", "fuse: 40 A"))
    assert by_load is not None
    assert larger is not None
    assert by_load <= larger
    for too_small in ("fuse: 3 A", "fuse: 10 A", "fuse: 15 A"):
        matched = chosen_mm2(length, too_small)
        assert matched is None or matched >= by_load


def test_14_awg_goes_with_15_a() -> None:
    """Common practice, and NFPA 70 section 240.4(D) from memory: 15 A on 14 AWG, for what takes 10 A.

    Behind a source that a blade fuse breaks (at a strong battery's post another type begins at 25 or 30 A),
    and for a load that starts gently: the usual start of a motor asks for 25 A.
    """
    gently = constant_current("10.00").replace(
        "kind: motor", "kind: motor, inrush: {current: 12 A, time: 100 ms}"
    )
    text = BENCH.format(device=gently, keys="wire: 14 AWG, length: 3 m", passes="fuse, ", top=US, warm=45)
    plan = planned(text.replace("capacity: 60 Ah", "capacity: 60 Ah, resistance: 20 mohm"))
    (fuse,) = steps(plan, "fuse")
    assert fuse["rating_a"] == 15.0
    assert not failing(plan, "PRT001")
    assert not failing(plan, "PRT002")


TWO_OPEN = (
    TWO.replace(", wire: 33 mm2", "{main}")
    .replace(", wire: 10 mm2", "{branch}")
    .replace("length: 5 m{main}}}\n  main return", "length: 5 m{main}{of_main}}}\n  main return")
)


@pytest.mark.parametrize(
    ("of_main", "in_all", "main", "branch"),
    [
        (", drop: 6 %", ", drop: 10 %", "35 mm2", "10 mm2"),  # the case's own sizes, 33 being no standard one
        (
            ", drop: 5 %",
            ", drop: 10 %",
            "50 mm2",
            "10 mm2",
        ),  # the warm main, its lugs and its fuse take 5.8 %
        ("", "", "95 mm2", "16 mm2"),  # by the usual limits, 3 % to a block and 5 % in all
    ],
)
def test_why_the_accepted_sizes_of_two_consumers_are_thinner_than_ours(
    of_main: str, in_all: str, main: str, branch: str
) -> None:
    """Accepted (Swedish): 33 and 10 mm2 with 100 and 50 A. Named difference: it names no limit for the drop.

    Its copper loses 0.52 V on the main and 0.69 V in all, 4.3 and 5.7 % of 12 V, at 20 degC and without the
    fuses' own ohms. With both it is 5.8 and 8.5 %: who allows that gets the accepted sizes, who allows 3 and
    5 % gets thicker ones.
    """
    text = TWO_OPEN.format(
        load=constant_current("50.00"), fuse=", fuse: 50 A", main="", of_main=of_main, branch=in_all
    )
    plan = planned(text)
    assert {step["size"] for name in ("main",) for step in steps(plan, "wire", name)} == {main}
    assert {step["size"] for name in ("one", "two") for step in steps(plan, "wire", name)} == {branch}
