"""Drawings of the examples, of odd jobs and of big ones: legible, whole, connected as the job says."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from groundstrap.draw.canvas import Drawn
from groundstrap.draw.compact import COMPACT_WIDTH, wiring_compact
from groundstrap.draw.geography import geography
from groundstrap.draw.nets import Input, Inside, Item, Rung, nets
from groundstrap.draw.references import references
from groundstrap.draw.routes import route_pages
from groundstrap.draw.routes_column import routes_column
from groundstrap.draw.wiring import PAPERS, wiring_pages
from groundstrap.model import Installation, Load, Part, Supply, Tie, Wire
from groundstrap.report.figures import Display
from groundstrap.report.language import language, languages
from groundstrap.report.plan import Plan
from tests.support.big_jobs import big_job
from tests.support.drawn import faults_of, unjudged
from tests.support.jobs import SAMPLES

ROOT = Path(__file__).resolve().parents[3]
FILES = [*sorted((ROOT / "examples").glob("*.job.yaml")), *sorted(SAMPLES.glob("*.job.yaml"))]
BIG = ("big 1", "big 2", "big 3", "big 4")
NAMES = [path.name.removesuffix(".job.yaml") for path in FILES] + list(BIG)


@cache
def plan_of(name: str) -> Plan:
    if name in BIG:
        return unjudged(big_job(int(name.split()[1]), 60))
    path = next(path for path in FILES if path.name == f"{name}.job.yaml")
    return unjudged(path.read_text(encoding="utf-8"))


@cache
def sheets(name: str, paper: str = "a4") -> tuple[Drawn, ...]:
    return wiring_pages(plan_of(name), paper=paper)


@cache
def compact(name: str) -> Drawn:
    return wiring_compact(plan_of(name))


@cache
def routes(name: str, paper: str = "a4") -> tuple[Drawn, ...]:
    return route_pages(plan_of(name), paper=paper)


def all_wires(made: Installation) -> list[Wire]:
    return [wire for circuit in made.circuits.values() for wire in circuit.wires]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_lies_over_a_text_or_outside_the_sheet(name: str, paper: str) -> None:
    for drawn in (*sheets(name, paper), *routes(name, paper)):
        assert not faults_of(drawn), drawn.key
        assert (drawn.width_pt, drawn.height_pt) == PAPERS[paper]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_lies_over_a_text_or_outside_the_phone(name: str) -> None:
    for drawn in (compact(name), routes_column(plan_of(name))):
        assert not faults_of(drawn), drawn.key
        assert drawn.width_pt == COMPACT_WIDTH == 390


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", ["sheets", "compact"])
def test_everything_is_drawn_once(name: str, kind: str) -> None:
    made = plan_of(name).installation
    pages = sheets(name) if kind == "sheets" else (compact(name),)
    drawn = Counter((group.kind, group.name) for page in pages for group in page.groups)
    parts = [part for circuit in made.circuits.values() for part in circuit.parts]
    wanted = Counter(
        [
            *(("wire", wire.name) for wire in all_wires(made)),
            *(("part", part.name) for part in parts),
            *(("load", load.name) for load in made.loads.values()),
            *(("supply", supply.name) for supply in made.supplies.values()),
            *(("input", supply.name) for supply in made.supplies.values() if supply.in_plus),
        ]
    )
    once = {"wire", "part", "load", "supply", "input"}
    assert Counter({key: count for key, count in drawn.items() if key[0] in once}) == wanted
    nodes = {group_name for group_kind, group_name in drawn if group_kind == "node"}
    passed = {part.gear for part in parts} | {load.relay for load in made.loads.values()}
    texts = " ".join(text.text for page in pages for text in page.texts)
    for gear in made.gear.values():
        assert gear.name in nodes | passed or references(made).of(gear.name) in texts, gear.name
    for point in made.chassis_points:
        used = {end for wire in all_wires(made) for end in (wire.start, wire.end)}
        assert point in nodes or point not in used


@pytest.mark.parametrize("name", NAMES)
def test_each_cable_has_its_number_size_and_length(name: str) -> None:
    made, names = plan_of(name).installation, references(plan_of(name).installation)
    for page in sheets(name):
        written = texts_of(page)
        for wire in all_wires(made):
            if wire.name in written:
                found = written[wire.name]
                assert found[0] == names.cable(wire.name)
                assert wire.size is None or wire.size.text.split()[0] in " ".join(found[1:])


def texts_of(page: Drawn) -> dict[str, list[str]]:
    """Texts of each wire's group."""
    root = ET.fromstring(page.svg)
    space = "{http://www.w3.org/2000/svg}"
    groups = (group for group in root.iter(f"{space}g") if group.get("data-kind") == "wire")
    return {str(g.get("data-name")): [str(t.text) for t in g.iter(f"{space}text")] for g in groups}


