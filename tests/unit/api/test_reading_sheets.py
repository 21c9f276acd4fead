"""Sheets of readings as CSV: all that they hold goes into the job, or every wrong line is named."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.errors import CallError, JobError
from groundstrap.pack.lists.files import list_files

JOB = """\
groundstrap: 1
title: Pump on a barge  # as it came
system: 12 V
supplies: {battery: {kind: battery, at: bay, chemistry: flooded, capacity: 90 Ah}, alternator: none}
loads: {pump: {kind: pump, at: rear, claims: {power: 48 W, voltage: 12 V, by: manual}}}
places: {bay: engine bay, rear: outside}
circuits:
  earth: {path: [battery -, wire: 16 mm2, chassis at bay], length: 50 cm}
  pump: {path: [battery, fuse: 10 A, switch, pump], return: chassis at rear, wire: 2.5 mm2, length: 5 m}
readings:
  - {when: resting, values: [battery: 12.61 V]}  # before anything was touched
"""
EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "oyster-skiff.job.yaml"


def entered(sheet: str, text: str = JOB) -> api.Entered:
    return api.with_sheet(api.read_job(text), sheet, "sheet.csv", date="2026-11-28")


def faults(sheet: str) -> list[str]:
    with pytest.raises(JobError) as refused:
        entered(sheet)
    return [fault.text for fault in refused.value.faults]


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_a_sheet_goes_in_and_everything_else_stays_as_it_was(sign: str) -> None:
    rows = (("where", "read", "unit", "using", "seen"), ("pump", "10.2", "V", "pump", "wet"))
    more = (("pump - to battery -", "1.95 V", "", "pump", ""), ("pump", "", "A", "pump", "not read"))
    found = entered("\ufeff" + "\r\n".join(sign.join(row) for row in (*rows, *more)))
    assert found.text.startswith(JOB)
    assert found.text[len(JOB) :] == (
        "  - {when: resting, using: [pump], date: 2026-11-28, values: [pump: 10.2 V, "
        "pump - to battery -: 1.95 V]}\n"
    )
    assert (found.taken, found.known) == (2, 0)
    # The same sheet once more adds nothing.
    again = entered("where,read,using\npump,10.2 V,pump\npump,10.3 V,pump\n", found.text)
    assert (again.taken, again.known) == (1, 1)


def test_what_reads_as_before_a_mend_is_named_and_goes_in_once_it_was_read_again() -> None:
    """Nobody can tell the old reading from the new one, so it is neither dropped in silence nor taken."""
    first = "where,read,using\nearth to battery -,3 mV,pump\npump,10.2 V,pump\n"
    first = first.replace("earth to battery -", "pump fuse in to pump fuse out")
    text = api.with_mended(api.read_job(entered(first).text), "pump return 1", date="2026-11-28")
    again = first + "pump - to battery -,0.05 V,pump\n"
    found = entered(again, text)
    assert (found.taken, found.known, found.before) == (1, 0, (2, 3))
    job = api.read_job(text)
    put_in = api.with_sheet(job, again, "sheet.csv", date="2026-11-28", again=True)
    assert (put_in.taken, put_in.known, put_in.before) == (3, 0, ())
    # In once, they are known.
    assert entered(again, put_in.text).known == 3


def test_a_day_yet_to_come_is_a_wrong_line() -> None:
    job, sheet = api.read_job(JOB), "where,read,date\npump,10.2 V,2026-11-28\npump,10.3 V,2027-11-28\n"
    with pytest.raises(JobError, match=r"sheet\.csv:3:1: date: found '2027-11-28'"):
        api.with_sheet(job, sheet, "sheet.csv", today="2026-11-28")
    assert api.with_sheet(job, sheet, "sheet.csv").taken == 2


def test_every_wrong_line_is_named_and_nothing_goes_in() -> None:
    told = faults(
        "where;read;unit;when\npump;10,2;V;\npump - to nowhere;1;V;\npump;11;V;\npump;3 A;;rsting\npump;7;;\n"
    )
    assert [text.split(":")[:2] for text in told] == [
        ["sheet.csv", "2"], ["sheet.csv", "3"], ["sheet.csv", "5"], ["sheet.csv", "6"]
    ]  # fmt: skip
    assert "a comma is not read as a decimal point" in told[0]
    assert "10.2 V" in told[0]
    assert "nowhere" in told[1]
    assert "resting" in told[2]
    assert "V or mV" in told[3]


def test_a_decimal_comma_between_commas_is_told_by_its_line() -> None:
    assert "sheet.csv:2:2: read: found '10,2 V'" in faults("where,read\npump,10,2 V\n")[0]


def test_a_note_over_two_lines_moves_no_number_and_empty_lines_in_front_do_not_matter() -> None:
    told = faults('\n\nwhere,read,note\npump,11 V,"wet\nand green"\npump - to nowhere,1 V,\n')
    assert [text.split(":")[:2] for text in told] == [["sheet.csv", "6"]]


@pytest.mark.parametrize(
    "read", ["0.3 ohm", "0.3ohm", "0.3 Ohms", "12 k\N{GREEK CAPITAL LETTER OMEGA}", "1 \N{OHM SIGN}"]
)
def test_ohms_stay_on_the_sheet_however_they_are_written(read: str) -> None:
    found = entered(f"where,read,using\npump,10.2 V,pump\npump - to chassis,{read},\n")
    assert (found.taken, found.dead) == (1, (3,))


@pytest.mark.parametrize(
    ("sheet", "says"), [("a,b\n1,2\n", "no column read"), ("", "no column read"), ("raed,where\n", "'raed'")]
)
def test_a_sheet_without_its_names_says_which(sheet: str, says: str) -> None:
    assert says in faults(sheet)[0]


def test_an_empty_sheet_is_told() -> None:
    with pytest.raises(CallError, match="holds no reading"):
        entered("where,read\npump,\n")


ODD = """\
groundstrap: 1
title: Names that spreadsheets and lists trip over
system: 12 V
supplies: {battery: {kind: battery, capacity: 90 Ah, chemistry: flooded}, alternator: none}
loads:
  "lamp; aft": {kind: lamp, claims: {power: 21 W}}
  "'big' pump": {kind: pump, claims: {power: 48 W}}
  "-fan": {kind: fan, claims: {power: 12 W}}
