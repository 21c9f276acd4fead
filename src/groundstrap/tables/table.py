"""Reference tables: one CSV with the numbers as printed, one TOML with everything about them.

``table(name)`` reads a pair when it is first asked for and keeps it. Cells stay the text that was printed;
``Row.number`` turns one into a float. Nothing here interprets a table: the typed look-ups beside this module
do.
"""

from __future__ import annotations

import csv
import hashlib
import io
import re
import tomllib
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from groundstrap.errors import TableError, UnknownNameError
from groundstrap.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

__all__ = [
    "KNOWN",
    "LOOKUPS",
    "UNITS",
    "Column",
    "NotTabled",
    "Reading",
    "Row",
    "Table",
    "list_tables",
    "show",
    "table",
    "weakest",
]

DATA: Final = Path(__file__).with_name("data")

KNOWN: Final = ("verified", "computed", "common practice", "from memory", "own judgement")
"""How well a value is known, the best first."""

LOOKUPS: Final = ("exact", "step-down", "step-up", "linear")

UNITS: Final = frozenset({
    "1", "text", "AWG", "SAE", "mm2", "mm", "m", "ft", "CM", "A", "V", "W", "ohm", "mohm", "mohm/m", "ohm/km",
    "ohm/kft", "ohm mm2/m", "degC", "K", "1/K", "s", "min", "%", "Ah", "A2s", "A s^0.5/mm2", "J/(m3 K)",
    "W/(m K)", "1/min", "mV", "ms", "mA/Ah", "N", "N m", "lbf", "lbf in", "1/h", "%/K",
    "A/Ah",
})  # fmt: skip
"""Units that a column may be in; ``1`` is a plain number, ``text`` no number at all."""

