"""The commands: exit statuses of the contract, one clear message for what is wrong, files never torn."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import groundstrap
from groundstrap.cli import main
from groundstrap.cli.asking import ask_for_job

ROOT = Path(__file__).resolve().parents[3]
SOURCE = Path(groundstrap.__file__).parents[1]

CLEAN = """groundstrap: 1
title: Reading light   # over the bunk
system: 12 V
supplies:
  battery: {kind: battery, capacity: 20 Ah, at: locker}
  alternator: none
places: {locker: cabin}
loads:
  light:
    kind: led
    at: bunk
    claims: {power: 6 W, voltage: 12 V}
    measured: [{current: 0.50 A, voltage: 12.00 V, meter: bench}]
circuits:
  light: {path: [battery, fuse, light], return: battery -, length: 2 m}
"""
THIN = CLEAN.replace("length: 2 m", "length: 2 m, fuse: 30 A, wire: 0.75 mm2")


@pytest.fixture(autouse=True)
def _show_our_own_faults(monkeypatch: pytest.MonkeyPatch) -> None:
    """What fails inside is raised and seen, not told as status 3."""
    monkeypatch.setenv("GROUNDSTRAP_TRACEBACK", "1")


def run(*args: str, given: str | bytes | None = None) -> Result:
    result = CliRunner().invoke(main, list(args), input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def process(
    *args: str, given: bytes = b"", environment: dict[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "groundstrap.cli", *args],
        input=given,
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(SOURCE), **(environment or {})},
    )


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_has_help_with_an_example(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    assert f"groundstrap {name}" in result.output.split("Examples:")[1]


def test_without_a_command_the_help_is_shown_and_the_call_is_wrong() -> None:
    result = run()
    assert result.exit_code == 2
    assert result.stderr.startswith("Usage: groundstrap")
    assert "wanted" not in result.stderr


def test_version() -> None:
    assert run("--version").output == f"groundstrap {groundstrap.__version__}\n"


def test_a_fuse_far_above_its_wire_stops_the_job_with_1() -> None:
    result = run("plan", "-", given=THIN)
    assert result.exit_code == 1
    assert "PRT001" in result.output


def test_nothing_against_a_job_gives_0_or_4_and_never_1() -> None:
    result = run("plan", "-", "--json", given=CLEAN)
    levels = {each["level"] for each in json.loads(result.output)["findings"] if each["outcome"] == "fail"}
    assert "stop" not in levels
    assert result.exit_code in {0, 4}


def test_a_size_that_nobody_knows_is_4_when_nothing_is_chosen() -> None:
    assert run("check", "-", given=CLEAN).exit_code == 4


def test_json_alone_is_on_standard_output() -> None:
    for command in ("plan", "check", "vet"):
        json.loads(run(command, "-", "--json", given=CLEAN).stdout)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["plam", "van.yaml"], "Did you mean 'plan'?"),
        (["plan", "van.yaml", "--jsno"], "Did you mean '--json'?"),
        (["plan"], "Missing argument 'JOB'; wanted groundstrap plan"),
        (["plan", "a", "b"], "unexpected extra argument"),
        (["plan", "a", "--units", "yards"], "'metric', 'us'"),
        (["explain", "fuse-above-lop"], "Did you mean 'fuse-above-loop'?"),
        (["tables", "fuse_rating"], "Did you mean 'fuse_ratings'?"),
        (["plan", "no-such-file.yaml"], "no such file"),
        (["completion", "tcsh"], "'bash', 'zsh', 'fish'"),
    ],
)
def test_a_wrong_call_is_2_with_what_would_do(args: list[str], says: str) -> None:
    result = run(*args)
    assert result.exit_code == 2
    assert says in result.stderr
    assert not result.stdout


def test_a_folder_and_what_is_not_utf8_are_2(tmp_path: Path) -> None:
    assert "is a directory" in run("plan", str(tmp_path)).stderr
    bad = tmp_path / "bad.yaml"
    bad.write_bytes(b"title: \xff\n")
    result = run("check", str(bad))
    assert result.exit_code == 2
    assert "UTF-8" in result.stderr


def test_an_unreadable_file_is_2(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "van.yaml"
    path.write_text(CLEAN, encoding="utf-8")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    result = run("plan", str(path))
    assert result.exit_code == 2
    assert "permission denied" in result.stderr


def test_every_fault_is_told_in_one_go_with_its_place() -> None:
    result = run("plan", "-", given=CLEAN.replace("20 Ah", "20 Ahh").replace("2 m}", "2,5 m}"))
    assert result.exit_code == 2
    assert "-:5:" in result.stderr
    assert "2 faults" in result.stderr


def test_faults_as_json_have_their_schema() -> None:
    for args, given in (
        (("plan", "-"), "title: x\n"),
        (("plan", "nowhere.yaml"), ""),
        (("plan", "--jsno"), ""),
    ):
        result = run(*args, "--json", given=given)
        assert result.exit_code == 2
        assert json.loads(result.stdout)["schema"] == "groundstrap.faults/1"


def test_pin_writes_the_choices_and_keeps_the_comments(tmp_path: Path) -> None:
    path = tmp_path / "light.job.yaml"
    path.write_text(CLEAN, encoding="utf-8")
    run("plan", str(path), "--pin")
    text = path.read_text(encoding="utf-8")
    assert "# over the bunk" in text
    assert "wire:" in text
    chosen = json.loads(run("plan", str(path), "--json").output)["circuits"]["light"]
    assert {step["origin"] for step in chosen["path"]} == {"written"}


STOPPED = """groundstrap: 1
title: Two lights at a strong battery
system: 24 V
supplies: {battery: {kind: battery, at: cabin, cranking: 1200 A EN}, alternator: none}
gear: {block: {kind: block, at: bed}}
loads:
  near light: {kind: led, at: cabin, claims: {power: 48 W}, largest_fuse: 1 A}
  far light: {kind: led, at: bed, claims: {power: 48 W}}
