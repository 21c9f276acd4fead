"""Days on the battery hold against a fine integration put together differently, and against reason."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundstrap.api import read_job
from groundstrap.assess import Wiring
from groundstrap.design.answer import chosen
from groundstrap.endure import answers, chances, endure
from groundstrap.endure.chances import _bends, _draw, _Job, _run
from groundstrap.endure.day import the_day
from groundstrap.endure.results import Changed, Edit, Endurance
from groundstrap.endure.starts import need_of
from groundstrap.errors import CallError
from groundstrap.physics.kinetic import wells_after
from groundstrap.tables.batteries import open_circuit, two_wells
from groundstrap.vet import vet
from tests.support.cured import as_changed, written_in
from tests.support.endure_oracle import Oracle

# The bounds that the task sets: 0.1 % of charge, 10 mV, events to 1 s, energy to 1e-6.
CHARGE_SHARE, VOLTS_V, EVENT_S, ENERGY = 1e-3, 0.010, 1.0, 1e-6

HEAD = "groundstrap: 1\ntitle: A day\nsystem: 12 V\n"

SINGLE = """
supplies:
  battery: {kind: battery, capacity: 75 Ah, cranking: 640 A EN, standing: 20 mA, running: 10 A}
  alternator: {kind: alternator, rating: 90 A, setpoint: 14.2 V, idle: 40 A}
gear: {block: {kind: block, ways: 6}}
loads:
  radio set: {kind: electronics, claims: {power: 90 W}, works: 11.4..15 V, restart: 13 V}
  lamp: {kind: lamp, claims: {power: 21 W}}
circuits:
  feed: {path: [battery, fuse, block], length: 2 m}
  radio set: {path: [block 1, fuse, radio set], length: 2 m}
  lamp: {path: [block 2, fuse, lamp], length: 3 m}
day:
  - {resting: 9 h, using: [radio set, lamp], temperature: 0 degC}
  - {driving: 40 min, using: [radio set]}
  - {resting: 2 h, using: [lamp]}
"""

AT_ITS_LIMIT = """
supplies:
  battery: {kind: battery, chemistry: agm, capacity: 80 Ah, standing: 20 mA, running: 15 A}
  alternator: {kind: alternator, rating: 70 A, setpoint: 14.4 V, idle: 30 A}
gear: {block: {kind: block, ways: 6}}
loads:
  light bar: {kind: led, claims: {power: 240 W}}
  cab fan: {kind: fan, claims: {power: 120 W}}
circuits:
  feed: {path: [battery, fuse, block], length: 2 m}
  light bar: {path: [block 1, fuse, light bar], length: 4 m}
  cab fan: {path: [block 2, fuse, cab fan], length: 3 m}
day:
  - {idling: 90 min, using: [light bar, cab fan]}
  - {driving: 3 h, using: [light bar]}
  - {resting: 3 h, using: [cab fan]}
"""

TWO_AND_A_RELAY = """
supplies:
  battery: {kind: battery, capacity: 75 Ah, cranking: 640 A EN, standing: 30 mA, running: 12 A}
  alternator: {kind: alternator, rating: 120 A, setpoint: 14.3 V, idle: 45 A}
  house: {kind: battery, chemistry: agm, capacity: 90 Ah}
gear:
  split relay: {kind: relay, rating: 100 A, closes: 13.3 V, opens: 12.8 V}
  block: {kind: block, ways: 6}
loads:
  heater fan: {kind: fan, claims: {power: 60 W}, works: 11.4..15 V}
  radio: {kind: electronics, claims: {current: 6 A}, works: 11.2..15 V}
circuits:
  link: {path: [battery, fuse, split relay, fuse, house], length: 4 m, wire: 16 mm2}
  feed: {path: [house, fuse, block], length: 1 m}
  heater fan: {path: [block 1, fuse, heater fan], length: 3 m}
  radio: {path: [block 2, fuse, radio], length: 3 m}
