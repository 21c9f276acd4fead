"""Text to a quantity in SI units and back, exact both ways.

A quantity is a number with its unit, as people write it: `400 W`, `12V`, `6 ft 3 in`. It may carry a
tolerance, `0.72 ohm +- 0.02 ohm`, `0.72 ± 0.02 ohm` or `0.72 ohm +- 3 %`, or be a range, `10.5..15 V`.
Numbers are plain decimals with a point; commas, exponents and fractions are refused, with the reason.
Whatever is read is worked out in whole numbers and rounded to a float once.
"""

import re
from typing import Final

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.records import dataclass
from groundstrap.units.decimals import DecimalNumber, read_decimal, write_decimal
from groundstrap.units.kinds import LARGEST, LEAST, SMALLEST, UNITS, Kind, Unit, with_article
from groundstrap.units.refusals import Shape, UnreadableError, refusal

_LONGEST_TEXT: Final = 120
_MOST_DECIMALS: Final = 45

_SPACE: Final = "[ \u00a0\u202f]*"
_UNSIGNED: Final = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_SIGNED: Final = rf"[+-]?{_UNSIGNED}"
_SIMPLE: Final = re.compile(rf"({_SIGNED}){_SPACE}([^\s0-9.+-][^\s.+-]*)").fullmatch
_BARE: Final = re.compile(_SIGNED).fullmatch
_TWO_PARTS: Final = re.compile(
    rf"([+-]?)([0-9]+){_SPACE}(ft|h|min){_SPACE}({_UNSIGNED}){_SPACE}(in|min|s)"
).fullmatch
_TOLERANCE_MARK: Final = re.compile(r"\+-|±")

# Units that people write one after the other, and how many of the second make one of the first.
_TWO_PART_UNITS: Final = {("ft", "in"): 12, ("h", "min"): 60, ("min", "s"): 60}

