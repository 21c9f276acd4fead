"""A size or a rating of one circuit pinned, as somebody has it on the shelf, and how to take that back."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from groundstrap.errors import CallError, CannotDoError, JobError, QuantityError, nearest_name
from groundstrap.job.data import Data, plain_data, tidied
from groundstrap.job.edits import Edit, EditKind, edited
from groundstrap.job.reader import read_job
from groundstrap.job.traps import whole_tree
from groundstrap.job.words import known_family
from groundstrap.model import Wire
from groundstrap.records import dataclass
from groundstrap.units import Kind, format_quantity, parse, parse_size
from groundstrap.words import term, words

__all__ = ["Swap", "swapped"]

_WHAT: Final = re.compile(r"(?:circuit )?(.+?) (wire|cable|fuse|breaker)(?: (\d+))?", re.IGNORECASE)
_AMPS: Final = re.compile(r"([\d.]+ ?[A-Za-z]+)(?:\s+(.+))?")
_STAYS: Final = frozenset({"existing", "remove"})

_CLOSE_M: Final = 0.001
"""Lengths are written to the centimetre at best; a millimetre of difference is rounding."""

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """A job's text with something swapped; the same edits the other way round take it back."""

    text: str
    circuit: str
    done: tuple[Edit, ...]
    back: tuple[Edit, ...]


def swapped(text: str, what: str, with_: str, *, file: str = "-") -> Swap:
    r"""Return a job's text with the wire or a fuse of one circuit pinned, and how to take that back.

    The wire is that of the whole circuit, out and back; what is existing stays. A number behind it names one
    piece alone, as it does among several fuses, counted from the source.

    Parameters
    ----------
    text : str
        The whole text of the job file.
    what : str
        A circuit by its name or the number on its wires, and what of it: `circuit 3 wire`, `horn wire 2`,
        `horn fuse 2`.
    with_ : str
        A size such as `4 AWG`, or a rating such as `30 A`, with a family where it is another one.
    file : str
        Its name, for messages.

    Examples
    --------
    >>> text = "groundstrap: 1\ntitle: Horn\nsystem: 12 V\nloads: {horn: {claims: {current: 5 A}}}\n"
    >>> swap = swapped(text + "circuits:\n  horn: {length: 2 m}\n", "horn wire", "4 AWG")
    >>> swap.text.splitlines()[-1].strip(), swap.back[0].path, swap.back[0].value
    ('horn: {wire: 4 AWG, length: 2 m}', ('circuits', 'horn', 'wire'), None)
    """
    data = plain_data(whole_tree(text, file))
    circuits = data.get("circuits") if isinstance(data, dict) else None
    if not isinstance(circuits, dict) or not circuits:
        raise CallError("the job has no circuits", wanted="a circuit to be drawn first")
    name, part, number = _meant(text, what, circuits)
    circuit = circuits[name]
    if not isinstance(circuit, dict):
        raise CallError(f"{name} can't be read", wanted="a circuit that is a map of keys and values")
    if part in {"wire", "cable"} and number is not None:
        edits = _piece_edits(text, name, circuit, number, _size(with_))
    elif part in {"wire", "cable"}:
        edits = tuple(_wire_edits(name, circuit, _size(with_)))
    else:
        edits = tuple(_fuse_edits(data, name, circuit, part, number, with_))
    back = tuple(_undone(data, edit) for edit in reversed(edits))
    return Swap(text=edited(text, edits, file=file), circuit=name, done=edits, back=back)


def _meant(text: str, what: str, circuits: dict[str, Data]) -> tuple[str, str, int | None]:
    """Return the circuit, what of it, and which one of several."""
    match = _WHAT.fullmatch(tidied(what))
    if match is None:
        wanted = "such as circuit 3 wire, or horn fuse"
        raise CallError("it is not said what is swapped", wanted=wanted, given=what)
    told, part = match[1], match[2].lower()
    names = {tidied(name): name for name in circuits}
    number = int(match[3]) if match[3] else None
    found = names.get(told) or next((names[n] for n in names if n.lower() == told.lower()), None)
    found = found or _by_label(text, told, names, circuits)
    if found is None:
        known = ", ".join(list(names)[:12])
        nearest = nearest_name(told, names)
        raise CallError(f"no circuit is called {told}", wanted=f"one of {known}", nearest=nearest)
    return found, part, number


def _by_label(text: str, label: str, names: dict[str, str], circuits: dict[str, Data]) -> str | None:
    """Return the circuit that has a number on its wires, be it written or given."""
    for name, circuit in circuits.items():
        if isinstance(circuit, dict) and circuit.get("label") == label:
            return name
    try:
        job = read_job(text)
    except JobError:
        return None
    found = next((c.name for c in job.installation.circuits.values() if c.label == label), None)
    return None if found is None else names.get(found)


def _size(text: str) -> str:
    try:
        return parse_size(tidied(text)).text
    except QuantityError as error:
        raise CallError(error.reason, wanted=error.wanted, given=text, nearest=error.nearest) from None


def _wire_edits(name: str, circuit: dict[str, Data], size: str) -> Iterator[Edit]:
    """The size of a whole circuit: in its steps that have one of their own, and for all others."""
    if circuit.get("state") in _STAYS:
        raise CallError(f"{name} is {circuit['state']}", wanted="a circuit that is new in the job")
    yield Edit(path=("circuits", name, "wire"), value=size)
    for path, step in _steps(name, circuit):
        if isinstance(step, dict) and "wire" in step and step.get("state") not in _STAYS:
            yield Edit(path=(*path, "wire"), value=size)