day:
  - {driving: 30 min, using: [radio]}
  - {resting: 9 h, using: [heater fan, radio], temperature: 5 degC}
  - {driving: 30 min, using: [radio]}
"""

BETWEEN_TWO = """
supplies:
  battery: {kind: battery, capacity: 70 Ah, cranking: 600 A EN, standing: 20 mA, running: 10 A}
  alternator: {kind: alternator, rating: 120 A, setpoint: 14.2 V, idle: 50 A}
  charger: {kind: dc-dc, current: 25 A, setpoint: 14.4 V, efficiency: 90 %, when: engine}
  house: {kind: battery, chemistry: lfp, capacity: 100 Ah}
gear: {block: {kind: block, ways: 6}}
loads:
  fridge: {kind: compressor, claims: {power: 55 W}, duty: 40 %, works: 11..15 V}
  pump: {kind: pump, claims: {current: 5 A, voltage: 12 V}}
circuits:
  charger in: {path: [battery, fuse, charger], length: 3 m, wire: 10 mm2}
  charger out: {path: [charger, fuse, house], length: 1 m, wire: 10 mm2}
  feed: {path: [house, fuse, block], length: 1 m}
  fridge: {path: [block 1, fuse, fridge], length: 3 m}
  pump: {path: [block 2, fuse, pump], length: 3 m}
day:
  - {resting: 2 h, using: [fridge, pump]}
  - {driving: 45 min, using: [fridge]}
"""

TURNS = """
supplies:
  house: {kind: battery, chemistry: agm, capacity: 90 Ah}
  alternator: none
gear: {block: {kind: block, ways: 6}}
loads:
  fridge: {kind: compressor, claims: {power: 60 W}, duty: 50 %, works: 11.6..15 V, restart: 12.9 V}
  pump: {kind: pump, claims: {current: 7 A, voltage: 12 V}, duty: 30 %}
circuits:
  feed: {path: [house, fuse, block], length: 1 m}
  fridge: {path: [block 1, fuse, fridge], length: 3 m}
  pump: {path: [block 2, fuse, pump], length: 3 m}
day:
  - {resting: 11 h, using: [fridge, pump], temperature: 15 degC}
"""

LITHIUM = """
supplies:
  house: {kind: battery, chemistry: lfp, capacity: 100 Ah, rested: 13.2 V}
  alternator: none
  charger: {kind: mains charger, current: 30 A, setpoint: 13.8 V}
gear: {block: {kind: block, ways: 6}}
loads:
  heater fan: {kind: fan, claims: {power: 60 W}}
circuits:
  charge: {path: [charger, fuse, house], length: 1 m, wire: 10 mm2}
  feed: {path: [house, fuse, block], length: 1 m}
  heater fan: {path: [block 1, fuse, heater fan], length: 3 m}
day:
  - {resting: 5 h, using: [heater fan]}
  - {mains: 4 h, using: [heater fan]}
