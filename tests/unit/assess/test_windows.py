"""Windows of fuses, ampacity where wires lie, and what each fuse stands before."""

import pytest

from groundstrap import api
from groundstrap.assess import ReasonKind, assess, guards, wire_up
from groundstrap.assess.results import Window
from groundstrap.model import Basis, Duty, Fitted, Gear, GearKind, State, SupplyKind
from groundstrap.units import parse_size
from tests.support.installations import Builder, Cable, Device, tiny, two_level


def assessed(job):
    return assess(job.build(), job.estimates)


def window(job, name="lamp fuse") -> Window:
    found = assessed(job)
    return next(c.fuses[name].window for c in found.circuits.values() if name in c.fuses)


def test_the_upper_end_is_the_largest_rating_within_the_ampacity():
    # VDE 0298-4 table 11: 2.5 mm2, two loaded, 26 A at 30 degC.
    found = window(tiny(60.0))
    assert found.most_limit_a == pytest.approx(26.0)
    assert found.most_a == 25.0
    assert found.most_reason.kind is ReasonKind.AMPACITY


def test_the_lower_end_carries_the_load_within_what_the_fuse_may_carry():
    # 5.26 A at 11.4 V; at 30 degC a blade may carry 0.947 x 0.80 of its rating: of 5 A 3.8, of 7.5 A 5.7 A.
    found = window(tiny(60.0))
    assert found.least_a == 7.5
    assert found.least_reason.kind is ReasonKind.CONTINUOUS
    assert found.ratings == (7.5, 10.0, 15.0, 20.0, 25.0)


def test_a_wire_too_thin_leaves_the_window_empty():
    found = window(tiny(200.0, size="1 mm2"))
    assert found.empty
    assert found.known


def test_what_its_load_overheats_is_told_by_what_it_may_carry_and_not_as_nought():
    # VDE 0298-4 table 11: 1 mm2, two loaded, 15 A at 30 degC; 35 A through it is beyond any fuse's help.
    found = window(tiny(400.0, size="1 mm2"))
    assert found.empty
    assert found.most_limit_a == pytest.approx(15.0)


def test_an_unknown_size_is_no_empty_window():
    found = window(tiny(60.0, size=None))
    assert not found.known
    assert not found.empty


def test_the_loads_own_lead_is_part_of_the_loop():
    job = tiny(60.0, size="6 mm2")
    job.load("lamp", 60.0, fitted=Fitted(wire=parse_size("1 mm2"), length_m=1.5))
    found = window(job)
    assert (found.most_reason.kind, found.most_reason.where) == (ReasonKind.LEAD, "lamp")
    # VDE 0298-4 table 11: 1 mm2, two loaded, 15 A; common practice puts 10 A on it, and so does the curve.
    assert found.most_a == 10.0
    assert 14.0 < found.most_limit_a < 15.0
    assert found.loop_limit_a == pytest.approx(42.5, abs=2)


def test_a_lead_with_its_own_fuse_sets_no_limit():
    job = tiny(60.0, size="6 mm2")
    job.load("lamp", 60.0, fitted=Fitted(wire=parse_size("1 mm2"), length_m=1.5, fuse_a=5.0))
    assert window(job).most_reason.kind is ReasonKind.AMPACITY


def test_the_makers_largest_fuse_is_respected():
    job = tiny(60.0)
    job.load("lamp", 60.0, largest_fuse_a=15.0)
    assert window(job).most_a == 15.0
    assert window(job).most_reason.kind is ReasonKind.LARGEST_FUSE


def test_a_connector_in_the_loop_is_respected():
    job = tiny(60.0)
    job.gear["plug"] = Gear(name="plug", kind=GearKind.CONNECTOR, place="bay", zone="mild", rating_a=13.0)
    job.circuit(
        "lamp",
        [
            "battery +",
            Device("fuse", family="regular blade"),
            Cable(1.0, "2.5 mm2"),
            Device("connector", gear="plug"),
            Cable(1.0, "2.5 mm2"),
            "lamp +",
        ],
        ["lamp -", Cable(2.0, "2.5 mm2"), "battery -"],
    )
    assert window(job).most_a == 10.0
    assert window(job).most_reason.kind is ReasonKind.CONTACT