@pytest.mark.parametrize("name", NAMES)
def test_every_place_that_is_named_is_there(name: str) -> None:
    rows = set()
    for number, page in enumerate(sheets(name), 1):
        rows |= {f"{number}.{text.text}" for text in page.texts if re.fullmatch("[A-W]", text.text)}
    for page in sheets(name):
        for text in page.texts:
            said = re.findall(r"(?:see|at|also at) (\d+\.[A-W])", text.text)
            assert set(said) <= rows, text.text
            assert "see ?" not in text.text
            assert " at ?" not in text.text


def ends_of(item: Item, found: Rung) -> tuple[str, str]:
    """Points that an item of a rung lies between."""
    if isinstance(item, Inside):
        return item.root, item.root
    if isinstance(item, Input):
        return str(item.supply.in_plus), str(item.supply.in_minus)
    if isinstance(item, Load | Supply):
        return item.plus, item.minus
    assert isinstance(item, Wire | Part | Tie), found
    return item.start, item.end


def runs_of(rung: Rung) -> Iterator[tuple[str, tuple[Item, ...], str]]:
    """Lines of a rung: the points that it begins and ends at, and what lies between."""
    if rung.comb is None:
        yield rung.left, rung.items, rung.right
        return
    comb = rung.comb
    yield rung.left, comb.before, comb.loads[0].plus
    yield comb.loads[0].minus, comb.behind, rung.right
    for number, (out, back) in enumerate(zip(comb.out, comb.back, strict=True)):
        first, second = comb.loads[number : number + 2]
        yield first.plus, out, second.plus
        yield second.minus, back[::-1], first.minus


@pytest.mark.parametrize("name", NAMES)
def test_what_is_drawn_beside_each_other_is_connected(name: str) -> None:
    found = nets(plan_of(name).installation)
    for _, rungs in found.groups:
        for rung in rungs:
            for start, items, end in runs_of(rung):
                at = start
                for item in items:
                    first, last = ends_of(item, rung)
                    assert found.points.get(first, first) == found.points.get(at, at), (rung, item)
                    at = last
                assert found.points.get(at, at) == found.points.get(end, end), rung


@pytest.mark.parametrize("name", NAMES)
def test_every_cable_lies_in_a_run_or_at_a_place(name: str) -> None:
    found = geography(plan_of(name))
    laid = {wire for run in found.runs for wire in run.wires}
    laid |= {wire for wires in found.inside.values() for wire in wires}
    made, numbers = plan_of(name).installation, references(plan_of(name).installation)
    assert laid == {wire.name for wire in all_wires(made)}
    for pages in (routes(name), (routes_column(plan_of(name)),)):
        texts = " ".join(text.text for page in pages for text in page.texts)
        written = set(re.split(r"[ ,]+", texts))
        assert {number for wire in all_wires(made) for number in numbers.cables(wire.name)} <= written
        drawn = {group.name for page in pages for group in page.groups if group.kind == "route"}
        assert drawn == {run.name for run in found.runs}