"""

JOBS: Mapping[str, str] = {
    "one battery, a cut-off and its return": SINGLE,
    "alternator at its limit": AT_ITS_LIMIT,
    "two batteries and a sensing relay": TWO_AND_A_RELAY,
    "a charger between two batteries": BETWEEN_TWO,
    "loads in turns": TURNS,
    "lithium on mains": LITHIUM,
}


def wired(text: str) -> Wiring:
    job = read_job(text)
    estimates = {name: found.estimate for name, found in vet(job.installation).loads.items()}
    return chosen(job.installation, estimates).wiring


@cache
def plain(name: str) -> Wiring:
    return wired(HEAD + JOBS[name])


@cache
def ran(name: str) -> Endurance:
    return endure(plain(name))


def changed(text: str, **values: str) -> Endurance:
    for old, new in values.items():
        text = text.replace(f"<{old}>", new)
    return endure(wired(text))


@pytest.mark.parametrize("name", JOBS)
def test_a_fine_integration_put_together_differently_agrees(name: str) -> None:
    # Outside check: SciPy's LSODA at 1e-7, the whole network solved at every look; tests/support.
    wiring, run = plain(name), ran(name)
    oracle = Oracle(wiring, {one.name: one.begin_state_pct for one in run.supplies.values()})
    told = oracle.run()
    charge = np.array([[one.begins for one in oracle.batteries], *told.charge_ah])
    names = [one.name for one in oracle.batteries]
    for span, gained, volts in zip(run.spans, np.diff(charge, axis=0), told.volts_v, strict=True):
        at = int(np.searchsorted(run.course.times_s, span.ends_s))
        for battery, expected, volt in zip(names, gained, volts, strict=True):
            assert span.change_ah[battery] == pytest.approx(expected, rel=CHARGE_SHARE, abs=2e-3)
            assert run.course.supplies[battery].volts_v[at] == pytest.approx(volt, abs=VOLTS_V)
    assert [(one.load, pytest.approx(one.at_s, abs=EVENT_S)) for one in run.cut_offs] == told.cuts
    backs = [
        (c.load, pytest.approx(c.back_at_s, abs=EVENT_S)) for c in run.cut_offs if c.back_at_s is not None
    ]
    assert backs == told.backs


@pytest.mark.parametrize("name", JOBS)
def test_energy_adds_up(name: str) -> None:
    # Conservation of energy: nothing is lost between sources, loads, cables and batteries.
    energy = ran(name).energy
    sources = sum(energy.given_wh.values())
    sinks = sum(sum(of.values()) for of in (energy.taken_wh, energy.lost_wh, energy.stored_wh))
    through = sources + sum(energy.taken_wh.values())
    assert abs(sources - sinks) <= ENERGY * through
    assert energy.error <= ENERGY
    assert all(value >= -1e-6 for value in energy.lost_wh.values()), "something makes energy"


def test_charge_and_energy_of_a_load_go_together() -> None:
    # A load of constant power takes its power for as long as it is on: 90 W.
    run = ran("one battery, a cut-off and its return")
    cut = run.cut_offs[0]
    on_s = cut.at_s + 2400.0
    assert run.energy.taken_wh["radio set"] == pytest.approx(90.0 * on_s / 3600.0, rel=1e-4)
    assert run.unserved_wh["radio set"] == pytest.approx(90.0 * (9 * 3600.0 - cut.at_s) / 3600.0, rel=1e-6)


def test_the_mean_of_loads_in_turns_is_that_of_cycles_run_through() -> None:
    # Outside check: the same load really switched, 10 min on and 10 min off, each as a span of its own.
    text = HEAD + TURNS.split("day:", maxsplit=1)[0].replace(", duty: 30 %", "").replace(
        "fridge: {kind: compressor", "fridge: {kind: electronics"
    )
    cycles = "".join(
        f"  - {{resting: 10 min, using: {used}, temperature: 25 degC}}\n" for used in ("[fridge]", "none") * 6
    )
    mean = endure(wired(text + "day:\n  - {resting: 2 h, using: [fridge], temperature: 25 degC}\n"))
    real = endure(wired(text.replace(", duty: 50 %", "") + "day:\n" + cycles))
    gained = sum(span.change_ah["house"] for span in real.spans)
    assert mean.spans[0].change_ah["house"] == pytest.approx(gained, rel=2e-3)


CAPACITY = """
supplies:
  battery: {{kind: battery, chemistry: {chemistry}, capacity: 75 Ah, standing: {amps} A}}
  alternator: none
loads: {{lamp: {{kind: electronics, claims: {{power: 0.01 W}}, works: 10.5..15 V}}}}
circuits: {{lamp: {{path: [battery, fuse, lamp], length: 1 m}}}}
day:
  - {{resting: {hours} h, using: [lamp], temperature: 25 degC}}