def test_the_thin_way_back_counts():
    job = tiny(60.0, size="6 mm2")
    job.circuit(
        "lamp",
        ["battery +", Device("fuse", family="regular blade"), Cable(2.0, "6 mm2"), "lamp +"],
        ["lamp -", Cable(2.0, "1 mm2"), "battery -"],
    )
    found = assessed(job).circuits["lamp"].fuses["lamp fuse"]
    assert found.thinnest == "lamp return 1"
    # 15 A by VDE 0298-4; a 15 A blade would hold 1.5 times for too long. Common practice: 1 mm2 takes 10 A.
    assert found.window.most_a == 10.0
    assert found.window.most_reason.kind is ReasonKind.CURVE


def test_a_feeders_fuse_stands_before_the_feeder_and_the_common_way_back_alone():
    job = two_level()
    found = wire_up(job.build(), job.estimates)
    standing = guards(found.topology, found.tree)
    # IEC 60364-4-43, 433.2.2: what it lets pass for hours comes through the cable before it too.
    assert set(standing["feed fuse"].pieces) == {"feed wire 1", "feed wire 2", "negative wire 1"}
    assert set(standing["radio fuse"].pieces) == {"radio wire 1", "radio return 1"}
    assert standing["radio fuse"].loads == ("radio",)


def _link(*path, **more):
    job = Builder()
    job.battery("first")
    job.battery("second")
    job.circuit("link", ["first +", *path, "second +"], **more)
    found = wire_up(job.build(), job.estimates)
    return job, guards(found.topology, found.tree)


def test_the_one_fuse_of_a_link_between_two_batteries_suits_the_cable_on_both_its_sides():
    # Common practice: the cable to either battery is fed by the other one through the fuse.
    # VDE 0298-4 table 11: 2.5 mm2, two loaded, 26 A at 30 degC, one alone somewhat more; 30 A is the
    # smallest that is made of the family, and its curve asks for more cable than that.
    fuse = Device("fuse", 200.0, "terminal-mounted")
    job, standing = _link(Cable(0.2, "2.5 mm2"), fuse, Cable(8.8, "2.5 mm2"))
    assert set(standing["link fuse"].pieces) == {"link wire 1", "link wire 2"}
    found = window(job, "link fuse")
    assert found.most_reason.where in {"link wire 1", "link wire 2"}
    assert found.most_limit_a < 30.0
    assert found.empty


def test_of_a_link_fused_at_both_ends_each_fuse_stands_before_the_piece_between():
    fuse = Device("fuse", 25.0, "regular blade")
    _, standing = _link(Cable(0.2, "2.5 mm2"), fuse, Cable(8.0, "2.5 mm2"), fuse, Cable(0.2, "2.5 mm2"))
    # And the one before it, by what comes through it for hours: IEC 60364-4-43, 433.2.2.
    own = [{"link wire 1", "link wire 2"}, {"link wire 2", "link wire 3"}]
    assert [set(guard.pieces) for guard in standing.values()] == own


def test_a_fuse_before_a_load_does_not_stand_before_the_cable_between_two_batteries():
    fuse = Device("fuse", 5.0, "regular blade")
    job, _ = _link(Cable(1.0, "2.5 mm2"))
    job.load("lamp", 20.0)
    back = ["lamp -", Cable(1.0, "1.5 mm2"), "second -"]
    job.circuit("lamp", ["second +", Cable(0.1, "1.5 mm2"), fuse, Cable(1.0, "1.5 mm2"), "lamp +"], back)
    found = wire_up(job.build(), job.estimates)
    pieces = guards(found.topology, found.tree)["lamp fuse"].pieces
    assert set(pieces) == {"lamp wire 1", "lamp wire 2", "lamp return 1"}


def test_cable_that_ends_at_its_fuse_suits_that_fuse():
    # IEC 60364-4-43, 433.2.2: the fuse may stand along the run, and then the run before it is its own.
    # VDE 0298-4 table 11: 1 mm2 carries 15 A at 30 degC; 100 A go through it before the fuse opens.
    job = Builder()
    job.battery()
    job.load("lamp", 60.0)
    job.circuit("feed", ["battery +", Cable(0.2, "1 mm2"), Device("fuse", 100.0, "terminal-mounted"), "bus"])
    job.circuit("lamp", ["bus", Device("fuse", 10.0, "regular blade"), Cable(2.0, "2.5 mm2"), "lamp +"])
    found = window(job, "feed fuse")
    assert found.most_reason.where == "feed wire 1"
    assert found.most_limit_a < 20.0


