"""Why a text is no quantity: the reason, what would do, and what was probably meant.

Runs only after reading has failed. Repairs are tried one after the other; the first that has something to
say gives the reason, and what all of them make of the text is offered, if it then reads.
"""

import re
from collections.abc import Callable
from enum import Enum
from typing import Final

from groundstrap.errors import QuantityError, shown
from groundstrap.records import dataclass
from groundstrap.units.decimals import read_decimal, write_decimal
from groundstrap.units.kinds import UNITS, Kind, example_of, wanted_units
from groundstrap.units.spellings import unit_meant

_LONGEST_EXPONENT: Final = 30


class Shape(Enum):
    """What may stand there: one value, a range, or either."""

    VALUE = "value"
    RANGE = "range"
    EITHER = "either"


class UnreadableError(Exception):
    """Inside this package only: reading stopped, with the reason where it was clear, and a guess."""

    def __init__(self, reason: str = "", guess: str | None = None) -> None:
        self.reason = reason
        self.guess = guess
        super().__init__(reason)


@dataclass(frozen=True, slots=True)
class _Repair:
    """What is wrong, and the text without it; no text where nobody can tell what was meant."""

    reason: str
    text: str | None


_Fix = Callable[[str], _Repair | None]


def refusal(
    given: str,
    wanted: tuple[Kind, ...],
    *,
    shape: Shape,
    fault: UnreadableError,
    reads: Callable[[str], bool],
) -> QuantityError:
    """Build the error for a text that could not be read; `reads` tells whether a guess would be."""
    reason, guess = fault.reason, fault.guess
    if not reason:
        reason, guess = _diagnose(given, wanted, shape)
    if guess is not None and (guess.strip() == given.strip() or not reads(guess)):
        guess = None
    return QuantityError(given=given, reason=reason, wanted=_wanted(wanted, shape), nearest=guess)


def _wanted(kinds: tuple[Kind, ...], shape: Shape) -> str:
    if shape is Shape.RANGE:
        return f"a range a..b of {wanted_units(kinds)}"
    either = " or a range a..b of it" if shape is Shape.EITHER else ""
    return f"{wanted_units(kinds)}{either}, such as {example_of(kinds)}"


def _diagnose(given: str, wanted: tuple[Kind, ...], shape: Shape) -> tuple[str, str | None]:
    if not given.strip():
        return "nothing stands there", None
    text, reason = given.strip(), ""
    for fix in _FIXES:
        repair = fix(text)
        if repair is None:
            continue
        reason = reason or repair.reason
        if repair.text is None:
            return reason, None
        text = repair.text
    if ".." in text and shape is Shape.VALUE:
        return "a range stands where one value is wanted", None
    return reason or _last_words(text, wanted), text


def _not_a_number(text: str) -> _Repair | None:
    if re.search(r"(?i)(?<![a-z])(nan|inf|infinity)(?![a-z])|∞", text):
        return _Repair("not a number that anybody could measure", None)
    return None


def _plain_digits(text: str) -> _Repair | None:
    strange = [c for c in text if not c.isascii() and c.isnumeric()]
    if not strange:
        return None
    plain = "".join(str(int(c)) if not c.isascii() and c.isdecimal() else c for c in text)
    readable = None if any(not c.isascii() and c.isnumeric() for c in plain) else plain
    return _Repair(f"{shown(strange[0])} is not one of the digits 0 to 9", readable)


def _plain_signs(text: str) -> _Repair | None:
    plain = re.sub(r"\+/-|\+\s-|-\+|∓", "+-", text)
    if plain != text:
        return _Repair("a tolerance is written +- or ±", plain)
    plain = re.sub(r"(^|\.\.\s*)[−–—‐‑](?=\s*[0-9.])", r"\1-", text)
    return _Repair("the minus sign is a plain -", plain) if plain != text else None


def _plain_commas(text: str) -> _Repair | None:
    if "," not in text:
        return None
    found = [number for number in re.findall(r"[0-9]+(?:[.,][0-9]+)+", text) if "," in number]
    if not found:
        return _Repair("a comma stands in it", None)
    reason = "a comma is not read as a decimal point"
    for number in found:
        if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", number):
            whole, part = number.replace(",", ""), number.replace(",", ".")
            return _Repair(f"the comma may be a decimal or a thousands comma: write {whole} or {part}", None)
        if re.fullmatch(r"[1-9][0-9]{0,2}(,[0-9]{3})+(\.[0-9]+)?", number):
            reason, plain = "commas between thousands are not read", number.replace(",", "")
        elif re.fullmatch(r"[0-9]{1,3}(\.[0-9]{3})+,[0-9]+", number):
            plain = number.replace(".", "").replace(",", ".")
        elif re.fullmatch(r"[0-9]+,[0-9]+", number):
            plain = number.replace(",", ".")
        else:
            return _Repair("it has too many commas and points to tell", None)
        text = text.replace(number, plain, 1)
    return _Repair(reason, text)


