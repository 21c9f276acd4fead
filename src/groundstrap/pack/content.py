"""What the pack says, before anything is set in type: sections of blocks, the same for PDF and HTML.

Texts are English, made with `groundstrap.words` wherever they hold a sentence or a heading, so that whoever
sets them can put another language in their place. Numbers stand in them as `report.figures` writes them.
"""

from __future__ import annotations

from enum import StrEnum

from groundstrap.records import dataclass

__all__ = [
    "Align",
    "Block",
    "Calculation",
    "CalculationLine",
    "Caution",
    "Column",
    "Document",
    "Facts",
    "Fill",
    "Items",
    "Paragraph",
    "Picture",
    "Section",
    "Step",
    "Steps",
    "Table",
]


class Align(StrEnum):
    """Where a column's texts stand."""

    LEFT = "left"
    RIGHT = "right"
    CENTRE = "centre"


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A text on its own; `strong` for one that must not be missed."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """Short texts under each other, each with a mark, or with a box to tick."""

    texts: tuple[str, ...]
    ticks: bool = False


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt someone at this point, framed."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do, with the cautions at it and a box to tick."""

    text: str
    cautions: tuple[str, ...] = ()
    details: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """Things to do one after the other; `first` is the number of the first one."""

    steps: tuple[Step, ...]
    first: int = 1


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table: `share` is how much of the width it asks for beside the others."""

    title: str
    align: Align = Align.LEFT
    share: float = 1.0
    blank: bool = False
    """Whether it is left free for a hand to write in."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns; a row has as many texts as there are columns. Rows never split over pages."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    small: bool = False
    """Whether it is set smaller, for wide lists."""


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with their values, one a line."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing as SVG, as wide as the page lets it be; `words` say what is to be seen."""

    svg: str
    words: str
    whole_page: bool = False
    landscape: bool = False
    true_size: bool = False
    """Whether it is as large as a sheet of paper and is printed so, such as a sheet of labels."""


@dataclass(frozen=True, slots=True)
class Fill:
    """Lines for a hand to write on: names of what goes there, such as a date and a signature."""

    labels: tuple[str, ...]
    height_mm: float = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CalculationLine:
    """One step of a calculation that somebody can check by hand."""

    what: str
    formula: str
    """With letters, such as `ΔV = I · (R_out + R_back)`."""
    numbers: str
    """The same with its numbers and units."""
    result: str
    limit: str = ""
    margin: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Calculation:
    """The calculation of one circuit."""

    lines: tuple[CalculationLine, ...]


Block = Paragraph | Items | Caution | Steps | Table | Facts | Picture | Fill | Calculation


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One part of the pack. `key` names it on the command line, in bookmarks and in file names."""

    key: str
    title: str
    blocks: tuple[Block, ...] = ()
    parts: tuple[Section, ...] = ()
    """Sections inside it, one level down."""
    new_page: bool = True
    one_page: bool = False
    """Whether it is set smaller, as far as it can be read, so that it is one sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """Everything that is printed together."""

    title: str
    fingerprint: str
    sections: tuple[Section, ...]
    facts: tuple[tuple[str, str], ...] = ()
    """What stands on the cover about the vehicle and the work: vehicle, owner, by, date."""
    revision: str = ""
    warning: str = ""
    """What stands at the head of every page, such as that the job must not be built."""