def test_a_fuse_at_the_charger_suits_the_cable_on_to_the_battery():
    # Own judgement: it sits at the wrong end, which a rule of its own tells; it's no licence for 300 A.
    job = Builder()
    job.battery()
    job.machine("charger", SupplyKind.MAINS_CHARGER)
    job.circuit("out", ["charger +", Device("fuse"), Cable(0.5, "1 mm2"), "battery +"])
    found = wire_up(job.build(), job.estimates)
    assert guards(found.topology, found.tree)["out fuse"].pieces == ("out wire 1",)
    assert window(job, "out fuse").most_limit_a < 25.0


def test_fuses_at_both_ends_of_a_ring_stand_before_all_of_it():
    job = Builder()
    job.battery()
    for box in ("box 1", "box 2"):
        job.block(box)
    job.load("pod", 20.0)
    job.circuit("feed", ["battery +", Device("fuse", 30.0, "regular blade"), Cable(1.0, "6 mm2"), "box 1"])
    fuse = Device("fuse", 10.0, "regular blade")
    job.circuit("ring", ["box 1", fuse, Cable(2.0, "1.5 mm2"), "box 2", Cable(2.0, "1.5 mm2"), fuse, "box 1"])
    job.circuit(
        "pod", ["box 2", Cable(1.0, "1.5 mm2"), "pod +"], ["pod -", Cable(1.0, "1.5 mm2"), "battery -"]
    )
    found = wire_up(job.build(), job.estimates)
    standing = guards(found.topology, found.tree)
    for name in ("ring fuse", "ring fuse 2"):
        assert {"ring wire 1", "ring wire 2", "pod wire 1"} <= set(standing[name].pieces)


def test_two_circuits_with_cable_returns_in_one_loom_are_four_loaded_conductors():
    job = Builder()
    job.battery()
    for name in ("a", "b"):
        job.load(name, 120.0)
        cable = Cable(2.0, "2.5 mm2", laid="loom", route="one")
        job.circuit(name, ["battery +", cable, f"{name} +"], [f"{name} -", cable, "battery -"])
    found = assessed(job).circuits["a"].wires["a wire 1"].stretches[0]
    assert found.loaded_conductors == 4
    # VDE 0298-4 tables 11 and 26: 26 A, x 0.75 for up to five.
    assert found.ampacity_a == pytest.approx(26 * 0.75)


def test_others_beside_the_job_count_too():
    job = Builder()
    job.battery()
    job.load("a", 120.0)
    cable = Cable(2.0, "2.5 mm2", laid="loom", route="one", others=5)
    job.circuit("a", ["battery +", cable, "a +"], ["a -", cable, "battery -"])
    assert assessed(job).circuits["a"].wires["a wire 1"].stretches[0].loaded_conductors == 7


def test_a_hardly_loaded_conductor_does_not_count():
    job = Builder()
    job.battery()
    for name, watts in (("a", 120.0), ("bulb", 2.0)):
        job.load(name, watts)
        cable = Cable(2.0, "2.5 mm2", laid="loom", route="one")
        job.circuit(name, ["battery +", cable, f"{name} +"], [f"{name} -", cable, "battery -"])
    assert assessed(job).circuits["a"].wires["a wire 1"].stretches[0].loaded_conductors == 2


def test_insulation_below_its_air_is_unsuitable_and_not_ampacity_nought():
    job = Builder()
    job.battery()
    job.load("a", 60.0)
    cable = Cable(2.0, "2.5 mm2", zone="engine bay", insulation="70 degC")
    job.circuit("a", ["battery +", cable, "a +"], ["a -", cable, "battery -"])
    found = assessed(job).circuits["a"].wires["a wire 1"].stretches[0]
    assert found.suitable is False
    assert found.ampacity_a is None


def test_new_cable_takes_the_least_insulation_that_suits_its_hottest_zone():
    job = Builder()
    job.battery()
    job.load("a", 60.0)
    job.load("b", 60.0)
    hot = Cable(2.0, "2.5 mm2", zone="engine bay", insulation=None)
    # One class for the whole circuit, the cooler way back included.
    job.circuit("a", ["battery +", hot, "a +"], ["a -", Cable(2.0, "2.5 mm2", insulation=None), "battery -"])
    mild = Cable(2.0, "2.5 mm2", insulation=None)
    job.circuit("b", ["battery +", mild, "b +"], ["b -", mild, "battery -"])
    found = assessed(job)
    assert {wire.insulation_c for wire in found.circuits["a"].wires.values()} == {125.0}
    assert {wire.insulation_c for wire in found.circuits["b"].wires.values()} == {105.0}
    told = {a.value: a.why for a in found.assumptions if a.where == "insulation"}
    assert set(told) == {"105 degC", "125 degC"}
    assert "engine bay, up to 85 degC: a (own judgement)" in told["125 degC"]


