"""The loader: lazy, cached, and loud about damage."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest

from groundstrap.errors import TableError, UnknownNameError
from groundstrap.tables import show, weakest
from groundstrap.tables import table as module
from groundstrap.tables.table import table

GOOD = """
title = "t"
source = "own-judgement"
locator = "l"
lookup = "exact"
outside = "refuse"
reuse = "free"
known = "own judgement"
typed = { by = "A", on = 2026-01-01, from = "x" }
read_back = { by = "B", on = 2026-01-01, rows = "all" }
sha256 = "%s"
[columns.a]
unit = "A"
role = "key"
[columns.b]
unit = "1"
role = "value"
blank = true
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(module, "DATA", tmp_path)
    table.cache_clear()
    return tmp_path


def write(folder: Path, text: str, *, seal: str | None = None) -> None:
    data = text.encode()
    (folder / "t.csv").write_bytes(data)
    (folder / "t.toml").write_text(GOOD % (seal or hashlib.sha256(data).hexdigest()), encoding="utf-8")


def test_reads_cells_as_printed(folder: Path) -> None:
    write(folder, "a,b\n1.50,\n2,3\n")
    rows = table("t").rows
    assert (rows[0].text("a"), rows[0].number("a"), rows[0].maybe("b")) == ("1.50", 1.5, None)
    assert table("t").numbers("a") == (1.5, 2.0)
    assert table("t").find("a", "2") is rows[1]


def test_changed_numbers_are_refused(folder: Path) -> None:
    write(folder, "a,b\n1,2\n", seal="0" * 64)
    with pytest.raises(TableError, match="not those that were read back"):
        table("t")


def test_wrong_header_is_refused(folder: Path) -> None:
    write(folder, "a,c\n1,2\n")
    with pytest.raises(TableError, match="columns are"):
        table("t")


@pytest.mark.parametrize("text", ["a,b\n1\n", "a,b\n1,2,3\n"])
def test_incomplete_row_is_refused(folder: Path, text: str) -> None:
    write(folder, text)
    with pytest.raises(TableError, match="row 1 is not complete"):
        table("t")


def test_a_word_is_no_number(folder: Path) -> None:
    write(folder, "a,b\nfew,2\n")
    with pytest.raises(TableError) as caught:
        table("t").rows[0].number("a")
    assert caught.value.table == "t"


def test_unknown_table_names_the_nearest() -> None:
    table.cache_clear()
    with pytest.raises(UnknownNameError) as caught:
        show("iec_60228_resistanc")
    assert caught.value.nearest == "iec_60228_resistance"


def test_a_table_is_read_once() -> None:
    assert show("zones") is show("zones")


def test_importing_reads_nothing() -> None:
    code = f"import sys; sys.path[:0] = {sys.path!r}\nimport groundstrap.tables.table as t\n"
    code += "print(t.table.cache_info().currsize)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "0"


def test_weakest_knowledge() -> None:
    assert weakest("verified", "own judgement", "from memory") == "own judgement"
