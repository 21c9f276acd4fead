"""The text for a terminal: it fits, says both limits, and loses nothing without colour."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.assess import ReasonKind
from groundstrap.report.choice_words import binding_words
from groundstrap.report.figures import Display, amps
from groundstrap.report.parts import items
from groundstrap.report.plan import Plan
from tests.support.jobs import SAMPLES as SAMPLE_FOLDER

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))
SAMPLES = sorted(SAMPLE_FOLDER.glob("*.job.yaml"))
examples = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


@cache
def plan_of(path: Path) -> Plan:
    return api.plan(api.read_job_file(path))


@examples
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_line_fits_80_columns(path: Path, units: str) -> None:
    texts = (
        api.plan_text(plan_of(path), units=units),
        api.vet_text(api.vet(api.read_job_file(path))),
        api.plan_text(api.check(api.read_job_file(path)), units=units),
    )
    for text in texts:
        assert [line for line in text.splitlines() if len(line) > 80] == []


@examples
def test_no_word_of_the_machine_stands_in_the_text(path: Path) -> None:
    text = api.plan_text(plan_of(path)) + api.vet_text(api.vet(api.read_job_file(path)))
    assert re.findall(r"\bNone\b|\bnan\b|\binf\b|<|>|\d\.\d{6,}|\.\. ", text) == []


@examples
def test_colour_is_only_an_extra(path: Path) -> None:
    plain, coloured = (api.plan_text(plan_of(path), colour=colour) for colour in (False, True))
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


@examples
def test_the_answer_stands_before_its_reasons(path: Path) -> None:
    text = api.plan_text(plan_of(path))
    order = [
        text.index(title) for title in ("CIRCUITS:", "LOADS:", "WHY, circuit", "ORDER OF WORK", "ASSUMED")
    ]
    assert order == sorted(order)
    assert text.startswith(plan_of(path).installation.title)


@examples
def test_every_circuit_tells_both_limits_and_its_window(path: Path) -> None:
    plan = plan_of(path)
    text = " ".join(api.plan_text(plan).split())
    explained = text[text.index("WHY, circuit by circuit") : text.index("PARTS, as laid")]
    for name, found in plan.assessment.circuits.items():
        assert f" {name}" in explained
        if found.drop.limit_v is not None and found.drop.drop_v is not None:
            assert f"{found.drop.drop_v:.2f} V" in explained
        for fuse in found.fuses.values():
            if fuse.rating_a is not None:
                assert f"fuse {fuse.rating_a:g} A" in explained


@examples
def test_every_finding_is_told(path: Path) -> None:
    plan = plan_of(path)
    text = api.plan_text(plan)
    untold = [f.rule for f in plan.judgement.findings if f.rule not in text and f.slug != "claim-not-met"]
    assert not untold


@examples
def test_every_assumption_is_told(path: Path) -> None:
    text = " ".join(api.plan_text(plan_of(path)).split())
    assert not [each for each in plan_of(path).assumptions if each.where not in text]


def test_sizes_are_shown_in_both_ways() -> None:
    metric, us = (api.plan_text(plan_of(EXAMPLES[0]), units=units) for units in ("metric", "us"))
    # ASTM B258: 6 AWG is 13.3 mm2 and 4 AWG 21.2 mm2, so 16 mm2 is neither.
    for text in (metric, us):
        assert "16 mm2 (between 6 and 4 AWG)" in " ".join(text.split())
    assert re.search(r"\d+ ft \d+ in of", us)
    assert "degF" not in metric


@examples
@pytest.mark.parametrize("command", ["plan", "check", "vet"])
def test_us_units_leave_no_metric_length_and_no_degree_celsius(path: Path, command: str) -> None:
    """But for the class of an insulation, which cable has in print in degrees Celsius."""
    job = api.read_job_file(path)
    if command == "vet":
        text = api.vet_text(api.vet(job), units="us")
    else:
        text = api.plan_text(plan_of(path) if command == "plan" else api.check(job), units="us")
    text = re.sub(r"\d+ degF \(\d+ degC\)", "", " ".join(text.split()))
    assert re.findall(r"\d (?:degC|m|cm)\b", text) == []


@examples
def test_units_change_what_is_shown_and_never_what_is_chosen(path: Path) -> None:
    """Every current, voltage, size, rating and verdict stands in both, in the same order."""
    texts = [api.plan_text(plan_of(path), units=units) for units in ("metric", "us")]
    metric, us = (
        re.findall(r"[\d.]+ (?:V|A|W|mm2|%)(?=\W)|[A-Z]{3}\d{3}", " ".join(text.split())) for text in texts
    )
    assert [each for each in us if "mm2" not in each] == [each for each in metric if "mm2" not in each]
    assert len(us) > 100


LONG = """groundstrap: 1
title: Lights for the 5 m jetty
system: 12 V
units: us
supplies: {battery: {kind: battery, at: locker, cranking: 640 A EN}}
loads:
  cabin ceiling strip light left 5 m: {kind: led, at: cabin, claims: {power: 30 W}}
  cabin ceiling strip light right 5 m: {kind: led, at: cabin, claims: {power: 30 W}}
