"""A sheet of readings as CSV, as a spreadsheet saves it: which reading stands on which line."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, Final

from groundstrap.errors import CallError, Fault, JobError, nearest_name
from groundstrap.job.tree import LONGEST_TEXT
from groundstrap.records import dataclass
from groundstrap.words import joined, words

if TYPE_CHECKING:
    from _csv import Reader

__all__ = ["SHEET_COLUMNS", "SheetRow", "read_sheet"]

SHEET_COLUMNS: Final = (
    "where", "red", "black", "through", "read", "unit", "when", "using", "meter", "date", "by", "note",
)  # fmt: skip
"""Columns that are looked at; a sheet may have any others beside them."""
_DELIMITERS: Final = ",;\t"
_MOST_ROWS: Final = 5_000
_OHMS: Final = ("ohm", "ohms", "ω")
"""What a value in ohms ends with, whatever stands before it and in whichever letters; a casefolded Ω is ω."""
_POINT: Final = words("a number with a decimal point, such as 0.31")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One line with something in its column `read`; what a line does not say is empty."""

    line: int
    where: str
    value: str
    """What the meter showed, with its unit."""
    when: str = ""
    using: tuple[str, ...] = ()
    meter: str = ""
    date: str = ""
    by: str = ""
    note: str = ""
    dead: bool = False
    """Ohms of a circuit that is dead: they stay on the sheet."""


def read_sheet(text: str, name: str = "-") -> tuple[SheetRow, ...]:
    r"""Return the lines of a sheet in which something was read; lines left empty are passed over.

    Parameters
    ----------
    text : str
        The CSV file: a first line of names, among them `read`, and `where` or `red` and `black` or
        `through`; columns parted by commas, semicolons or tabs.
    name : str
        Of the file, for messages.

    Raises
    ------
    JobError
        Every fault with its line.

    Examples
    --------
    >>> read_sheet("where;read;unit\npump;10.9;V\nlamp;;V\n")[0].value
    '10.9 V'
    >>> read_sheet("where,read\npump,10,9 V\n", "sheet.csv")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
        ...
    groundstrap.errors.JobError: sheet.csv:2:2: read: found '10,9 V' (more cells ... decimal comma?)...
    """
    if len(text) > LONGEST_TEXT:
        raise CallError(
            words("{file} is too long", file=name),
            wanted=words("a sheet of at most {count} signs", count=LONGEST_TEXT),
        )
    plain = text.removeprefix("\ufeff")
    lines = csv.reader(io.StringIO(plain, newline=""), delimiter=_delimiter(plain))
    faults: list[Fault] = []
    try:
        header = [cell.strip().casefold() for cell in next(filter(None, lines), [])]
        _check_header(header, name)
        rows = tuple(_rows(lines, header, name, faults))
    except csv.Error as error:
        raise JobError(
            [_fault(name, lines.line_num, wanted=words("a CSV file"), reason=str(error))]
        ) from None
    if faults:
        raise JobError(faults)
    if not rows:
        raise CallError(
            words("{file} holds no reading", file=name),
            wanted=words("what the meter showed, in the column read"),
        )
    return rows


def _delimiter(text: str) -> str:
    first = text.lstrip("\r\n").partition("\n")[0]
    return max(_DELIMITERS, key=first.count)


def _check_header(header: list[str], name: str) -> None:
    where = "where" in header or "through" in header or {"red", "black"} <= set(header)
    missing = [] if "read" in header else ["read"]
    missing += [] if where else ["where"]
    if missing:
        wanted = words("a first line of names, such as where,read,unit,when,using,meter,date,by")
        near = next((found for each in missing if (found := nearest_name(each, header))), None)
        reason = words("no column {names}", names=joined(words(" and none "), missing))
        found = ", ".join(header)
        raise JobError([_fault(name, 1, wanted=wanted, reason=reason, found=found, nearest=near)])


def _fault(name: str, line: int, *, wanted: str, reason: str, **more: Any) -> Fault:
    given = {"key": "", "found": "", "column": 1, **more}
    return Fault(file=name, line=line, wanted=wanted, reason=reason, **given)


def _numbered(lines: Reader) -> Iterator[tuple[int, list[str]]]:
    """Each row with the line that it begins on: a note in quotes may go over several."""
    begins = lines.line_num + 1
    for cells in lines:
        yield begins, cells
        begins = lines.line_num + 1


def _rows(lines: Reader, header: list[str], name: str, faults: list[Fault]) -> Iterator[SheetRow]:
    at = header.index("read")
    for number, cells in _numbered(lines):
        if number > _MOST_ROWS:
            raise CallError(
                words("{file} has more lines than {count}", file=name, count=_MOST_ROWS),
                wanted=words("a sheet of one visit"),
            )
        kept = [cell.strip() for cell in cells]
        if len(kept) > len(header) and any(kept[len(header) :]):
            told = ",".join(kept[at : at + 2])
            reason = words("more cells than the first line has names; is it a decimal comma?")
            more = {"key": "read", "found": told, "column": at + 1}
            faults.append(_fault(name, number, wanted=_POINT, reason=reason, **more))
            continue
        # A spreadsheet marks a text with an apostrophe where it would reckon with it; of a list, each thing.
        row = {
            name: cell if name == "using" else cell.removeprefix("'")
            for name, cell in zip(header, kept, strict=False)
        }
        if not row.get("read"):
            continue
        where = _where(row)
        if not where:
            wanted = words("where it was read: a load, or two points")
            faults.append(
                _fault(name, number, wanted=wanted, reason=words("the line says no place"), key="where")
            )
            continue
        yield _row(number, where, row)


def _where(row: Mapping[str, str]) -> str:
    if row.get("where"):
        return row["where"]
    red, black = row.get("red", ""), row.get("black", "")
    return row.get("through", "") or (f"{red} to {black}" if red and black else red)


def _listed(cell: str) -> Iterator[str]:
    """The things of a list within a cell; in quotes stands one that has a semicolon in its name."""
    for row in csv.reader([cell], delimiter=";", skipinitialspace=True):
        yield from (each.strip().removeprefix("'") for each in row if each.strip())


def _row(line: int, where: str, row: Mapping[str, str]) -> SheetRow:
    read, unit = row["read"], row.get("unit", "")
    value = f"{read} {unit}" if unit and not any(sign.isalpha() for sign in read) else read
    using = tuple(_listed(row.get("using", "")))
    return SheetRow(
        line=line,
        where=where,
        value=value,
        using=using,
        dead=row.get("when") == "dead" or value.casefold().endswith(_OHMS),
        **{key: row.get(key, "") for key in ("when", "meter", "date", "by", "note")},
    )