def _piece_edits(text: str, name: str, circuit: dict[str, Data], number: int, size: str) -> tuple[Edit, ...]:
    """The size of one piece of cable, which keeps its place and its length."""
    wires = [wire for wire in read_job(text).installation.circuits[name].wires if not wire.returning]
    if not 1 <= number <= len(wires):
        raise CallError(
            words("{name} has {count} pieces of cable on its way out", name=name, count=str(len(wires))),
            wanted=words("a number from 1 to {count}", count=str(len(wires))),
            given=str(number),
        )
    wire = wires[number - 1]
    if str(wire.state) in _STAYS:
        raise CallError(words("that piece is {state}", state=term(str(wire.state))),
                        wanted=words("a piece that is new in the job"))  # fmt: skip
    step = wire.key.rpartition("/")[2]
    if "path" not in circuit or not step.rstrip("+").isdecimal():
        raise CallError(
            words("the path of {name} is not written, so no piece of it can be named", name=name),
            wanted=words("the wire of the whole circuit, or a path that is written"),
        )
    path: Path = ("circuits", name, "path")
    if not step.endswith("+"):
        there = circuit["path"][int(step)] if isinstance(circuit["path"], list) else ""
        part: Data = {**there, "wire": size} if isinstance(there, dict) else {"wire": size}
        return (Edit(path=(*path, int(step)), value=part),)
    at = int(step[:-1]) + 1
    for value in ({"wire": size}, {"wire": size, "length": format_quantity(wire.length_m, "m")}):
        edits = (Edit(path=path, value=dict(value), do=EditKind.ADD, before=at),)
        if _same_lengths(wires, edited(text, edits), name):
            return edits
    raise CannotDoError(
        words("the length of that piece depends on its neighbours"),
        next_step=words("write the lengths of all pieces of {name}, then swap one", name=name),
    )


def _same_lengths(wires: Sequence[Wire], text: str, name: str) -> bool:
    try:
        after = read_job(text).installation.circuits[name].wires
    except JobError:
        return False
    new = [wire.length_m for wire in after if not wire.returning]
    return len(new) == len(wires) and all(
        abs(one - wire.length_m) < _CLOSE_M for one, wire in zip(new, wires, strict=True)
    )


def _steps(name: str, circuit: dict[str, Data]) -> Iterator[tuple[Path, Data]]:
    for key in ("path", "return"):
        steps = circuit.get(key)
        for number, step in enumerate(steps if isinstance(steps, list) else ()):
            yield ("circuits", name, key, number), step


def _fuse_edits(
    data: Data, name: str, circuit: dict[str, Data], word: str, number: int | None, with_: str
) -> Iterator[Edit]:
    rating, family = _rating(with_)
    fuses = list(_fuses(data, name, circuit, word))
    if not fuses and "path" not in circuit and word == "fuse":
        # The usual path has one fuse, which takes the circuit's rating.
        if family is not None:
            reason = "the path is not written, so its fuse has no family of its own"
            raise CallError(reason, wanted="a path that is written")
        yield Edit(path=("circuits", name, "fuse"), value=rating)
        return
    if not fuses or (number is not None and number > len(fuses)) or (number is None and len(fuses) > 1):
        wanted = f"one of {name} {word} 1 to {len(fuses)}" if fuses else "a circuit that has one"
        given = word if number is None else f"{word} {number}"
        raise CallError(f"{name} has {len(fuses)} of them", wanted=wanted, given=given)
    path, step, key = fuses[(number or 1) - 1]
    if isinstance(step, dict) and step.get("state") in _STAYS:
        raise CallError(f"that {word} is {step['state']}", wanted=f"a {word} that is new in the job")
    if isinstance(step, dict):
        yield Edit(path=(*path, key), value=rating)
        if family is not None:
            yield Edit(path=(*path, "family"), value=family)
    else:
        new: Data = {word: rating} if family is None else {word: rating, "family": family}
        yield Edit(path=path, value=new)


def _fuses(data: Data, name: str, circuit: dict[str, Data], word: str) -> Iterator[tuple[Path, Data, str]]:
    """Fuses of a circuit in order: steps of its path, and gear with a name that it passes."""
    gear = data.get("gear") if isinstance(data, dict) else None
    for path, step in _steps(name, circuit):
        if step == word or (isinstance(step, dict) and word in step):
            yield path, step, word
        elif isinstance(step, str) and isinstance(gear, dict):
            thing = gear.get(step)
            if isinstance(thing, dict) and thing.get("kind") == word:
                yield ("gear", step), thing, "rating"


def _rating(text: str) -> tuple[str, str | None]:
    match = _AMPS.fullmatch(tidied(text))
    told = match[1] if match is not None else tidied(text)
    try:
        found = parse(told, Kind.CURRENT)
    except QuantityError as error:
        raise CallError(error.reason, wanted=error.wanted, given=text, nearest=error.nearest) from None
    if match is None or match[2] is None:
        return found.text, None
    family = known_family(match[2].removesuffix(" fuse"))
    if family is None:
        raise CallError("no family of that name", wanted="a family that the tables know", given=match[2])
    return found.text, family


def _undone(data: Data, edit: Edit) -> Edit:
    """Return what puts back what an edit has changed."""
    here: Data | None = data
    for key in edit.path:
        if isinstance(here, dict):
            here = here.get(str(key))
        elif isinstance(here, list):
            here = here[int(key)]
        else:
            here = None
    if here is None:
        return Edit(path=edit.path, do=EditKind.REMOVE)
    if here == "" and len(edit.path) > 2:
        return Edit(path=edit.path[:-1], value=_parent(data, edit.path))
    return Edit(path=edit.path, value=here)


def _parent(data: Data, path: Path) -> Data:
    for key in path[:-1]:
        data = data[str(key)] if isinstance(data, dict) else data[int(key)]
    return data