"""


@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel"])
def test_twenty_hours_at_the_rated_current(chemistry: str) -> None:
    # IEC 60095-1, EN 50342-1: C20 is what a current of C20 / 20 h takes until 10.5 V, at 25 degC.
    run = endure(wired(HEAD + CAPACITY.format(chemistry=chemistry, amps=3.75, hours=24)))
    # A lamp of next to nothing tells when 10.5 V are reached; the current's own drop inside comes earlier.
    assert run.cut_offs[0].at_s / 3600.0 == pytest.approx(20.0, rel=0.01)


def test_reserve_of_a_flooded_battery() -> None:
    # IEC 60095-1, from memory: C20 = sqrt(17778 + 208.3 RC) - 133.3, so that 75 Ah give 25 A for 124 min. The
    # two wells meet their Peukert fit between C/20 and 1C to 4 %, and the standard's own formula is another.
    run = endure(wired(HEAD + CAPACITY.format(chemistry="flooded", amps=25, hours=4)))
    assert run.cut_offs[0].at_s / 60.0 == pytest.approx(124.0, rel=0.08)


def test_what_is_stored_is_a_state_of_the_battery() -> None:
    # Outside check: both wells in closed form at a constant current (kinetic-battery-model), the charge in
    # each at the open-circuit volts of its head. What is not constant is the battery's own loss, 0.1 %.
    run = endure(wired(HEAD + CAPACITY.format(chemistry="flooded", amps=3.75, hours=10)))
    wells, curve = two_wells("flooded"), open_circuit("flooded")
    total = 75.0 * wells.total
    after = wells_after(
        wells.share * total,
        (1 - wells.share) * total,
        current_a=3.75,
        hours=10.0,
        share=wells.share,
        rate_per_h=wells.rate_per_h,
    )

    def taken_wh(held_ah: float, share: float) -> float:
        heads = np.linspace(held_ah / (share * total), 1.0, 2001)
        volts = np.interp(heads, curve.heads, curve.volts_v)
        return float(np.mean((volts[1:] + volts[:-1]) / 2.0)) * (share * total - held_ah)

    expected = taken_wh(after.available_ah, wells.share) + taken_wh(after.bound_ah, 1 - wells.share)
    assert run.spans[0].change_ah["battery"] == pytest.approx(-37.5, rel=5e-3)
    assert run.energy.stored_wh["battery"] == pytest.approx(-expected, rel=5e-3)


RESTING = (
    HEAD
    + """
supplies:
  battery: {kind: battery, chemistry: agm, capacity: <capacity>, cranking: 600 A EN}
  alternator: {kind: alternator, rating: 90 A, setpoint: 14.2 V}
loads:
  fan: {kind: fan, claims: {power: <power>}}
  box: {kind: electronics, claims: {power: 20 W}}
circuits:
  fan: {path: [battery, fuse, fan], length: 2 m, wire: 4 mm2}
  box: {path: [battery, fuse, box], length: 2 m, wire: 4 mm2}
day:
  - {driving: 10 min, using: [box]}
  - {resting: <rest>, using: [fan, box], temperature: -5 degC}
