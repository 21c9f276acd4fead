"""From readings of a job to a place: what is found, what can't be told apart, what is a slip."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.assess.wiring import Wiring, wire_up
from groundstrap.errors import CallError, GroundstrapError
from groundstrap.locate import Complaint, FaultKind, Location, ProbeKind, locate
from groundstrap.locate.search import search
from groundstrap.locate.segments import SegmentKind, segments_of
from groundstrap.locate.taken import leading_case
from groundstrap.model import ReadingSet
from groundstrap.records import replace
from groundstrap.vet import vet

JOB = """\
groundstrap: 1
title: Cooler on a trailer
system: 12 V
supplies:
  battery: {kind: battery, at: tray, chemistry: agm, capacity: 80 Ah}
  alternator: none
gear:
  box: {kind: block, at: rear, ways: 4}
  rocker: {kind: switch, at: rear, rating: 16 A}
loads:
  cooler: {kind: compressor, at: rear, claims: {power: 60 W}}
  lamp: {kind: lamp, at: rear, claims: {power: 21 W}}
places: {tray: engine bay, rear: outside}
routes: [{from: tray, to: rear, length: 4 m}]
circuits:
  feed: {path: [battery, fuse, box], wire: 6 mm2}
  earth: {path: [battery -, wire: 16 mm2, chassis at tray], length: 40 cm}
  cooler: {path: [box 1, fuse, rocker, cooler], return: chassis at rear, wire: 2.5 mm2, length: 1.5 m}
  lamp: {path: [box 2, fuse, lamp], return: chassis at rear, wire: 1.5 mm2, length: 1 m}
