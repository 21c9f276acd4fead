"""Choosing, by hand: what decides each size, what is never touched, and what stays open.

The tables behind the numbers have tests of their own against what is printed (tests/published): VDE 0298-4
allows two loaded conductors of 1.5, 2.5, 4 and 6 mm2 18, 26, 34 and 44 A at up to 30 degC.
"""

from __future__ import annotations

import pytest

from groundstrap.assess import ReasonKind, assess
from groundstrap.design import Design
from groundstrap.model import Fitted, State
from groundstrap.units import parse_size
from tests.support.installations import Builder, Cable, Device
from tests.unit.design.jobs import FUSE, ROOM, chosen, lamp_job, sizes

AMPS_AT_HIGH_END = 240 / 12 * 14.8 / 12
"""240 W of heater at 12 V, at the 14.8 V that a lead battery's terminals may have: 24.67 A."""


def test_drop_decides() -> None:
    # 5 % of 12 V is 0.6 V; 60 W at 11.4 V take 5.26 A, so out and back may have 114 mohm. Ten metres of
    # 1.5 mm2 have 127 mohm at 20 degC (ISO 6722), of 2.5 mm2 76 mohm.
    design = chosen(lamp_job(60, 5))
    binding = design.bindings["lamp"]
    assert sizes(design) == {"lamp": "2.5 mm2"}
    assert (binding.kind, binding.where) == (ReasonKind.DROP, "lamp")
    assert binding.limit == pytest.approx(0.6)
    assert binding.smaller == parse_size("1.5 mm2")
    assert binding.value is not None
    assert 0.127 * 5.26 < binding.value < 0.127 * 5.26 + 0.15
    assert design.lifted == ()
    assert design.copper_cm3 == pytest.approx(25.0)


def test_ampacity_decides_where_no_fuse_does() -> None:
    design = chosen(lamp_job(240, 0.5, exponent=1.0, fuse=None))
    binding = design.bindings["lamp"]
    assert sizes(design) == {"lamp": "2.5 mm2"}
    assert binding.kind is ReasonKind.AMPACITY
    assert binding.value == pytest.approx(AMPS_AT_HIGH_END)
    assert binding.limit == pytest.approx(18)
    assert design.lifted == ()


def test_the_fuse_decides() -> None:
    # Four fifths of 30 A are less than 24.67 A, so 35 A, which 4 mm2 with its 34 A may not stand behind.
    blade = Device("fuse", family="regular blade", zone=ROOM)
    design = chosen(lamp_job(240, 0.5, exponent=1.0, fuse=blade))
    binding = design.bindings["lamp"]
    assert sizes(design) == {"lamp": "6 mm2"}
    assert (binding.kind, binding.where, binding.value) == (ReasonKind.WINDOW, "lamp fuse", 35.0)
    # 34 A by VDE 0298-4; by the gates of ISO 8820-3 a blade lets 1.45 times more than 33 A through too long.
    assert binding.limit == pytest.approx(33.0, abs=0.2)
    assert design.fuses["lamp fuse"].rating_a == 35.0


def test_a_family_that_breaks_the_fault_comes_before_one_that_does_not() -> None:
    # A battery of 5 mohm gives far more than a blade's 1 kA; the next rating that breaks it is 40 A, whose
    # slow gates (60 s at 200 %, from memory) 6 mm2 would just not stand: 39 A.
    design = chosen(lamp_job(240, 0.5, exponent=1.0, ohm=0.005))
    choice = design.fuses["lamp fuse"]
    assert (choice.rating_a, choice.family) == (40.0, "marine terminal-mounted")
    assert sizes(design) == {"lamp": "10 mm2"}
    assert design.bindings["lamp"].kind is ReasonKind.WINDOW


def test_a_small_load_gets_the_smallest_that_breaks_the_fault_where_its_wire_allows() -> None:
    # 6 mm2 stands behind the 30 A that marine fuses begin with, 1.5 mm2 with its 18 A (VDE 0298-4) does not.
    choice = chosen(lamp_job(50, 0.5, size="6 mm2", ohm=0.005)).fuses["lamp fuse"]
    assert (choice.rating_a, choice.family) == (30.0, "marine terminal-mounted")
    choice = chosen(lamp_job(50, 0.5, size="1.5 mm2", ohm=0.005)).fuses["lamp fuse"]
    assert (choice.rating_a, choice.family) == (7.5, "regular blade")


def test_minimum_size_decides() -> None:
    # 0.75 mm2 on the road, common practice.
    design = chosen(lamp_job(5, 1))
    binding = design.bindings["lamp"]
    assert sizes(design) == {"lamp": "0.75 mm2"}
    assert (binding.kind, binding.value, binding.limit) == (ReasonKind.MINIMUM, 0.5, 0.75)


