"""Whole packs in a language that writes every letter of a text with another one: no English slips through."""

from __future__ import annotations

import dataclasses
import html
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.draw.compact import wiring_compact
from groundstrap.pack.content import CalculationLine, Picture, Section
from groundstrap.pack.document import Wanted, document
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.words import words
from tests.support.marked import MARKED, exactly, roughly, slipped

EXAMPLES = ("hive-pickup", "book-bus", "oyster-skiff")


def texts(thing: object) -> Iterator[str]:
    """Every text of a piece of content, in the order in which it stands there; pictures apart."""
    if isinstance(thing, str):
        # A source has its title, and the name of its clause, in its own language.
        if getattr(thing, "template", "").partition(":")[0] != "Source":
            yield thing
    elif isinstance(thing, CalculationLine):
        yield from (thing.what, thing.numbers, thing.result, thing.limit, thing.margin)
    elif isinstance(thing, Picture):
        yield thing.words
    elif isinstance(thing, tuple):
        for each in thing:
            yield from texts(each)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            if field.name not in {"key", "fingerprint", "align"}:
                yield from texts(getattr(thing, field.name))


def drawn(thing: object) -> Iterator[str]:
    """Every line of text of the pictures in a piece of content; a name may take several lines."""
    if isinstance(thing, Picture):
        yield from (html.unescape(text) for text in re.findall(r">([^<>]+)<", thing.svg))
    elif isinstance(thing, Section):
        for each in (*thing.blocks, *thing.parts):
            yield from drawn(each)


def names(plan: Plan) -> tuple[str, ...]:
    """The names and texts that the job gives: they are the same in every language."""
    job = plan.installation
    told = [job.title, *job.about, *job.about.values(), *job.zones, *job.circuits, *job.places]
    told += [*job.supplies, *job.gear, *job.loads, *job.chassis_points, *job.places.values()]
    told += [text for part in job.parts() for text in (part.name, part.start, part.end, part.place)]
    told += [text for wire in job.wires() for text in (wire.name, wire.start, wire.end)]
    told += [text for each in job.waivers for text in (each.reason, each.by)]
    told += [claim.by or "" for load in job.loads.values() for claim in load.claims]
    told += [point for c in job.circuits.values() for point in (c.start, c.end, c.back_end or "")]
    told += [point for s in job.supplies.values() for point in (s.plus, s.minus, s.in_minus or "")]
    return tuple(sorted({name for name in told if name}, key=lambda name: (-len(name), name)))


@cache
def planned(name: str) -> Plan:
    """The plan of an example."""
    path = Path("examples") / f"{name}.job.yaml"
    return api.plan(api.read_job_file(path, path.name))


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_in_a_pack_stays_english(name: str) -> None:
    plan = planned(name)
    made = document(plan, Wanted(shown=Display("metric"), language=MARKED))
    given = names(plan)
    for section in made.sections:
        assert slipped(drawn(section), roughly(given)) == [], section.key
        if section.key != "sources":
            assert slipped(texts(section), exactly(given)) == [], section.key


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_in_a_drawing_for_a_phone_stays_english(name: str) -> None:
    plan = planned(name)
    svg = wiring_compact(plan, shown=Display("metric"), language=MARKED).svg
    assert slipped(drawn(Picture(svg=svg, words="")), roughly(names(plan))) == []


def test_a_text_that_no_catalogue_has_is_found() -> None:
    told = (words("{pump} runs", pump="bilge pump"), "bilge pump runs")
    assert slipped(iter(told), exactly(["bilge pump"])) == ["bilge pump runs"]
    assert slipped(iter(("pump runs",)), roughly(["bilge pump"])) == ["pump runs"]
