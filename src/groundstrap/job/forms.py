"""How the value of a key is read: each form turns the text at a spot into fields of the model, or faults.

A form also knows its shape: what kind of value stands there, so that a page can offer it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from enum import StrEnum
from typing import Any, Final

from groundstrap.errors import GroundstrapError, QuantityError
from groundstrap.job.faults import Spot, one_of
from groundstrap.job.tree import ScalarNode, SequenceNode
from groundstrap.job.words import (
    known_contacts,
    known_families,
    known_family,
    known_insulation,
    known_insulations,
    known_meters,
)
from groundstrap.model import MeterSpec, Span
from groundstrap.records import dataclass
from groundstrap.units import (
    ConductorSize,
    Kind,
    Quantity,
    format_quantity,
    parse,
    parse_size,
    parse_value_or_range,
)

__all__ = [
    "UNKNOWN",
    "Fields",
    "Form",
    "Shape",
    "ValueKind",
    "choice",
    "count",
    "day",
    "family",
    "formed",
    "insulation",
    "meter",
    "names",
    "number_of",
    "plug_or_socket",
    "quantity",
    "read_choice",
    "read_meter",
    "read_quantity",
    "read_size",
    "span",
    "text",
    "usual_spelling",
    "value_or_span",
    "yes_no",
]

Fields = dict[str, Any]
Read = Callable[[Spot], Fields]


class ValueKind(StrEnum):
    """What kind of value stands behind a key."""

    QUANTITY = "quantity"
    CHOICE = "choice"
    TEXT = "text"
    YES_NO = "yes-no"
    COUNT = "count"
    SIZE = "size"
    NAME = "name"
    LIST = "list"
    PATH = "path"
    MAP = "map"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    """What a form reads, for whoever asks for it instead of reading it."""

    kind: ValueKind
    quantities: tuple[Kind, ...] = ()
    """Kinds of quantity that would do."""
    ends: bool = False
    """Whether two ends may stand there, or two values with a tolerance."""
    choices: Callable[[], tuple[str, ...]] | None = None
    """The words of a closed list; of a quantity or map, words that may stand in its place."""
    names: str = ""
    """What the names are names of: place, zone, load, point, file."""
    unknown: bool = False
    """Whether `unknown` may be written."""
    parts: Mapping[str, Any] | None = None
    """Keys of a map, each with its form; also where a map is another way to write a quantity or name."""
    each: Form | None = None
    """What each item of a list is, or each value of a map whose keys are free names."""
    several: bool = False
    """Whether a list of such values may stand there as well as one alone."""
    alone: bool = False
    """Whether one item of a list may stand there without the list."""


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """How a value is read, and what shape it has."""

    read: Read
    shape: Shape

    def __call__(self, spot: Spot) -> Fields:
        """Read the value at a spot."""
        return self.read(spot)


def formed(shape: Shape) -> Callable[[Read], Form]:
    """Return what makes a form of a function that reads."""
    return lambda read: Form(read, shape)


def _several(words: Iterable[str]) -> Callable[[], tuple[str, ...]]:
    known = tuple(words)
    return lambda: known


UNKNOWN: Final = "unknown"
_METER: Final = re.compile(r"(\d+(?:\.\d+)?) ?%(?: ?\+ ?(\d+(?:\.\d+)?) ?(?:digits?|counts?))?")
_MOST_PCT: Final = 100.0
_MOST_DIGITS: Final = 1000.0
"""What the accuracy of a meter may be at most: the range that its uncertainty is worked out for."""


def is_unknown(spot: Spot) -> bool:
    """Whether `unknown` stands there."""
    return isinstance(spot.node, ScalarNode) and spot.node.text.strip() == UNKNOWN


def read_quantity(
    spot: Spot, kinds: Kind | tuple[Kind, ...], *, ranges: bool = False, least: float | None = 0.0
) -> Quantity | None:
    """Read a quantity; above `least` where one is given (0 stands for: more than nothing)."""
    word = spot.word(_wanted(kinds))
    if word is None:
        return None
    try:
        found = parse_value_or_range(word, kinds) if ranges else parse(word, kinds)
    except QuantityError as error:
        spot.quantity_fault(error)
        return None
    lowest = found.low if found.low is not None else found.value
    if least is not None and lowest <= least:
        spot.fault(f"more than {format_quantity(least, found.unit)}", reason="too little to mean anything")
        return None
    return found


def _wanted(kinds: Kind | tuple[Kind, ...]) -> str:
    several = (kinds,) if isinstance(kinds, Kind) else kinds
    return " or ".join(f"a {kind}" if kind not in {"area"} else f"an {kind}" for kind in several)


def quantity(
    into: str, kind: Kind, *, least: float | None = 0.0, most: float | None = None, signed: bool = False
) -> Form:
    """One quantity; `unknown` leaves the field as if nothing stood there."""

    def read(spot: Spot) -> Fields:
        if is_unknown(spot):
            return {}
        found = read_quantity(spot, kind, least=None if signed else least)
        if found is None:
            return {}
        if most is not None and found.value > most:
            spot.fault(f"at most {format_quantity(most, found.unit)}", reason="too much")
            return {}
        return {into: found.value}

    return Form(read, Shape(kind=ValueKind.QUANTITY, quantities=(kind,), unknown=True))


def number_of(targets: dict[Kind, str], *, least: float | None = 0.0) -> Form:
    """One quantity of several kinds, each of which goes into its own field."""

    def read(spot: Spot) -> Fields:
        if is_unknown(spot):
            return {}
        found = read_quantity(spot, tuple(targets), least=least)
        return {} if found is None else {targets[found.kind]: found.value}

    return Form(read, Shape(kind=ValueKind.QUANTITY, quantities=tuple(targets), unknown=True))


def span(into: str, kind: Kind, *, least: float | None = 0.0) -> Form:
    """Two ends, `10.5..15 V`."""

    def read(spot: Spot) -> Fields:
        if is_unknown(spot):
            return {}
        found = read_quantity(spot, kind, ranges=True, least=least)
        if found is None:
            return {}
        if not found.is_range or found.low is None or found.high is None:
            spot.fault("both ends, such as 10.5..15 V", reason="one value stands where two ends are wanted")
            return {}
        return {into: Span(found.low, found.high)}

    return Form(read, Shape(kind=ValueKind.QUANTITY, quantities=(kind,), ends=True, unknown=True))


def value_or_span(into: str, kind: Kind) -> Form:
    """One value, or the two ends between which it varies, written as a range or as a tolerance."""

    def read(spot: Spot) -> Fields:
        if is_unknown(spot):
            return {}
        found = read_quantity(spot, kind, ranges=True)
        if found is None:
            return {}
        low = found.value if found.low is None else found.low
        return {into: Span(low, found.value if found.high is None else found.high)}

    return Form(read, Shape(kind=ValueKind.QUANTITY, quantities=(kind,), ends=True, unknown=True))


def day(into: str) -> Form:
    """A day of the calendar, as ISO 8601 writes it."""

    def read(spot: Spot) -> Fields:
        wanted = "a day as year, month and day, such as 2026-11-28"
        word = spot.word(wanted)
        if word is None:
            return {}
        try:
            # A week or an ordinal day is ISO 8601 too, and nobody reads it.
            found = date.fromisoformat(word) if len(word) == len("2026-11-28") else None
        except ValueError:
            found = None
        if found is None or found.isoformat() != word:
            spot.fault(wanted, reason="no day of the calendar")
            return {}
        return {into: word}

    return Form(read, Shape(kind=ValueKind.TEXT))


def text(into: str) -> Form:
    """Any text."""

    def read(spot: Spot) -> Fields:
        word = spot.word("a text")
        return {} if word is None else {into: word}

    return Form(read, Shape(kind=ValueKind.TEXT))


_SPELLINGS: Final = {
    "aluminum": "aluminium",
    "copper-clad aluminum": "copper-clad aluminium",
    "fiberglass": "fibreglass",
    "gasoline": "petrol",
    "color": "colour",
}
"""Words as they are written in the United States; the job's text keeps its own."""