def test_a_written_fuse_forces_the_wire_up() -> None:
    design = chosen(lamp_job(5, 1, fuse=Device("fuse", 25.0, "regular blade", zone=ROOM)))
    binding = design.bindings["lamp"]
    assert sizes(design) == {"lamp": "2.5 mm2"}
    assert (binding.kind, binding.where, binding.value) == (ReasonKind.FUSE, "lamp fuse", 25.0)
    # 18 A by VDE 0298-4, less by the gates of a 25 A blade.
    assert binding.limit == pytest.approx(17.2, abs=0.2)
    assert design.fuses == {}


@pytest.mark.parametrize("fuse", [FUSE, Device("fuse", 35.0, "regular blade", zone=ROOM)])
def test_a_thin_lead_leaves_no_fuse_but_the_wire_is_chosen_all_the_same(fuse: Device) -> None:
    # An 18 AWG lead (0.82 mm2) may have 12 A; no wire of ours can mend that.
    thin = Fitted(wire=parse_size("18 AWG"))
    job = lamp_job(240, 0.5, exponent=1.0, fuse=fuse, fitted=thin)
    design = chosen(job)
    assert sizes(design) == {"lamp": "6 mm2"}
    assert design.fuses == {}
    assert design.unsolved == ()
    (fitted,) = assess(design.installation, job.estimates).circuits["lamp"].fuses.values()
    assert (fitted.window.empty, fitted.window.most_reason.kind) == (True, ReasonKind.LEAD)


def test_more_than_any_rating_carries_leaves_the_fuse_open() -> None:
    # 720 W at 11.4 V take 63 A: 10 mm2 may have 61 A, 16 mm2 82 A; a regular blade ends at 40 A.
    design = chosen(lamp_job(720, 0.5, fuse=Device("fuse", family="regular blade", zone=ROOM)))
    assert sizes(design) == {"lamp": "16 mm2"}
    assert design.bindings["lamp"].kind is ReasonKind.AMPACITY
    assert design.fuses == {}


def test_an_unknown_load_stays_unknown() -> None:
    design = chosen(lamp_job(None, 2))
    (lost,) = design.unsolved
    assert (lost.circuit, lost.kind, lost.where) == ("lamp", ReasonKind.UNKNOWN, "lamp")
    assert design.sizes == {}
    assert design.fuses == {}
    assert design.bindings == {}


def test_an_unknown_load_does_not_keep_the_others_from_their_wires() -> None:
    job = lamp_job(60, 5)
    job.load("box", None)
    job.circuit(
        "box", ["battery +", FUSE, Cable(2.0, zone=ROOM), "box +"], ["box -", Cable(2.0), "battery -"]
    )
    design = chosen(job)
    assert sizes(design) == {"lamp": "2.5 mm2"}
    assert [lost.circuit for lost in design.unsolved] == ["box"]


def test_a_limit_that_no_size_meets_is_told_with_the_least_drop_there_can_be() -> None:
    (lost,) = chosen(lamp_job(720, 60)).unsolved
    assert (lost.circuit, lost.kind, lost.where) == ("lamp", ReasonKind.DROP, "lamp")
    assert lost.limit == pytest.approx(0.6)
    assert lost.value is not None
    assert lost.value > 0.6


def _branches(feed: str | None, branch: str | None, state: State = State.NEW) -> Builder:
    job = Builder()
    job.battery()
    job.block("panel")
    job.circuit("feed", ["battery +", FUSE, Cable(2.0, feed, zone=ROOM), "panel"], state=state)
    for name, size in (("lamp", branch), ("radio", None)):
        job.load(name, 60.0)
        cable = Cable(3.0, size, zone=ROOM)
        job.circuit(name, ["panel", FUSE, cable, f"{name} +"], [f"{name} -", cable, "battery -"])
    return job


def _untouched(job: Builder, design: Design, circuit: str) -> bool:
    before, after = job.build().circuits[circuit], design.installation.circuits[circuit]
    return before.wires == after.wires and circuit not in design.bindings


def test_what_is_written_is_never_changed() -> None:
    # 0.5 mm2 is below every rule; it is checked elsewhere and left as it stands.
    job = _branches("6 mm2", "0.5 mm2")
    design = chosen(job)
    assert _untouched(job, design, "feed")
    assert _untouched(job, design, "lamp")
    assert set(sizes(design)) == {"radio"}


@pytest.mark.parametrize("feed", ["6 mm2", None])
def test_what_exists_is_never_changed(feed: str | None) -> None:
    job = _branches(feed, None, State.EXISTING)
    design = chosen(job)
    assert _untouched(job, design, "feed")
    assert "feed fuse" not in design.fuses
    assert set(sizes(design)) == {"lamp", "radio"}


def test_nothing_makes_up_for_a_feeder_that_nobody_knows() -> None:
    known, unknown = chosen(_branches("35 mm2", None)), chosen(_branches(None, None, State.EXISTING))
    assert sizes(known) == sizes(unknown)


