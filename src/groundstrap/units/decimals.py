"""Decimal text to a whole number with decimals and back, without a float between."""

from groundstrap.records import dataclass


@dataclass(frozen=True, slots=True)
class DecimalNumber:
    """The number `digits / 10**decimals`, exactly as it was written; `decimals` also says how finely."""

    digits: int
    decimals: int


def read_decimal(text: str) -> DecimalNumber:
    """Read plain decimal text; the caller has seen that it is nothing else.

    >>> read_decimal("-12.60")
    DecimalNumber(digits=-1260, decimals=2)
    """
    whole, _, fraction = text.partition(".")
    return DecimalNumber(int(whole + fraction), len(fraction))


def write_decimal(digits: int, decimals: int) -> str:
    """Write `digits / 10**decimals` as plain text; negative decimals are zeros before the point.

    >>> write_decimal(-1260, 3), write_decimal(5, -2)
    ('-1.260', '500')
    """
    if decimals <= 0:
        return str(digits * 10**-decimals)
    sign = "-" if digits < 0 else ""
    padded = str(abs(digits)).rjust(decimals + 1, "0")
    return f"{sign}{padded[:-decimals]}.{padded[-decimals:]}"