def usual_spelling(word: str) -> str:
    """Return a word as this format spells it.

    >>> usual_spelling("aluminum"), usual_spelling("copper")
    ('aluminium', 'copper')
    """
    return _SPELLINGS.get(word, word)


def read_choice(spot: Spot, what: str, known: Iterable[str]) -> str | None:
    """Read one of a closed list of words, in British or American spelling."""
    several = tuple(known)
    word = spot.word(one_of(what, several))
    # AGM, LED: as labels print them
    for meant in () if word is None else (word, word.lower(), usual_spelling(word.lower())):
        if meant in several:
            return meant
    if word is not None:
        spot.unknown_name(what, several)
    return None


def choice(into: str, what: str, known: Iterable[str], *, unknown: bool = False) -> Form:
    """One word of a closed list, members of an enumeration or plain texts; `unknown`, if allowed, is None."""
    members = {str(member): member for member in known}

    def read(spot: Spot) -> Fields:
        if unknown and is_unknown(spot):
            return {into: None}
        word = read_choice(spot, what, members)
        return {} if word is None else {into: members[word]}

    return Form(read, Shape(kind=ValueKind.CHOICE, choices=_several(members), unknown=unknown))


_TRUTHS: Final = {"true": "yes", "on": "yes", "y": "yes", "false": "no", "off": "no", "n": "no"}


def yes_no(into: str) -> Form:
    """`yes` or `no`; other words for them are told with the right one."""

    def read(spot: Spot) -> Fields:
        meant = _TRUTHS.get(spot.node.text.strip().lower()) if isinstance(spot.node, ScalarNode) else None
        if meant is not None:
            spot.fault(one_of("answer", ("yes", "no")), nearest=meant, reason="no answer of that name")
            return {}
        word = read_choice(spot, "answer", ("yes", "no"))
        return {} if word is None else {into: word == "yes"}

    return Form(read, Shape(kind=ValueKind.YES_NO, choices=_several(("yes", "no"))))


