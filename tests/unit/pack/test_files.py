"""CSV and JSON of the lists: the same rows, the same order, nothing a spreadsheet would reckon."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.pack.lists.cuts import cuts_of
from groundstrap.pack.lists.files import LISTS, csv_text, list_files
from groundstrap.report.plan import Plan

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))

UNITS = ("_mm2", "_mm", "_m", "_a", "_c", "_nm")


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def plan(request: pytest.FixtureRequest) -> Plan:
    return api.plan(api.read_job_file(request.param))


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_each_list_has_both_files_with_the_same_rows(plan: Plan) -> None:
    files = list_files(plan)
    assert set(files) == {f"{name}.{kind}" for name in LISTS for kind in ("csv", "json")}
    for name in LISTS:
        rows, found = table(files[f"{name}.csv"]), json.loads(files[f"{name}.json"])
        assert found["schema"] == f"groundstrap.{name}/1"
        assert len(rows) == len(found[name]) > 0
        for row, same in zip(rows, found[name], strict=True):
            assert set(same) <= set(row)
            for key, value in same.items():
                if isinstance(value, float | int) and not isinstance(value, bool):
                    assert float(row[key]) == pytest.approx(value, rel=1e-9)
                elif isinstance(value, str):
                    assert row[key].removeprefix("'") == value
            assert all(not row[key] for key in set(row) - set(same))


def test_the_same_bytes_each_time(plan: Plan) -> None:
    assert list_files(plan) == list_files(plan)


def test_numbers_have_their_unit_in_their_name() -> None:
    plain = {"number", "fitted", "needed", "spare", "buy", "pack", "price", "place"}
    # A reading may be volts, amps or ohms: its unit has a column of its own.
    plain |= {"expected", "look_least", "look_most", "fails_below", "fails_above"}
    path = EXAMPLES[0]
    files = list_files(api.plan(api.read_job_file(path)))
    for name in LISTS:
        for row in json.loads(files[f"{name}.json"])[name]:
            for key, value in row.items():
                if isinstance(value, float):
                    assert key.endswith(UNITS) or key in plain, key


def test_cables_are_those_of_the_cut_list(plan: Plan) -> None:
    files = list_files(plan)
    numbers = [row["number"] for row in table(files["cables.csv"])]
    assert numbers == [cut.number for cut in cuts_of(plan)]
    assert sorted(row["cable"] for row in table(files["reels.csv"])) == sorted(numbers)
    assert [row["number"] for row in table(files["labels.csv"])] == [n for n in numbers for _ in range(2)]


def test_flags_are_those_of_the_paper(plan: Plan) -> None:
    """Half of what a label of 38.1 or 44.45 mm has left once it is round the cable."""
    for paper, width_mm in (("a4", 38.1), ("letter", 44.45)):
        rows = json.loads(list_files(plan, paper)["labels.json"])["labels"]
        flags = [row for row in rows if "flag_mm" in row]
        assert flags
        for row in flags:
            assert row["flag_mm"] == pytest.approx((width_mm - row["around_mm"]) / 2)


# What spreadsheets take for a formula: OWASP, "CSV injection" (from memory).
@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1+1", "'quoted"])
def test_no_cell_is_a_formula(text: str) -> None:
    written = csv_text(("a", "b"), [{"a": text, "b": ["x", text]}])
    cells = next(csv.DictReader(io.StringIO(written, newline="")))
    assert cells["a"] == f"'{text}"
    # Whoever splits a list into cells gets texts too.
    assert cells["b"] == f"x; '{text}"


def test_a_name_that_is_a_formula_is_made_harmless() -> None:
    job = """\
groundstrap: 1
title: Bench
system: 12 V
loads: {"=cmd|' /C calc'!A0": {kind: lamp, at: "@boot", claims: {power: 21 W}}}
circuits: {"=cmd|' /C calc'!A0": {length: 3 m}}
"""
    files = list_files(api.plan(api.read_job(job)))
    for name in LISTS:
        for row in table(files[f"{name}.csv"]):
            assert not any(cell.lstrip(" ").startswith(("=", "+", "-", "@")) for cell in row.values())


def test_the_thinner_cable_behind_a_fuse_is_in_its_row() -> None:
    """Behind a feeder of 16 mm2 a branch without a fuse of its own: 1.5 mm2 is what its fuse has to save."""
    job = """\
groundstrap: 1
title: Bench
system: 12 V
supplies: {battery: {kind: battery, capacity: 70 Ah, chemistry: agm}, alternator: none}
gear: {bus: {kind: block}}
loads: {lamp: {kind: lamp, claims: {power: 21 W}}}
circuits:
  feed: {path: [battery, fuse: 60 A, bus], length: 2 m, wire: 16 mm2}
  lamp: {path: [bus, lamp], length: 3 m, wire: 1.5 mm2, return: battery -}
"""
    (row,) = table(list_files(api.plan(api.read_job(job)), only=("fuses",))["fuses.csv"])
    assert (row["size"], row["area_mm2"]) == ("16 mm2", "16")
    assert (row["thinner_size"], row["thinner_mm2"], row["thinner_circuit"]) == ("1.5 mm2", "1.5", "lamp")


def test_quotes_and_commas_survive() -> None:
    written = csv_text(("a", "b"), [{"a": 'x "y", z', "b": "line\nline"}])
    assert next(csv.DictReader(io.StringIO(written, newline=""))) == {"a": 'x "y", z', "b": "line\nline"}


def test_devices_that_others_supply_are_those_of_the_section() -> None:
    job = """\
groundstrap: 1
title: Bench
system: 12 V
supplies: {battery: {kind: battery, at: bay, capacity: 70 Ah, chemistry: agm}, alternator: none}
loads:
  lamp: {kind: lamp, at: boot, count: 2, claims: {power: 21 W}}
  fan: {kind: fan, at: boot, claims: {current: 4 A}}
circuits: {lamp: {length: 3 m, label: L1}, fan: {length: 2 m}}
"""
    found = json.loads(list_files(api.plan(api.read_job(job)))["devices.json"])["devices"]
    assert [(row["name"], row["one"], row["of"], row["kind"]) for row in found] == [
        ("fan", 1, 1, "fan"), ("lamp", 1, 2, "lamp"), ("lamp", 2, 2, "lamp"),
    ]  # fmt: skip
    assert [row["circuits"] for row in found] == [["1"], ["L1"], ["L1"]]
    assert "all together" in found[1]["taken_for"][0]