circuits:
  cabin ceiling strip light left 5 m: {length: 6 m}
  cabin ceiling strip light right 5 m: {length: 7 m}
"""


def test_long_names_go_over_lines_and_stay_apart() -> None:
    text = api.plan_text(api.plan(api.read_job(LONG)))
    assert not [line for line in text.splitlines() if len(line) > 80]
    glance = text[text.index("CIRCUITS") : text.index("LOADS")]
    readings = text[text.index("READINGS TO TAKE") : text.index("ASSUMED")]
    for part in (glance, readings):
        assert {"left", "right"} <= set(part.split())
        assert "~" not in part


def test_a_name_that_looks_like_a_length_stays_as_it_is_written() -> None:
    text = " ".join(api.plan_text(api.plan(api.read_job(LONG))).split())
    assert text.startswith("Lights for the 5 m jetty ")
    assert "'cabin ceiling strip light left 5 m': 19 ft 8 in of" in text  # 6 m / 0.0254 / 12 = 19.69 ft


def test_a_limit_that_a_text_has_rounded_is_converted_from_its_exact_value() -> None:
    """33 CFR 183.455 (b) allows 7 in, and 40 in in a sheath: 0.1778 m and 1.016 m."""
    shown = Display("us")
    assert shown.text("25 cm is longer than 18 cm", (0.254, 0.1778)) == "10 in is longer than 7 in"
    assert shown.text("1.3 m is longer than 1.02 m", (1.3, 1.016)) == "4 ft 3 in is longer than 40 in"
    assert shown.text("in air of -30 to 60 degC") == "in air of -22 to 140 degF"
    assert shown.text("-30..60 degC; 84 x 0.30 mm; 16 mm2") == "-22..140 degF; 84 x 0.30 mm; 16 mm2"


def test_a_table_is_never_cut() -> None:
    for name in api.tables():
        assert "~" not in "".join(re.findall(r"\S~$", api.table_text(api.table(name)), flags=re.MULTILINE))


FEEDER = """groundstrap: 1
title: Feeder with a larger fuse behind it
system: 12 V
supplies: {battery: {kind: battery, at: tray, cranking: 500 A EN}, alternator: none}
gear: {block: {kind: block, at: bed}, minus: {kind: block, at: bed}}
loads:
  lamp: {kind: led, at: bed, claims: {power: 24 W}}
  fan: {kind: fan, at: bed, claims: {power: 24 W}}
circuits:
  feed: {path: [battery, fuse, block], length: 2 m}
  back: {path: [minus, battery -], length: 2 m}
  lamp: {path: [block, fuse: 40 A, lamp], return: minus, length: 1 m}
  fan: {path: [block, fuse: 5 A, fan], return: minus, length: 1 m}