"""


HEAVY_LOAD = "  heavy: {kind: inverter, at: rear, claims: {power: 3500 W}}"


def readings_text(values: str, using: str) -> str:
    return (
        f"readings:\n  - when: resting\n    using: [{using}]\n    meter: handheld\n    values: [{values}]\n"
    )


def wired(readings: str = "", using: str = "cooler") -> Wiring:
    return wired_job(JOB + (readings_text(readings, using) if readings else ""))


@lru_cache(maxsize=16)
def wired_job(text: str) -> Wiring:
    """As it was planned; what readings say of a load is looked at, and is no evidence of what it takes."""
    planned = api.plan(api.read_job(text)).installation
    vetting = vet(replace(planned, readings=()))
    return wire_up(planned, {name: found.estimate for name, found in vetting.loads.items()})


def sets_of(values: str, using: str) -> tuple[ReadingSet, ...]:
    """Readings as the job reader gives them; the plan is made once for all of them."""
    return api.read_job(JOB + (readings_text(values, using) if values else "")).installation.readings


def located(readings: str = "", *, dead: bool = False, using: str = "cooler") -> Location:
    return locate(wired(), Complaint(load="cooler", dead=dead), readings=sets_of(readings, using))


def test_places_are_pieces_between_points_that_a_lead_reaches() -> None:
    found = {each.name: each for each in segments_of(wired().topology)}
    assert found["cooler return 1"].kind is SegmentKind.GROUND
    assert found["cooler return 1"].points == ("cooler -", "chassis at rear")
    assert found["feed fuse"].kind is SegmentKind.FUSE
    assert found["body"].points == ("chassis at tray", "chassis at rear")
    assert found["rocker"].kind is SegmentKind.CONTACT


def test_without_a_reading_it_says_what_to_read_first() -> None:
    found = located()
    first = found.proposals[0]
    assert first.kind is ProbeKind.VOLTS
    assert first.information_bits > 0.3
    assert first.using == ("cooler",)
    assert sum(each.probability for each in found.suspects) < 1.0


def test_volts_lost_before_the_load_point_to_its_plus_side_and_are_named_as_one_group() -> None:
    found = located("cooler: 11.4 V, battery + to cooler +: 1.35 V")
    # Between the battery and the load nothing was read: the places there can't be told apart.
    assert found.suspects[0].same_as
    for each in found.suspects:
        assert each.place.startswith(("feed", "cooler", "rocker"))
        assert "return" not in each.place
    assert found.healthy < 0.01


def test_a_bad_ground_is_found_and_measured() -> None:
    found = located("cooler: 11.3 V, cooler - to battery -: 1.06 V, cooler - to chassis at rear: 1.02 V")
    worst = found.suspects[0]
    assert worst.place == "cooler return 1"
    assert worst.probability > 0.95
    assert worst.ways[0].kind is FaultKind.HIGH_RESISTANCE
    # By hand: 60 W at 11.3 V are 5.3 A, so about 0.19 ohm.
    assert worst.extra_ohm is not None
    assert worst.extra_ohm.low < 1.02 / 5.31 < worst.extra_ohm.high
    assert not found.readings[1].agrees
    assert found.proposals == ()


def test_an_open_switch_is_found_by_where_the_volts_end() -> None:
    found = located("rocker in to battery -: 12.7 V, rocker out to battery -: 0.0 V", dead=True)
    assert found.suspects[0].place == "rocker"
    assert found.suspects[0].ways[0].kind is FaultKind.OPEN


def test_a_load_that_draws_half_has_no_volts_missing() -> None:
    found = located("cooler: 12.6 V, battery + to cooler +: 0.10 V, cooler: 2.4 A")
    assert found.suspects[0].place == "cooler"
    times = found.suspects[0].times
    assert times is not None
    assert times.low < 0.5 < times.high


def test_sound_readings_leave_nothing_to_suspect() -> None:
    wiring = wired()
    looked = search(wiring, leading_case(wiring, Complaint(load="cooler"), ()), Complaint(load="cooler"))
    numbers = [0, 3, 9]
    belief = looked.after(numbers, [float(looked.sound[n]) for n in numbers])
    assert belief.of_places(looked.known.place)[-1] > looked.known.chance[0]


def test_a_slip_among_the_readings_is_named() -> None:
    # The second has lost its decimal point.
    found = located(
        "battery + to rocker in: 0.15 V, rocker in to rocker out: 10.3 V, cooler: 12.5 V, "
        "battery + to cooler +: 0.24 V, cooler - to battery -: 0.06 V"
    )
    assert found.doubted == 1


def test_what_says_nothing_here_is_left_out_by_name() -> None:
    found = located("cooler fuse: 41 degC, cooler: 12.5 V")
    assert len(found.readings) == 1
    assert found.left_out == ("41 degC",)


def test_a_load_that_never_runs_is_refused() -> None:
    with pytest.raises(GroundstrapError):
        locate(wired(), Complaint(load="no such load"))


def test_a_load_of_which_nobody_knows_what_it_takes_is_refused_and_not_called_sound() -> None:
    unknown = JOB.replace(", claims: {power: 60 W}", "")
    read = readings_text("cooler: 9.3 V, cooler - to battery -: 2.06 V", "cooler")
    with pytest.raises(CallError, match="no current of cooler is known"):
        locate(wired_job(unknown + read), Complaint(load="cooler"))


def test_readings_of_a_case_without_a_working_point_are_named() -> None:
    # By hand: 12.8 V give 3.5 kW through 12 milliohm at most; cable, body and joints have far more.
    job = JOB.replace("  lamp: {kind: lamp, at: rear, claims: {power: 21 W}}", HEAVY_LOAD)
    job = job.replace("box 2, fuse, lamp]", "box 2, fuse, heavy]")
    read = (
        readings_text("cooler: 11.3 V", "cooler")
        + readings_text("battery: 12.5 V", "heavy").partition("\n")[2]
    )
    with pytest.raises(CallError, match="resting with heavy running"):
        locate(wired_job(job + read), Complaint(load="cooler"))


def test_the_order_of_readings_changes_nothing() -> None:
    first = located("cooler: 11.3 V, cooler - to battery -: 1.06 V")
    second = located("cooler - to battery -: 1.06 V, cooler: 11.3 V")
    assert [s.place for s in first.suspects] == [s.place for s in second.suspects]
    assert first.suspects[0].probability == pytest.approx(second.suspects[0].probability, rel=1e-9)


def test_an_example_with_ten_readings() -> None:
    text = Path("examples/hive-pickup.job.yaml").read_text(encoding="utf-8")
    values = (
        "syrup pump: 10.9 V, battery + to syrup pump +: 0.31 V, syrup pump - to battery -: 1.02 V, "
        "syrup pump - to bed negative: 0.98 V, bed negative to battery -: 0.03 V, syrup pump: 8.6 A, "
        "battery + to bed block: 0.11 V, bed block to syrup pump +: 0.20 V, battery: 12.5 V, "
        "pump switch in to pump switch out: 0.07 V"
    )
    more = readings_text(values, "syrup pump")
    found = locate(wired_job(text + more), Complaint(load="syrup pump"))
    assert len(found.readings) == 10
    assert found.suspects[0].place == "syrup pump return 1"
    assert found.suspects[0].probability > 0.93


HEATED = """\
groundstrap: 1
title: Lamp and heater on one battery
system: 12 V
supplies: {battery: {kind: battery, capacity: 80 Ah, chemistry: flooded, running: 0 A}, alternator: none}
loads:
  lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V, by: manual}}
  heater: {kind: heater, claims: {power: 240 W, voltage: 12 V, by: manual}}
circuits:
  lamp: {path: [battery, fuse: 10 A, lamp], length: 3 m, return: battery -, wire: 2.5 mm2}
  heater: {path: [battery, fuse: 30 A, heater], length: 3 m, return: battery -, wire: 6 mm2}
readings:
  - when: resting
    using: [heater, lamp]
    meter: handheld
    values: [battery + to lamp +: 0.17 V, lamp - to battery -: 0.12 V, battery: 12.05 V]
"""


def test_a_weak_battery_is_told_from_a_half_full_one_with_all_off() -> None:
    """By hand: 25 A through some 10 milliohms lose 0.25 V, of which the lamp's 5 A are 0.05 V: no more than a
    battery wanders. 0.57 V are more than twice that; 0.15 V from a battery that rests at 12.2 V are not.
    """
    asked = api.locate(api.read_job(HEATED), load="lamp", meter="handheld").location
    (wanted,) = asked.proposals
    assert (wanted.kind, wanted.using) == (ProbeKind.VOLTS, ())
    assert {wanted.red, wanted.black} == {"lamp fuse in", "battery -"}

    def with_all_off(volts: str) -> Location:
        more = f"  - {{when: resting, meter: handheld, values: [battery: {volts} V]}}\n"
        return api.locate(api.read_job(HEATED + more), load="lamp", meter="handheld").location

    weak, empty = with_all_off("12.62"), with_all_off("12.20")
    assert weak.stands
    assert weak.suspects[0].place == "battery"
    assert empty.healthy > 0.9
