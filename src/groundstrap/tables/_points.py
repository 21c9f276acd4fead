"""What look-ups of batteries and of charging share: a named row, its low, typical and high, a curve."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from groundstrap.errors import UnknownNameError
from groundstrap.records import dataclass
from groundstrap.tables.supplies import Default

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from groundstrap.tables.table import Row, Table

__all__ = ["Curve", "array_of", "default_of", "line_of", "row_of"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """Points of a curve, keys rising, straight between them: low, typical and high in the column's unit."""

    keys: NDArray[np.float64]
    low: NDArray[np.float64]
    typical: NDArray[np.float64]
    high: NDArray[np.float64]
    source: str
    known: str


def array_of(values: Iterable[float]) -> NDArray[np.float64]:
    """Return a column as an array that nobody can write to."""
    made = np.array(tuple(values), dtype=np.float64)
    made.flags.writeable = False
    return made


def line_of(data: Table, key: str, values: Iterable[float]) -> Curve:
    """Return a curve of which one line is known, over a column of a table."""
    line = array_of(values)
    return Curve(
        keys=array_of(data.numbers(key)),
        low=line,
        typical=line,
        high=line,
        source=data.source,
        known=data.known,
    )


def row_of(data: Table, column: str, text: str, what: str) -> Row:
    """Return the row that a column names; refused with the names that there are."""
    row = data.find(column, text)
    if row is None:
        raise UnknownNameError(what, text, list(dict.fromkeys(each.text(column) for each in data)))
    return row


def default_of(data: Table, row: Row, unit: str, ends: Iterable[str] = ("low", "typical", "high")) -> Default:
    """Return low, typical and high of a row."""
    low, typical, high = (row.number(column) for column in ends)
    return Default(
        low=low,
        typical=typical,
        high=high,
        unit=unit,
        source=data.source_of(row),
        known=data.known_of(row),
    )
