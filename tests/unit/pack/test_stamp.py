"""What stands against a job stands on every sheet and list that may be sent on alone; own judgement."""

import csv
import io
import json
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.pack.lists.labels import SHEETS, label_pages

BUS = Path(__file__).resolve().parents[3] / "examples" / "book-bus.job.yaml"
JOB = (
    "groundstrap: 1\ntitle: Cart\nsystem: 12 V\n"
    "supplies:\n  battery: {kind: battery, capacity: 80 Ah}\n"
    "loads:\n  lamp: {kind: lamp, claims: {power: 55 W}}\n"
    "circuits:\n  lamp: {path: [battery, {fuse: 60 A}, lamp], wire: 0.75 mm2, length: 3 m}\n"
)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_loose_file_of_a_job_with_stops_says_so(paper):
    plan = api.plan(api.read_job(JOB))
    files = api.pack(
        plan, only=["drawing", "routes", "labels", "cables", "fuses", "calculations"], paper=paper
    )
    said = "Do not build it like this"
    svgs = [name for name in files if name.endswith(".svg")]
    assert {name.partition("-")[0] for name in svgs} == {"wiring", "routes"}
    assert all(said in files[name].decode() for name in svgs)
    assert said in files["netlist.cir"].decode()
    for name in ("cables", "fuses", "labels"):
        rows = list(csv.DictReader(io.StringIO(files[f"{name}.csv"].decode())))
        assert rows
        assert all(row["stands_against"].startswith(said) for row in rows)
        assert json.loads(files[f"{name}.json"])["stands_against"].startswith(said)
    compact = api.drawing(plan, compact=True)
    assert all(said in svg for svg in compact.values())


def test_a_label_sheet_has_it_in_its_rim():
    plan = api.plan(api.read_job(JOB))
    for paper, sheet in SHEETS.items():
        for page in label_pages(plan, paper=paper):
            stamp = next(text for text in page.texts if text.text.startswith("Do not build"))
            assert stamp.box.bottom <= sheet.top_mm * 72 / 25.4
            assert stamp.box.right <= (sheet.width_mm - sheet.left_mm) * 72 / 25.4


def test_a_sound_job_has_no_stamp():
    plan = api.plan(api.read_job_file(BUS))
    files = api.pack(plan, only=["drawing", "cables"])
    assert not any(b"Do not build" in content for content in files.values())
    rows = list(csv.DictReader(io.StringIO(files["cables.csv"].decode())))
    assert {row["stands_against"] for row in rows} == {""}