@pytest.mark.parametrize("name", NAMES)
def test_an_svg_is_plain_and_the_same_each_time(name: str) -> None:
    plan = plan_of(name)
    again = (*wiring_pages(plan), wiring_compact(plan), *route_pages(plan), routes_column(plan))
    first = (*sheets(name), compact(name), *routes(name), routes_column(plan))
    assert [page.svg for page in again] == [page.svg for page in first]
    ids = [group.id for page in first for group in page.groups]
    assert len(ids) == len(set(ids))
    for page in first:
        root = ET.fromstring(page.svg)
        assert root.get("role") == "img"
        assert page.title
        assert page.words
        for trap in ("var(", "currentColor", "system-ui", "opacity", "<style", "<script", "href"):
            assert trap not in page.svg


def test_units_of_the_reader_are_kept() -> None:
    drawn = wiring_pages(plan_of("hive-pickup"), shown=Display("us"))
    texts = [text.text for page in drawn for text in page.texts]
    assert any(re.fullmatch(r"\d+ ft( \d+ in)?", text.replace("\N{NO-BREAK SPACE}", " ")) for text in texts)
    assert not any(re.search(r"\d\N{NO-BREAK SPACE}?c?m$", text) for text in texts)


@pytest.mark.parametrize("code", languages())
@pytest.mark.parametrize("name", ["hive-pickup", "book-bus", "oyster-skiff", "big 1"])
def test_each_language_fits_and_leaves_names_and_numbers(name: str, code: str) -> None:
    plan, said = plan_of(name), language(code)
    pages = (*wiring_pages(plan, language=said), wiring_compact(plan, language=said))
    for page in (*pages, *route_pages(plan, language=said)):
        assert not faults_of(page), page.key
    texts = {text.text for page in pages for text in page.texts}
    names = references(plan.installation)
    assert {names.cable(wire.name) for wire in all_wires(plan.installation)} <= texts


LONG = "the lamp over the bench " * 12
EXTREMES = {
    "a string of forty lamps": (40, 1, "lamp"),
    "a string of nine with names that fill a page": (9, 1, LONG),
    "a hundred circuits with ways back to all sides": (1, 100, "lamp"),
}


@pytest.mark.parametrize("kind", EXTREMES)
def test_what_nobody_draws_by_hand_is_legible_too(kind: str) -> None:
    loads, circuits, base = EXTREMES[kind]
    names = [[f"{base} {number} {each}" for each in range(loads)] for number in range(circuits)]
    job = {
        "groundstrap": "1",
        "title": LONG,
        "system": "12 V",
        "gear": {f"post {n}": {"kind": "block", "at": "cabin"} for n in range(circuits)},
        "loads": {name: {"claims": {"power": "1 W"}, "at": LONG} for group in names for name in group},
        "circuits": {
            f"run {number}": {
                "path": ["battery", "fuse", *group],
                "return": f"post {number}" if number % 2 else "battery -",
                "wire": "10 mm2",
                "length": "9 m",
            }
            for number, group in enumerate(names)
        },
    }
    plan = unjudged(json.dumps(job))
    sheets = wiring_pages(plan)
    for page in (*sheets, wiring_compact(plan), *route_pages(plan), routes_column(plan)):
        assert not faults_of(page), page.key
    drawn = Counter(group.name for page in sheets for group in page.groups if group.kind == "wire")
    assert drawn == Counter(wire.name for wire in all_wires(plan.installation))


def test_a_name_with_signs_of_markup_stays_as_it_is_written() -> None:
    text = 'groundstrap: 1\ntitle: A <b> & "c"\nsystem: 12 V\nloads: {a<b> & c: {claims: {power: 60 W}}}\n'
    text += "circuits: {a<b> & c: {length: 7 m}}\n"
    plan = unjudged(text)
    for page in (*wiring_pages(plan), wiring_compact(plan), *route_pages(plan), routes_column(plan)):
        assert ET.fromstring(page.svg).get("aria-label", "").startswith('A <b> & "c"')
        assert not faults_of(page)
