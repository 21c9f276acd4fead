"""What people type about a device in passing, taken apart: `2 x 55W`, `3,1 A at 13.8`, `13 ft 6 in`."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from groundstrap.errors import QuantityError
from groundstrap.records import dataclass
from groundstrap.units import Kind, parse

__all__ = ["Amount", "Typed", "taken_apart"]

_KINDS: Final = (
    Kind.POWER, Kind.CURRENT, Kind.VOLTAGE, Kind.RESISTANCE, Kind.LENGTH, Kind.AREA, Kind.CAPACITY,
    Kind.ENERGY, Kind.TIME, Kind.PERCENT, Kind.TEMPERATURE,
)  # fmt: skip
_NUMBER: Final = r"\d+(?:[.,]\d+)?"
_UNIT: Final = r"(?:sq\.?\s?mm|mm\^?2|mm²|°[CFcf]|m?[ΩΩ]|%|\"|''|'|”|’|′|″|[^\W\d_]+\b\.?)"
_AMOUNT: Final = re.compile(
    rf"(?<![\w.,])(?P<low>{_NUMBER})(?:\s*(?:-|–|\.\.|to|/)\s*(?P<high>{_NUMBER}))?\s*(?P<unit>{_UNIT})?"
)
_TIMES: Final = re.compile(
    rf"(?<![\w.,])(\d{{1,2}})\s*(?:(?:x|×|\*|off|mal)\s*(?={_NUMBER})|(?:x|×|\*)\s+(?=[^\W\d_])"
    rf"|(?:pcs|pieces|stück|stk)\b\.?)|(?<=[\w%])\s*(?:x|×|\*)\s*(\d{{1,2}})"
    r"(?![\w.,]|\s*(?:m?[AWVmΩ]|mm|cm|ft|in|amps?|ampere|watts?|volts?|ohms?)\b)",
    re.IGNORECASE,
)
_AT: Final = re.compile(rf"(?:\bat|@|\bbei)\s*({_NUMBER})(?![\d.,]*\s*(?:{_UNIT})|[\d])", re.IGNORECASE)
_FEET_INCHES: Final = {"'": "ft", "’": "ft", "′": "ft", '"': "in", "''": "in", "”": "in", "″": "in"}
_FRACTIONS: Final = {r"\s1/2": ".5", "½": ".5", r"\s1/4": ".25", "¼": ".25", r"\s3/4": ".75", "¾": ".75"}
_UNIT_WORDS: Final = {
    "fuß": "ft", "fuss": "ft", "zoll": "in", "prozent": "%", "percent": "%",
    "millisekunde": "ms", "millisekunden": "ms", "sekunde": "s", "sekunden": "s", "sek": "s",
    "minute": "min", "minuten": "min", "stunde": "h", "stunden": "h", "std": "h",
    "zentimeter": "cm", "millimeter": "mm", "quadratmillimeter": "mm2",
}  # fmt: skip
"""Units by their German names, where the reader of quantities has not got them."""
_NO_UNIT: Final = frozenset({"lamp", "lamps"})
"""Words behind a number that only look like a unit."""
_WORD: Final = re.compile(r"[^\W\d_][\w'-]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A number as it was typed; `kind` is None where it has no unit. Values in the unit of the project."""

    written: str
    text: str
    """As the job file takes it: `4.5 A`."""
    value: float
    kind: Kind | None
    low: float
    """The lower end of a range, else the value."""
    comma: bool = False
    respelt: bool = False
    after: str = ""
    """The word behind it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A text taken apart: its amounts in order, how many alike, and its words."""

    text: str
    amounts: tuple[Amount, ...]
    times: int
    words: tuple[str, ...]
    """Lower case, what belongs to an amount left out."""

    def of(self, *kinds: Kind) -> tuple[Amount, ...]:
        """Return the amounts of some kinds."""
        return tuple(amount for amount in self.amounts if amount.kind in kinds)

    @property
    def bare(self) -> tuple[Amount, ...]:
        """Numbers without a unit."""
        return tuple(amount for amount in self.amounts if amount.kind is None)

    def says(self, *phrases: str) -> bool:
        """Whether one of some phrases stands in it; one that begins with a hyphen may end a longer word."""
        folded = " ".join(self.text.lower().replace("-", " ").split())
        return any(_phrase(phrase).search(folded) for phrase in phrases)