_PERCENT: Final = UNITS["%"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A quantity that was read.

    `value` is in the SI unit of its kind. With a tolerance `value` is the middle, `plus_minus` half the
    width, and `low` and `high` are the ends. Of a range (`is_range`) `low` and `high` are what was written
    and `value` is the point half way, which nobody wrote. `unit` is the unit it was written in, in this
    project's spelling (the smaller one of two). `last_digit` is the weight of the last digit written, in
    the SI unit: `12.62 V` has 0.01; of a range it is that of the coarser end.
    """

    kind: Kind
    value: float
    unit: str
    text: str
    last_digit: float
    low: float | None = None
    high: float | None = None
    plus_minus: float | None = None
    is_range: bool = False


class _Term:
    """One number with its unit, before any rounding: SI value = over / under, last digit = step / under."""

    __slots__ = ("over", "step", "under", "unit")

    def __init__(self, number: DecimalNumber, unit: Unit) -> None:
        scale: int = 10**number.decimals
        self.unit = unit
        self.step = unit.numerator
        self.over = (number.digits - unit.zero * scale) * unit.numerator
        self.under = unit.denominator * scale

    def value(self) -> float:
        """Return the SI value, rounded once; refuse what its kind can't be."""
        value = self.over / self.under
        least = LEAST.get(self.unit.kind)
        if least is not None and self.over * least[1] < least[0] * self.under:
            limit = "absolute zero" if least[0] else "zero"
            raise UnreadableError(f"{with_article(self.unit.kind)} is never below {limit}")
        if value != 0.0 and not SMALLEST <= abs(value) <= LARGEST:
            size = "large" if abs(value) > LARGEST else "small"
            raise UnreadableError(f"far too {size} for {with_article(self.unit.kind)}")
        return value


def parse(text: str, kinds: Kind | tuple[Kind, ...]) -> Quantity:
    """Read one value, with or without a tolerance; a range is refused.

    Parameters
    ----------
    text : str
        What stands in the file or was typed.
    kinds : Kind or tuple of Kind
        What is wanted there.

    Examples
    --------
    By hand: 6 ft 3 in is 75 in of 25.4 mm, so 1.905 m.

    >>> parse("6 ft 3 in", Kind.LENGTH).value
    1.905
    >>> r = parse("0.72 ohm +- 0.02 ohm", Kind.RESISTANCE)
    >>> r.value, r.low, r.high, r.last_digit
    (0.72, 0.7, 0.74, 0.01)
    """
    return _read_or_refuse(text, kinds, Shape.VALUE)


def parse_range(text: str, kinds: Kind | tuple[Kind, ...]) -> Quantity:
    """Read a range `a..b`; one value alone is refused.

    Examples
    --------
    >>> works = parse_range("10.5..15 V", Kind.VOLTAGE)
    >>> works.low, works.high, works.is_range
    (10.5, 15.0, True)
    """
    return _read_or_refuse(text, kinds, Shape.RANGE)


def parse_value_or_range(text: str, kinds: Kind | tuple[Kind, ...]) -> Quantity:
    """Read one value or a range, where a key takes either; `is_range` says which it was.

    Examples
    --------
    >>> parse_value_or_range("14.2 V", Kind.VOLTAGE).is_range
    False
    >>> parse_value_or_range("12.3 V..14.8 V", Kind.VOLTAGE).is_range
    True
    """
    return _read_or_refuse(text, kinds, Shape.EITHER)


def format_quantity(value: float, unit: str) -> str:
    """Write an SI value in a unit: the shortest text that reads back as exactly the same float.

    Parameters
    ----------
    value : float
        In the SI unit of the unit's kind.
    unit : str
        Name of the unit to write it in.

    Examples
    --------
    >>> format_quantity(1.905, "in"), format_quantity(0.3048, "ft"), format_quantity(0.1 + 0.2, "V")
    ('75 in', '1 ft', '0.30000000000000004 V')
    """
    known = _unit(unit)
    _require_writable(value)
    over, under = value.as_integer_ratio()
    over = over * known.denominator + known.zero * under * known.numerator
    under *= known.numerator
    for decimals in range(_MOST_DECIMALS + 1):
        digits = (2 * over * 10**decimals + under) // (2 * under)
        term = _Term(DecimalNumber(digits, decimals), known)
        if term.over / term.under == value:
            return f"{write_decimal(digits, decimals)} {known.name}"
    raise OutOfRangeError("format_quantity", "value", value, SMALLEST, LARGEST)


def convert(value: float, kind: Kind, unit: str) -> float:
    """Turn an SI value of a kind into a number in one of the kind's units, for display. [unit]

    Parameters
    ----------
    value : float
        In the SI unit of the kind.
    kind : Kind
        What it is.
    unit : str
        Name of a unit of that kind.

    Examples
    --------
    By hand: 85 degC is 85 * 9/5 + 32 = 185 degF.

    >>> convert(85.0, Kind.TEMPERATURE, "degF")
    185.0
    """
    known = _unit(unit)
    if known.kind is not kind:
        raise UnknownNameError(f"unit of {kind}", unit, tuple(n for n, u in UNITS.items() if u.kind is kind))
    _require_writable(value)
    over, under = value.as_integer_ratio()
    return (over * known.denominator + known.zero * under * known.numerator) / (under * known.numerator)


def _unit(name: str) -> Unit:
    unit = UNITS.get(name)
    if unit is None:
        raise UnknownNameError("unit", name, tuple(UNITS))
    return unit


def _require_writable(value: float) -> None:
    if value != 0.0 and not SMALLEST <= abs(value) <= LARGEST:
        raise OutOfRangeError("quantity", "magnitude", abs(value), SMALLEST, LARGEST)


def _read_or_refuse(text: str, kinds: Kind | tuple[Kind, ...], shape: Shape) -> Quantity:
    wanted = (kinds,) if isinstance(kinds, Kind) else kinds
    try:
        return _read(text, wanted, shape)
    except UnreadableError as fault:
        found = fault

    def reads(candidate: str) -> bool:
        try:
            _read(candidate, wanted, shape)
        except UnreadableError:
            return False
        return True

    raise refusal(text, wanted, shape=shape, fault=found, reads=reads)


def _read(text: str, wanted: tuple[Kind, ...], shape: Shape) -> Quantity:
    if len(text) > _LONGEST_TEXT:
        raise UnreadableError("far too long for a quantity")
    bare = text.strip(" \u00a0\u202f")
    if ".." in bare:
        if shape is Shape.VALUE:
            raise UnreadableError("a range stands where one value is wanted")
        return _range(text, bare, wanted)
    if shape is Shape.RANGE:
        _term(bare, wanted)
        raise UnreadableError("one value stands where a range is wanted")
    if "+-" in bare or "±" in bare:
        return _with_tolerance(text, bare, wanted)
    term = _term(bare, wanted)
    return Quantity(
        kind=term.unit.kind,
        value=term.value(),
        unit=term.unit.name,
        text=text,
        last_digit=term.step / term.under,
    )


def _term(text: str, wanted: tuple[Kind, ...], borrowed: Unit | None = None) -> _Term:
    """Read a number with its unit; a bare number only where a unit may be borrowed from its neighbour."""
    match = _SIMPLE(text)
    if match is not None and (unit := UNITS.get(match[2])) is not None:
        if unit.kind not in wanted:
            raise UnreadableError
        return _Term(read_decimal(match[1]), unit)
    if borrowed is not None and _BARE(text):
        return _Term(read_decimal(text), borrowed)
    return _two_part_term(text, wanted)


def _two_part_term(text: str, wanted: tuple[Kind, ...]) -> _Term:
    match = _TWO_PARTS(text)
    if match is None:
        raise UnreadableError
    ratio = _TWO_PART_UNITS.get((match[3], match[5]))
    unit = UNITS[match[5]]
    if ratio is None or unit.kind not in wanted:
        raise UnreadableError
    second = read_decimal(match[4])
    scale: int = 10**second.decimals
    if second.digits >= ratio * scale:
        raise UnreadableError(f"{match[4]} {match[5]} is a whole {match[3]} or more")
    digits = int(match[2]) * ratio * scale + second.digits
    return _Term(DecimalNumber(-digits if match[1] == "-" else digits, second.decimals), unit)


def _range(text: str, bare: str, wanted: tuple[Kind, ...]) -> Quantity:
    ends = bare.split("..")
    if len(ends) != 2 or ends[1].startswith(".") or ends[0].endswith("."):
        raise UnreadableError
    if _BARE(ends[1].strip()) and (match := _SIMPLE(ends[0].strip())):
        raise UnreadableError("a bare number has no unit", f"{bare} {match[2]}")
    high = _term(ends[1].strip(), wanted)
    low = _term(ends[0].strip(), (high.unit.kind,), borrowed=high.unit)
    low_value, high_value = low.value(), high.value()
    if low.over * high.under >= high.over * low.under:
        swapped = f"{ends[1].strip()}..{ends[0].strip()}"
        unit = "" if _SIMPLE(ends[0].strip()) else f" {high.unit.name}"
        if unit and (match := _SIMPLE(ends[1].strip())):
            swapped = f"{match[1]}..{ends[0].strip()}{unit}"
        raise UnreadableError("the lower end of a range comes first and is lower", swapped)
    return Quantity(
        kind=high.unit.kind,
        value=(low.over * high.under + high.over * low.under) / (2 * low.under * high.under),
        low=low_value,
        high=high_value,
        unit=high.unit.name,
        text=text,
        last_digit=max(low.step / low.under, high.step / high.under),
        is_range=True,
    )


def _with_tolerance(text: str, bare: str, wanted: tuple[Kind, ...]) -> Quantity:
    halves = [half.strip() for half in _TOLERANCE_MARK.split(bare)]
    if len(halves) != 2:
        raise UnreadableError
    if halves[1].startswith(("+", "-")):
        raise UnreadableError("a tolerance has no sign of its own")
    middle, over, under = _middle_and_tolerance(halves[0], halves[1], wanted)
    value = middle.value()
    if over <= 0:
        raise UnreadableError("a tolerance of nothing", halves[0] if _SIMPLE(halves[0]) else None)
    both = middle.under * under
    return Quantity(
        kind=middle.unit.kind,
        value=value,
        low=(middle.over * under - over * middle.under) / both,
        high=(middle.over * under + over * middle.under) / both,
        plus_minus=over / under,
        unit=middle.unit.name,
        text=text,
        last_digit=middle.step / middle.under,
    )


def _middle_and_tolerance(left: str, right: str, wanted: tuple[Kind, ...]) -> tuple[_Term, int, int]:
    """Read both halves; the tolerance comes as a fraction of whole numbers, in the SI unit."""
    if _BARE(right) and (match := _SIMPLE(left)):
        raise UnreadableError("a bare number has no unit", f"{left} +- {right} {match[2]}")
    match = _SIMPLE(right)
    unit = UNITS.get(match[2]) if match is not None else None
    if match is None or unit is None:
        raise UnreadableError
    number = read_decimal(match[1])
    scale: int = 10**number.decimals
    if unit is _PERCENT and Kind.PERCENT not in wanted and _BARE(left):
        raise UnreadableError("the number before the tolerance has no unit")
    if unit is _PERCENT and not _BARE(left):
        middle = _term(left, wanted)
        if middle.unit.kind is Kind.TEMPERATURE:
            raise UnreadableError("a percentage of a temperature means nothing")
        if middle.unit is not _PERCENT:
            return middle, abs(middle.over) * number.digits, middle.under * 100 * scale
    else:
        middle = _term(left, wanted, borrowed=unit if unit.kind in wanted else None)
    is_difference = unit.kind is Kind.TEMPERATURE_DIFFERENCE and middle.unit.kind is Kind.TEMPERATURE
    if unit.kind is not middle.unit.kind and not is_difference:
        raise UnreadableError(f"{unit.name} does not measure {with_article(middle.unit.kind)}")
    return middle, number.digits * unit.numerator, unit.denominator * scale
