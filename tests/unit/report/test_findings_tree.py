"""Findings in the text and in JSON: causes with what follows beneath them, waivers never out of sight."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

from groundstrap import api

ROOT = Path(__file__).resolve().parents[3]
TEN = ROOT / "tests" / "rules" / "jobs" / "ten-van.job.yaml"
WAIVER = """
waivers:
  - {rule: fuse-above-loop, where: rear light, reason: the lamp comes out next week, by: the tuner}
"""


def _text(more: str = "") -> str:
    return api.plan_text(api.check(api.read_job(TEN.read_text(encoding="utf-8") + more)))


def _json(more: str = "") -> list[dict[str, Any]]:
    answer = api.check(api.read_job(TEN.read_text(encoding="utf-8") + more))
    findings: list[dict[str, Any]] = json.loads(api.plan_json(answer))["findings"]
    return findings


def _block(text: str, start: str) -> str:
    """The lines of one finding, without their indents."""
    lines = text[text.index(start) :].splitlines()
    end = next(n for n, line in enumerate(lines) if n and line.strip() and not line.startswith(" " * 10))
    return " ".join(" ".join(lines[:end]).split())


def test_what_follows_stands_beneath_its_cause_one_line_for_each_rule() -> None:
    block = _block(_text(), "  STOP    iron fuse out to iron +")
    assert block.count("[THM001 wire-over-ampacity]") == 2, "the cause, and the same cable's way back"
    beneath = block.partition("From this follow:")[2]
    for rule, level in (("PRT001", "stop"), ("PRT014", "stop"), ("VDP001", "caution")):
        assert f"[{rule} " in beneath
        assert f"- {level}: " in beneath
    assert beneath.index("[PRT001 ") < beneath.index("Remedy: ")


def test_a_cause_without_consequences_has_no_such_line() -> None:
    assert "From this follow" not in _block(_text(), "  CAUTION fridge:")


def test_json_names_the_cause_of_a_consequence_and_nothing_of_a_cause() -> None:
    findings = _json()
    [drop] = [f for f in findings if f["rule"] == "VDP001" and f["where"] == "iron"]
    assert drop["because"] == {"rule": "THM001", "where": "iron fuse out to iron +"}
    assert sum("because" not in f for f in findings) == 10


def test_every_line_with_consequences_fits_80_columns() -> None:
    assert not [line for line in _text().splitlines() if len(line) > 80]


def test_a_waiver_stays_visible_from_the_file_to_text_and_json() -> None:
    text = _text(WAIVER)
    block = _block(text, "  WAIVED  rear light fuse")
    assert "the tuner answers for it: the lamp comes out next week" in block
    [finding] = [f for f in _json(WAIVER) if f["rule"] == "PRT001" and f["where"] == "rear light fuse"]
    assert finding["waived"] == {"reason": "the lamp comes out next week", "by": "the tuner"}
    # What followed from it (the lead behind so large a fuse) nobody answered for: it stands by itself then.
    assert "5 stops, 5 cautions" in text, "what somebody answers for is not counted"


def test_a_waiver_that_meets_nothing_is_told() -> None:
    stray = WAIVER.replace("where: rear light,", "where: no such light,")
    said = "The waiver of fuse-above-loop for no such light meets no finding"
    assert said in " ".join(_text(stray).split())
    assert said not in " ".join(_text(WAIVER).split())
    answer = api.check(api.read_job(TEN.read_text(encoding="utf-8") + stray))
    told = json.loads(api.plan_json(answer))["unused_waivers"]
    assert told == [{"rule": "fuse-above-loop", "where": "no such light"}]


def test_a_wheel_carries_the_cases_that_explain_shows() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    packed = settings["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert packed == {"tests/rules/cases": "groundstrap/checks/cases"}
