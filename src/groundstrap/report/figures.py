"""Numbers as people read them: about three figures, the unit beside each, sizes both in mm2 and AWG."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import Final

from groundstrap.model import Installation, Uncertain
from groundstrap.records import dataclass
from groundstrap.units import ConductorSize, Kind, awg_neighbours, convert
from groundstrap.words import words

__all__ = [
    "Display",
    "amps",
    "band",
    "counted",
    "kelvins",
    "number",
    "ohms",
    "percent",
    "seconds",
    "volts",
    "watts",
]

UNKNOWN = "?"
_NOTHING: Final = 1e-9
"""Smaller numbers are what rounding leaves of nothing: currents add up to 1e-9 A."""


@lru_cache(maxsize=8192)
def number(value: float, figures: int = 3) -> str:
    """Return a number with so many figures, whole numbers kept whole, no idle zeros.

    >>> number(12.345), number(2850.4), number(0.0412), number(2e-13)
    ('12.3', '2850', '0.0412', '0')
    """
    if abs(value) < _NOTHING:
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

    >>> volts(12.0), volts(0.4567), volts(-0.001), volts(None)
    ('12.00 V', '0.46 V', '0.00 V', '?')
    """
    return UNKNOWN if value_v is None else f"{round(value_v, 2) + 0.0:.2f} V"


def watts(value_w: float | None) -> str:
    """Return a power.

    >>> watts(79.38)
    '79.4 W'
    """
    return UNKNOWN if value_w is None else f"{_steady(value_w, 3)} W"


def ohms(value_ohm: float | None) -> str:
    """Return a resistance, in thousandths where it is small, in thousands where it is large.

    >>> ohms(1.34), ohms(0.0037), ohms(100_000.0)
    ('1.34 ohm', '3.7 mohm', '100 kohm')
    """
    if value_ohm is None:
        return UNKNOWN
    if abs(value_ohm) >= 10_000.0:
        return f"{number(value_ohm / 1000)} kohm"
    return f"{number(value_ohm * 1000)} mohm" if abs(value_ohm) < 0.1 else f"{number(value_ohm)} ohm"


def kelvins(value_k: float) -> str:
    """Return a difference of temperatures.

    >>> kelvins(39.46)
    '39 K'
    """
    return f"{value_k:.0f} K"


def seconds(value_s: float | None) -> str:
    """Return a time in the unit that people say it in.

    >>> seconds(0.0412), seconds(40.0), seconds(180.0), seconds(86_400.0)
    ('41 ms', '40 s', '3 min', '24 h')
    """
    if value_s is None:
        return UNKNOWN
    if value_s < 1.0:
        return f"{number(1000.0 * value_s, 2)} ms"
    if value_s < 120.0:
        return f"{number(value_s, 3)} s"
    return f"{number(value_s / 60.0, 3)} min" if value_s < 7200.0 else f"{number(value_s / 3600.0, 3)} h"


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


_NUMBER: Final = r"-?\d+(?:\.\d+)?"
_METRIC: Final = re.compile(
    rf"(?<![\w.-])(?<!degF \()(?:(?P<low>{_NUMBER})(?P<between> to | and |\.\.))?"
    rf"(?P<high>{_NUMBER}) (?P<unit>degC|m|cm)\b(?![²/])"
)
"""A length or a temperature in a text, a range of them included."""

_TWICE: Final = re.compile(
    rf"(?<![\w.-])(?<!ft )(?P<one>{_NUMBER}) (?P<unit>in|ft) \((?P<other>{_NUMBER}) (?P<other_unit>in|ft)\)"
)
"""A length with another in brackets, such as that of a table as printed."""

_INCHES: Final = {"in": 1.0, "ft": 12.0}

_CLASS: Final = re.compile(r"insulation(?: for|:)? $|class $")
"""What stands before a temperature that is the class of an insulation."""


_INCHES_ALONE: Final = 48.0
"""Below half of it a length is told in inches; below it too, unless it is whole feet (40 in, 3 ft). [in]"""


_NM_PER_LBF_IN: Final = 0.1129848290276167
"""NIST SP 811, appendix B.8; from memory. No text is read in this unit, so `units` has no need of it. [Nm]"""


