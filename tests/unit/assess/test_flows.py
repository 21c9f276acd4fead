"""Design currents and the way of the current, by hand."""

import pytest

from groundstrap.assess import Case, Level, assess, parameters, wire_up
from groundstrap.assess.sums import independent_sets
from groundstrap.model import Gear, GearKind, Situation, Span, SupplyKind, Tie
from tests.support.installations import Builder, Cable, Device, tiny, two_level


def wired(job):
    return wire_up(job.build(), job.estimates)


def test_a_constant_power_load_counts_at_the_low_end_less_the_allowed_drop():
    # 60 W at 12.0 V less 5 % (road, common practice): 60 / 11.4.
    draw = wired(tiny(60.0)).currents.draws["lamp"]
    assert draw.drop_a == pytest.approx(60 / 11.4)
    assert draw.continuous_a == pytest.approx(60 / 11.4)


def test_a_written_cut_out_sets_the_ampacity_current():
    job = tiny(60.0)
    job.load("lamp", 60.0, works=Span(10.0, 15.0))
    draw = wired(job).currents.draws["lamp"]
    assert draw.continuous_a == pytest.approx(6.0)
    assert draw.drop_a == pytest.approx(60 / 11.4)


def test_a_resistive_load_counts_at_the_high_end_and_for_the_drop_at_the_low_one():
    # 120 W at 12 V is 1.2 ohm: 14.8 / 1.2 and 12.0 / 1.2.
    draw = wired(tiny(120.0, exponent=1.0)).currents.draws["lamp"]
    assert draw.continuous_a == pytest.approx(14.8 / 1.2)
    assert draw.drop_a == pytest.approx(10.0)


def test_a_feeder_takes_the_larger_of_the_two_corner_sums():
    # Warmer, radio and pump at 14.8 V, and at 12.0 V with the radio at 11.4 V.
    found = wired(two_level()).currents.pieces["feed wire 1"]
    assert found.continuous_a == pytest.approx(14.8 / 1.2 + 48 / 14.8 + 6 * (14.8 / 12) ** 1.5)
    assert found.drop_a == pytest.approx(10 + 48 / 11.4 + 6)
    assert found.loads == ("warmer", "radio", "pump")
    assert not found.shared


def test_the_common_way_back_carries_what_the_feeder_does():
    pieces = wired(two_level()).currents.pieces
    assert pieces["negative wire 1"].continuous_a == pytest.approx(pieces["feed wire 1"].continuous_a)


def test_interlocked_loads_count_one_at_a_time():
    job = two_level()
    job.load("radio", 48.0, never_with=frozenset({"pump"}))
    found = wired(job).currents.pieces["feed wire 1"]
    # The pump takes more than the radio at both corners.
    assert found.drop_a == pytest.approx(10 + 6)


def test_interlocks_are_exact_where_no_greedy_choice_is():
    job = two_level()
    job.load("a", 10.0, never_with=frozenset({"b"}))
    job.load("b", 15.0, never_with=frozenset({"c"}))
    job.load("c", 10.0)
    sets = independent_sets(job.build(), ("a", "b", "c"))
    assert set(sets) == {frozenset({"a", "c"}), frozenset({"b"})}


def test_what_a_block_allows_together_caps_its_feeder_and_not_its_branches():
    job = two_level()
    job.block("panel", together_a=15.0)
    pieces = wired(job).currents.pieces
    assert pieces["feed wire 1"].continuous_a == pytest.approx(15.0)
    assert pieces["warmer wire 1"].continuous_a == pytest.approx(14.8 / 1.2)


def test_together_as_a_share():
    job = two_level()
    job.block("panel", together_pct=70.0)
    assert wired(job).currents.pieces["feed wire 1"].drop_a == pytest.approx(0.7 * (10 + 48 / 11.4 + 6))


def test_what_a_circuit_carries_beside_is_added():
    job = two_level()
    circuit = job.circuits["feed"]
    job.circuits["feed"] = type(circuit)(
        **{f: getattr(circuit, f) for f in circuit.__slots__ if f != "carries_a"}, carries_a=8.0
    )
    assert wired(job).currents.pieces["feed wire 1"].drop_a == pytest.approx(10 + 48 / 11.4 + 6 + 8)


def test_an_unknown_load_leaves_everything_before_it_unknown_and_nothing_else():
    job = two_level()
    job.load("radio", None)
    pieces = wired(job).currents.pieces
    assert pieces["feed wire 1"].continuous_a is None
    assert pieces["negative wire 1"].continuous_a is None
    assert pieces["warmer wire 1"].continuous_a == pytest.approx(14.8 / 1.2)


