"""Numbers as people read them: about three figures, the unit beside each, sizes both in mm2 and AWG."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from groundstrap.model import Uncertain
from groundstrap.units import ConductorSize, Kind, awg_of_area, convert

__all__ = ["Display", "amps", "band", "counted", "number", "ohms", "percent", "volts", "watts"]

UNKNOWN = "?"


def number(value: float, figures: int = 3) -> str:
    """Return a number with so many figures, whole numbers kept whole, no idle zeros.

    >>> number(12.345), number(2850.4), number(0.0412), number(0.0)
    ('12.3', '2850', '0.0412', '0')
    """
    if value == 0.0:
        return "0"
    exact = Decimal(f"{value:.12g}")
    places = max(0, figures - 1 - exact.adjusted())
    text = f"{exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP):f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in {"-0", ""} else text


def counted(count: int, thing: str) -> str:
    """Return how many there are of a thing.

    >>> counted(1, "circuit"), counted(12, "load")
    ('1 circuit', '12 loads')
    """
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def amps(value_a: float | None) -> str:
    """Return a current; a question mark where it is not known.

    >>> amps(12.345), amps(None)
    ('12.3 A', '?')
    """
    return UNKNOWN if value_a is None else f"{_steady(value_a, 3)} A"


def volts(value_v: float | None) -> str:
    """Return a voltage to the hundredth, as a meter shows it.

    >>> volts(12.0), volts(0.4567), volts(None)
    ('12.00 V', '0.46 V', '?')
    """
    return UNKNOWN if value_v is None else f"{value_v + 0.0:.2f} V"


def watts(value_w: float | None) -> str:
    """Return a power.

    >>> watts(79.38)
    '79.4 W'
    """
    return UNKNOWN if value_w is None else f"{_steady(value_w, 3)} W"


def ohms(value_ohm: float | None) -> str:
    """Return a resistance, in thousandths where it is small.

    >>> ohms(1.34), ohms(0.0037)
    ('1.34 ohm', '3.7 mohm')
    """
    if value_ohm is None:
        return UNKNOWN
    return f"{number(value_ohm * 1000)} mohm" if abs(value_ohm) < 0.1 else f"{number(value_ohm)} ohm"


def percent(value_pct: float | None) -> str:
    """Return a share with one decimal.

    >>> percent(3.04)
    '3.0 %'
    """
    return UNKNOWN if value_pct is None else f"{value_pct:.1f} %"


def band(value: Uncertain | None, unit: str) -> str:
    """Return an uncertain value with the ends of its interval.

    >>> band(Uncertain(156.5, 148.0, 165.5), "W")
    '157 W (148 to 166)'
    """
    if value is None:
        return UNKNOWN
    if value.low == value.high:
        return f"{_steady(value.value, 3)} {unit}"
    return f"{_steady(value.value, 3)} {unit} ({_steady(value.low, 3)} to {_steady(value.high, 3)})"


def _steady(value: float, figures: int) -> str:
    """Three figures; nothing under a hundredth, which no meter of the trade shows."""
    return number(0.0 if abs(value) < 5e-4 else value, figures)


@dataclass(frozen=True, slots=True)
class Display:
    """Which units lengths, sizes and temperatures are shown in: `metric` or `us`."""

    units: str = "metric"

    @property
    def us(self) -> bool:
        """Whether feet, AWG first and degrees Fahrenheit are shown."""
        return self.units == "us"

    def length(self, length_m: float | None) -> str:
        """Return a length.

        >>> Display().length(0.15), Display().length(3.2), Display("us").length(3.2)
        ('15 cm', '3.2 m', '10.5 ft')
        """
        if length_m is None:
            return UNKNOWN
        if self.us:
            inches = convert(length_m, Kind.LENGTH, "in")
            return f"{number(inches, 2)} in" if inches < 24 else f"{number(inches / 12)} ft"
        return f"{number(length_m * 100, 2)} cm" if length_m < 1.0 else f"{number(length_m)} m"

    def size(self, size: ConductorSize | None, parallel: int = 1) -> str:
        """Return a size in both ways of writing it, that of these units first.

        >>> from groundstrap.units import parse_size
        >>> Display().size(parse_size("6 mm2")), Display("us").size(parse_size("14 AWG"))
        ('6 mm2 (~9 AWG)', '14 AWG (2.08 mm2)')
        """
        if size is None:
            return UNKNOWN
        times = f"{parallel} x " if parallel > 1 else ""
        return f"{times}{self.short(size)} ({self.other(size)})" if self.other(size) else times + size.text

    def short(self, size: ConductorSize | None) -> str:
        """Return a size as it is sold.

        >>> from groundstrap.units import parse_size
        >>> Display().short(parse_size("2/0 AWG"))
        '2/0 AWG'
        """
        return UNKNOWN if size is None else size.text

    def other(self, size: ConductorSize) -> str:
        """Return a size in the way of writing that it is not sold in; empty where none is near.

        >>> from groundstrap.units import parse_size
        >>> Display().other(parse_size("0.35 mm2"))
        '~22 AWG'
        """
        if size.gauge is not None or size.system == "strands":
            return f"{number(size.area_mm2)} mm2"
        near = awg_of_area(size.area_mm2)
        return "" if near is None else f"~{near}"

    def temperature(self, value_c: float | None) -> str:
        """Return a temperature.

        >>> Display().temperature(60.4), Display("us").temperature(60.0)
        ('60 degC', '140 degF')
        """
        if value_c is None:
            return UNKNOWN
        if self.us:
            return f"{convert(value_c, Kind.TEMPERATURE, 'degF'):.0f} degF"
        return f"{value_c:.0f} degC"
