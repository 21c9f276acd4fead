"""The commands `pack` and `draw`: what they write, what they refuse, and that nothing is left half done."""

from __future__ import annotations

from pathlib import Path

import click.testing
import pypdfium2
import pytest
from click.testing import CliRunner, Result

from groundstrap.cli import main
from tests.unit.cli.test_commands import CLEAN, THIN

ROOT = Path(__file__).resolve().parents[3]
LONGER = CLEAN.replace("length: 2 m", "length: 9 m")


@pytest.fixture(autouse=True)
def _show_our_own_faults(monkeypatch: pytest.MonkeyPatch) -> None:
    """What fails inside is raised and seen, not told as status 3."""
    monkeypatch.setenv("GROUNDSTRAP_TRACEBACK", "1")


@pytest.fixture(name="job")
def _job(tmp_path: Path) -> str:
    path = tmp_path / "light.job.yaml"
    path.write_text(CLEAN, encoding="utf-8")
    return str(path)


def run(*args: str | Path, given: str | None = None) -> Result:
    result = CliRunner().invoke(main, [str(arg) for arg in args], input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def texts(path: Path) -> list[str]:
    """The text of each page of a PDF."""
    read = pypdfium2.PdfDocument(path.read_bytes())
    found = [page.get_textpage().get_text_range() for page in read]
    return [text.replace("\r\n", " ").replace("\N{NO-BREAK SPACE}", " ") for text in found]


def test_a_pack_has_the_status_of_its_plan_and_says_where_to_begin(job: str, tmp_path: Path) -> None:
    made = run("pack", job, "-o", tmp_path / "out")
    assert made.exit_code == run("plan", job).exit_code
    assert made.stdout == ""
    found = names(tmp_path / "out")
    assert {"pack.pdf", "pack.html", "pack.json", "fuses.pdf", "circuits.pdf", "labels.pdf"} <= found
    assert {"wiring-1.svg", "routes-1.svg", "netlist.cir", "cables.csv", "cables.json"} <= found
    # The listing is of the folder and not of the pack.
    assert f"holds the pack, {len(found) - 1} files; begin with pack.pdf" in made.stderr


def test_a_job_that_must_not_be_built_has_its_pack_with_the_stop_on_the_cover(tmp_path: Path) -> None:
    made = run("pack", "-", "-o", tmp_path / "out", "--only", "cover", given=THIN)
    assert made.exit_code == run("plan", "-", given=THIN).exit_code == 1
    (cover,) = texts(tmp_path / "out" / "pack.pdf")
    assert "Do not build it like this" in cover
    assert "30 A" in cover


@pytest.mark.parametrize(
    ("only", "wanted"),
    [
        (("fuses",), {"fuses.pdf", "fuses.csv", "fuses.json"}),
        (("drawing",), {"wiring-1.svg"}),
        (("routes",), {"routes-1.svg"}),
        (("calculations", "reels"), {"netlist.cir", "reels.csv", "reels.json"}),
        (("sources",), set()),
    ],
)
def test_some_sections_alone(job: str, tmp_path: Path, only: tuple[str, ...], wanted: set[str]) -> None:
    run("pack", job, "-o", tmp_path / "out", *(word for key in only for word in ("--only", key)))
    assert names(tmp_path / "out") == {"pack.pdf", "pack.html", "pack.json"} | wanted


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--only", "fuse"), "did you mean fuses?"),
        (("--paper", "a3"), "letter"),
        (("--language", "xx"), "'xx'"),
        (("--meter", "loud"), "handheld"),
        (("--since", "nowhere.yaml"), "nowhere.yaml"),
        (("--only", "changes"), "--since OLD"),
    ],
)
def test_what_there_is_not_is_2_and_nothing_is_written(
    job: str, tmp_path: Path, args: tuple[str, ...], says: str
) -> None:
    made = run("pack", job, "-o", tmp_path / "out", *args)
    assert made.exit_code == 2
    assert says in made.stderr
    assert not (tmp_path / "out").exists()


def test_paper_language_units_and_meter_reach_the_page(job: str, tmp_path: Path) -> None:
    args = ("--paper", "letter", "--language", "de", "--units", "us", "--meter", "basic")
    run("pack", job, "-o", tmp_path / "out", "--only", "tests", *args)
    read = pypdfium2.PdfDocument((tmp_path / "out" / "pack.pdf").read_bytes())
    assert [round(side) for side in read[0].get_size()] == [612, 792]
    assert "Seite 1 von" in texts(tmp_path / "out" / "pack.pdf")[0]
    assert 'lang="de"' in (tmp_path / "out" / "pack.html").read_text(encoding="utf-8")


def test_since_tells_what_has_changed(job: str, tmp_path: Path) -> None:
    newer = tmp_path / "newer.job.yaml"
    newer.write_text(LONGER, encoding="utf-8")
    run("pack", newer, "-o", tmp_path / "out", "--only", "changes", "--since", job)
    (told,) = texts(tmp_path / "out" / "pack.pdf")
    assert "2 m" in told
    assert "9 m" in told


def test_a_file_by_the_name_of_the_folder_is_2_and_stays(job: str, tmp_path: Path) -> None:
    taken = tmp_path / "out"
    taken.write_text("mine", encoding="utf-8")
    made = run("pack", job, "-o", taken, "--only", "cover")
    assert made.exit_code == 2
    assert "is no folder" in made.stderr
    assert taken.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_may_not_be_written_is_3_and_the_old_pack_stays(
    job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("pack", job, "-o", tmp_path / "out", "--only", "cover")
    before = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refused)
    made = run("pack", job, "-o", tmp_path / "out", "--only", "fuses")
    assert made.exit_code == 3
    assert "permission denied" in made.stderr
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == before


@pytest.mark.parametrize("terminal", [False, True])
def test_progress_is_told_to_a_terminal_alone(
    job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, terminal: bool
) -> None:
    monkeypatch.setattr(click.testing._NamedTextIOWrapper, "isatty", lambda _: terminal)
    told = run("pack", job, "-o", tmp_path / "out", "--only", "fuses").stderr.splitlines()
    assert ("groundstrap: fuses.csv" in told) == terminal
    assert len(told) == (6 if terminal else 1)


def test_a_drawing_is_printed_or_written_into_a_folder(job: str, tmp_path: Path) -> None:
    printed = run("draw", job)
    assert printed.exit_code == run("plan", job).exit_code
    written = run("draw", job, "-o", tmp_path / "out")
    assert "wiring-1.svg" in written.stderr
    assert written.stdout == ""
    assert (tmp_path / "out" / "wiring-1.svg").read_text(encoding="utf-8") == printed.stdout
    assert printed.stdout.startswith("<svg")


def test_one_column_places_and_runs_and_paper_are_drawings_of_their_own(job: str) -> None:
    wanted = ([], ["--compact"], ["--routes"], ["--paper", "letter"], ["--units", "us"])
    drawn = [run("draw", job, *args).stdout for args in wanted]
    assert len(set(drawn)) == len(wanted)
    assert 'width="390' in drawn[1]


def test_several_sheets_have_no_room_on_standard_output() -> None:
    job = str(ROOT / "examples" / "hive-pickup.job.yaml")
    made = run("draw", job)
    assert made.exit_code == 2
    assert "3 sheets" in made.stderr
    assert made.stdout == ""


def test_a_job_that_must_not_be_built_is_drawn_and_tells_by_its_status() -> None:
    made = run("draw", "-", given=THIN)
    assert made.exit_code == 1
    assert "<svg" in made.stdout