circuits:
  "lamp; aft": {path: [battery, fuse: 5 A, "lamp; aft"], length: 3 m, return: battery -}
  "'big' pump": {path: [battery, fuse: 10 A, "'big' pump"], length: 3 m, return: battery -}
  "-fan": {path: [battery, fuse: 5 A, "-fan"], length: 3 m, return: battery -}
"""


@pytest.mark.parametrize("text", [None, ODD], ids=["example", "odd names"])
def test_the_sheet_of_the_pack_filled_in_goes_back_in(text: str | None) -> None:
    job = api.read_job_file(EXAMPLE) if text is None else api.read_job(text)
    sheet = list_files(api.plan(job), only=("tests",))["tests.csv"]
    rows = list(csv.DictReader(io.StringIO(sheet, newline="")))
    for row in rows:
        row["read"] = row["expected"][:7] or ("12.5" if row["unit"] == "V" else "open")
    told = io.StringIO(newline="")
    writer = csv.DictWriter(told, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    found = api.with_sheet(job, told.getvalue(), "tests.csv", date="2026-11-28")
    live = [row for row in rows if row["when"] != "dead"]
    assert found.taken == len(live) > (20 if text is None else 5)
    assert len(found.dead) == len(rows) - len(live)
    read = api.read_job(found.text, folder=job.folder).installation.readings
    assert {each.date for each in read} == {"2026-11-28"}
    assert sum(len(each.values) for each in read) == len(live)
    assert found.text.startswith(job.text)
