"""Visits with a meter on the shelf: as built, a year later, in an archive and back; on both databases."""

from __future__ import annotations

import io
import json
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from groundstrap.cli import main
from groundstrap.errors import CallError, NotOnShelfError
from groundstrap.shelf import Clash, Shelf, Visit, VisitPlace, export_job, import_job
from tests.shelf.test_commands import Run, run  # noqa: F401

JOB = """\
groundstrap: 1
title: Pump on a barge
system: 12 V
supplies: {battery: {kind: battery, at: bay, chemistry: flooded, capacity: 90 Ah}, alternator: none}
loads: {pump: {kind: pump, at: rear, claims: {power: 48 W, voltage: 12 V, by: manual}}}
places: {bay: engine bay, rear: outside}
routes: [{from: bay, to: rear, length: 5 m}]
circuits:
  earth: {path: [battery -, wire: 16 mm2, chassis at bay], length: 50 cm}  # as it came
  pump: {path: [battery, fuse, switch, pump], return: chassis at rear}
readings:
  - {when: resting, using: [pump], meter: handheld, values: [pump: 4.0 A, pump - to chassis at rear: 9 mV]}
"""
# By hand: 9 mV at 4 A are 2.25 milliohms; 40 mV are 10.
LATER = "  - {when: resting, using: [pump], meter: handheld, date: 2027-11-28, values: [pump: 4.0 A, pump - to chassis at rear: 40 mV]}\n"  # noqa: E501


def place(ohm: float = 2e-3) -> VisitPlace:
    return VisitPlace(
        red="pump -", black="chassis at rear", place="pump return 1", ohm=ohm, standard_ohm=4e-4,
        usual_ohm=2.3e-3, limit_ohm=0.05, current_a=4.0, read="8 mV",
    )  # fmt: skip


def visit(day: str = "2026-03-01", *places: VisitPlace) -> Visit:
    found = places or (place(),)
    return Visit(job_id="", day=day, revision=0, who="", when_utc=None, note="handed over", places=found)


def test_a_visit_and_its_revision_are_kept_together(shelf: Shelf) -> None:
    job = shelf.new(JOB, "Ada").job_id
    found = shelf.accept(job, JOB + "# built\n", 1, "Bob", visit())
    assert isinstance(found, Visit)
    assert (found.day, found.revision, found.who, found.places) == ("2026-03-01", 2, "Bob", (place(),))
    assert found.when_utc is not None
    assert abs((datetime.now(UTC) - found.when_utc).total_seconds()) < 60
    # The same day once more takes its place; another is one more.
    shelf.accept(job, JOB + "# again\n", 2, "Bob", visit("2026-03-01", place(3e-3)))
    shelf.accept(job, JOB + "# later\n", 3, "Bob", visit("2025-03-01", place(1e-3)))
    assert [(v.day, v.revision, v.places[0].ohm) for v in shelf.visits(job)] == [
        ("2025-03-01", 4, 1e-3), ("2026-03-01", 3, 3e-3)
    ]  # fmt: skip
    shelf.forget_visit(job, "2025-03-01")
    with pytest.raises(NotOnShelfError):
        shelf.forget_visit(job, "2025-03-01")
    shelf.remove(job, "Ada")
    shelf.erase(job)
    with pytest.raises(NotOnShelfError):
        shelf.visits(job)


def test_whoever_was_quicker_is_not_written_over(shelf: Shelf) -> None:
    job = shelf.new(JOB, "Ada").job_id
    shelf.save(job, JOB + "# Ada\n", 1, "Ada")
    assert isinstance(shelf.accept(job, JOB + "# Bob\n", 1, "Bob", visit()), Clash)
    assert shelf.visits(job) == ()


@pytest.mark.parametrize(
    "wrong",
    [
        visit("2026-02-30"),
        visit("soon"),
        visit("2026-03-01", place(float("nan"))),
        visit("2026-03-01", place(1e300)),
        visit("2026-03-01", place(), place(3e-3)),
        visit(
            "2026-03-01",
            VisitPlace(**{**{n: getattr(place(), n) for n in VisitPlace.__slots__}, "standard_ohm": 0.0}),
        ),
    ],
)
def test_a_visit_that_is_none_keeps_nothing(shelf: Shelf, wrong: Visit) -> None:
    job = shelf.new(JOB, "Ada").job_id
    with pytest.raises(CallError):
        shelf.accept(job, JOB + "# built\n", 1, "Bob", wrong)
    assert (shelf.visits(job), shelf.job(job).latest) == ((), 1)


