"""The commands with a meter in hand: what they say, what they write, and what bad readings get."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from groundstrap.cli import main
from tests.support.jobs import BARGE

BAD_GROUND = ("pump: 10.2 V", "pump - to battery -: 1.95 V", "pump - to chassis at rear: 1.92 V")


@pytest.fixture(name="job")
def _job(tmp_path: Path) -> Path:
    path = tmp_path / "barge.job.yaml"
    path.write_text(BARGE, encoding="utf-8")
    return path


def run(*args: str, answers: str = "") -> Result:
    return CliRunner().invoke(main, list(args), input=answers)


def test_before_a_reading_it_says_what_to_read(job: Path) -> None:
    found = run("locate", str(job), "--load", "pump")
    assert found.exit_code == 0, found.output
    assert "No reading was taken yet." in found.stdout
    assert "READ NEXT" in found.stdout
    assert "Caution: these readings are taken live." in found.stdout
    assert max(map(len, found.stdout.splitlines())) <= 80


def test_readings_given_are_written_into_the_job_and_answered(job: Path) -> None:
    found = run("measure", str(job), *BAD_GROUND, "--load", "pump", "--meter", "handheld")
    assert found.exit_code == 0, found.output
    assert "It is pump return 1" in found.stdout
    assert "take the lug off" in found.stdout
    text = job.read_text(encoding="utf-8")
    assert text.startswith(BARGE)
    assert "pump - to battery -: 1.95 V" in text
    # One set: they were taken in one situation.
    assert text.count("when:") == 1


def test_asked_one_by_one_it_goes_on_until_one_place_stands(job: Path) -> None:
    # Whatever is asked for, the answer is that of a circuit whose return to the body has lost 1.9 V.
    found = run("measure", str(job), "--load", "pump", "--meter", "handheld", answers="0.2 V\n-\n\n")
    assert found.exit_code == 0, found.output
    assert found.stderr.count("Read: volts") >= 2
    assert job.read_text(encoding="utf-8").count("0.2 V") == 1


def test_once_mended_what_was_read_before_is_history(job: Path) -> None:
    about = ("--load", "pump", "--meter", "handheld")
    run("measure", str(job), *BAD_GROUND, *about)
    # A place that stands is offered to be mended, by the very command.
    offered = run("measure", str(job), *about).stderr
    assert "--load pump --mended 'pump return 1'" in offered
    # With the same meter: what it reads counts by its accuracy.
    assert "--meter handheld" in offered
    # A number alone has the unit of what was asked for.
    asked = run("measure", str(job), *about, "--mended", "pump return 1", answers="0.02\n\n")
    assert "pump return 1 was mended: read there again." in asked.stderr
    assert "Taken as 0.02 V." in asked.stderr
    # By hand: some 4 A lose some hundredths of a volt on the way back, where 1.95 V were lost.
    told = run("measure", str(job), "pump - to battery -: 0.04 V", *about).stdout
    assert "Mended: pump return 1 fits again." in told
    assert "1.95 V" not in told


def test_what_is_only_asked_stands_beside_what_is_taken(job: Path) -> None:
    asked = "pump - to battery -: ? V"
    found = run("measure", str(job), asked, "pump: 10.2 V", "--load", "pump", "--meter", "handheld")
    assert found.exit_code == 0, found.output
    assert found.stdout.startswith("pump - to battery -: 0.0")
    assert "READINGS against the plan" in found.stdout
    text = job.read_text(encoding="utf-8")
    assert "pump: 10.2 V" in text
    assert "?" not in text


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        # A 12 V battery charged hard has 15 V, so 180 V were millivolts.
        ("pump - to battery -: 180 V", "more than the 18 V that this job can have"),
        ("pump - to battery -: -180 V", "Did you mean '-180 mV'?"),
        ("pump: 4200 A", "did you mean 4200 mA?"),
        ("pump: 4.2 mA", "did you mean 4.2 A?"),
        ("pump: 12.2 mV", "did you mean 12.2 V?"),
    ],
)
def test_a_thousand_times_too_much_or_too_little_is_asked_about(job: Path, reading: str, says: str) -> None:
    found = run("measure", str(job), reading, "--load", "pump", "--meter", "handheld")
    assert says in " ".join(found.output.split())
    assert (job.read_text(encoding="utf-8") == BARGE) == (found.exit_code == 2)
    if "4200 mA" in says:
        assert says in " ".join(run("check", str(job)).output.split())


def test_a_load_that_there_is_not_is_named_before_its_reading(job: Path) -> None:
    found = run("measure", str(job), "pump: 10.2", "--load", "pmup")
    assert (found.exit_code, "no such load" in found.stderr) == (2, True), found.stderr
    assert job.read_text(encoding="utf-8") == BARGE


def test_json_is_one_object_of_the_contract(job: Path) -> None:
    run("measure", str(job), *BAD_GROUND, "--load", "pump", "--meter", "handheld")
    found = json.loads(run("locate", str(job), "--load", "pump", "--json").stdout)
    assert found["schema"] == "groundstrap.locate/1"
    assert {"readings", "fits", "suspects", "next", "findings"} <= found.keys()
    assert found["suspects"][0]["point"] == "pump return 1"
    assert found["suspects"][0]["extra_ohm"]["low"] > 0.1
    assert [each["agrees"] for each in found["readings"]] == [False, False, False]
    assert found["fits"]["p"] < 1e-6


def test_readings_that_no_single_fault_explains_accuse_nobody_for_sure(job: Path) -> None:
    # By Kirchhoff: an open fuse has all 12.4 V across it, an open wire behind it leaves it next to none.
    readings = ("pump fuse in to pump +: 12.4 V", "pump fuse in to pump fuse out: 0.9 V")
    found = run("measure", str(job), *readings, "--load", "pump")
    assert found.exit_code == 0, found.output
    assert "No single fault explains these readings" in found.stdout
    assert "It is " not in found.stdout


def test_a_reading_that_nothing_explains_is_no_proof_that_all_is_well(job: Path) -> None:
    # Of what drains a battery a bad return is none: nothing that is looked for explains its volts.
    readings = ("pump: 4.00 A", "pump - to chassis at rear: 404 mV", "pump fuse in to pump fuse out: 30.0 mV")
    found = run("measure", str(job), *readings, "--using", "pump", "--flat", "--meter", "handheld")
    assert found.exit_code == 0, found.output
    told = " ".join(found.stdout.split())
    assert "Nothing that was read is out of order" not in told
    assert "read it again before you rely on it" in told or "No single fault explains" in told


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        ("pump 10.2 V", "such as 'pump: 10.9 V'"),
        ("pimp: 10.2 V", "pump"),
        ("pump: 10.2", "unit"),
        ("pump: 10,2 V", "comma"),
        ("pump - to nowhere: 1 V", "nowhere"),
        ("pump: 10.2 ohm", "V"),
    ],
)
def test_a_bad_reading_is_answered_and_loses_nothing(job: Path, reading: str, says: str) -> None:
    found = run("measure", str(job), reading, "--load", "pump")
    assert found.exit_code == 2
    assert says in found.output
    assert job.read_text(encoding="utf-8") == BARGE


def test_a_sheet_goes_in_as_a_whole_or_not_at_all(job: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    lines = ["where,read,using", *(f"{each.replace(': ', ',')},pump" for each in BAD_GROUND)]
    sheet.write_text("\n".join([*lines, 'pump,"10,2 V",pump']), encoding="utf-8")
    refused = run("measure", str(job), "--from", str(sheet), "--load", "pump")
    assert (refused.exit_code, "sheet.csv:5:" in refused.output) == (2, True)
    assert job.read_text(encoding="utf-8") == BARGE
    sheet.write_text("\n".join(lines), encoding="utf-8")
    found = run("measure", str(job), "--from", str(sheet), "--load", "pump", "--date", "2026-11-28")
    assert found.exit_code == 0, found.output
    assert "3 readings of sheet.csv" in found.stderr
    assert "It is pump return 1" in found.stdout
    assert job.read_text(encoding="utf-8").startswith(BARGE)


def test_an_earlier_visit_stays_in_the_file_and_is_not_looked_at(job: Path) -> None:
    run("measure", str(job), *BAD_GROUND, "--load", "pump", "--date", "2026-03-01")
    sound = ("pump - to battery -: 0.06 V", "pump: 12.3 V")
    found = run("measure", str(job), *sound, "--load", "pump", "--date", "2026-11-28")
    assert found.exit_code == 0, found.output
    assert "It is " not in found.stdout
    assert job.read_text(encoding="utf-8").count("1.95 V") == 1


def test_a_swapped_sign_and_a_dead_circuit_have_a_clear_answer(job: Path) -> None:
    found = run("measure", str(job), "battery -  to pump -: 0.05 V", "--load", "pump")
    assert found.exit_code == 0, found.output
    # 4 A over 12 V come back through some milliohms: the pump's minus lies above the battery's, not below.
    assert "would fit with the other sign" in " ".join(found.stdout.split())
    dead = run("measure", str(job), "pump fuse out to battery -: 0.0 V", "--load", "pump", "--dead")
    assert dead.exit_code == 0, dead.output
    assert "find out why before another of its rating" in " ".join(dead.stdout.split())


def test_a_load_that_is_none_is_told_with_the_nearest(job: Path) -> None:
    found = run("locate", str(job), "--load", "pumps")
    assert found.exit_code == 2
    assert "pump" in found.output


def test_standard_input_can_be_located_and_not_measured() -> None:
    assert run("locate", "-", "--load", "pump", answers=BARGE).exit_code == 0
    found = run("measure", "-", "pump: 10 V", answers=BARGE)
    assert found.exit_code == 2
    assert "writes into its file" in found.output


def test_a_clamp_round_a_cable_goes_in_as_it_is_asked_for(job: Path) -> None:
    """What is proposed can be entered: a cable by the name that plans give it."""
    found = run("measure", str(job), "pump wire 1: 3.4 A", "--load", "pump", "--meter", "handheld")
    assert found.exit_code == 0, found.output
    assert "pump wire 1: 3.4 A" in job.read_text(encoding="utf-8")
    assert run("measure", str(job), "battery: 12.6 V", "--when", "resting").exit_code == 0


def test_nothing_may_have_run_while_a_load_is_complained_of(job: Path) -> None:
    found = run("measure", str(job), "battery: 12.6 V", "--load", "pump", "--using", "")
    assert found.exit_code == 0, found.output
    assert "when: resting, date: " in job.read_text(encoding="utf-8")
    assert "using" not in job.read_text(encoding="utf-8")


def test_a_question_mark_tells_what_sound_work_reads_and_writes_nothing(job: Path) -> None:
    """By hand: 4 A through 5 m of 2.5 mm2 (8 mohm a metre, warm), a fuse and a switch lose some 0.2 V."""
    found = run("measure", str(job), "battery + to pump +: ? V", "--using", "pump", "--meter", "handheld")
    assert found.exit_code == 0, found.output
    told = found.stdout
    assert told.startswith(
        ("battery + to pump +: 0.1", "battery + to pump +: 0.2", "battery + to pump +: 0.3")
    )
    assert "look again outside" in told
    assert "fails outside" in told
    assert job.read_text(encoding="utf-8") == BARGE
    wrong = run("measure", str(job), "pump: ? W")
    assert wrong.exit_code == 2
    assert "a question mark and V or A" in wrong.stderr
