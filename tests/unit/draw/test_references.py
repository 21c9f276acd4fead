"""Reference letters and numbers: what letter a thing has, and that numbers hang on nothing but the job.

Letters: IEC 81346-2, main classes, from memory; K of relays and M of pumps and fans: common practice.
"""

from __future__ import annotations

import random
import re

import pytest

from groundstrap.draw.references import References, circuits_in_order, natural, references
from groundstrap.job import read_job
from groundstrap.model import Installation
from tests.rules.sound_jobs import FRAMES, sound_job
from tests.support.jobs import job

LETTERS = {
    "battery": "G",
    "lamp": "E",
    "fan": "M",
    "relay one": "K",
    "rocker": "S",
    "plug": "X",
    "panel": "X",
    "lamp fuse": "F",
}


def _random(number: int) -> Installation:
    draft = sound_job(random.Random(number), FRAMES[number % len(FRAMES)])
    return read_job(draft.text, "random.yaml").installation


@pytest.mark.parametrize(("name", "letter"), LETTERS.items())
def test_a_thing_has_the_letter_of_its_class(name: str, letter: str) -> None:
    found = references(job().installation)
    assert re.fullmatch(rf"-{letter}[1-9][0-9]*", found.of(name))


def test_a_switch_that_a_float_works_is_a_sensor() -> None:
    changed = job(("rocker: {kind: switch, at: dash}", "rocker: {kind: switch, at: dash, when: water}"))
    assert references(changed.installation).of("rocker") == "-B1"


def test_a_coil_is_counted_with_its_relay() -> None:
    found = references(
        job(more="  coil: {path: [battery, fuse, relay one coil], length: 1 m}\n").installation
    )
    assert found.of("relay one coil") == found.of("relay one") == "-K1"


def test_pieces_of_a_circuit_are_numbered_along_it_and_parallel_ones_by_letters() -> None:
    more = "  extra: {path: [battery, length: 20 cm, fuse, fan], length: 2 m, parallel: 2, label: '7'}\n"
    found = references(job(more=more).installation)
    assert found.cables("extra wire 1") == ("7.1a", "7.1b")
    assert found.cable("extra return 1") == "7.3a–7.3b"
    named = References({}, {"w": ("seat heater return 1a", "seat heater return 1b")})
    assert named.cable("w") == "seat heater return 1a–1b"
    assert found.cables("lamp wire 1") == ("1.1",)


def test_numbers_of_cables_stay_apart_where_somebody_wrote_one_with_a_dot() -> None:
    more = "  extra: {path: [battery, fuse: 5 A, panel], length: 2 m, label: '1.1'}\n"
    found = references(job(more=more).installation)
    assert found.cables("extra wire 1") == ("1.1",)
    assert found.cables("lamp wire 1") == ("1-1",)


@pytest.mark.parametrize("number", range(25))
def test_everything_has_one_reference_and_no_two_things_share_one(number: int) -> None:
    made = _random(number)
    found = references(made)
    owners = {load.name: load.relay or load.name for load in made.loads.values()}
    owners |= {part.name: part.gear or part.name for part in made.parts()}
    names = {*made.supplies, *made.gear, *made.loads, *made.chassis_points, *owners}
    assert names == set(found.by_name)
    by_owner: dict[str, str] = {}
    for name in names:
        owner = owners.get(name, name)
        assert by_owner.setdefault(owner, found.of(name)) == found.of(name)
    assert len(set(by_owner.values())) == len(by_owner)
    cables = [cable for numbers in found.by_wire.values() for cable in numbers]
    assert len(set(cables)) == len(cables) == sum(wire.parallel for wire in made.wires())


@pytest.mark.parametrize("number", range(10))
def test_the_order_of_the_file_changes_nothing(number: int) -> None:
    draft = sound_job(random.Random(number), FRAMES[number % len(FRAMES)])
    before = references(read_job(draft.text, "random.yaml").installation)
    for part in ("circuits", "gear", "loads"):
        if part in draft.job:
            draft.job[part] = dict(reversed(draft.job[part].items()))
    after = references(read_job(draft.text, "random.yaml").installation)
    assert dict(before.by_name) == dict(after.by_name)
    assert dict(before.by_wire) == dict(after.by_wire)


def test_circuits_follow_each_other_by_their_numbers_as_people_count() -> None:
    more = "".join(
        f"  c{n}: {{path: [battery, fuse: 5 A, panel], length: 1 m, label: '{n}'}}\n" for n in (10, 9, 2)
    )
    assert [c.label for c in circuits_in_order(job(more=more).installation)] == ["1", "2", "9", "10"]
    assert sorted(["b 2", "b 10", "a"], key=natural) == ["a", "b 2", "b 10"]