"""
)


@settings(max_examples=2, deadline=None)
@given(power=st.integers(5, 60), more=st.integers(2, 40), hours=st.integers(2, 8), ah=st.integers(40, 90))
def test_more_load_longer_rest_smaller_battery_never_help(power: int, more: int, hours: int, ah: int) -> None:
    one = changed(RESTING, capacity=f"{ah} Ah", power=f"{power} W", rest=f"{hours} h")
    louder = changed(RESTING, capacity=f"{ah} Ah", power=f"{power + more} W", rest=f"{hours} h")
    longer = changed(RESTING, capacity=f"{ah} Ah", power=f"{power} W", rest=f"{hours + 1} h")
    bigger = changed(RESTING, capacity=f"{ah + 20} Ah", power=f"{power} W", rest=f"{hours} h")
    state = one.supplies["battery"].end_state_pct
    assert louder.supplies["battery"].end_state_pct < state
    assert longer.supplies["battery"].end_state_pct < state
    assert bigger.starts[-1].margin_a >= one.starts[-1].margin_a
    assert louder.starts[-1].margin_a <= one.starts[-1].margin_a


def test_the_order_of_entries_does_not_matter() -> None:
    text = RESTING.replace("<capacity>", "60 Ah").replace("<power>", "30 W").replace("<rest>", "6 h")
    lines = text.splitlines()
    fan, box = (
        next(n for n, line in enumerate(lines) if line.startswith(f"  {w}: {{kind")) for w in ("fan", "box")
    )
    lines[fan], lines[box] = lines[box], lines[fan]
    one, other = endure(wired(text)), endure(wired("\n".join(lines)))
    assert other.supplies["battery"].end_state_pct == pytest.approx(
        one.supplies["battery"].end_state_pct, abs=1e-4
    )


def test_an_hour_twice_is_two_hours() -> None:
    base = RESTING.replace("<capacity>", "60 Ah").replace("<power>", "30 W")
    span = "  - {resting: 3 h, using: [fan, box], temperature: -5 degC}\n"
    split = base.replace("<rest>", "3 h") + span
    one, other = endure(wired(base.replace("<rest>", "6 h"))), endure(wired(split))
    assert other.supplies["battery"].end_state_pct == pytest.approx(
        one.supplies["battery"].end_state_pct, abs=1e-3
    )


COMING_AND_GOING = HEAD + SINGLE.replace(
    "{power: 90 W}, works: 11.4..15 V, restart: 13 V", "{power: 300 W}, works: 11.6..15 V, restart: 12.05 V"
)


def test_a_load_that_comes_and_goes_is_told_with_its_rate() -> None:
    run = endure(wired(COMING_AND_GOING))
    cycling = [one for one in run.cut_offs if one.cycles_per_h is not None]
    assert cycling
    # It stays off for a minute at least, so it can't come more than 60 times in an hour (own judgement).
    assert all(0.0 < (one.cycles_per_h or 0.0) <= 60.0 for one in cycling)
    assert run.events < 200, "every single switching was run through"


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("  - {mains: 1 h}\n", "nothing charges"),
        ("  - {resting: 1 h, sun: 2 h}\n", "more full sun"),
        ("  - {resting: 1 h, temperature: 90 degC}\n", "no battery works in air that hot"),
    ],
)
def test_days_that_make_no_sense_are_refused(day: str, said: str) -> None:
    text = HEAD + SINGLE.split("day:", maxsplit=1)[0] + "day:\n" + day
    with pytest.raises(CallError, match=said):
        endure(wired(text))


def test_cures_cure_when_written_in() -> None:
    # Each change is written into the job's text, which is then read, chosen for and run anew.
    text = HEAD + SINGLE.split("  - {driving", maxsplit=1)[0].replace("restart: 13 V", "restart: 12.9 V")

    def again(edits: tuple[Edit, ...]) -> Changed:
        return as_changed(wired(written_in(text, edits)))

    wiring = wired(text)
    run = endure(wiring)
    assert run.cut_offs
    told = answers(wiring, run, again=again)
    assert {cure.kind for cure in told.cures} >= {"battery", "load"}
    assert told.until_cut_off_h == pytest.approx(run.cut_offs[0].at_s / 3600.0, rel=0.01)
    for cure in told.cures[:2]:
        assert cure.holds
        assert not endure(again(cure.edits).wiring).cut_offs


def test_many_days_side_by_side_are_days_one_by_one() -> None:
    # Rows differ in age, weather, draws and first charge; each by itself starts as often as among the rest.
    wiring = wired(RESTING.replace("<capacity>", "80 Ah").replace("<power>", "30 W").replace("<rest>", "4 h"))
    found = chances(wiring, days=16, seed=3, temperature_c=-5.0, workers=1)
    assert found == chances(wiring, days=16, seed=3, temperature_c=-5.0, workers=1)
    assert found.unsolved == 0
    assert found.no_start is not None
    day, need = the_day(wiring.installation, days=1, temperature_c=-5.0), need_of(wiring)
    drawn, bends = _draw(wiring, day, need, 16, 3), _bends(wiring, day)
    alone = [_run(_Job(wiring, day, need, drawn.rows(k, k + 1), bends)).failed_start for k in range(16)]
    assert 0.0 < np.mean(alone) < 1.0
    assert found.no_start.value == np.mean(alone)
    assert found.no_start.low < found.no_start.value < found.no_start.high


def test_a_full_battery_holds_its_rating_at_the_temperature_of_the_rating() -> None:
    # EN 50342-1: full, at -18 degC, it gives its rated current and still holds 7.5 V.
    text = RESTING.replace("<capacity>", "60 Ah").replace("<power>", "5 W").replace("<rest>", "1 h")
    first = endure(wired(text), temperature_c=-18.0).starts[0]
    assert first.holds_a == pytest.approx(600.0, rel=1e-6)


def test_the_cable_to_the_starter_counts() -> None:
    # Ohm's law: what lies in series with the battery takes from the current that it holds.
    starter = "  starter: {kind: starter, claims: {current: 150 A, temperature: 20 degC}}\ncircuits:\n"
    circuit = "  starter: {path: [battery, starter], length: <length>, wire: 25 mm2}\nday:\n"
    text = RESTING.replace("<capacity>", "60 Ah").replace("<power>", "5 W").replace("<rest>", "1 h")
    text = text.replace("circuits:\n", starter).replace("day:\n", circuit)
    near, far = (endure(wired(text.replace("<length>", length))).starts[0] for length in ("1 m", "6 m"))
    assert near.asks_known
    assert far.holds_a < near.holds_a
    assert far.asks_a == near.asks_a


CHARGED = (
    HEAD
    + """
