"""All reference tables at once: whole pairs, sealed numbers, known units, declared order, printed spots."""

from __future__ import annotations

import csv
import hashlib
import tomllib
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from groundstrap.sources import all_sources
from groundstrap.tables import list_tables, show
from groundstrap.tables.table import DATA, KNOWN, LOOKUPS, UNITS, Table

NAMES = list_tables()
ROLES = {"key", "value", "label", "known", "source"}
REUSE = {"free", "facts-only", "user-supplied"}
# Typed by hand from the reference sheets, not from the tables.
SPOTS = Path(__file__).with_name("table_spots.csv")
# Tables that hold fewer than three printed values altogether.
SMALL = {"conduit_jam": 2, "overcurrent_limits": 2, "part_temperature": 2}


@cache
def spots() -> dict[str, list[tuple[str, str, str]]]:
    found: dict[str, list[tuple[str, str, str]]] = {}
    with SPOTS.open(encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            found.setdefault(line["table"], []).append((line["row"], line["column"], line["value"]))
    return found


def keys_of(data: Table) -> list[str]:
    return [column.name for column in data.columns if column.role == "key"]


def test_every_pair_is_whole() -> None:
    assert {path.stem for path in DATA.glob("*.csv")} == set(NAMES)
    assert {path.suffix for path in DATA.iterdir()} == {".csv", ".toml"}
    assert len(NAMES) >= 60


def test_every_spot_is_of_a_table() -> None:
    assert set(spots()) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_those_that_were_read_back(name: str) -> None:
    data = (DATA / f"{name}.csv").read_bytes()
    assert show(name).sha256 == hashlib.sha256(data).hexdigest()
    assert b"\r" not in data


@pytest.mark.parametrize("name", NAMES)
def test_header_is_as_described(name: str) -> None:
    about = tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        assert next(csv.reader(file)) == list(about["columns"])
    assert set(about) <= {
        "title", "source", "locator", "conditions", "lookup", "outside", "reuse", "known", "note",
        "typed", "read_back", "sha256", "columns",
    }  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_provenance_is_complete(name: str) -> None:
    data = show(name)
    assert data.title
    assert data.locator
    assert data.lookup in LOOKUPS
    assert data.outside in {"refuse", "flag"}
    assert data.reuse in REUSE
    assert data.known in KNOWN
    assert data.typed.by != data.read_back.by
    assert data.typed.what
    assert data.read_back.what == "all"
    assert data.typed.on <= data.read_back.on


@pytest.mark.parametrize("name", NAMES)
def test_sources_and_states_of_knowledge_are_known(name: str) -> None:
    data = show(name)
    assert data.source in all_sources()
    for column in data.columns:
        assert column.unit in UNITS
        assert column.role in ROLES
        for row in data:
            if column.role == "source":
                assert row.text(column.name) in all_sources(), row
            if column.role == "known":
                assert row.text(column.name) in KNOWN, row


@pytest.mark.parametrize("name", NAMES)
def test_what_nobody_read_does_not_call_itself_verified(name: str) -> None:
    data = show(name)
    for row in data:
        if all_sources()[data.source_of(row)].seen.value == "from memory":
            assert data.known_of(row) != "verified", row


@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_numbers(name: str) -> None:
    data = show(name)
    gauges = {"AWG", "SAE", "text"}
    for column in data.columns:
        for row in data:
            if not row.text(column.name):
                assert column.blank, (row, column.name)
            elif column.unit not in gauges:
                assert row.number(column.name) == float(row.text(column.name))


@pytest.mark.parametrize("name", NAMES)
def test_rows_have_one_key_each(name: str) -> None:
    data = show(name)
    keys = [tuple(row.text(key) for key in keys_of(data)) for row in data]
    # One wire may have two statements about its usual fuse, by two sources.
    if name != "wire_fuse_practice":
        assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("name", NAMES)
def test_columns_run_as_declared(name: str) -> None:
    data = show(name)
    for column in data.columns:
        values = [row.number(column.name) for row in data if column.order]
        steps = [after - before for before, after in pairwise(values)]
        if column.order == "rising" and column.role == "key":
            assert all(step > 0 for step in steps), column.name
        elif column.order == "rising":
            assert all(step >= 0 for step in steps), column.name
        elif column.order:
            assert column.order == "falling"
            assert all(step <= 0 for step in steps), column.name


@pytest.mark.parametrize("name", NAMES)
def test_stepped_tables_declare_a_rising_key_or_are_grouped(name: str) -> None:
    data = show(name)
    if data.lookup in {"step-down", "step-up", "linear"}:
        keys = [column for column in data.columns if column.role == "key"]
        gauges = keys[0].unit == "AWG"
        assert len(keys) > 1 or gauges or keys[0].order == "rising", name


@pytest.mark.parametrize("name", NAMES)
def test_printed_spots(name: str) -> None:
    data = show(name)
    assert len(spots()[name]) >= SMALL.get(name, 3)
    for key, column, value in spots()[name]:
        rows = [row for row in data if "|".join(row.text(part) for part in keys_of(data)) == key]
        assert rows, f"{name} has no row {key}"
        assert rows[0].text(column) == value, (name, key, column)
