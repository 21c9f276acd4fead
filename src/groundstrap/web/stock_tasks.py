"""What workers do for the page of the stock: its list as it is shown, and the list with a change made."""

from __future__ import annotations

from collections.abc import Mapping

from groundstrap import api
from groundstrap.records import dataclass
from groundstrap.web.pages import phrases
from groundstrap.web.pages.rendering import said

__all__ = ["StockChanged", "StockLine", "StockShown", "stock_changed", "stock_shown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """One row of it."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockShown:
    """The list of what is on the shelf for a job."""

    name: str
    """Of its file, as the job names it."""
    named: bool
    """Whether the job names it."""
    rows: tuple[StockLine, ...]
    columns: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockChanged:
    """A job with its list changed."""

    text: str
    files: Mapping[str, str]
    note: str
    """What was changed, for the revision."""


def stock_shown(text: str, files: Mapping[str, str]) -> StockShown:
    """Return the list of a job.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    files : Mapping of str to str
        What is kept beside it: name to text.
    """
    found = [each.value for each in api.job_form(text).sections if each.path == ("stock",)]
    name = found[0] if found and found[0] else "stock.csv"
    told = files.get(name, "")
    read = api.stock_rows(told) if told.strip() else ()
    rows = tuple(StockLine(number=row.number, cells=dict(row.cells)) for row in read)
    return StockShown(name=name, named=bool(found), rows=rows, columns=tuple(rows[0].cells) if rows else ())


def stock_changed(text: str, files: Mapping[str, str], wish: Mapping[str, str], code: str) -> StockChanged:
    """Return a job with something put on its list, or a row taken off.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    files : Mapping of str to str
        What is kept beside it.
    wish : Mapping of str to str
        Fields of the form: `usual`, `row` or `typed`.
    code : str
        Language of the note.
    """
    shown = stock_shown(text, files)
    told, note = _stocked(files.get(shown.name, ""), wish, code)
    left = api.stock_rows(told)
    if shown.named and not left:
        text = api.edited(text, (api.Edit(path=("stock",), do=api.EditKind.REMOVE),))
    elif left and not shown.named:
        text = api.edited(text, (api.Edit(path=("stock",), value=shown.name),))
    kept = {key: each for key, each in files.items() if key != shown.name}
    return StockChanged(text=text, files=kept | ({shown.name: told} if left else {}), note=note)


def _stocked(before: str, wish: Mapping[str, str], code: str) -> tuple[str, str]:
    """Return the list with what a form asks for, and a note of it for the revision."""
    if wish.get("usual"):
        return api.with_usual_sizes(before), said(phrases.PLAIN["stock_usual"], code)
    if wish.get("row"):
        number = int(wish["row"])
        gone = [row for row in api.stock_rows(before) if row.number == number]
        names = ", ".join(cell for row in gone for cell in row.cells.values() if cell)
        note = phrases.TOLD["stock_taken_off"](row=names[:120])
        return api.stock_edited(before, [api.StockEdit(row=number)]), said(note, code)
    typed = wish.get("typed", "")
    return api.stock_edited(before, [api.StockEdit(cells=api.stock_cells(typed))]), typed
