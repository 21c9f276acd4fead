"""Numbers in the texts of findings: three figures, and more where two of them would look alike."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from groundstrap.records import dataclass
from groundstrap.words import Words, term, words

__all__ = [
    "NOT_THE_SPOT",
    "READ_THE_PRINT",
    "UNITS_IN_WORDS",
    "WORTH_READING_A",
    "Pair",
    "allowed_length",
    "borne_out",
    "duration",
    "length",
    "number",
    "one_of",
    "opens_after",
    "pair",
    "quantity",
]

READ_THE_PRINT: Final = words(
    "with the insulation that is assumed, for nobody wrote it: read the print on the cable"
)

NOT_THE_SPOT: Final = words(
    " The fuse saves the cable, not the spot: 10 A of arc in a bad contact are 120 W and open nothing."
)
"""Behind the remedy of every finding on a holder, a plug or a joint. 12 V times 10 A; common practice."""

WORTH_READING_A: Final = 10.0
"""Over 0.3 mohm it makes 3 mV, three digits of a handheld meter; own judgement. [A]"""

UNITS_IN_WORDS: Final = ("d", "rings", "times")
"""Units that other languages have other words for."""

_MOST_DECIMALS: Final = 6


@dataclass(frozen=True, slots=True)
class Pair:
    """A value and its limit as texts that tell them apart."""

    value: str
    limit: str

    def words(self, template: str, /, **fields: object) -> Words:
        """Return a text that can be translated, with both of them in it.

        >>> str(Pair("20.04 A", "20 A").words("{value} flow, above {limit} at {where}", where="pump"))
        '20.04 A flow, above 20 A at pump'
        """
        return Words(template, {"value": self.value, "limit": self.limit, **fields})


def _decimals(value: float) -> int:
    size = abs(value)
    return 0 if size >= 100 else 1 if size >= 10 else 2 if size >= 1 else 3


def number(value: float, decimals: int | None = None) -> str:
    """Return a number with about three figures and no idle zeros.

    >>> number(12.3456), number(30.0), number(1667.4), number(0.0042)
    ('12.3', '30', '1667', '0.004')
    """
    text = f"{value:.{_decimals(value) if decimals is None else decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def quantity(value: float, unit: str) -> str:
    """Return a number with its unit, which may be a word.

    >>> quantity(12.3456, "A")
    '12.3 A'
    """
    return _with_unit(number(value), unit)


def _with_unit(said: str, unit: str) -> str:
    return (
        words("{number} {unit}", number=said, unit=term(unit)) if unit in UNITS_IN_WORDS else f"{said} {unit}"
    )


def length(value_m: float) -> str:
    """Return a length, in centimetres below one metre.

    >>> length(0.1778), length(2.5)
    ('18 cm', '2.5 m')
    """
    return f"{number(value_m * 100, 0)} cm" if abs(value_m) < 1.0 else quantity(value_m, "m")


def allowed_length(value_m: float, printed: str) -> str:
    """Return a length with the words of the table that allows it in brackets, unless they are metric too.

    >>> str(allowed_length(0.1778, "7 in")), allowed_length(0.3, "300 mm")
    ('18 cm (7 in)', '30 cm')
    """
    if printed.endswith("m"):
        return length(value_m)
    return words("{length} ({printed})", length=length(value_m), printed=printed)


def duration(value_s: float) -> str:
    """Return a time in seconds, minutes or hours.

    >>> duration(4.2), duration(90.0), duration(7200.0)
    ('4.2 s', '1.5 min', '2 h')
    """
    if value_s < 60.0:
        return quantity(value_s, "s")
    return quantity(value_s / 60.0, "min") if value_s < 3600.0 else quantity(value_s / 3600.0, "h")


def opens_after(clearing_s: float | None) -> str:
    """Return how long a fuse may take, as the end of a sentence; nothing where that is not known.

    >>> opens_after(90.0), opens_after(float("inf"))
    (' and may take 1.5 min to open it', ' and may never open it')
    """
    if clearing_s is None:
        return ""
    if clearing_s >= 1e9:
        return words(" and may never open it")
    return words(" and may take {time} to open it", time=duration(clearing_s))


def pair(value: float, limit: float, unit: str) -> Pair:
    """Return both numbers with their unit, with as many decimals as it takes to tell them apart.

    >>> pair(20.04, 20.0, "A")
    Pair(value='20.04 A', limit='20 A')
    """
    texts = Pair(quantity(value, unit), quantity(limit, unit))
    return texts if texts.value != texts.limit or value == limit else _finer(value, limit, unit)


def _finer(value: float, limit: float, unit: str) -> Pair:
    """Both with the fewest decimals that tell them apart; alike where only rounding parts them."""
    for decimals in range(_MOST_DECIMALS + 1):
        if number(value, decimals) != number(limit, decimals):
            return Pair(_with_unit(number(value, decimals), unit), _with_unit(number(limit, decimals), unit))
    return Pair(quantity(value, unit), quantity(limit, unit))


def one_of(names: Iterable[str], most: int = 3) -> str:
    """Return names with commas, cut after a few with the number that is left out.

    >>> one_of(("a", "b", "c", "d"))
    'a, b, c and 1 more'
    """
    every = tuple(names)
    rest = len(every) - most
    named = ", ".join(every[:most])
    return words("{named} and {rest} more", named=named, rest=rest) if rest > 0 else named


def borne_out(told: Words, *, as_well: str, one_reading: str) -> Words:
    """Return what readings prove, with what else would explain them and the one that alone says so, if any.

    >>> str(borne_out(words("it is open"), as_well="pump fuse", one_reading=""))
    "it is open; or it is pump fuse, which they can't tell from it"
    """
    if as_well:
        told = words("{told}; or it is {others}, which they can't tell from it", told=told, others=as_well)
    if one_reading:
        told = words("{told}; one reading alone says so ({reading})", told=told, reading=one_reading)
    return told