@dataclass(frozen=True, slots=True)
class Display:
    """Which units lengths, sizes and temperatures are shown in: `metric` or `us`."""

    units: str = "metric"
    names: tuple[str, ...] = ()
    """Names of the job that look like a quantity; they stay as they are written."""

    @classmethod
    def of(cls, installation: Installation, units: str | None = None) -> Display:
        """Return how an installation is shown: in these units, or in its own."""
        every = (
            installation.title,
            *installation.circuits,
            *installation.loads,
            *installation.gear,
            *installation.supplies,
            *installation.zones,
        )
        named = tuple(sorted((name for name in every if _METRIC.search(name)), key=len, reverse=True))
        return cls(installation.units if units is None else units, named)

    @property
    def us(self) -> bool:
        """Whether feet, inches and degrees Fahrenheit are shown."""
        return self.units == "us"

    def length(self, length_m: float | None) -> str:
        """Return a length; in feet and inches to the inch, below two feet to two figures.

        >>> Display().length(0.15), Display().length(3.2)
        ('15 cm', '3.2 m')
        >>> Display("us").length(0.15), Display("us").length(1.016), Display("us").length(3.2)
        ('5.9 in', '40 in', '10 ft 6 in')
        """
        if length_m is None:
            return UNKNOWN
        if not self.us:
            return f"{number(length_m * 100, 2)} cm" if length_m < 1.0 else f"{number(length_m)} m"
        inches = convert(length_m, Kind.LENGTH, "in")
        if inches < _INCHES_ALONE / 2:
            return f"{number(inches, 2)} in"
        feet, rest = divmod(round(inches), 12)
        if rest and inches < _INCHES_ALONE:
            return f"{round(inches)} in"
        return f"{feet} ft {rest} in" if rest else f"{feet} ft"

    def size(self, size: ConductorSize | None, parallel: int = 1) -> str:
        """Return a size as it is sold, with its copper in the other way of writing it.

        >>> from groundstrap.units import parse_size
        >>> Display().size(parse_size("6 mm2")), Display("us").size(parse_size("14 AWG"))
        ('6 mm2 (between 10 and 8 AWG)', '14 AWG (2.08 mm2)')
        """
        if size is None:
            return UNKNOWN
        text = words("{size} ({other})", size=self.short(size), other=self.other(size))
        return words("{count} x {size}", count=parallel, size=text) if parallel > 1 else text

    def short(self, size: ConductorSize | None) -> str:
        """Return a size as it is sold.

        >>> from groundstrap.units import parse_size
        >>> Display().short(parse_size("2/0 AWG"))
        '2/0 AWG'
        """
        return UNKNOWN if size is None else size.text

    def other(self, size: ConductorSize) -> str:
        """Return a size in the way of writing that it is not sold in; a metric one is no gauge.

        >>> from groundstrap.units import parse_size
        >>> Display().other(parse_size("16 mm2")), Display().other(parse_size("120 mm2"))
        ('between 6 and 4 AWG', 'above 4/0 AWG')
        """
        if size.gauge is not None or size.system == "strands":
            return f"{number(size.area_mm2)} mm2"
        return _gauges(size.area_mm2)

    def area(self, area_mm2: float | None) -> str:
        """Return an area of copper, in US units with the gauge that it is or lies next to.

        >>> Display().area(0.75), Display("us").area(1.31)
        ('0.75 mm2', '1.31 mm2 (16 AWG)')
        """
        if area_mm2 is None:
            return UNKNOWN
        text = f"{number(area_mm2)} mm2"
        return f"{text} ({_gauges(area_mm2)})" if self.us else text

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

    def width(self, width_mm: float | None, figures: int = 2) -> str:
        """Return the width of a bundle, a hole or a bend; in US units with the other one beside.

        >>> Display().width(38.0), Display("us").width(38.0)
        ('38 mm', '1.5 in (38 mm)')
        """
        if width_mm is None:
            return UNKNOWN
        metric = f"{number(width_mm, figures)} mm"
        return (
            f"{number(convert(width_mm / 1000.0, Kind.LENGTH, 'in'), 2)} in ({metric})" if self.us else metric
        )

    def torque(self, torque_nm: Uncertain | None) -> str:
        """Return a torque as a wrench is set to it; in US units with the other one beside.

        >>> Display().torque(Uncertain(12.5, 10.0, 15.0)), Display("us").torque(Uncertain(4.0, 4.0, 4.0))
        ('10 to 15 Nm', '35 lbf in (4 Nm)')
        """
        if torque_nm is None:
            return UNKNOWN
        ends = (torque_nm.low, torque_nm.high)
        metric = f"{_range([number(end, 2) for end in ends])} Nm"
        if not self.us:
            return metric
        pounds = _range([f"{end / _NM_PER_LBF_IN:.0f}" for end in ends])
        return f"{pounds} lbf in ({metric})"

    def insulation(self, class_c: float) -> str:
        """Return the class of an insulation; in US units with the degrees Celsius that cable has in print.

        >>> Display().insulation(105.0), Display("us").insulation(105.0)
        ('105 degC', '221 degF (105 degC)')
        """
        printed = f"{number(class_c)} degC"
        return f"{self.temperature(class_c)} ({printed})" if self.us else printed

    def text(self, text: str, exact: Iterable[float | None] = ()) -> str:
        """Return a text with its lengths and temperatures in these units.

        Texts of lower layers are metric. `exact` are values that such a text has rounded, in metres or degC.

        >>> Display("us").text("up to 60 degC on 2.5 m of 16 mm2"), Display("us").text("18 cm", [0.1778])
        ('up to 140 degF on 8 ft 2 in of 16 mm2', '7 in')
        >>> Display("us").text("18 cm (7 in)", [0.1778]), Display().text("18 cm (7 in)")
        ('7 in', '18 cm (7 in)')
        """
        if not self.us:
            return text
        known = [value for value in exact if value is not None]
        kept = "|".join(re.escape(name) for name in self.names)
        pattern = re.compile(rf"(?P<name>{kept})|{_METRIC.pattern}") if kept else _METRIC
        return _TWICE.sub(_once, pattern.sub(lambda found: self._converted(found, known), text))

    def _converted(self, found: re.Match[str], exact: Iterable[float]) -> str:
        if found.groupdict().get("name"):
            return found[0]
        high, unit = found["high"], found["unit"]
        if unit == "degC":
            before, after = found.string[: found.start()], found.string[found.end() :]
            if _CLASS.search(before) or after.startswith(" insulation"):
                return self.insulation(float(high))
            low = f"{self.temperature(float(found['low']))[:-5]}{found['between']}" if found["low"] else ""
            return low + self.temperature(float(high))
        scale = 100.0 if unit == "cm" else 1.0
        low = f"{self.length(float(found['low']) / scale)}{found['between']}" if found["low"] else ""
        return low + self.length(_unrounded(high, scale, exact))


