"""Edits of the stock file that goes with a job: rows added, changed or taken out, the others stay."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from typing import Final

from groundstrap.errors import CallError, Fault, JobError, QuantityError
from groundstrap.job.data import tidied
from groundstrap.job.forms import usual_spelling
from groundstrap.job.schema import MATERIALS
from groundstrap.job.shelf import STOCK_COLUMNS, judge_stock
from groundstrap.job.typed import taken_apart
from groundstrap.job.words import known_families, known_family
from groundstrap.records import dataclass
from groundstrap.tables import standard_sizes
from groundstrap.tables.colours import colour_code
from groundstrap.units import Kind, parse_size
from groundstrap.words import words

__all__ = ["StockEdit", "StockRow", "stock_cells", "stock_edited", "stock_rows", "with_usual_sizes"]

_HEADER: Final = ("kind", "size", "rating", "family", "colour", "price", "item", "pack", "reel")
"""Columns that a new file begins with."""
_SIZE: Final = re.compile(
    r"\d+(?:[.,]\d+)?\s*(?:mm2|mm²|sq\.?\s?mm)|\d+(?:/0)?\s*(?:AWG|SAE)\b|\d+\s*x\s*[\d.,]+\s*mm\b",
    re.IGNORECASE,
)


_WIRES: Final = ("wire", "wires", "cable", "cables", "-leitung", "-leitungen", "-kabel", "-litze")
_FUSES: Final = ("fuse", "fuses", "-sicherung", "-sicherungen")
_FITTINGS: Final = (
    "lug", "lugs", "terminal", "terminals", "ferrule", "ferrules", "gland", "glands", "heat shrink", "holder",
    "holders", "fuse box", "fuse block", "-kabelschuh", "-kabelschuhe", "-aderendhülsen", "-halter",
    "-sicherungskasten", "-verschraubung", "-schrumpfschlauch",
)  # fmt: skip
"""What is made for a size of wire or a fuse, and is neither; words of the trade, common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockEdit:
    """One edit: without a row the cells are a new one, without cells the row is taken out."""

    row: int | None = None
    """Number of the row from 0, the header and empty lines left out."""
    cells: Mapping[str, str] | None = None
    """By the names of the columns; of a row that is there only those that change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRow:
    """A row of the file."""

    number: int
    line: int
    cells: Mapping[str, str]
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class _Line:
    """Where a row stands in the text."""

    start: int
    end: int
    line: int
    cells: list[str]


def stock_rows(text: str, *, file: str = "stock.csv") -> tuple[StockRow, ...]:
    r"""Return the rows of a stock file, each with what is wrong with it.

    >>> stock_rows("kind,size,colour\nwire,4 AWG,red\n")[0].cells["size"]
    '4 AWG'
    """
    header, lines = _lines(text)
    faults = judge_stock(text, file)
    return tuple(
        StockRow(
            number=number,
            line=line.line,
            cells=dict(zip(header, line.cells, strict=False)),
            faults=tuple(fault for fault in faults if fault.line == line.line),
        )
        for number, line in enumerate(lines)
    )


def stock_edited(text: str, edits: Sequence[StockEdit], *, file: str = "stock.csv") -> str:
    r"""Return a stock file's text with edits made one after the other; rows that it is not about stay.

    Parameters
    ----------
    text : str
        The file's text; an empty one is begun.
    edits : Sequence of StockEdit
        What to do, in this order.
    file : str
        Its name, for messages.

    Examples
    --------
    >>> more = StockEdit(cells=stock_cells("4 AWG red 10 m"))
    >>> print(stock_edited("kind,size\nwire,6 mm2\n", [more]), end="")
    kind,size,colour,reel
    wire,6 mm2
    wire,4 AWG,red,10 m
    """
    for edit in edits:
        text = _made(text, edit, file)
    return text


def with_usual_sizes(text: str, system: str = "metric") -> str:
    r"""Return a stock file's text with the sizes of wire that shops usually have and it has not got yet.

    A list of what is on the shelf stands in for what shops have; with these rows both are chosen from.

    Parameters
    ----------
    text : str
        The file's text; an empty one is begun.
    system : str
        `metric` or `awg`: in which the sizes are.

    Examples
    --------
    >>> len(stock_rows(with_usual_sizes("kind,size\nwire,6 mm2\n"))) > 10
    True
    """
    there = (
        {parse_size(row.cells["size"]) for row in stock_rows(text) if row.cells.get("size")}
        if text
        else set()
    )
    usual = [parse_size(size.label) for size in standard_sizes("awg" if system == "awg" else "metric")]
    edits = [StockEdit(cells={"kind": "wire", "size": size.text}) for size in usual if size not in there]
    return stock_edited(text, edits)


def _made(text: str, edit: StockEdit, file: str) -> str:
    header, lines = _lines(text)
    newline = "\r\n" if "\r\n" in text else "\n"
    if not header:
        header, text = list(_HEADER), f"{','.join(_HEADER)}{newline}"
        lines = []
    if edit.row is not None and not 0 <= edit.row < len(lines):
        wanted = f"a number from 0 to {len(lines) - 1}" if lines else "a row to be added first"
        raise CallError("the stock has no such row", wanted=wanted, given=str(edit.row))
    if edit.cells is None:
        if edit.row is None:
            raise CallError("nothing was given to put into the stock", wanted="cells, or the number of a row")
        return text[: lines[edit.row].start] + text[lines[edit.row].end :]
    cells = {tidied(name): tidied(value) for name, value in edit.cells.items()}
    text, header, lines = _with_columns(text, header, lines, cells)
    if edit.row is None:
        gap = "" if text.endswith(("\n", "\r")) or not text else newline
        text = f"{text}{gap}{_row_text(header, cells)}{newline}"
        number = len(lines)
    else:
        number, line = edit.row, lines[edit.row]
        before = dict(zip(header, line.cells, strict=False))
        tail = text[line.start : line.end]
        ending = tail[len(tail.rstrip("\r\n")) :]
        text = text[: line.start] + _row_text(header, {**before, **cells}) + ending + text[line.end :]
    after = _lines(text)[1]
    if number >= len(after):
        raise CallError("nothing stands in the row then", wanted="a kind with its size, rating or item")
    at = after[number].line
    faults = [fault for fault in judge_stock(text, file) if fault.line in {1, at}]
    if faults:
        raise JobError(faults)
    return text


def _with_columns(
    text: str, header: list[str], lines: list[_Line], cells: Mapping[str, str]
) -> tuple[str, list[str], list[_Line]]:
    """Put columns into the header that it has not got; what rows lack there is empty."""
    new = [name for name, value in cells.items() if name not in header and value]
    if not new:
        return text, header, lines
    unknown = next((name for name in new if name not in STOCK_COLUMNS), None)
    if unknown is not None:
        wanted = f"one of {', '.join(STOCK_COLUMNS)}"
        raise CallError("the stock has no such column", wanted=wanted, given=unknown)
    end = len(text.split("\n", maxsplit=1)[0].rstrip("\r"))
    text = f"{text[:end]},{','.join(new)}{text[end:]}"
    return text, [*header, *new], _lines(text)[1]


def _row_text(header: Sequence[str], cells: Mapping[str, str]) -> str:
    row = [cells.get(name, "") for name in header]
    while len(row) > 1 and not row[-1]:
        row.pop()
    written = io.StringIO()
    csv.writer(written, lineterminator="").writerow(row)
    return written.getvalue()


def _lines(text: str) -> tuple[list[str], list[_Line]]:
    """Return the columns, and each row that holds something."""
    pieces = list(io.StringIO(text, newline=""))
    reader = csv.reader(pieces)
    header: list[str] = []
    found: list[_Line] = []
    before = at = 0
    try:
        for cells in reader:
            length = sum(len(piece) for piece in pieces[before : reader.line_num])
            told = [cell.strip() for cell in cells]
            if not header:
                header = [usual_spelling(cell.lstrip("\ufeff")) for cell in told]
            elif any(told):
                found.append(_Line(at, at + length, reader.line_num, told))
            before, at = reader.line_num, at + length
    except csv.Error as error:
        raise CallError(str(error), wanted="a CSV file with commas") from None
    return header, found


def stock_cells(typed: str) -> Mapping[str, str]:
    """Return the cells of a row from what somebody types: `4 AWG red 10 m`, `10 x 15 A mini blade`.

    >>> stock_cells("10 x 15 A mini blade")
    {'kind': 'fuse', 'rating': '15 A', 'family': 'mini blade', 'pack': '10'}
    """
    told = tidied(typed)
    for begin in ("add ", "i have ", "have "):
        told = told[len(begin) :] if told.lower().startswith(begin) else told
    told = re.sub(r"\s+to (?:the )?stock$", "", told, flags=re.IGNORECASE)
    apart = taken_apart(told)
    # A cable with lugs on it is one all the same.
    if apart.says(*_FITTINGS) and not apart.says("with", "mit"):
        return {"kind": "other", "item": told}
    size = _SIZE.search(told)
    if size is not None:
        return _wire_cells(told, size)
    amps = apart.of(Kind.CURRENT)
    family = _family_in(told)
    # A breaker whose family is not named is left out: it would be offered for any fuse of its amps.
    if amps and (family is not None or apart.says(*_FUSES)):
        cells = {"kind": "fuse", "rating": amps[0].text}
        cells |= {"family": family} if family is not None else {}
        cells |= {"pack": str(apart.times)} if apart.times > 1 else {}
        return cells
    if not told:
        raise CallError(
            words("nothing was typed"), wanted=words("such as 4 AWG red 10 m, or 15 A mini blade")
        )
    if apart.says(*_WIRES):
        reason = words("no size is in '{typed}'", typed=told)
        raise CallError(reason, wanted=words("the size as printed on the wire, such as 4 AWG red 10 m"))
    if apart.says(*_FUSES) or family is not None:
        reason = words("no rating is in '{typed}'", typed=told)
        raise CallError(reason, wanted=words("the rating as printed on the fuse, such as 15 A mini blade"))
    return {"kind": "other", "item": told}


def _wire_cells(told: str, size: re.Match[str]) -> dict[str, str]:
    try:
        written = parse_size(tidied(size[0])).text
    except QuantityError as error:
        if error.nearest is None:
            raise
        written = parse_size(error.nearest).text
    rest = f"{told[: size.start()]} {told[size.end() :]}"
    cells = {"kind": "wire", "size": written}
    others = [usual_spelling(word.lower()) for word in re.findall(r"[A-Za-z-]+", rest)]
    materials = [each for each in MATERIALS if each in " ".join(others)]
    colour = next((word for word in others if colour_code(word) is not None), None)
    lengths = taken_apart(rest).of(Kind.LENGTH)
    cells |= {"material": max(materials, key=len)} if materials else {}
    cells |= {"colour": colour} if colour is not None else {}
    return cells | ({"reel": lengths[0].text} if lengths else {})


def _family_in(told: str) -> str | None:
    """Return the family of fuse that is named in a text, the longest name first."""
    for name in sorted(known_families(), key=len, reverse=True):
        if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", told, re.IGNORECASE):
            return known_family(name)
    return known_family("regular blade") if re.search(r"\bblade\b", told, re.IGNORECASE) else None