supplies:
  battery: {kind: battery, chemistry: agm, capacity: 100 Ah, rested: <rested>}
  alternator: <alternator>
  charger: {kind: mains charger, current: 20 A, setpoint: 14.4 V}
loads: {lamp: {kind: lamp, claims: {power: 10 W}}}
circuits:
  charge: {path: [charger, fuse, battery], length: 1 m, wire: 10 mm2}
  lamp: {path: [battery, fuse, lamp], length: 3 m}
day:
  - {<when>, using: [lamp]}
"""
)


def test_a_mains_charger_goes_over_to_float() -> None:
    # Handbook of batteries: absorption until the current has fallen to a fiftieth of the capacity, then float
    # volts, 13.5 to 13.8 V for agm.
    text = (
        CHARGED.replace("<rested>", "12.4 V").replace("<alternator>", "none").replace("<when>", "mains: 14 h")
    )
    charger = endure(wired(text)).course.supplies["charger"]
    assert charger.volts_v.max() == pytest.approx(14.4, abs=0.05)
    assert 13.5 <= charger.volts_v[-1] <= 13.8


def test_a_computer_holds_the_battery_at_about_four_fifths() -> None:
    # Workshop handbooks: an alternator with varied volts keeps its battery at about 80 %, and goes on so
    # in the next span.
    text = CHARGED.replace("<rested>", "13.1 V").replace("<when>", "driving: 6 h")
    text = text.replace("<alternator>", "{kind: alternator, rating: 120 A, setpoint: 12.3..15 V}")
    states = endure(wired(text + "  - {driving: 4 h, using: [lamp]}\n")).course.supplies["battery"].state_pct
    assert states is not None
    assert 75.0 <= states[-1] <= 85.0


def test_no_lithium_battery_is_charged_below_freezing() -> None:
    # Makers of lithium iron phosphate: no charge below 0 degC; its own protection sees to it, and it is told.
    text = HEAD + LITHIUM.replace("mains: 4 h, using: [heater fan]", "mains: 1 h, temperature: -4 degC")
    run = endure(wired(text))
    assert run.spans[1].change_ah["house"] <= 0.0
    assert run.supplies["house"].cold_charge_span == 1
