"""JSON results keep the contract of docs/results.md: keys, units in their names, absent instead of null."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from groundstrap import api
from groundstrap.errors import JobError

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(ROOT.glob("examples/*.job.yaml"))

UNITS = ("v", "a", "w", "ohm", "m", "mm2", "s", "c", "ah", "wh", "kg", "nm", "pct")
# Counts, shares, statistics, prices, the number of a step; and one key whose unit stands inside it.
PLAIN = {
    "chi2", "cost", "count", "degrees", "failed", "limit", "not_applicable", "p", "parallel", "passed",
    "ohm_per_m_20c", "per_m_price", "price", "probability", "quantity", "standard_uncertainty", "step",
    "unknown", "value",    "weight", "low", "high", "least", "most",
    "legal_most",
}  # fmt: skip
# Under these every key is the name of something on the vehicle, and the unit stands in the key above.
BY_NAME = {
    "about", "circuits", "circuits_a", "gear", "loads", "loads_a", "loads_v", "situations", "supplies",
    "supplies_a", "volts_v",
}  # fmt: skip
PLAN_KEYS = {
    "schema", "title", "basis", "system_v", "fingerprint", "loads", "circuits", "supplies", "gear",
    "situations", "findings", "checked", "parts", "assumptions", "steps", "tests",
}  # fmt: skip
STEP_PARTS = {
    "wire", "fuse", "breaker", "switch", "isolator", "relay", "connector", "sensor", "diode", "resistor",
    "joint", "block", "load", "chassis", "unknown",
}  # fmt: skip
ORIGINS = {"written", "chosen", "existing", "assumed"}
BINDINGS = {"drop", "ampacity", "fuse", "minimum", "stock"}
VERDICTS = {"met", "short", "impossible", "unproven", "conflicting"}
# What applies to every circuit: it is there, or it is named as unknown.
CIRCUIT_KEYS = {
    "continuous_a",
    "peak_a",
    "length_m",
    "ampacity_a",
    "weakest",
    "conductor_c",
    "unprotected",
    "path",
}


@cache
def result(kind: str, path: Path) -> dict[str, Any]:
    job = api.read_job_file(path)
    match kind:
        case "plan":
            text = api.plan_json(api.plan(job))
        case "check":
            text = api.plan_json(api.check(job))
        case _:
            text = api.vet_json(api.vet(job))
    return json.loads(text)  # type: ignore[no-any-return]


def walk(value: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    yield path, value
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from walk(inner, (*path, key))
    elif isinstance(value, list):
        for inner in value:
            yield from walk(inner, (*path, "[]"))


EVERY = [(kind, path) for kind in ("plan", "check", "vet") for path in EXAMPLES]
every_result = pytest.mark.parametrize(("kind", "path"), EVERY, ids=lambda part: getattr(part, "stem", part))
plans = pytest.mark.parametrize("kind", ["plan", "check"])
examples = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


@every_result
def test_nothing_is_null_and_every_number_is_one(kind: str, path: Path) -> None:
    for where, value in walk(result(kind, path)):
        assert value is not None, where
        assert not isinstance(value, float) or math.isfinite(value), where


@every_result
def test_a_number_carries_its_unit_in_its_key(kind: str, path: Path) -> None:
    for where, value in walk(result(kind, path)):
        if isinstance(value, bool) or not isinstance(value, int | float):
            continue
        keys = [key for key in where if key != "[]"]
        named = keys[-1] in PLAIN or keys[-1].rsplit("_", 1)[-1] in UNITS
        under = len(keys) > 1 and keys[-2] in BY_NAME and keys[-2].rsplit("_", 1)[-1] in UNITS
        assert named or under, where


@every_result
def test_an_uncertain_value_has_its_ends_in_order(kind: str, path: Path) -> None:
    for where, value in walk(result(kind, path)):
        if isinstance(value, dict) and {"low", "high"} & set(value):
            assert set(value) == {"value", "low", "high"}, where
            assert value["low"] <= value["value"] <= value["high"], where


@every_result
def test_what_is_unknown_is_named_and_not_there(kind: str, path: Path) -> None:
    for where, value in walk(result(kind, path)):
        if isinstance(value, dict) and isinstance(value.get("unknown"), list):
            assert value["unknown"], where
            assert all(isinstance(name, str) for name in value["unknown"]), where
            assert not set(value["unknown"]) & set(value), where


@plans
@examples
def test_a_plan_has_its_keys(kind: str, path: Path) -> None:
    plan = result(kind, path)
    assert plan["schema"] == "groundstrap.plan/1"
    assert set(plan) >= PLAN_KEYS
    assert re.fullmatch(r"sha256:[0-9a-f]{32}", plan["fingerprint"])
    assert set(plan["checked"]) == {"passed", "failed", "unknown", "not_applicable"}
    assert set(plan["situations"]) <= {"resting", "idling", "driving", "cranking", "mains"}


@plans
@examples
def test_a_circuit_has_its_keys_or_names_them_unknown(kind: str, path: Path) -> None:
    for name, circuit in result(kind, path)["circuits"].items():
        there = set(circuit) | set(circuit.get("unknown", []))
        assert there >= CIRCUIT_KEYS, name
        assert circuit.get("binding", "drop") in BINDINGS, name
        assert set(circuit.get("fault_a", {})) <= {"least", "most"}, name


@plans
@examples
def test_a_step_says_what_and_where_it_is(kind: str, path: Path) -> None:
    for name, circuit in result(kind, path)["circuits"].items():
        for step in (*circuit["path"], *circuit.get("return", [])):
            assert step["part"] in STEP_PARTS, name
            assert step["origin"] in ORIGINS, name
            assert step["point"], name
            there = set(step) | set(step.get("unknown", []))
            if step["part"] == "wire":
                assert there >= {"size", "area_mm2", "material", "length_m", "from", "to"}, step
            elif step["part"] in {"fuse", "breaker"}:
                assert there >= {"rating_a", "window_a"}, step


@plans
@examples
def test_findings_have_their_keys_worst_first(kind: str, path: Path) -> None:
    findings = result(kind, path)["findings"]
    for each in findings:
        assert set(each) >= {"rule", "slug", "outcome", "level", "where", "text", "source"}
        assert each["outcome"] in {"fail", "unknown"}
        assert each["level"] in {"stop", "caution", "note"}
    counted = [each["level"] for each in findings if each["status"] == "stable" and "waived" not in each]
    assert counted == sorted(counted, key=("stop", "caution", "note").index)


@examples
def test_a_check_chooses_nothing(path: Path) -> None:
    for circuit in result("check", path)["circuits"].values():
        assert "binding" not in circuit
        assert "chosen" not in {step["origin"] for step in circuit["path"]}


@examples
def test_the_parts_list_counts_every_metre_that_is_to_be_laid(path: Path) -> None:
    plan = result("plan", path)
    metres = sum(part["quantity"] for part in plan["parts"] if part["unit"] == "m")
    laid = sum(
        step["length_m"] * step.get("parallel", 1)
        for circuit in plan["circuits"].values()
        for step in (*circuit["path"], *circuit.get("return", []))
        if step["part"] == "wire" and step["origin"] != "existing"
    )
    assert metres == pytest.approx(laid, rel=1e-9)


@examples
def test_cautions_stand_where_they_count(path: Path) -> None:
    steps = result("plan", path)["steps"]
    assert [step["step"] for step in steps] == list(range(1, len(steps) + 1))
    first, last_text = steps[0], steps[-1]["text"]
    hazards = {caution["hazard"] for caution in first["cautions"]}
    assert {"short circuit", "law and licence"} <= hazards
    assert "negative lead" in first["text"]
    power = [step["step"] for step in steps if step["text"].startswith("First power")]
    joined = next(step["step"] for step in steps if "negative last" in step["text"])
    assert joined < min(power)
    assert "readings" in last_text


@examples
def test_expected_readings_are_within_their_limits_where_the_design_is(path: Path) -> None:
    for each in result("plan", path)["tests"]:
        assert each["unit"] in {"V", "A"}
        assert each["expected"]["low"] >= 0
        if "limit" in each and each["unit"] == "A":
            assert each["expected"]["high"] <= each["limit"]


@examples
def test_vet_has_its_keys(path: Path) -> None:
    vet = result("vet", path)
    assert vet["schema"] == "groundstrap.vet/1"
    for name, load in vet["loads"].items():
        assert set(load) >= {"estimate", "at", "evidence", "bounds", "consistent", "claims"}, name
        assert {claim["verdict"] for claim in load["claims"]} <= VERDICTS, name
        assert {each["kind"] for each in load["evidence"]} <= {"claim", "measured", "fitted"}, name
        assert set(load["consistent"]) == {"consistent", "chi2", "degrees", "p"}, name


def test_faults_have_their_keys() -> None:
    with pytest.raises(JobError) as raised:
        api.read_job(
            "groundstrap: 1\ntitle: x\nsystem: 12 V\nloads: {a: {claims: {power: 4,5 W}}}\n", "van.yaml"
        )
    faults = json.loads(api.faults_json(raised.value))
    assert faults["schema"] == "groundstrap.faults/1"
    (fault,) = faults["faults"]
    assert fault["file"] == "van.yaml"
    assert (fault["line"], fault["key"]) == (4, "loads.a.claims.power")
    assert set(fault) >= {"file", "line", "column", "key", "found", "wanted", "nearest"}


@examples
def test_the_same_job_gives_the_same_text(path: Path) -> None:
    first, second = (api.plan_json(api.plan(api.read_job_file(path))) for _ in range(2))
    assert first == second