@lru_cache(maxsize=1024)
def _phrase(phrase: str) -> re.Pattern[str]:
    begin = r"\w*" if phrase.startswith("-") else ""
    return re.compile(rf"(?<!\w){begin}{re.escape(phrase.removeprefix('-'))}(?!\w)")


def taken_apart(text: str) -> Typed:
    """Take a typed text apart.

    >>> typed = taken_apart("2 x 55W, 12V")
    >>> [amount.text for amount in typed.amounts], typed.times
    (['55 W', '12 V'], 2)
    >>> taken_apart("3,1 amps at 13.8").amounts[1].text
    '13.8 V'
    """
    told = " ".join(text.split())
    times = 1
    for match in _TIMES.finditer(told):
        times = int(match[1] or match[2])
    rest = _TIMES.sub(" ", told)
    rest = _AT.sub(r"at \1 V", rest)
    for words_of, part in _FRACTIONS.items():
        rest = re.sub(rf"(?<![\d.,])(\d+)\s*{words_of}", rf"\g<1>{part}", rest)
    amounts: list[Amount] = []
    words_left: list[str] = []
    at = 0
    for match in _AMOUNT.finditer(rest):
        amount = _amount(match, rest)
        if amount is None:
            continue
        words_left.append(rest[at : match.start()])
        at = match.end() if amount.kind is not None else match.end("high" if match["high"] else "low")
        amounts.append(amount)
    words_left.append(rest[at:])
    found = _words(words_left)
    return Typed(text=told, amounts=tuple(amounts), times=max(times, 1), words=found)


def _words(pieces: Iterable[str]) -> tuple[str, ...]:
    return tuple(word.lower() for piece in pieces for word in _WORD.findall(piece))


def _amount(match: re.Match[str], rest: str) -> Amount | None:
    written = match[0].strip()
    numbers = [number.replace(",", ".") for number in (match["low"], match["high"]) if number]
    unit = (match["unit"] or "").rstrip(".")
    unit = _FEET_INCHES.get(unit, unit)
    unit = _UNIT_WORDS.get(unit.lower(), unit)
    comma = any(number and "," in number for number in (match["low"], match["high"]))
    after = _WORD.search(rest, match.end())
    behind = after[0].lower() if after is not None and after.start() - match.end() < 3 else ""
    told = None if not unit or unit.lower() in _NO_UNIT else _read(numbers[-1], unit)
    if told is None:
        value, low = float(numbers[-1]), float(numbers[0])
        behind = unit.lower() or behind
        return Amount(
            written=written, text=numbers[-1], value=value, kind=None, low=low, comma=comma, after=behind
        )
    text, kind, value = told
    low = value if len(numbers) == 1 else min(value, parse(f"{numbers[0]} {text.split(' ')[1]}", kind).value)
    return Amount(
        written=written, text=text, value=value, kind=kind, low=low, comma=comma,
        respelt=text.split(" ")[1] != unit, after=behind,
    )  # fmt: skip


def _read(number: str, unit: str) -> tuple[str, Kind, float] | None:
    """Return a quantity as the file takes it; None where the word behind the number is no unit."""
    text = f"{number} {unit}"
    try:
        found = parse(text, _KINDS)
    except QuantityError as error:
        # Only wrong spellings of the unit are mended here; the number stays as it was typed.
        if error.nearest is None or not error.nearest.startswith(number):
            return None
        try:
            found = parse(error.nearest, _KINDS)
        except QuantityError:
            return None
    return f"{number} {found.unit}", found.kind, found.value