"""


def test_what_sets_a_size_and_the_window_beside_it_agree() -> None:
    """Where they name two ratings, the sentence says why: another type, or a larger fuse behind it."""
    jobs = [api.read_job_file(path) for path in (*EXAMPLES, *SAMPLES)] + [api.read_job(FEEDER)]
    told = 0
    for plan in map(api.plan, jobs):
        assert plan.design is not None
        fuses = {n: f for c in plan.assessment.circuits.values() for n, f in c.fuses.items()}
        for binding in plan.design.bindings.values():
            if binding.kind is not ReasonKind.WINDOW:
                continue
            fuse = fuses[binding.where]
            words = binding_words(binding, Display(), fuse)
            reasons = [binding.behind, *([binding.family] if binding.family != fuse.family else [])]
            least = amps(fuse.window.least_a)
            # The load asks for it, or nothing smaller is made that breaks the fault there.
            from_window = f"needs {least}" in words or f"{least} is the smallest" in words
            assert from_window or any(reason and reason in words for reason in reasons), words
            told += 1
    assert told > 20


def test_a_fuse_that_a_larger_one_behind_it_raised_says_so() -> None:
    text = " ".join(api.plan_text(api.plan(api.read_job(FEEDER))).split())
    assert "40 A is the first that is not below lamp fuse behind it" in text
    assert "Not below lamp fuse behind it, which would outlast it." in text


@pytest.mark.parametrize(
    ("keys", "unit", "length"),
    [
        ("", "mm2", "7 m"),
        ("units: us\n", "AWG", "23 ft"),
        ("sizes: awg\n", "AWG", "7 m"),
        ("units: us\nsizes: metric\n", "mm2", "23 ft"),
    ],
)
def test_sizes_are_chosen_as_the_job_says_and_units_only_shown(keys: str, unit: str, length: str) -> None:
    job = api.read_job(f"groundstrap: 1\ntitle: Trailer\nsystem: 12 V\n{keys}{TRAILER}")
    plan = api.plan(job)
    assert plan.design is not None
    assert {size.text.rpartition(" ")[2] for size in plan.design.sizes.values()} == {unit}
    assert f" {length} of" in api.plan_text(plan)  # 7 m / 0.3048 = 22.97 ft


TRAILER = """loads: {work light: {claims: {power: 60 W}}}
circuits: {work light: {length: 7 m}}
"""


def test_a_checked_job_names_the_circuits_that_sizes_stand_in_for_once() -> None:
    text = " ".join(api.plan_text(api.check(api.read_job(FEEDER))).split())
    assert text.count("Sizes stand in where nobody knows or chose the cable: feed, back, lamp, fan.") == 1
    assert "checked as they stand" in text


def test_first_power_goes_through_a_lamp_of_the_circuit_s_own_voltage() -> None:
    """A fuse stands in for the lamp only where it is no larger than the circuit's own (common practice)."""
    steps = [step["text"] for step in json.loads(api.plan_json(plan_of(EXAMPLES[0])))["steps"]]
    router = next(text for text in steps if text.startswith("First power to 'router'"))
    lights = next(text for text in steps if text.startswith("First power to 'shelf lights'"))
    assert "a 12 V, 21 W lamp in place of its fuse" in router  # behind the 24 to 12 V converter, 4 A
    assert "a 24 V, 21 W lamp across its open breaker" in lights


def test_parts_stand_in_the_order_of_their_size() -> None:
    for path in EXAMPLES:
        plan = plan_of(path)
        areas = {size.text: size.area_mm2 for size in plan.design.sizes.values()} if plan.design else {}
        cables = [item.item for item in items(plan) if item.item.startswith("cable")]
        known = [areas[text] for cable in cables if (text := cable[6:].split(",")[0]) in areas]
        assert known == sorted(known)
