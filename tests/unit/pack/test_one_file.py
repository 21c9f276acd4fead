"""One file of a pack made alone is the file that the whole pack has."""

from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.pack.document import SECTIONS, Wanted
from groundstrap.pack.making import pack_file, pack_files
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display

BUS = Path(__file__).resolve().parents[3] / "examples" / "book-bus.job.yaml"


@pytest.fixture(scope="module", name="plan")
def _plan():
    return api.plan(api.read_job_file(BUS))


@pytest.fixture(scope="module", name="wanted")
def _wanted(plan):
    return Wanted(shown=Display.of(plan.installation, None))


def test_each_file_made_alone_has_the_same_bytes(plan, wanted):
    whole = pack_files(plan, wanted)
    telling = Telling(plan, wanted.shown)
    for name, content in whole.items():
        assert pack_file(plan, wanted, name, telling=telling) == content, name


def test_any_section_can_be_had_alone_and_a_sheet_of_one_circuit(plan, wanted):
    for key in SECTIONS:
        if key not in {"changes", "days"}:
            assert pack_file(plan, wanted, f"{key}.html").startswith(b"<!")
    sheet = pack_file(plan, wanted, "circuits.html", circuit="heater fan").decode()
    assert "heater fan" in sheet
    assert "shelf lights" not in sheet


def test_progress_names_what_is_made(plan, wanted):
    told = []
    pack_file(plan, wanted, "tests.pdf", progress=told.append)
    assert told == ["tests", "tests.pdf"]


@pytest.mark.parametrize(
    ("name", "circuit"),
    [
        ("nothing.pdf", None),
        ("wiring-99.svg", None),
        ("circuits.pdf", "no such"),
        ("changes.pdf", None),
        ("days.pdf", None),
    ],
)
def test_what_there_is_not_is_refused(plan, wanted, name, circuit):
    with pytest.raises(CallError):
        pack_file(plan, wanted, name, circuit=circuit)
