"""A fault of a job in words, for a page: entry and field by their names, an example of what would do."""

from __future__ import annotations

from typing import Final

from groundstrap.errors import Fault
from groundstrap.job import SENTENCES
from groundstrap.job.describe import scope_of
from groundstrap.job.key_words import ENTRY_WORDS, About, about_key
from groundstrap.records import replace
from groundstrap.words import Name, Words, joined, sentence, words

__all__ = ["fault_said", "line_said"]

_NOTATION: Final = frozenset({
    "one text stands where a map is wanted",
    "one text or a map stands where a list is wanted",
    "a list or map stands where one text is wanted",
    "it is no map of keys and values",
})  # fmt: skip
"""Reasons that speak of how the file is written, where a page asks for a value."""
_MOST: Final = 60
_NO_NAMES: Final = frozenset({"routes", "day", "readings", "waivers", "places", "about"})
"""Sections whose entries have no fields under a name of their own."""


def fault_said(fault: Fault) -> Words:
    """Return a fault in words: at what, what is wrong with it, what would do.

    Parameters
    ----------
    fault : Fault
        As the reader of the job found it.

    Examples
    --------
    >>> print(fault_said(Fault(file="-", line=7, column=46, key="loads.water pump.claims", found="much",
    ...                        wanted="a map in braces", reason="one text stands where a map is wanted")))
    Water pump, what is claimed: 'much' is not understood. Such as 60 W at 12 V, label.
    >>> print(fault_said(Fault(file="-", line=9, column=4, key="circuits.pump.length", found="4,5 m",
    ...                        wanted="a length", nearest="4.5 m", reason="a comma in a number")))
    Pump, length: '4,5 m': a comma in a number. Such as 4.5 m.
    """
    path = tuple(fault.key.split(".")) if fault.key else ()
    about = _about(path)
    found = fault.found if len(fault.found) <= _MOST else f"{fault.found[:_MOST]}…"
    spoken = next((SENTENCES[key] for key in reversed(path) if key in SENTENCES), "")
    if fault.reason in _NOTATION and (spoken or about is not None):
        wrong = words("'{found}' is not understood", found=found)
        return _whole(path, about, wrong, example=spoken or (about.example if about else ""))
    if fault.found and fault.reason:
        wrong = words("'{found}': {reason}", found=found, reason=fault.reason)
    elif fault.found:
        wrong = words("'{found}' is not understood", found=found)
    else:
        wrong = words("{reason}", reason=fault.reason) if fault.reason else words("nothing stands here")
    if fault.nearest:
        return _whole(path, about, wrong, example=fault.nearest)
    return _whole(path, about, wrong, wanted=fault.wanted)


def line_said(fault: Fault) -> Words:
    """Return a fault of a sheet in words: its file and line, at what, what is wrong with it, what would do.

    Parameters
    ----------
    fault : Fault
        As the reader of the sheet found it; its key is a column, or where it was read.

    Examples
    --------
    >>> print(line_said(Fault(file="tests.csv", line=7, column=1, key="pump", found="10,9 V",
    ...                       wanted="a voltage", nearest="10.9 V", reason="a comma in a number")))
    tests.csv, line 7, pump: '10,9 V': a comma in a number. Such as 10.9 V.
    """
    at = {"file": Name(fault.file), "line": str(fault.line)}
    told = fault_said(replace(fault, key=""))
    if not fault.key:
        return words("{file}, line {line}: {what}", what=told, **at)
    return words("{file}, line {line}, {where}: {what}", where=Name(fault.key), what=told, **at)


def _whole(
    path: tuple[str, ...], about: About | None, wrong: Words, *, wanted: str = "", example: str = ""
) -> Words:
    where = _where(path, about)
    told = sentence(wrong if where is None else words("{where}: {wrong}", where=where, wrong=wrong))
    if example:
        return joined(" ", (told, sentence(words("such as {example}", example=example))))
    return joined(" ", (told, sentence(words("wanted {what}", what=wanted)))) if wanted else told


def _where(path: tuple[str, ...], about: About | None) -> Words | None:
    """The entry by its name, then the field by its label."""
    if not path:
        return None
    label = about.label if about is not None else Words("{key}", {"key": path[-1]})
    number = next((int(key) + 1 for key in reversed(path) if key.isdecimal()), None)
    if number is not None:
        label = words("{label} {number}", label=label, number=str(number))
    if len(path) < 2 or path[0] in _NO_NAMES:
        return label
    if len(path) == 2:
        return Words("{name}", {"name": path[1]})
    return words("{name}, {label}", name=path[1], label=label)


def _about(path: tuple[str, ...]) -> About | None:
    """Return the words of the field that a path leads to."""
    scope = ""
    found: About | None = None
    for depth, key in enumerate(path):
        if not key.isdecimal():
            known = about_key(scope, key) if depth != 1 or path[0] in _NO_NAMES else ENTRY_WORDS.get(path[0])
            found = known if known is not None or depth == 1 else found
        scope = scope_of(path[: depth + 1], scope)
    return found