def test_a_feeders_fuse_is_not_below_those_behind_it() -> None:
    job = _branches(None, None)
    job.load("sounder", 1.0)
    pinned = Device("fuse", 25.0, "regular blade", zone=ROOM)
    cable = Cable(1.0, zone=ROOM)
    job.circuit("sounder", ["panel", pinned, cable, "sounder +"], ["sounder -", cable, "battery -"])
    design = chosen(job)
    assert design.fuses["feed fuse"].rating_a >= 25.0
    feed = assess(design.installation, job.estimates).circuits["feed"].fuses["feed fuse"]
    assert feed.window.most_a is not None
    assert feed.window.most_a >= design.fuses["feed fuse"].rating_a


def test_a_feeders_only_branch_is_not_part_of_the_feeder() -> None:
    # A feeder may drop 3 %, the lamp 5 %: with one lamp behind the feeder the lamp's own cable is no feeder.
    job = Builder()
    job.battery()
    job.block("panel")
    job.circuit("feed", ["battery +", FUSE, Cable(0.3, zone=ROOM), "panel"])
    job.load("lamp", 60.0)
    cable = Cable(4.5, zone=ROOM)
    job.circuit("lamp", ["panel", FUSE, cable, "lamp +"], ["lamp -", cable, "battery -"])
    design = chosen(job)
    found = assess(design.installation, job.estimates).circuits
    assert found["feed"].drop is not None
    assert found["lamp"].drop is not None
    assert found["feed"].drop.drop_v is not None
    assert found["lamp"].drop.drop_v is not None
    assert found["feed"].drop.drop_v < 0.36 < found["lamp"].drop.drop_v < 0.6


def test_a_written_limit_on_a_way_back_holds() -> None:
    job = Builder()
    job.battery()
    job.block("bus")
    job.load("lamp", 60.0)
    job.circuit("negative", ["bus", Cable(3.0, zone=ROOM), "battery -"], drop_v=0.03)
    cable = Cable(1.0, zone=ROOM)
    job.circuit("lamp", ["battery +", FUSE, cable, "lamp +"], ["lamp -", cable, "bus"])
    design = chosen(job)
    found = assess(design.installation, job.estimates).circuits["negative"].drop
    assert found is not None
    assert found.drop_v is not None
    assert found.drop_v <= 0.03
    assert design.bindings["negative"].where == "negative"


def test_the_least_price_and_not_the_least_copper() -> None:
    design = chosen(lamp_job(60, 5), stock=[("1.5 mm2", 1.0), ("2.5 mm2", 3.0), ("4 mm2", 2.0)])
    binding = design.bindings["lamp"]
    assert sizes(design) == {"lamp": "4 mm2"}
    assert design.price == pytest.approx(2.0 * 10)
    assert (binding.kind, binding.dearer, binding.smaller) == (None, True, parse_size("2.5 mm2"))


def test_prices_that_are_not_all_known_do_not_count() -> None:
    design = chosen(lamp_job(60, 5), stock=[("1.5 mm2", 1.0), ("2.5 mm2", None), ("4 mm2", 2.0)])
    assert sizes(design) == {"lamp": "2.5 mm2"}
    assert design.price is None


def test_the_shelf_skips_the_size_that_would_do() -> None:
    design = chosen(lamp_job(60, 5), stock=[("1 mm2", None), ("6 mm2", None)])
    assert sizes(design) == {"lamp": "6 mm2"}
    assert design.bindings["lamp"].smaller == parse_size("1 mm2")
    assert design.bindings["lamp"].kind is ReasonKind.DROP


def test_the_smallest_on_the_shelf_has_nothing_to_stop_a_smaller_one() -> None:
    binding = chosen(lamp_job(5, 1), stock=[("2.5 mm2", None), ("4 mm2", None)]).bindings["lamp"]
    assert (binding.kind, binding.stock, binding.smaller) == (None, True, None)


def test_a_shelf_without_the_needed_size_says_so() -> None:
    (lost,) = chosen(lamp_job(60, 5), stock=[("0.75 mm2", 1.0), ("1 mm2", 2.0)]).unsolved
    assert (lost.circuit, lost.kind) == ("lamp", ReasonKind.DROP)
    (lost,) = chosen(lamp_job(240, 0.5, exponent=1.0), stock=[("0.75 mm2", 1.0)]).unsolved
    assert (lost.circuit, lost.kind) == ("lamp", ReasonKind.AMPACITY)


def test_insulation_below_its_air_is_no_matter_of_size() -> None:
    job = Builder()
    job.battery()
    job.load("lamp", 60.0)
    cable = Cable(1.0, zone="engine bay", insulation="PVC")
    job.circuit("lamp", ["battery +", FUSE, cable, "lamp +"], ["lamp -", cable, "battery -"])
    (lost,) = chosen(job).unsolved
    assert (lost.kind, lost.value, lost.limit) == (ReasonKind.UNSUITABLE, 70.0, 85.0)