def test_insulation_of_what_exists_is_never_chosen():
    job = Builder()
    job.battery()
    job.load("a", 60.0)
    hot = Cable(2.0, "2.5 mm2", zone="engine bay", insulation=None)
    mild = Cable(2.0, "2.5 mm2", insulation=None)
    job.circuit("a", ["battery +", hot, "a +"], ["a -", mild, "battery -"], state=State.EXISTING)
    found = assessed(job).circuits["a"].wires
    out, back = found["a wire 1"], found["a return 1"]
    assert (out.insulation_c, out.ampacity_a, out.stretches[0].suitable) == (None, None, None)
    assert back.insulation_c == 70.0


def test_fuse_of_short_runs_is_spared_the_margin_of_hours():
    # 40 A for 40 s in 6 min: in mild air a high-current blade carries 0.85 of its rating; loads
    # that run on take 0.80 of it at most (common practice).
    for duty, least_a in ((Duty(share_pct=11.0, run_s=40.0, every_s=360.0), 50.0), (Duty(), 60.0)):
        job = Builder()
        job.battery()
        job.load("hoist", 480.0, exponent=0.0, duty=duty)
        path = ["battery +", Device("fuse", family="high-current blade"), Cable(2.0, "25 mm2"), "hoist +"]
        job.circuit("hoist", path, ["hoist -", Cable(2.0, "25 mm2"), "battery -"])
        fuse = assessed(job).circuits["hoist"].fuses["hoist fuse"]
        assert fuse.window.least_a == least_a


def test_boat_ampacity_in_an_engine_space():
    # 33 CFR 183.425 table 5 with note 1: 10 AWG of 105 degC is 60 A, x 0.85.
    job = Builder(basis=Basis.BOAT)
    job.battery()
    job.load("a", 60.0)
    cable = Cable(2.0, "10 AWG", zone="engine space", insulation="105 degC")
    job.circuit("a", ["battery +", cable, "a +"], ["a -", cable, "battery -"])
    found = assessed(job).circuits["a"].wires["a wire 1"]
    assert found.ampacity_a == pytest.approx(51.0)
    assert found.weakest_zone == "engine space"


def test_a_short_run_heats_a_thick_wire_less_than_it_would_for_ever():
    job = tiny(900.0, exponent=0.0, size="16 mm2")
    steady = assessed(job).circuits["lamp"].wires["lamp wire 2"]
    job.load("lamp", 900.0, exponent=0.0, duty=Duty(share_pct=11.1, run_s=40.0, every_s=360.0))
    short = assessed(job).circuits["lamp"].wires["lamp wire 2"]
    assert short.conductor_c < steady.conductor_c
    assert short.thermal_a < steady.thermal_a == pytest.approx(75.0)
    assert short.continuous_a == steady.continuous_a


@pytest.mark.parametrize("current_a", [30, 60, 100])
@pytest.mark.parametrize("isolated", ["", ", isolated: yes"])
def test_what_a_plan_chooses_for_a_written_fuse_passes_its_own_rules(current_a: int, isolated: str) -> None:
    """Class T is slower from 225 A on (ul-248-15, from memory): 70 mm2 is saved by 200 A and by no 225 A."""
    answer = api.plan(
        api.read_job(f"""groundstrap: 1
title: Class T before a booster
system: 12 V
basis: boat
supplies:
  battery: {{kind: battery, at: a, chemistry: agm, capacity: 95 Ah}}
  alternator: {{kind: alternator, at: a, rating: 120 A}}
  leisure: {{kind: battery, at: b, chemistry: agm, capacity: 100 Ah}}
  booster: {{kind: dc-dc, at: b, current: {current_a} A, setpoint: 14.4 V{isolated}}}
places: {{a: outside, b: cabin}}
routes: [{{from: a, to: b, length: 2 m, laid: free}}]
circuits:
  feed: {{path: [battery, length: 15 cm, {{fuse: 200 A, family: class T}}, booster]}}
  charge: {{path: [booster, length: 50 cm, fuse, leisure]}}
""")
    )
    assert answer.design is not None
    assert answer.design.sizes["feed wire 2"].area_mm2 == 70.0
    window = answer.assessment.circuits["feed"].fuses["feed fuse"].window
    assert window.loop_limit_a is not None
    assert window.loop_limit_a >= window.most_a == 200.0
    failed = {f.rule for f in answer.judgement.findings if f.outcome.value == "fail"}
    assert not failed & {"PRT001", "PRT014"}
