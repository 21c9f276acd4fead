"""What a mend makes history, which readings are of one place, and what a current was read with."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.locate import counted, ohms_read
from groundstrap.model import MeterSpec, Reading, ReadingSet, Situation
from groundstrap.report.network_bands import wiring_read

JOB = """groundstrap: 1
title: Work light and pump on a trailer
system: 12 V
supplies:
  battery: {kind: battery, capacity: 80 Ah, running: 0 A}
  alternator: none
loads:
  work light: {kind: led, claims: {power: 60 W, by: manual}}
  pump: {kind: heater, claims: {power: 96 W, voltage: 12 V, by: manual}}
circuits:
  work light: {path: [battery, fuse: 10 A, work light], length: 7 m, return: battery -, wire: 2.5 mm2}
  pump: {path: [battery, fuse: 15 A, switch, pump], length: 4 m, return: battery -, wire: 2.5 mm2}
readings:
  - when: resting
    using: [pump]
    date: 2026-11-28
    values: [pump - to battery -: 1.74 V, battery: 12.5 V, pump: 7 A]
  - when: resting
    using: [work light]
    date: 2026-11-28
    values: [work light - to battery -: 0.305 V, work light: 12.0 V]
  - {when: resting, using: [work light, pump], date: 2026-11-28, values: [work light: 11.9 V, pump: 9.9 V]}
"""
PUMP = {"pump - to battery -: 1.74 V", "pump: 7 A", "pump + to pump -: 9.9 V"}
LIGHT = {
    "work light - to battery -: 0.305 V",
    "work light + to work light -: 12.0 V",
    "work light + to work light -: 11.9 V",
}
BATTERY = {"battery + to battery -: 12.5 V"}


def history(mended: str) -> set[str]:
    text = api.with_mended(api.read_job(JOB), mended, date="2026-11-28")
    return {f"{each.where}: {each.text}" for each in api.readings_taken(api.read_job(text)) if each.past}


@pytest.mark.parametrize(
    ("mended", "gone"),
    [
        # By Kirchhoff: the two circuits share nothing but the battery, whose 10 milliohms lose 0.1 V at 8 A,
        # less than what full and half full differ by.
        ("pump return 1", PUMP),
        ("pump -", PUMP),
        ("work light fuse", LIGHT),
        # All current passes its posts, and another battery has other volts.
        ("battery -", PUMP | LIGHT | BATTERY),
        ("battery", PUMP | LIGHT | BATTERY),
    ],
)
def test_a_mend_makes_history_of_what_it_can_have_moved_and_of_nothing_else(
    mended: str, gone: set[str]
) -> None:
    assert history(mended) == gone


def test_what_a_mend_left_goes_on_counting_in_search_and_plan() -> None:
    # By hand: 0.9 V more on the light's way back are 0.9 V less across it.
    bad = JOB.replace("0.305 V", "1.2 V").replace("12.0 V]", "11.1 V]").replace("11.9 V", "11.0 V")
    job = api.read_job(api.with_mended(api.read_job(bad), "pump return 1", date="2026-11-28"))
    judged = api.plan(job).judged
    assert judged is not None
    assert [each.place for each in judged.proven] == ["work light return 1"]
    assert all("pump -" not in each.text for each in api.locate(job).location.readings)
    assert api.locate(job, load="work light").location.suspects[0].place == "work light return 1"


def test_words_that_name_no_place_make_all_before_them_history() -> None:
    text = JOB + "  - {when: resting, mended: all grounds cleaned}\n"
    assert all(each.past for each in api.readings_taken(api.read_job(text)))


@pytest.mark.parametrize(
    ("given", "says"), [("nowhere", "pump, work light"), ("pump retrun 1", "Did you mean 'pump return 1'?")]
)
def test_what_the_job_does_not_have_was_not_mended(given: str, says: str) -> None:
    with pytest.raises(CallError, match="has no") as refused:
        api.with_mended(api.read_job(JOB), given)
    assert says in str(refused.value)


def test_the_same_two_points_the_other_way_round_are_read_again() -> None:
    turned = "  - {when: resting, using: [pump], date: 2026-11-28, values: [battery - to pump -: -0.12 V]}\n"
    found = counted(api.read_job(JOB + turned).installation.readings)
    mine = [each for each in found if {each.reading.red, each.reading.black} == {"pump -", "battery -"}]
    assert [(each.reading.value, each.before) for each in mine] == [(-0.12, -1.74)]


def test_a_day_yet_to_come_is_refused_since_it_would_hide_a_visit() -> None:
    job = api.read_job(JOB)
    with pytest.raises(CallError, match="2026-11-28 is yet to come; wanted the right `date`"):
        api.visit_day(job, "2026-11-20")
    with pytest.raises(CallError, match="yet to come; wanted today"):
        api.visit_day(job, "2026-11-28", named="2027-01-02")
    with pytest.raises(CallError, match="no day"):
        api.visit_day(job, "2026-11-28", named="soon")
    # East of here it is tomorrow already.
    assert api.visit_day(job, "2026-11-27") == "2026-11-28"
    assert api.visit_day(job, "2026-11-28", named="2026-03-01") == "2026-03-01"


def test_ohms_take_the_meter_of_their_set_for_its_current() -> None:
    """By hand: 5 % of 8 A as a limit are 5 % / sqrt(3) of the ohms; above 10 A none is read in series."""
    rough = MeterSpec(text="5 %", name=None, reading_pct=5.0, digits=0.0)
    handheld = MeterSpec(text="handheld", name="handheld")
    wiring = wiring_read(api.plan(api.read_job(JOB)).installation)

    def relative(amps: float, of_set: MeterSpec | None) -> float:
        bench = MeterSpec(text="bench", name="bench")
        red, black = "pump -", "battery -"
        values = (
            Reading(kind="current", value=amps, last_digit=0.0, through="pump"),
            Reading(kind="voltage", value=1.2, last_digit=0.0, red=red, black=black, meter=bench),
        )
        at = {"when": Situation.RESTING, "using": frozenset({"pump"}), "meter": of_set}
        (found,) = ohms_read(wiring, [ReadingSet(values=values, **at)]).read
        assert found.current_read
        return found.standard_ohm / found.ohm.value

    assert relative(8.0, rough) == pytest.approx(0.05 / 3**0.5, rel=0.02)
    assert relative(8.0, handheld) < 0.5 * relative(8.0, None)
    assert relative(12.0, handheld) == relative(12.0, None)