def test_parallel_feeds_share_by_their_resistance_and_say_so():
    job = Builder()
    job.battery()
    job.block("panel")
    job.load("lamp", 120.0, exponent=1.0)
    for name, length_m in (("feed a", 1.0), ("feed b", 3.0)):
        job.circuit(name, ["battery +", Cable(length_m, "6 mm2"), "panel"])
    job.circuit(
        "lamp", ["panel", Cable(1.0, "6 mm2"), "lamp +"], ["lamp -", Cable(1.0, "6 mm2"), "battery -"]
    )
    found = wired(job)
    a, b = (found.currents.pieces[f"feed {x} wire 1"] for x in "ab")
    # Three quarters through the shorter one.
    assert a.drop_a == pytest.approx(7.5)
    assert b.drop_a == pytest.approx(2.5)
    assert a.shared
    assert found.tree.circuits["feed a"].in_loop
    assert not found.tree.circuits["lamp"].in_loop


def test_half_of_a_pair_is_fed_by_the_lower_battery_alone():
    job = Builder(system_v=24.0)
    job.battery(series=2)
    job.load("cooler", 60.0, exponent=1.0, at_v=12.0)
    job.circuit(
        "cooler",
        ["battery 1 +", Device("fuse", 10.0, "regular blade"), Cable(2.0, "2.5 mm2"), "cooler +"],
        ["cooler -", Cable(2.0, "2.5 mm2"), "battery -"],
    )
    found = wired(job)
    draw = found.currents.draws["cooler"]
    assert (draw.low_v, draw.high_v) == pytest.approx((12.0, 14.8))
    assert found.currents.pieces["battery 1"].drop_a == pytest.approx(5.0)
    assert found.currents.pieces["battery 2"].drop_a == pytest.approx(0.0)


def converter_job():
    """48 V to 12 V: 120 W behind a converter of 80 %."""
    job = Builder(system_v=48.0)
    job.battery(series=4)
    job.machine("converter", SupplyKind.DC_DC, nominal_v=12.0, setpoint=Span(12.0, 12.0), efficiency_pct=80.0)
    job.load("lamp", 120.0, exponent=1.0)
    job.circuit(
        "in",
        ["battery +", Cable(2.0, "2.5 mm2"), "converter in +"],
        ["converter in -", Cable(2.0, "2.5 mm2"), "battery -"],
        converter="converter",
    )
    job.circuit(
        "lamp",
        ["converter out +", Cable(2.0, "2.5 mm2"), "lamp +"],
        ["lamp -", Cable(2.0, "2.5 mm2"), "converter out -"],
    )
    return job


def test_a_converters_input_takes_what_its_output_gives_over_its_efficiency():
    found = wired(converter_job())
    # 12 V x 10 A / 0.8 = 150 W, at 48 V less 5 %.
    assert found.currents.pieces["in wire 1"].drop_a == pytest.approx(150 / (48 * 0.95))
    assert found.tree.circuits["lamp"].source == "converter"
    assert found.tree.circuits["in"].loads == ("lamp",)


def van():
    """Two batteries on one body, a link that closes with the engine, a block behind the second."""
    job = Builder()
    job.battery("start", capacity_ah=80.0)
    job.battery("house", capacity_ah=100.0)
    job.machine("alternator", SupplyKind.ALTERNATOR, rating_a=100.0)
    for end in "+-":
        tie = Tie(
            name=f"machine {end}", start=f"alternator {end}", end=f"start {end}", kind="alternator", why=""
        )
        job.ties.append(tie)
    job.ties.append(Tie(name="start earth", start="start -", end="house -", kind="battery negative", why=""))
    job.block("block")
    job.load("fridge", 60.0)
    link = Device("relay", gear="link", when="engine")
    job.gear["link"] = Gear(name="link", kind=GearKind.RELAY, place="bay", zone="mild", rating_a=100.0)
    job.circuit(
        "link",
        [
            "start +",
            Cable(0.2, "16 mm2"),
            Device("fuse", 80.0, "bolt-down strip 51 mm"),
            Cable(2.0, "16 mm2"),
            link,
            Cable(1.0, "16 mm2"),
            Device("fuse", 80.0, "bolt-down strip 51 mm"),
            Cable(0.2, "16 mm2"),
            "house +",
        ],
    )
    job.circuit("feed", ["house +", Device("fuse", 30.0, "regular blade"), Cable(1.0, "6 mm2"), "block"])
    job.circuit(
        "fridge",
        ["block", Device("fuse", 10.0, "regular blade"), Cable(2.0, "1.5 mm2"), "fridge +"],
        ["fridge -", Cable(2.0, "1.5 mm2"), "house -"],
    )
    return job


def test_a_charging_link_carries_what_the_battery_takes_and_what_hangs_on_it():
    # Flooded, 100 Ah: a quarter of that an hour (own judgement), and the fridge at 11.4 V.
    found = wired(van())
    assert found.currents.pieces["link wire 1"].continuous_a == pytest.approx(25 + 60 / 11.4)
    assert found.tree.circuits["link"].charging


