"""Days on the battery as text, as JSON and as a drawing, of runs written by hand."""

from __future__ import annotations

from itertools import combinations
from xml.etree import ElementTree as ET

import pytest

from groundstrap.endure.results import Straight
from groundstrap.records import replace
from groundstrap.report.drawing import text_box
from groundstrap.report.endurance_chart import chart_lines
from groundstrap.report.endurance_json import endurance_object
from groundstrap.report.endurance_picture import days_picture
from groundstrap.report.endurance_text import endurance_lines
from groundstrap.report.endurance_words import answer_rows
from groundstrap.report.figures import Display
from groundstrap.report.language import language
from groundstrap.report.layout import Style
from groundstrap.report.values import json_text
from tests.support.endured import HOUR_S, hand_made_answer, hand_made_run


def test_what_people_ask_stands_at_the_head_in_80_columns() -> None:
    lines = endurance_lines(hand_made_answer(), Style(width=80))
    assert max(map(len, lines)) <= 80
    head = " ".join(" ".join(lines[:30]).split())
    for words in (
        "start on morning 3 no: battery holds 232 A at -10 degC, the engine asks 310 A: 78 A too little",
        "first cut-off fridge at 10.50 V, 12 h into day 3",
        "battery loses 12 Ah",
        "fridge: 47 Ah",
        "supplies.battery.capacity: 110 Ah",
        "more than 60 days",
    ):
        assert words in head


def test_a_run_of_one_day_speaks_of_the_day() -> None:
    rows = {each.key: str(each.told) for each in answer_rows(hand_made_answer(days=1), Display())}
    assert rows["cut_off"] == "none in the day"
    assert "into the day" in rows["dearest"] or "into day 1" in rows["dearest"]


def test_lithium_straight_on_an_alternator_is_told_as_a_range_with_its_caution() -> None:
    answer = hand_made_answer()
    found = Straight(
        battery="bank", alternator="alternator", low_a=60.0, typical_a=80.0, high_a=110.0, hot_a=90.0
    )
    told = replace(answer.answers, straight=(found,), in_vain=("the drive of 45 min takes 225 min",))
    lines = endurance_lines(replace(answer, answers=told), Style(width=80))
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    for words in (
        "! bank, while driving takes 60 A to 110 A from alternator, which may give 90 A hot",
        "Tried, and not enough by itself: the drive of 45 min takes 225 min.",
        "it may burn out. Measure the heat of its case",
        "of 10000 days, each by itself from the first charge",
    ):
        assert words in text
    json = endurance_object(replace(answer, answers=told))
    assert json["answers"]["straight"][0]["high_a"] == 110.0
    assert json["cures_in_vain"] == ["the drive of 45 min takes 225 min"]


@pytest.mark.parametrize("width", [60, 78, 98])
def test_the_chart_keeps_its_width_and_marks_what_happens(width: int) -> None:
    run = hand_made_run()
    lines = chart_lines(run, width)
    assert max(map(len, lines[:-1])) <= width
    spans, marks = lines[-4], lines[-3]
    assert run.days <= spans.count("D") <= 2 * run.days
    assert marks.count("X") == 1
    assert marks.count("!") == 1
    assert lines[-1].strip().startswith("D driving; - resting")
    # The start that fails is the last thing of all, and 60 h of 72 are five sixths of the way.
    assert marks.index("X") == len(spans.rstrip()) - 1
    assert marks.index("!") - 9 == pytest.approx((width - 9) * 60 / 72, abs=1.0)


class TestJson:
    """The keys are those of the contract of results: `endure JOB --json`."""

    def test_the_keys_of_the_contract_are_there(self) -> None:
        found = endurance_object(hand_made_answer())
        assert found["schema"] == "groundstrap.endure/1"
        line, supply = found["timeline"], found["supplies"]["battery"]
        lengths = {
            len(line["t_s"]),
            *(len(line["supplies"]["battery"][key]) for key in ("v", "a", "soc_pct")),
        }
        lengths |= {len(line["loads"]["fridge"][key]) for key in ("on", "v")}
        assert len(lengths) == 1
        assert supply["lowest_v"] == 10.6
        assert supply["lowest_soc_pct"] == 40.0
        assert supply["starts"]["can"] is False
        assert supply["starts"]["margin_a"] == pytest.approx(-78.0)
        assert supply["starts"]["at_c"] == -10.0
        assert supply["starts"]["probability"] == pytest.approx({"value": 0.9, "low": 0.894, "high": 0.906})
        assert found["runs_for_s"] == 60 * HOUR_S
        assert found["unserved_wh"] == 130.0
        assert [{"change", "text", "gain"} <= each.keys() for each in found["cures"]] == [True]
        assert found["findings"] == []

    def test_energy_adds_up_as_it_is_told(self) -> None:
        energy = endurance_object(hand_made_answer())["energy_wh"]
        came, went, stored, lost = (sum(energy[key].values()) for key in ("from", "to", "stored", "lost"))
        assert came == pytest.approx(went + stored + lost)

    def test_nothing_is_null_and_what_does_not_come_up_is_absent(self) -> None:
        found = endurance_object(hand_made_answer(days=1))
        assert "runs_for_s" not in found
        assert "null" not in json_text(found)


class TestPicture:
    @pytest.mark.parametrize("code", ["en", "de"])
    @pytest.mark.parametrize("narrow", [True, False], ids=["phone", "paper"])
    @pytest.mark.parametrize("days", [1, 3, 7])
    def test_no_text_lies_on_another_or_leaves_the_page(self, days: int, code: str, *, narrow: bool) -> None:
        say = language(code).in_print.text
        svg = ET.fromstring(days_picture(hand_made_run(days), Display(), say, narrow=narrow))
        wide, high = float(svg.attrib["width"]), float(svg.attrib["height"])
        boxes = [
            (each.text or "", text_box(each.text or "", float(each.attrib["x"]), float(each.attrib["y"]),
                                       float(each.attrib["font-size"]), each.attrib["text-anchor"]))
            for each in svg.iter("{http://www.w3.org/2000/svg}text")
        ]  # fmt: skip
        assert not [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if one.meets(other)]
        assert not [a for a, box in boxes if box.left < 0 or box.right > wide or box.bottom > high]

    def test_it_says_in_words_what_is_to_be_seen(self) -> None:
        svg = days_picture(hand_made_run(), Display())
        assert 'role="img"' in svg
        assert "<title>Charge and volts over the days</title>" in svg
        assert "charge 94 % at the beginning, 40 % at the lowest, 40 % at the end" in svg
        assert "12 h into day 3: fridge cuts off at 10.50 V" in svg

    def test_it_is_told_without_colours(self) -> None:
        parts = days_picture(hand_made_run(), Display()).split('"')
        colours = {part for part in parts if part.startswith("#")}
        assert colours <= {"#000", "#fff", "#e4e4e4", "#ccc", "#999", "#666"}