circuits:
  near light: {path: [battery, fuse, near light], length: 20 cm}   # stopped: its maker allows 1 A
  feed: {path: [battery, length: 10 cm, {fuse, family: class T}, block], length: 5 m}
  far light: {path: [block, fuse: 5 A, far light], length: 2 m}
"""


def test_pin_says_what_it_wrote_and_leaves_stopped_choices_open(tmp_path: Path) -> None:
    path = tmp_path / "lights.job.yaml"
    path.write_text(STOPPED, encoding="utf-8")
    result = run("plan", str(path), "--pin")
    assert result.exit_code == 1
    text = path.read_text(encoding="utf-8")
    assert "  near light: {path: [battery, fuse, near light], length: 20 cm}   # stopped" in text
    assert "{wire: " in text
    told = result.stderr.strip()
    assert told.startswith(f"groundstrap: {path}: ")
    assert "near light (PRT014)" in told
    # Nothing but the stopped ones is chosen anew by the next plan.
    again = json.loads(run("plan", str(path), "--json").output)["circuits"]
    assert all(step["origin"] != "chosen" for step in again["feed"]["path"])


def test_pin_without_a_stop_names_no_circuit() -> None:
    result = run("plan", "-", "--pin", given=CLEAN)
    assert result.stderr == "groundstrap: -: 2 wire sizes and 1 fuse rating written\n"


def test_pin_of_standard_input_prints_the_job() -> None:
    text = run("plan", "-", "--pin", given=CLEAN).stdout
    assert text.startswith("groundstrap: 1\n")
    assert "wire:" in text


def test_pin_of_standard_input_and_json_are_not_asked_for_together() -> None:
    result = run("plan", "-", "--pin", "--json", given=CLEAN)
    assert result.exit_code == 2
    assert json.loads(result.stdout)["schema"] == "groundstrap.faults/1"


def test_pin_where_nothing_can_be_written_is_3_and_leaves_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "light.job.yaml"
    path.write_text(CLEAN, encoding="utf-8")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    result = run("plan", str(path), "--pin")
    assert result.exit_code == 3
    assert "no space left" in result.stderr
    assert path.read_text(encoding="utf-8") == CLEAN
    assert list(tmp_path.iterdir()) == [path]


# title, volts, road or boat, battery's place, its label, device, kind, claim, place, its air, length, minus
ANSWERS = "Shed light\n12\n\n\n640 A EN\nlamp\nled\n10 W\nshed\noutside\n4 m\n\n"


def test_new_makes_a_job_from_piped_answers_that_plan_reads(tmp_path: Path) -> None:
    result = run("new", given=ANSWERS)
    assert result.exit_code == 0
    path = tmp_path / "shed.job.yaml"
    path.write_text(result.stdout, encoding="utf-8")
    assert run("plan", str(path)).exit_code in {0, 1, 4}


def test_new_never_writes_over_a_file_without_asking(tmp_path: Path) -> None:
    path = tmp_path / "shed.job.yaml"
    path.write_text("mine\n", encoding="utf-8")
    kept = run("new", str(path), given="n\n" + ANSWERS)
    assert kept.exit_code == 2
    assert "stays as it is; nothing was written" in kept.stderr
    assert path.read_text(encoding="utf-8") == "mine\n"
    assert run("new", str(path), given="y\n" + ANSWERS).exit_code == 0
    assert path.read_text(encoding="utf-8").startswith("groundstrap: 1\n")


@pytest.mark.parametrize("lines", range(12))
def test_new_with_answers_that_end_too_soon_says_so_and_writes_nothing(tmp_path: Path, lines: int) -> None:
    path = tmp_path / "shed.job.yaml"
    result = run("new", str(path), given="".join(ANSWERS.splitlines(keepends=True)[:lines]))
    assert result.exit_code == 2
    assert "the answers ended at" in result.stderr
    assert "nothing was written" in result.stderr
    assert not path.exists()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ("\n", "this can't be left out; nothing was written; wanted a few words"),
        ("Shed\n36\n", "that is none of them"),
        ("Shed\n\nship\n", "one of road, boat"),
        ("Shed\n\n\n\n640 A\n", "640 A EN or 640 A SAE"),
        ("Shed\n\n\n\n\nbow, left\n", "not 'bow, left'"),
        ("Shed\n\n\n\n\nlamp\n\n60\n", "a bare number has no unit"),
        ("Shed\n\n\n\n\nlamp\n\n60 W\n\n7\n", "such as 1.5 m, not '7'"),
    ],
)
def test_new_tells_what_is_wrong_with_an_answer_and_what_would_do(given: str, says: str) -> None:
    result = run("new", given=given)
    assert result.exit_code == 2
    assert says in result.stderr
    assert not result.stdout


def test_new_asks_a_person_again_and_says_why(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = iter(("Shed", "12", "", "", "", "", "led", "60", "60 W", "", "7", "7 m", ""))

    class Keyboard:
        def isatty(self) -> bool:
            return True

        def readline(self) -> str:
            return f"{next(lines)}\n"

    monkeypatch.setattr("sys.stdin", Keyboard())
    text = ask_for_job()
    assert "claims: {power: 60 W}" in text
    assert "length: 7 m" in text


def test_new_takes_the_air_of_a_place_that_is_none_of_the_built_in_ones() -> None:
    text = run("new", given=ANSWERS).stdout
    assert "places: {shed: outside}" in text
    assert "cranking: 640 A EN" in text


def test_new_on_a_boat_asks_for_no_chassis() -> None:
    result = run("new", given="Bow light\n24 volts\nboat\n\n\nlamp\nled\n10 W\n\n12 ft\n")
    assert result.exit_code == 0
    assert "system: 24 V" in result.stdout
    assert "chassis" not in result.stderr


def test_new_refuses_a_folder_that_is_not_there_before_it_asks(tmp_path: Path) -> None:
    result = run("new", str(tmp_path / "nowhere" / "a.yaml"), given=ANSWERS)
    assert result.exit_code == 2
    assert "called" not in result.stderr


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_prints_a_script_for_the_shell(shell: str) -> None:
    result = run("completion", shell)
    assert result.exit_code == 0
    assert "_GROUNDSTRAP_COMPLETE" in result.stdout


def test_completion_finds_the_commands() -> None:
    found = process(
        environment={
            "_GROUNDSTRAP_COMPLETE": "bash_complete",
            "COMP_WORDS": "groundstrap pl",
            "COMP_CWORD": "1",
        }
    )
    assert found.stdout.split() == [b"plain,plan"]


def test_a_reader_that_has_gone_is_no_fault() -> None:
    script = f"{sys.executable} -m groundstrap.cli tables; echo $? >&2"
    found = subprocess.run(
        ["sh", "-c", f"({script}) | true"],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(SOURCE)},
    )
    assert found.stderr.split() == [b"0"]


def test_a_full_disk_under_the_output_is_3() -> None:
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full on this system: nothing stands in for a full disk")
    with Path("/dev/full").open("wb") as full:
        found = subprocess.run(
            [sys.executable, "-m", "groundstrap.cli", "tables"],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            env={**os.environ, "PYTHONPATH": str(SOURCE)},
        )
    assert found.returncode == 3
    assert b"No space left" in found.stderr
    assert b"Traceback" not in found.stderr


def test_what_fails_inside_is_told_without_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("GROUNDSTRAP_TRACEBACK")
    monkeypatch.setattr("groundstrap.api.planning.chosen", lambda *_: 1 / 0)
    # A text that nobody planned before: an answer that is kept would not be made again.
    result = run("plan", "-", given=f"{CLEAN}\n# planned here alone\n")
    assert result.exit_code == 3
    assert "ZeroDivisionError" in result.stderr
    assert "Traceback" not in result.stderr


def test_output_to_a_file_has_no_colours() -> None:
    assert b"\x1b" not in process("plan", "-", given=THIN.encode()).stdout


def test_curves_are_written_and_standard_output_stays_what_it_was(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "pictures"
    result = run("plan", "-", "--json", "--curves", str(folder), given=CLEAN)
    assert json.loads(result.stdout) == json.loads(run("plan", "-", "--json", given=CLEAN).stdout)
    assert "1 circuit drawn" in result.stderr
    assert [path.name for path in folder.iterdir()] == ["light.svg"]


def test_where_curves_can_not_be_written_nothing_else_is_and_the_status_is_3(tmp_path: Path) -> None:
    file = tmp_path / "light.job.yaml"
    file.write_text(CLEAN, encoding="utf-8")
    result = run("plan", str(file), "--pin", "--curves", str(file))
    assert result.exit_code == 3
    assert "it is a file" in result.stderr
    assert not result.stdout
    assert file.read_text(encoding="utf-8") == CLEAN


def test_a_fuse_without_a_rating_is_named_and_not_drawn(tmp_path: Path) -> None:
    # 30 A of load on a written 0.75 mm2: no rating carries the one and saves the other.
    text = CLEAN.replace("power: 6 W", "power: 360 W").replace("0.50 A", "30 A")
    text = text.replace("length: 2 m", "length: 2 m, wire: 0.75 mm2")
    result = run("plan", "-", "--curves", str(tmp_path), given=text)
    assert "not drawn, for want of a rating: light fuse" in result.stderr
    assert not list(tmp_path.iterdir())