def _range(ends: list[str]) -> str:
    """Both ends of a range; one where they read alike."""
    return " to ".join(dict.fromkeys(ends))


def _once(found: re.Match[str]) -> str:
    """A length that stands in brackets behind itself is told once."""
    one = float(found["one"]) * _INCHES[found["unit"]]
    other = float(found["other"]) * _INCHES[found["other_unit"]]
    # Both are told to a few figures, and so are equal or far apart.
    return f"{found['one']} {found['unit']}" if abs(one - other) <= 1e-6 * one else found[0]


def _unrounded(written: str, scale: float, exact: Iterable[float]) -> float:
    """The exact value that a text has rounded, where there is one; else what the text says. [m]"""
    decimals = len(written.partition(".")[2])
    said = float(written)
    near = (value for value in exact if abs(value * scale - said) <= 0.5001 * 10.0**-decimals)
    return next(near, said / scale)


def _gauges(area_mm2: float) -> str:
    """Gauges on sale that a copper area is, or lies between."""
    found = awg_neighbours(area_mm2)
    if found.thinner is None or found.thicker is None:
        if found.thinner is None:
            return words("below {gauge} AWG", gauge=found.thicker)
        return words("above {gauge} AWG", gauge=found.thinner)
    if found.thinner == found.thicker:
        return f"{found.thinner} AWG"
    return words("between {thinner} and {thicker} AWG", thinner=found.thinner, thicker=found.thicker)
