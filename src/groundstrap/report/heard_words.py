"""What was said of a job in words, said back as it was understood, and what looks like a slip."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from groundstrap.errors import GroundstrapError
from groundstrap.job import Edit, EditKind, Heard, SlipKind, heard_in
from groundstrap.job.choice_words import choice_said
from groundstrap.job.data import Data, as_data
from groundstrap.report.first_words import said_of_label, said_of_reading, slip_said
from groundstrap.words import Words, sentence, term, words

__all__ = ["edits_heard"]


def edits_heard(text: str, edits: Sequence[Edit]) -> tuple[Words, ...]:
    r"""Return what of some edits was said in words, as it was understood.

    Parameters
    ----------
    text : str
        The whole text of the job file, before the edits.
    edits : Sequence of Edit
        The edits.

    Examples
    --------
    >>> text = "groundstrap: 1\ntitle: Pump\nsystem: 12 V\nloads:\n  pump: {kind: pump}\n"
    >>> print(*edits_heard(text, [Edit(path=("loads", "pump", "claims"), value="8 A")]))
    Its label says 8 A: 96 W at 12 V.
    """
    told: list[Words] = []
    for edit in edits:
        value = as_data(edit.value)
        if value is None or edit.kind in {EditKind.RENAME, EditKind.MOVE, EditKind.REMOVE}:
            continue
        path = tuple(str(key) for key in edit.path)
        try:
            heard = heard_in(text, path, value, adding=edit.kind is EditKind.ADD)
        except GroundstrapError:
            continue
        told += [sentence(each) for one in heard for each in _said(one, whole=len(path) == 2)]
    return tuple(told)


def _said(heard: Heard, *, whole: bool) -> Iterator[Words]:
    key = next(each for each in reversed(heard.path) if not each.isdecimal())
    value, made = heard.value, heard.made
    if made is not None:
        yield from said_of_label(made) if key == "claims" else said_of_reading(made)
        for slip in made.slips:
            if slip.kind is not SlipKind.COMMA:
                yield slip_said(slip, made)
        if made.count > 1 and key == "claims" and not whole:
            yield words("how many there are is a field of its own: {count}", count=str(made.count))
    elif key == "kind":
        kind = words("LED") if value == "led" else term(str(value))
        yield words("{name}, counted as {kind}", name=heard.path[1], kind=kind)
    elif key == "path" and isinstance(value, list):
        yield words("its way: {steps}", steps=" → ".join(_step(each) for each in value))
    elif isinstance(value, dict):
        yield from _said_of_map(key, {name: str(each) for name, each in value.items()})
    elif key == "cranking":
        yield from _said_of_cranking(str(value), heard.given)
    elif key == "chemistry":
        yield words("understood as {value}", value=choice_said("supplies", key, str(value)))
    else:
        told = ", ".join(_step(each) for each in value) if isinstance(value, list) else str(value)
        yield words("understood as {value}", value=told)


def _step(step: Data) -> str:
    if isinstance(step, dict):
        return ", ".join(f"{'' if key == 'length' else key} {value}".strip() for key, value in step.items())
    return str(step)


def _said_of_cranking(value: str, given: str) -> Iterator[Words]:
    """The standard was named, or taken by the name of its rating: who has the other one must see it."""
    if "SAE" in given.upper() or not value.endswith("SAE"):
        yield words("understood as {value}", value=value)
    else:
        yield words(
            "understood as {value}: CCA is the rating of SAE J537; where the label says EN, write EN",
            value=value,
        )


def _said_of_map(key: str, value: dict[str, str]) -> Iterator[Words]:
    match key:
        case "inrush":
            yield words("{current} at switch-on, for {time}", current=value["current"], time=value["time"])
        case "duty":
            yield words("it runs {run} at a time, every {every}", run=value["run"], every=value["every"])
        case "stall" if value.get("survives") == "yes":
            yield words("{current} when blocked, which it survives", current=value["current"])
        case "stall" if value.get("survives") == "no":
            yield words("{current} when blocked, which it does not survive", current=value["current"])
        case "stall":
            yield words("{current} when blocked", current=value["current"])
        case "fitted":
            yield from _said_of_fitted(value)
        case _:
            yield words("understood as {value}", value=_step(dict(value)))


def _said_of_fitted(value: dict[str, str]) -> Iterator[Words]:
    if "wire" in value and "length" in value:
        yield words("its own lead is {size}, {length} long", size=value["wire"], length=value["length"])
    elif "wire" in value:
        yield words("its own lead is {size}", size=value["wire"])
    elif "length" in value:
        yield words("its own lead is {length} long", length=value["length"])
    if "fuse" in value:
        yield words("it came with a fuse of {rating}", rating=value["fuse"])
    if "plug" in value:
        yield words("its plug is {plug}", plug=term(value["plug"]))