_SEAL: Final = re.compile(r'^sha256 *= *"([0-9a-f]{64})"$', re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class NotTabled:
    """No published table answers: the value is not known, and why."""

    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its unit, what it is for, and how its values run."""

    name: str
    unit: str
    role: str
    order: str = ""
    blank: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """Who typed a table or read it back, when, and from what or how much of it.

    ``GS-1`` typed; ``GS-2`` read every cell back against the reference notes, by other code or by eye.
    """

    by: str
    on: str
    what: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table, its cells as they were printed."""

    table: str
    number_in_table: int
    cells: Mapping[str, str]

    def text(self, column: str) -> str:
        """Return the cell as it stands."""
        return self.cells[column]

    def number(self, column: str) -> float:
        """Return the cell as a number, in the column's unit."""
        try:
            return float(self.cells[column])
        except (KeyError, ValueError) as fault:
            reason = f"row {self.number_in_table}, {column}: {fault}"
            raise TableError(self.table, reason, wanted="a number") from fault

    def maybe(self, column: str) -> float | None:
        """Return the cell as a number, None where nothing is printed."""
        return self.number(column) if self.cells[column] else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A reference table with its provenance, which is read when somebody asks for it."""

    name: str
    sha256: str
    rows: tuple[Row, ...]

    @property
    def title(self) -> str:
        """What it holds."""
        return str(_head(self.name)["title"])

    @property
    def source(self) -> str:
        """Id of its source, for rows that name none of their own."""
        return str(_head(self.name)["source"])

    @property
    def locator(self) -> str:
        """Where in the source."""
        return str(_head(self.name)["locator"])

    @property
    def lookup(self) -> str:
        """How values between its rows are taken."""
        return str(_head(self.name)["lookup"])

    @property
    def outside(self) -> str:
        """What is done beyond its rows."""
        return str(_head(self.name)["outside"])

    @property
    def reuse(self) -> str:
        """On what terms its values may stand here."""
        return str(_head(self.name)["reuse"])

    @property
    def known(self) -> str:
        """How well its values are known, where a row does not say."""
        return str(_head(self.name)["known"])

    @property
    def note(self) -> str:
        """What else is to be known of it."""
        return str(_head(self.name).get("note", ""))

    @property
    def typed(self) -> Reading:
        """Who typed it."""
        return _reading(_head(self.name)["typed"], "from")

    @property
    def read_back(self) -> Reading:
        """Who read it back."""
        return _reading(_head(self.name)["read_back"], "rows")

    @property
    def conditions(self) -> Mapping[str, str | float]:
        """What its values hold for."""
        return MappingProxyType(_about(self.name).get("conditions", {}))

    @property
    def columns(self) -> tuple[Column, ...]:
        """Its columns, in the order in which they are printed."""
        return tuple(_column(key, entry) for key, entry in _about(self.name)["columns"].items())

    def __iter__(self) -> Iterator[Row]:
        """Walk the rows in printed order."""
        return iter(self.rows)

    def numbers(self, column: str) -> tuple[float, ...]:
        """Return a whole column as numbers, in the column's unit."""
        return tuple(row.number(column) for row in self.rows)

    def find(self, column: str, text: str) -> Row | None:
        """Return the first row with this text in a column, None where there is none."""
        return next((row for row in self.rows if row.cells[column] == text), None)

    def known_of(self, row: Row, column: str = "known") -> str:
        """Return how well a row's values are known: its own word, or the table's."""
        return row.cells.get(column) or self.known

    def source_of(self, row: Row) -> str:
        """Return the id of a row's source: its own, or the table's."""
        return row.cells.get("source") or self.source


def _reading(entry: Mapping[str, Any], what: str) -> Reading:
    return Reading(by=entry["by"], on=str(entry["on"]), what=entry[what])


def _column(name: str, entry: Mapping[str, Any]) -> Column:
    return Column(
        name=name,
        unit=entry["unit"],
        role=entry["role"],
        order=entry.get("order", ""),
        blank=entry.get("blank", False),
    )


def _rows(name: str, text: str, wanted: list[str]) -> tuple[Row, ...]:
    reader = csv.DictReader(io.StringIO(text), strict=True)
    if list(reader.fieldnames or ()) != wanted:
        raise TableError(name, f"columns are {reader.fieldnames}", wanted=", ".join(wanted))
    rows = tuple(Row(name, i, MappingProxyType(cells)) for i, cells in enumerate(reader, start=1))
    for row in rows:
        if None in row.cells or None in row.cells.values():
            raise TableError(
                name, f"row {row.number_in_table} is not complete", wanted=f"{len(wanted)} cells"
            )
    return rows


@cache
def table(name: str) -> Table:
    """Return the table of this name, read once.

    >>> table("iec_60228_resistance").rows[0].text("class_5_plain_ohm_per_km")
    '39.0'
    """
    about = _toml(name)
    sha256 = _SEAL.search(about)
    data = (DATA / f"{name}.csv").read_bytes()
    if sha256 is None or hashlib.sha256(data).hexdigest() != sha256[1]:
        raise TableError(name, "its numbers are not those that were read back", wanted="the sealed CSV file")
    rows = _rows(name, data.decode("utf-8"), _column_names(about))
    return Table(name=name, sha256=sha256[1], rows=rows)


# Reading all of it for every table took a twentieth of the time that planning a job takes as a process.
@cache
def _head(name: str) -> Mapping[str, Any]:
    """What stands about a table as a whole: before its conditions and columns, which look-ups do without."""
    head, *_ = _toml(name).partition("\n[")
    return tomllib.loads(head)


def _column_names(text: str) -> list[str]:
    return [line[len("[columns.") : -1] for line in text.splitlines() if line.startswith("[columns.")]


@cache
def _about(name: str) -> Mapping[str, Any]:
    """Everything that stands about a table."""
    return tomllib.loads(_toml(name))


def _toml(name: str) -> str:
    file = DATA / f"{name}.toml"
    if not file.is_file():
        raise UnknownNameError("table", name, list_tables())
    return file.read_text(encoding="utf-8")


@cache
def list_tables() -> tuple[str, ...]:
    """Return the names of all tables, sorted.

    >>> "iec_60228_resistance" in list_tables()
    True
    """
    return tuple(sorted(path.stem for path in DATA.glob("*.toml")))


def show(name: str) -> Table:
    """Return a table with all that is known about it; the front ends' way in.

    >>> show("iec_60228_resistance").source
    'iec-60228'
    """
    return table(name)


def weakest(*known: str) -> str:
    """Return the word for what is known worst among these.

    >>> weakest("verified", "from memory", "computed")
    'from memory'
    """
    return max(known, key=KNOWN.index)
