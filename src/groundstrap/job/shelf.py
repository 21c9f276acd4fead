"""CSV files that lie beside a job file: what is on the shelf, and a maker's own fuse curves."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path, PurePosixPath
from typing import Final, TypeVar

from groundstrap.errors import Fault, GroundstrapError, QuantityError, nearest_name
from groundstrap.job.faults import Faults, Spot, one_of
from groundstrap.job.forms import usual_spelling
from groundstrap.job.schema import MATERIALS
from groundstrap.job.tree import ScalarNode
from groundstrap.job.words import known_families, known_family, known_insulation
from groundstrap.model import CurvePoint, FuseCurve, Stock, StockItem
from groundstrap.records import dataclass
from groundstrap.units import Kind, parse, parse_size

__all__ = ["STOCK_COLUMNS", "STOCK_KINDS", "judge_stock", "read_curve", "read_stock"]

STOCK_COLUMNS: Final = (
    "kind",
    "size",
    "rating",
    "family",
    "insulation",
    "material",
    "colour",
    "price",
    "item",
    "part",
    "pack",
    "reel",
)
STOCK_KINDS: Final = ("wire", "fuse", "other")
_CURVE_COLUMNS: Final = ("current", "fastest", "slowest")
_LARGEST_FILE: Final = 1_000_000

_T = TypeVar("_T")


@dataclass(slots=True)
class _Row:
    """A line of a CSV file: its cells by column, and where faults in it go."""

    file: str
    line: int
    cells: dict[str, str]
    spot: Spot
    sound: bool = True

    def fault(self, column: str, wanted: str, *, reason: str = "", nearest: str | None = None) -> None:
        self.sound = False
        self.spot.faults.add(
            Fault(
                file=self.file,
                line=self.line,
                column=1 + STOCK_COLUMNS.index(column) if column in STOCK_COLUMNS else 1,
                key=column,
                found=self.cells.get(column, ""),
                wanted=wanted,
                nearest=nearest,
                reason=reason,
            )
        )

    def read(self, column: str, reader: Callable[[str], _T]) -> _T | None:
        """Read a cell where something stands in it."""
        cell = self.cells.get(column, "")
        if not cell:
            return None
        try:
            return reader(cell)
        except QuantityError as error:
            self.fault(column, error.wanted, reason=error.reason, nearest=error.nearest)
        except GroundstrapError as error:
            self.fault(
                column,
                f"a {column} that is known",
                reason=str(error),
                nearest=getattr(error, "nearest", None),
            )
        return None


def _text_of(spot: Spot, name: str, folder: Path | None) -> str | None:
    """Return the text of a file beside the job file; what can't be read is a fault."""
    wanted = "the name of a CSV file in UTF-8 beside the job file"
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or "\\" in name or "\0" in name:
        spot.fault(wanted, reason="a file elsewhere is not read")
        return None
    if folder is None:
        spot.fault("a job file that is read from a folder", reason="there is no folder to look for it in")
        return None
    try:
        with (folder / path).open("rb") as opened:
            data = opened.read(_LARGEST_FILE + 1)
        if len(data) > _LARGEST_FILE:
            spot.fault(f"a file of at most {_LARGEST_FILE} bytes", reason="it is too large")
            return None
        return data.decode("utf-8-sig")
    except OSError as error:
        spot.fault(wanted, reason=(error.strerror or "it can't be read").lower())
    except UnicodeDecodeError:
        spot.fault(wanted, reason="it is not written in UTF-8")
    return None


def _rows(
    spot: Spot, name: str, text: str, columns: tuple[str, ...], needed: tuple[str, ...]
) -> Iterator[_Row]:
    """Yield the rows below the header; a header that is not understood is a fault."""
    lines = csv.reader(io.StringIO(text, newline=""))
    try:
        header = [usual_spelling(cell.strip()) for cell in next(lines, [])]
        unknown = [cell for cell in header if cell not in columns]
        head = _Row(name, 1, {"header": ",".join(header)}, spot)
        if unknown or any(column not in header for column in needed) or len(set(header)) != len(header):
            nearest = nearest_name(unknown[0], columns) if unknown else None
            head.fault(
                "header", f"a header of {', '.join(columns)}", reason="the header is another", nearest=nearest
            )
            return
        for cells in lines:
            row = _Row(
                name, lines.line_num, dict(zip(header, (cell.strip() for cell in cells), strict=False)), spot
            )
            if len(cells) > len(header):
                row.fault("header", f"{len(header)} cells", reason=f"the row has {len(cells)}")
            elif any(row.cells.values()):
                yield row
    except csv.Error as error:
        _Row(name, lines.line_num, {}, spot).fault("header", "a CSV file with commas", reason=str(error))


def _price(text: str) -> float:
    whole, _, cents = text.partition(".")
    if not (text.isascii() and whole.isdigit() and len(text) < 16 and (cents.isdigit() or "." not in text)):
        raise QuantityError(given=text, reason="it is no price", wanted="a plain number such as 2.40")
    return float(text)