def _plain_exponent(text: str) -> _Repair | None:
    pattern = r"([0-9]+(?:\.[0-9]+)?)[eE]([+-]?[0-9]{1,3})(?![0-9])"
    match = re.search(pattern, text)
    if match is None:
        return None
    reason = "a number is written out, without an exponent"
    number, exponent = read_decimal(match[1]), int(match[2])
    if abs(exponent) > _LONGEST_EXPONENT:
        return _Repair(reason, None)
    plain = write_decimal(number.digits, number.decimals - exponent)
    return _Repair(reason, text[: match.start()] + plain + text[match.end() :])


def _plain_thousands(text: str) -> _Repair | None:
    plain = re.sub(r"(?<=[0-9])[_'’ \u00a0\u202f](?=[0-9]{3}(?![0-9]))", "", text)
    return _Repair("a number is written in one piece", plain) if plain != text else None


def _plain_fraction(text: str) -> _Repair | None:
    match = re.search(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)", text)
    if match is None:
        return None
    reason = "a fraction is written as a decimal number"
    top, bottom = int(match[2]), int(match[3])
    for decimals in range(1, 7):
        if bottom and top * 10**decimals % bottom == 0:
            digits = int(match[1] or 0) * 10**decimals + top * 10**decimals // bottom
            return _Repair(
                reason, text[: match.start()] + write_decimal(digits, decimals) + text[match.end() :]
            )
    return _Repair(reason, None)


def _plain_feet(text: str) -> _Repair | None:
    plain = re.sub(r"(?<=[0-9])\s*['’′]\s*", " ft ", text)
    plain = re.sub(r"(?<=[0-9])\s*[\"”″]", " in", plain).strip()
    return _Repair("feet and inches are written ft and in", plain) if plain != text else None


def _plain_range(text: str) -> _Repair | None:
    plain = re.sub(r"\s*(\.{3,}|…)\s*", "..", text)
    plain = re.sub(r"(?<=[0-9A-Za-z%²°])\s*(?:\bto\b|(?<![eE+])[-–—−~])\s*(?=[+-]?\.?[0-9])", "..", plain)
    return _Repair("a range is written a..b", plain) if plain != text else None


def _plain_point(text: str) -> _Repair | None:
    plain = re.sub(r"(?<=[0-9])\.(?![0-9.])", "", text)
    return _Repair("no digit follows the decimal point", plain) if plain != text else None


def _plain_units(text: str) -> _Repair | None:
    reason = ""

    def correct(match: re.Match[str]) -> str:
        nonlocal reason
        written = match[2].strip()
        meant = unit_meant(written)
        if written in UNITS or meant is None:
            return match[0]
        reason = reason or f"{shown(written)} is not how a unit is written; the nearest is {meant}"
        return f"{match[1]}{meant}{' ' if match[2] != match[2].rstrip() else ''}"

    plain = re.sub(r"(?<=[0-9])(\s*)([^\s0-9.+±-][^0-9+±]*?[23²³]?)(?=\s*(?:[0-9+±]|\.\.|$))", correct, text)
    return _Repair(reason, plain) if reason else None


_FIXES: Final[tuple[_Fix, ...]] = (
    _not_a_number,
    _plain_digits,
    _plain_commas,
    _plain_exponent,
    _plain_thousands,
    _plain_fraction,
    _plain_feet,
    _plain_signs,
    _plain_range,
    _plain_point,
    _plain_units,
)


def _last_words(text: str, wanted: tuple[Kind, ...]) -> str:
    """Say what is wrong with a text that has nothing in it to repair."""
    numbers = re.findall(r"[0-9]+(?:\.[0-9]+)?", re.sub(r"(?<=[A-Za-z])[0-9]", "", text))
    if not numbers:
        return "there is no number in it"
    if re.fullmatch(r"[+-]?[0-9.]+", text):
        return "a bare number has no unit"
    before = re.match(r"[^0-9+.±-]+", text)
    if before is not None:
        return f"{shown(before[0].strip())} stands before the number; how sure it is says a tolerance, +-"
    words = [word for word in re.findall(r"[^\s0-9.+±-][^\s.+±-]*", text) if word]
    unknown = next((word for word in words if word not in UNITS), None)
    if unknown is not None:
        return f"{shown(unknown)} is no unit known here"
    other = next((word for word in words if UNITS[word].kind not in wanted), None)
    if other is not None:
        return f"{UNITS[other].name} is a unit of {UNITS[other].kind}"
    if len(numbers) > 1 and "+-" not in text and "±" not in text:
        return "there are two numbers in it"
    if words and re.search(r"[0-9]\s*(\+-|±|\.\.|$)", text):
        return "a bare number has no unit"
    return "not read as a number with its unit"