def count(into: str, *, most: int = 1000) -> Form:
    """A whole number from 1 up, without a unit."""

    def read(spot: Spot) -> Fields:
        found = read_count(spot, most=most)
        return {} if found is None else {into: found}

    return Form(read, Shape(kind=ValueKind.COUNT))


def read_count(spot: Spot, *, most: int = 1000) -> int | None:
    """Read a whole number from 1 to `most`."""
    wanted = f"a whole number from 1 to {most}"
    word = spot.word(wanted)
    if word is None:
        return None
    if not (word.isascii() and word.isdigit() and len(word) <= 6 and 1 <= int(word) <= most):
        spot.fault(wanted, reason="it is no count")
        return None
    return int(word)


def read_size(spot: Spot) -> ConductorSize | None:
    """Read a conductor size, `6 mm2` or `10 AWG`."""
    word = spot.word("a conductor size such as 6 mm2 or 10 AWG")
    if word is None:
        return None
    try:
        return parse_size(word)
    except QuantityError as error:
        spot.quantity_fault(error)
        return None


def size(into: str) -> Form:
    """A conductor size."""

    def read(spot: Spot) -> Fields:
        found = None if is_unknown(spot) else read_size(spot)
        return {} if found is None else {into: found}

    return Form(read, Shape(kind=ValueKind.SIZE, unknown=True))


def names(into: str, what: str) -> Form:
    """A list of names, or one name; they are kept as spots, to be looked up once all names are known."""

    def read(spot: Spot) -> Fields:
        several = spot.items(f"a list of {what}s") if isinstance(spot.node, SequenceNode) else [spot]
        return {into: [one for one in several if one.word(f"the name of a {what}") is not None]}

    return Form(read, Shape(kind=ValueKind.LIST, names=what, each=text(into), alone=True))


def insulation(into: str) -> Form:
    """A temperature class or type of insulation that the tables know."""

    def read(spot: Spot) -> Fields:
        if is_unknown(spot):
            return {}
        word = spot.word("a temperature class such as 105 degC, or a type")
        if word is None:
            return {}
        try:
            return {into: known_insulation(word)}
        except GroundstrapError as error:
            nearest = getattr(error, "nearest", None)
            spot.fault(
                "a temperature class from 60 degC to 250 degC or a type that the tables know",
                nearest=nearest,
                reason=str(error).split(";", maxsplit=1)[0].replace(f"'{word}'", "").strip(),
            )
            return {}

    return Form(
        read,
        Shape(kind=ValueKind.CHOICE, choices=known_insulations, quantities=(Kind.TEMPERATURE,), unknown=True),
    )


def family(into: str) -> Form:
    """A family of fuses, by a name that belongs to no maker."""

    def read(spot: Spot) -> Fields:
        if is_unknown(spot):
            return {}
        word = spot.word("a family of fuses")
        if word is None:
            return {}
        found = known_family(word)
        if found is None:
            known = known_families()
            reason = "no family of that name; names that a maker owns are not among them"
            spot.fault(one_of("family of fuses", known), nearest=spot.near(word, known), reason=reason)
            return {}
        return {into: found}

    return Form(read, Shape(kind=ValueKind.CHOICE, choices=known_families, unknown=True))


def plug_or_socket(into: str) -> Form:
    """A plug, or the standard of a trailer socket."""

    def read(spot: Spot) -> Fields:
        # The tables are read when a job names one, not when the program starts.
        word = None if is_unknown(spot) else read_choice(spot, "plug", known_contacts())
        return {} if word is None else {into: word}

    return Form(read, Shape(kind=ValueKind.CHOICE, choices=known_contacts, unknown=True))


def read_meter(spot: Spot) -> MeterSpec | None:
    """Read a meter by name, or as its leaflet says: `0.8 % + 2 digits`."""
    known = known_meters()
    wanted = f"a meter: {', '.join(known)}, or its accuracy such as 0.8 % + 2 digits"
    word = spot.word(wanted)
    if word is None:
        return None
    if word in known:
        return MeterSpec(text=word, name=word)
    match = _METER.fullmatch(word)
    if match is None:
        spot.fault(wanted, nearest=spot.near(word, known), reason="no meter and no accuracy")
        return None
    reading_pct, digits = float(match[1]), float(match[2] or 0)
    if reading_pct > _MOST_PCT or digits > _MOST_DIGITS:
        spot.fault(f"at most {_MOST_PCT:g} % + {_MOST_DIGITS:g} digits", reason="no meter is that poor")
        return None
    return MeterSpec(text=word, reading_pct=reading_pct, digits=digits)


def meter(into: str) -> Form:
    """A meter."""

    def read(spot: Spot) -> Fields:
        found = read_meter(spot)
        return {} if found is None else {into: found}

    return Form(read, Shape(kind=ValueKind.CHOICE, choices=known_meters))