def _known_family(text: str) -> str:
    found = known_family(text)
    if found is not None:
        return found
    known = known_families()
    nearest = nearest_name(text, known)
    wanted = one_of("family", known)
    raise QuantityError(given=text, reason="no family of that name", wanted=wanted, nearest=nearest)


def _material(text: str) -> str:
    text = usual_spelling(text)
    if text not in MATERIALS:
        nearest = nearest_name(text, MATERIALS)
        wanted = one_of("material", MATERIALS)
        raise QuantityError(given=text, reason="no material of that name", wanted=wanted, nearest=nearest)
    return text


def _rating(text: str) -> float:
    return parse(text, Kind.CURRENT).value


def _pack(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 0 < len(text) < 7 and int(text) > 0):
        raise QuantityError(
            given=text, reason="it is no number of pieces", wanted="a whole number such as 10"
        )
    return int(text)


def _reel(text: str) -> float:
    length_m = parse(text, Kind.LENGTH).value
    if not 0.1 <= length_m <= 10_000:
        raise QuantityError(given=text, reason="no reel is that long", wanted="a length such as 25 m")
    return length_m


def read_stock(spot: Spot, folder: Path | None) -> Stock | None:
    """Read what is on the shelf: one wire, fuse or other thing a line."""
    name = spot.word("the name of a CSV file beside the job file")
    text = None if name is None else _text_of(spot, name, folder)
    if name is None or text is None:
        return None
    items = [_stock_item(row) for row in _rows(spot, name, text, STOCK_COLUMNS, ("kind",))]
    return Stock(file=name, items=tuple(item for item in items if item is not None))


def judge_stock(text: str, name: str) -> tuple[Fault, ...]:
    """Return what is wrong with a stock file's text."""
    faults = Faults(name, text)
    spot = Spot(ScalarNode(name, 0, 0, 1, 1), ("stock",), faults)
    for row in _rows(spot, name, text, STOCK_COLUMNS, ("kind",)):
        _stock_item(row)
    return tuple(faults.found)


def _stock_item(row: _Row) -> StockItem | None:
    kind = row.cells.get("kind", "")
    size = row.read("size", parse_size)
    rating_a = row.read("rating", _rating)
    if kind not in STOCK_KINDS:
        row.fault(
            "kind", "wire, fuse or other", nearest=nearest_name(kind, STOCK_KINDS), reason="no kind of stock"
        )
    elif kind == "wire" and not row.cells.get("size"):
        row.fault("size", "the size of the wire", reason="size is missing")
    elif kind == "fuse" and not row.cells.get("rating"):
        row.fault("rating", "the rating of the fuse", reason="rating is missing")
    elif kind == "other" and not row.cells.get("item"):
        row.fault("item", "its words in the list of parts", reason="item is missing")
    item = StockItem(
        kind=kind,
        size=size,
        rating_a=rating_a,
        family=row.read("family", _known_family),
        insulation=row.read("insulation", known_insulation),
        material=row.read("material", _material),
        colour=row.cells.get("colour") or None,
        price=row.read("price", _price),
        item=row.cells.get("item") or None,
        part=row.cells.get("part") or None,
        pack=row.read("pack", _pack),
        reel_m=row.read("reel", _reel) if kind == "wire" else None,
        text=", ".join(cell for cell in row.cells.values() if cell),
    )
    return item if row.sound else None


def read_curve(spot: Spot, name: str, folder: Path | None) -> FuseCurve | None:
    """Read a maker's time-current points: current, and the time within which the fuse opens."""
    text = _text_of(spot, name, folder)
    if text is None:
        return None
    before = len(spot.faults.found)
    points = [_curve_point(row) for row in _rows(spot, name, text, _CURVE_COLUMNS, ("current", "slowest"))]
    if len(spot.faults.found) > before:
        return None
    made = tuple(point for point in points if point is not None)
    rising = all(
        one.current_a < other.current_a
        and one.slowest_s >= other.slowest_s
        and (one.fastest_s is None or other.fastest_s is None or one.fastest_s >= other.fastest_s)
        for one, other in pairwise(made)
    )
    if len(made) < 2 or not rising:
        spot.fault(
            "at least two points, by rising current and falling time", reason="the points are no curve"
        )
        return None
    return FuseCurve(file=name, points=made)


def _time(text: str) -> float:
    return parse(text, Kind.TIME).value


def _curve_point(row: _Row) -> CurvePoint | None:
    current_a = row.read("current", _rating)
    slowest_s = row.read("slowest", _time)
    fastest_s = row.read("fastest", _time)
    if not row.sound:
        return None
    if current_a is None or slowest_s is None:
        row.fault(
            "current" if current_a is None else "slowest",
            "a current and its slowest time",
            reason="it is missing",
        )
        return None
    if (fastest_s is not None and fastest_s > slowest_s) or current_a <= 0:
        row.fault(
            "fastest", "at most the slowest time, and a current above nothing", reason="the two are crossed"
        )
        return None
    return CurvePoint(current_a=current_a, fastest_s=fastest_s, slowest_s=slowest_s)
