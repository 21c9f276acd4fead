"""A written rating stands, and gets the type that breaks its fault where nobody wrote what it sits in."""

from __future__ import annotations

import pytest

from groundstrap import api
from groundstrap.design import Design, choose
from groundstrap.job import read_job
from groundstrap.vet import estimates

# 5 mohm and less feed more than the 1000 A of a blade and the 2000 A of a strip (iso-8820-3).
JOB = """groundstrap: 1
title: A written fuse at a strong battery
system: 12 V
body: fibreglass
supplies: {battery: {kind: battery, at: bay, capacity: 110 Ah, resistance: 4 mohm}, alternator: none}
places: {bay: cabin, back: cabin}
loads: {heater: {kind: heater, at: back, claims: {power: 300 W}}}
circuits:
  heater: {path: [battery, fuse: 50 A, heater], return: battery -, length: 4 m}
"""


def _chosen(text: str) -> Design:
    installation = read_job(text).installation
    return choose(installation, estimates(installation))


def _failed(text: str) -> set[str]:
    answer = api.plan(api.read_job(text))
    return {f.rule for f in answer.judgement.findings if f.outcome == "fail"}


def test_a_written_rating_without_a_family_gets_one_that_breaks_the_fault() -> None:
    found = _chosen(JOB)
    assert found.families == {"heater fuse": "marine terminal-mounted"}
    (fuse,) = (part for part in found.installation.parts() if part.name == "heater fuse")
    assert (fuse.rating_a, fuse.family, str(fuse.origin)) == (50.0, "marine terminal-mounted", "written")
    assert "PRT008" not in _failed(JOB)
    assert not found.unsolved


def test_what_is_written_beside_the_rating_decides() -> None:
    for written in ("{fuse: 50 A, family: high-current blade}", "{fuse: 50 A, holder: tap}"):
        text = JOB.replace("fuse: 50 A", written)
        assert _chosen(text).families == {}
        assert "PRT008" in _failed(text)


def test_a_slot_of_a_fuse_block_decides() -> None:
    block = "gear: {block: {kind: block, at: bay, ways: 4}}\nloads"
    text = JOB.replace("loads", block).replace("[battery, fuse: 50 A", "[block 1, fuse: 30 A")
    text += "  feed: {path: [battery, fuse, block], length: 30 cm}\n"
    assert _chosen(text).families == {}


def test_an_existing_fuse_is_what_it_is() -> None:
    text = JOB.replace("fuse: 50 A", "{fuse: 50 A, state: existing}")
    assert _chosen(text).families == {}


def test_a_weak_battery_needs_no_other_type() -> None:
    # 20 mohm and the cable's make 600 A, under the 1000 A of a blade.
    assert _chosen(JOB.replace("4 mohm", "20 mohm")).families == {}


def test_no_family_is_made_so_small_that_breaks_it() -> None:
    text = JOB.replace("300 W", "30 W").replace("fuse: 50 A", "fuse: 5 A")
    assert _chosen(text).families == {}
    assert "PRT008" in _failed(text)


def test_the_wire_suits_the_type_that_is_fitted() -> None:
    found = _chosen(JOB)
    (size,) = set(found.sizes.values())
    written = JOB.replace("fuse: 50 A", "{fuse: 50 A, family: marine terminal-mounted}")
    assert set(_chosen(written).sizes.values()) == {size}


def test_a_rating_under_its_load_gets_its_type_too() -> None:
    # The wire is chosen for what 800 W need, above 50 A; the 50 A that are written stand, in the type for it.
    text = JOB.replace("300 W", "800 W")
    found = _chosen(text)
    (fuse,) = (part for part in found.installation.parts() if part.name == "heater fuse")
    assert (fuse.rating_a, fuse.family) == (50.0, "marine terminal-mounted")
    assert "PRT002" in {
        f.rule for f in api.plan(api.read_job(text)).judgement.findings if f.outcome == "fail"
    }
    assert "PRT008" not in _failed(text)


@pytest.mark.parametrize(
    ("step", "pinned"),
    [
        ("fuse: 50 A", "{fuse: 50 A, family: marine terminal-mounted}"),
        ("{fuse: 50 A}", "{fuse: 50 A, family: marine terminal-mounted}"),
        ("fuse", "{fuse: 50 A, family: marine terminal-mounted}"),
    ],
)
def test_the_type_that_was_chosen_is_pinned_too(step: str, pinned: str) -> None:
    # Without it the file would be taken for the usual blade of 50 A, which does not break the fault.
    of_circuit = ", fuse: 50 A" if step == "fuse" else ""
    text = JOB.replace("fuse: 50 A,", f"{step},").replace("length: 4 m}", f"length: 4 m{of_circuit}}}")
    job = api.read_job(text)
    written = api.pin(job, api.plan(job))
    assert written.types == 1
    assert pinned in written.text
    checked = api.check(api.read_job(written.text))
    assert "PRT008" not in {f.rule for f in checked.judgement.findings if f.outcome == "fail"}