def test_feeders_are_those_that_serve_the_load_at_rest():
    tree = wired(van()).tree
    assert tree.circuits["fridge"].source == "house"
    assert tree.circuits["fridge"].feeders == ("feed",)


def test_a_link_that_waits_for_the_engine_is_open_at_rest():
    found = wired(van())
    for situation, closed in ((Situation.RESTING, False), (Situation.DRIVING, True)):
        case = Case(situation=situation, running=frozenset({"fridge"}), level=Level.LOW)
        (ohm,) = parameters(found, case)[found.index("link")]
        assert (ohm < 1.0) is closed


def bilge_pump():
    """A pump on a float switch straight off the battery, and on a switch by hand behind a panel."""
    job = Builder()
    job.battery()
    job.block("panel")
    job.load("pump", 60.0)
    job.load("lights", 24.0)
    job.circuit("feed", ["battery +", Device("fuse", 30.0, "regular blade"), Cable(1.0, "6 mm2"), "panel"])
    fuse = Device("fuse", 10.0, "regular blade")
    job.circuit(
        "float",
        [
            "battery +",
            fuse,
            Cable(2.0, "1.5 mm2"),
            Device("switch", when="water"),
            Cable(0.2, "1.5 mm2"),
            "pump +",
        ],
        ["pump -", Cable(2.0, "1.5 mm2"), "battery -"],
    )
    job.circuit("hand", ["panel", fuse, Cable(2.0, "1.5 mm2"), Device("switch"), "pump +"])
    job.circuit(
        "lights",
        ["panel", Device("fuse", 5.0, "regular blade"), Cable(1.0, "1.5 mm2"), "lights +"],
        ["lights -", Cable(1.0, "1.5 mm2"), "battery -"],
    )
    return job


def test_a_load_on_two_switches_is_fed_by_one_at_a_time():
    found = wired(bilge_pump())
    pump_a = 60 / 11.4
    for name in ("float wire 1", "hand wire 1"):
        assert found.currents.pieces[name].drop_a == pytest.approx(pump_a)
    # The panel's other loads never come round by way of the pump.
    assert found.currents.pieces["float wire 1"].loads == ("pump",)
    assert found.currents.pieces["feed wire 1"].drop_a == pytest.approx(pump_a + 24 / 11.4)
    assert not found.tree.circuits["float"].in_loop
    # Two circuits to one load share one way back, here that of the float switch.
    assert found.tree.circuits["hand"].feeders == ("feed", "float")
    assert found.tree.circuits["float"].feeders == ()


def test_each_of_the_two_ways_has_its_drop():
    job = bilge_pump()
    found = assess(job.build(), job.estimates)
    assert found.circuits["float"].drop.load == found.circuits["hand"].drop.load == "pump"
    assert found.circuits["hand"].drop.drop_v > found.circuits["float"].drop.drop_v
    assert found.situations[Situation.RESTING].loads_v["pump"] > 11.5


def test_a_charger_that_waits_for_the_engine_has_the_drop_of_its_full_current():
    job = Builder()
    job.battery("start", capacity_ah=80.0)
    job.battery("house", capacity_ah=100.0)
    job.machine("alternator", SupplyKind.ALTERNATOR, rating_a=100.0)
    for end in "+-":
        job.ties.append(
            Tie(name=f"tie {end}", start=f"alternator {end}", end=f"start {end}", kind="alternator", why="")
        )
    job.ties.append(Tie(name="earth", start="start -", end="house -", kind="battery negative", why=""))
    job.machine("booster", SupplyKind.DC_DC, setpoint=Span(14.4, 14.4), current_a=30.0, efficiency_pct=90.0)
    job.circuit(
        "in",
        ["start +", Cable(3.0, "16 mm2"), Device("relay", when="engine", rating_a=100.0), "booster in +"],
        ["booster in -", Cable(3.0, "16 mm2"), "start -"],
        converter="booster",
    )
    job.circuit(
        "out",
        ["booster out +", Cable(0.5, "10 mm2"), "house +"],
        ["booster out -", Cable(0.5, "10 mm2"), "house -"],
    )
    found = assess(job.build(), job.estimates)
    amps = 30 * 14.4 / 0.9 / (12.0 - 0.6)
    assert found.circuits["in"].continuous_a == pytest.approx(amps)
    # 1.16 mohm/m at 20 degC (ISO 6722), at 30 degC and warmed by 42 A; four ring terminals, one relay.
    ohm = 6.0 * 0.00116 * 1.0393 + 4 * 0.0001 + 0.0005
    assert found.circuits["in"].drop.drop_v == pytest.approx(amps * ohm, rel=0.06)
    assert found.circuits["in"].drop.decided is True
