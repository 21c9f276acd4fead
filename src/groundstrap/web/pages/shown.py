"""Parts of pages made from an answer: pure functions, so that they can be made where the answer is."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

from groundstrap import api
from groundstrap.api import Plan
from groundstrap.api.sheets import Sheet
from groundstrap.errors import JobError
from groundstrap.records import dataclass
from groundstrap.web.pages.rendering import Look, filled, said
from groundstrap.web.pages.writing import forms_of

__all__ = [
    "InShort",
    "answer_part",
    "circuit_part",
    "drawing_part",
    "faults_part",
    "first_part",
    "forms_part",
    "in_short",
    "load_part",
]

Faults = Callable[[JobError], list[dict[str, object]]]


def answer_part(plan: Plan, look: Look) -> str:
    """Return the whole answer."""
    return filled("answer.html", look, sheet=api.sheet(plan, units=look.units))


@dataclass(frozen=True, slots=True, kw_only=True)
class InShort:
    """An answer in a few words, and the sign beside them."""

    text: str
    sign: str


def in_short(plan: Plan, look: Look) -> InShort:
    """Return the whole answer in a few words."""
    sheet = api.sheet(plan, units=look.units)
    return InShort(text=said(sheet.verdict_words, look.code), sign=sheet.verdict)


def circuit_part(plan: Plan, name: str, look: Look) -> str:
    """Return one circuit in full."""
    found = api.circuit_sheet(plan, name, units=look.units, language_code=look.code)
    return filled("circuit_part.html", look, sheet=found)


def load_part(plan: Plan, name: str, look: Look) -> str:
    """Return one load in full."""
    found = api.load_sheet(plan, name, units=look.units, language_code=look.code)
    return filled("load_part.html", look, sheet=found)


def drawing_part(plan: Plan, look: Look, *, routes: bool = False) -> str:
    """Return the drawing: sheets where there is room for them, else one column."""
    compact = not look.wide
    made = api.drawing(plan, units=look.units, language_code=look.code, compact=compact, routes=routes)
    return filled(
        "drawing_part.html",
        look,
        pictures=list(made.items()),
        compact=compact,
        routes=routes,
        things=plan.installation,
        runs=list(dict.fromkeys(_routes(plan))),
    )


def _routes(plan: Plan) -> Iterator[str]:
    """The measured routes that cables follow."""
    for circuit in plan.installation.circuits.values():
        for wire in circuit.wires:
            yield from (each.route for each in wire.stretches if each.route is not None)


def faults_part(faults: list[dict[str, object]], look: Look) -> str:
    """Return what cannot be read in a text, each with a way to its line."""
    return filled("faults.html", look, faults=faults)


def first_part(
    asked: api.FirstLook, planned: Callable[[str], Plan], look: Look, *, csrf: str, errors: Faults
) -> str:
    """Return what a first look comes to: what was understood, what may be a slip, and the answer.

    Parameters
    ----------
    asked : FirstLook
        What was typed.
    planned : callable
        Plans the text of a job.
    look : Look
        How it is shown.
    csrf : str
        The visitor's token.
    errors : callable
        Tells the faults of a text that could not be read.
    """
    told = api.first_look(asked)
    faults: list[dict[str, object]] = []
    sheet = None
    try:
        sheet = api.sheet(planned(told.text), units=look.units)
    except JobError as error:
        faults = errors(error)
    strip = _in_short(sheet, look.code) if sheet is not None else ""
    return filled("first_part.html", look, told=told, sheet=sheet, faults=faults, csrf=csrf, strip=strip)


def _in_short(sheet: Sheet, code: str) -> str:
    """The answer in the one line that stays in sight on a phone."""
    circuit = next((each for each in sheet.circuits if each.state != "existing"), None)
    if circuit is None:
        return said(sheet.verdict_words, code)
    texts = (circuit.out.text, circuit.fuse.text, circuit.drop.text)
    return " · ".join(said(each, code).partition(" ")[0] for each in texts if each)


def forms_part(
    text: str, look: Look, *, csrf: str, base: int, opened: Collection[str] = (), only: str = ""
) -> str:
    """Return the forms of a job.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    look : Look
        How it is shown.
    csrf : str
        The visitor's token.
    base : int
        The revision that is being edited.
    opened : Collection of str
        Ids of the entries whose fields are shown; the others are asked for when they are opened.
    only : str
        Id of the one entry that is wanted; none for the whole.
    """
    values = forms_of(text, lambda each: said(each, look.code))
    opened = {*opened, only} - {""}
    return filled("forms_part.html", look, csrf=csrf, base=base, opened=opened, only=only, **values)