def test_an_archive_takes_its_visits_along(shelf: Shelf) -> None:
    job = shelf.new(JOB, "Ada").job_id
    shelf.accept(job, JOB + "# built\n", 1, "Bob", visit())
    into = io.BytesIO()
    export_job(shelf, job, into)
    again = import_job(shelf, into, "Cid").job.id
    mine, theirs = shelf.visits(job)[0], shelf.visits(again)[0]
    assert (theirs.day, theirs.who, theirs.when_utc, theirs.places) == (
        mine.day,
        mine.who,
        mine.when_utc,
        mine.places,
    )
    # One that was changed by hand is refused as a whole.
    with zipfile.ZipFile(into) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    index = json.loads(members["shelf.json"])
    index["visits"][0]["revision"] = 9
    members["shelf.json"] = json.dumps(index).encode()
    bad = io.BytesIO()
    with zipfile.ZipFile(bad, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    with pytest.raises(CallError, match="can't be read"):
        import_job(shelf, bad, "Cid")


def test_a_joint_that_grew_is_told_on_the_command_line(run: Run, tmp_path: Path) -> None:  # noqa: F811
    path = tmp_path / "van.job.yaml"
    path.write_text(JOB, encoding="utf-8")
    job = str(run("keep", "van.job.yaml", "--json").json["saved"]["job_id"])  # type: ignore[index]
    built = run("accept", job, "--note", "handed over", "--even-so")
    assert built.status == 0, built.err
    assert "are pinned" in built.err
    assert "1 place is kept as built." in built.out
    text = run("show", job).out
    # What was chosen is what was fitted, from now on; the comment stays.
    assert "wire: 16 mm2, chassis at bay], length: 50 cm}  # as it came" in text
    assert "pump: {path: [battery, {fuse:" in text
    assert "date: 20" in text
    path.write_text(text + LATER, encoding="utf-8")
    assert run("keep", "van.job.yaml", "--as", job, "--based-on", "2").status == 0
    later = run("accept", job)
    assert later.status == 0, later.err
    told = " ".join(later.out.split())
    assert "pump return 1: grown" in told
    assert "grew from 2.25 mohm to 10 mohm" in told
    assert "Keep to local rules" in told
    found = run("visits", job, "--json").json
    assert found["schema"] == "groundstrap.visits/1"
    (grown,) = found["places"]  # type: ignore[misc]
    assert grown["grown"] is True
    assert grown["more_ohm"]["low"] > 0.004
    # Its pack tells them, in the section on readings.
    asked = ["pack", "van.job.yaml", "-o", "van-pack", "--only", "readings", "--visits", job]
    packed = CliRunner().invoke(main, asked)
    assert packed.exit_code in {0, 1}, packed.output
    page = (tmp_path / "van-pack" / "pack.html").read_text(encoding="utf-8")
    assert "handed over" in page
    assert "pump return 1: grown" in page
    # Mended, and read again: it begins anew.
    mended = LATER.replace("2027", "2028").replace("40 mV", "9 mV")
    path.write_text(run("show", job).out + mended, encoding="utf-8")
    run("keep", "van.job.yaml", "--as", job, "--based-on", "4")
    assert run("accept", job, "--mended", "pump wire 9").status == 2
    assert "1 place is as it was." in run("accept", job, "--mended", "pump return 1").out


def test_as_built_wants_readings_that_sound_work_shows(run: Run, tmp_path: Path) -> None:  # noqa: F811
    path = tmp_path / "van.job.yaml"
    path.write_text(JOB.replace("9 mV", "1.9 V"), encoding="utf-8")
    job = str(run("keep", "van.job.yaml", "--json").json["saved"]["job_id"])  # type: ignore[index]
    refused = run("accept", job)
    assert refused.status == 2
    assert "pump - to chassis at rear: 1.9 V" in refused.err
    assert "--even-so" in refused.err or "even so" in refused.err
    assert run("visits", job).out == "no readings of this job were accepted yet\n"
    bare = JOB.partition("readings:")[0]
    path.write_text(bare, encoding="utf-8")
    other = str(run("keep", "van.job.yaml", "--json").json["saved"]["job_id"])  # type: ignore[index]
    assert "no readings to accept" in run("accept", other).err
