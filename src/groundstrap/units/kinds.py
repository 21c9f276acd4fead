"""The kinds of quantity that the project knows, and every unit that a text may be written in.

Inside the project each kind has one unit: V, A, W, ohm, m, mm2, s, degC, K for differences, Ah, Wh, kg, Nm,
and percent as 0 to 100. It is the first that `units_for` names.

Inch and foot are exact by the international agreement of 1959, the Fahrenheit scale by its definition (both
in NIST SP 811, appendix B; from memory).
"""

from enum import StrEnum
from typing import Final

from groundstrap.records import dataclass


class Kind(StrEnum):
    """What a quantity measures; the value is the word for it in a message."""

    VOLTAGE = "voltage"
    CURRENT = "current"
    POWER = "power"
    RESISTANCE = "resistance"
    LENGTH = "length"
    AREA = "area"
    TIME = "time"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    CAPACITY = "capacity"
    ENERGY = "energy"
    PERCENT = "percentage"
    MASS = "mass"
    TORQUE = "torque"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: SI value = (number - zero) * numerator / denominator, all of them whole numbers.

    Whole numbers because Python divides them correctly rounded, however long they are; so a text becomes
    the float next to what it says, in one rounding.
    """

    name: str
    kind: Kind
    numerator: int = 1
    denominator: int = 1
    zero: int = 0


_UNITS: Final = (
    Unit("V", Kind.VOLTAGE),
    Unit("mV", Kind.VOLTAGE, 1, 1000),
    Unit("A", Kind.CURRENT),
    Unit("mA", Kind.CURRENT, 1, 1000),
    Unit("kA", Kind.CURRENT, 1000),
    Unit("W", Kind.POWER),
    Unit("kW", Kind.POWER, 1000),
    Unit("ohm", Kind.RESISTANCE),
    Unit("mohm", Kind.RESISTANCE, 1, 1000),
    Unit("m", Kind.LENGTH),
    Unit("cm", Kind.LENGTH, 1, 100),
    Unit("mm", Kind.LENGTH, 1, 1000),
    Unit("ft", Kind.LENGTH, 3048, 10_000),
    Unit("in", Kind.LENGTH, 254, 10_000),
    Unit("mm2", Kind.AREA),
    Unit("s", Kind.TIME),
    Unit("ms", Kind.TIME, 1, 1000),
    Unit("min", Kind.TIME, 60),
    Unit("h", Kind.TIME, 3600),
    Unit("degC", Kind.TEMPERATURE),
    Unit("degF", Kind.TEMPERATURE, 5, 9, 32),
    Unit("K", Kind.TEMPERATURE_DIFFERENCE),
    Unit("Ah", Kind.CAPACITY),
    Unit("mAh", Kind.CAPACITY, 1, 1000),
    Unit("Wh", Kind.ENERGY),
    Unit("kWh", Kind.ENERGY, 1000),
    Unit("%", Kind.PERCENT),
    Unit("kg", Kind.MASS),
    Unit("Nm", Kind.TORQUE),
)

# Other ways to write the same unit. The ohm sign has two code points, U+03A9 and U+2126, that look alike.
_ALSO_WRITTEN: Final = {
    "\u03a9": "ohm",
    "\u2126": "ohm",
    "m\u03a9": "mohm",
    "m\u2126": "mohm",
    "mm²": "mm2",
    "°C": "degC",
    "°F": "degF",
}

_BY_NAME: Final = {unit.name: unit for unit in _UNITS}
UNITS: Final = _BY_NAME | {other: _BY_NAME[name] for other, name in _ALSO_WRITTEN.items()}

# Least value of a kind in its SI unit, as numerator and denominator; a kind that is missing here may be
# negative: voltage and power across a thing, current into it, differences.
LEAST: Final = {
    Kind.RESISTANCE: (0, 1),
    Kind.LENGTH: (0, 1),
    Kind.AREA: (0, 1),
    Kind.TIME: (0, 1),
    Kind.TEMPERATURE: (-27315, 100),
    Kind.CAPACITY: (0, 1),
    Kind.ENERGY: (0, 1),
    Kind.PERCENT: (0, 1),
    Kind.MASS: (0, 1),
    Kind.TORQUE: (0, 1),
}

# No quantity of the trade is nearer to zero or further from it, in SI units, zero itself apart.
SMALLEST: Final = 1e-12
LARGEST: Final = 1e12

_EXAMPLES: Final = {
    Kind.VOLTAGE: "12.6 V",
    Kind.CURRENT: "20 A",
    Kind.POWER: "250 W",
    Kind.RESISTANCE: "2.0 ohm",
    Kind.LENGTH: "1.5 m",
    Kind.AREA: "6 mm2",
    Kind.TIME: "40 s",
    Kind.TEMPERATURE: "25 degC",
    Kind.TEMPERATURE_DIFFERENCE: "30 K",
    Kind.CAPACITY: "80 Ah",
    Kind.ENERGY: "500 Wh",
    Kind.PERCENT: "3 %",
    Kind.MASS: "1.2 kg",
    Kind.TORQUE: "9 Nm",
}


def units_for(kinds: Kind | tuple[Kind, ...]) -> tuple[str, ...]:
    """Names of the units of one or more kinds, the one used inside first.

    >>> units_for(Kind.CURRENT)
    ('A', 'mA', 'kA')
    """
    wanted = (kinds,) if isinstance(kinds, Kind) else kinds
    return tuple(unit.name for kind in wanted for unit in _UNITS if unit.kind is kind)


def spellings_for(kind: Kind) -> tuple[str, ...]:
    """Every text that is read as a unit of the kind, other spellings included.

    >>> spellings_for(Kind.TEMPERATURE)
    ('degC', 'degF', '°C', '°F')
    """
    return tuple(text for text, unit in UNITS.items() if unit.kind is kind)


def wanted_units(kinds: Kind | tuple[Kind, ...]) -> str:
    """Say which quantities would do and in which units, for an error message.

    >>> wanted_units((Kind.POWER, Kind.CURRENT))
    'a power in W or kW, or a current in A, mA or kA'
    """
    wanted = (kinds,) if isinstance(kinds, Kind) else kinds
    return ", or ".join(f"{with_article(kind)} in {_either(units_for(kind))}" for kind in wanted)


def with_article(kind: Kind) -> str:
    """Return the word for a kind with its article.

    >>> with_article(Kind.AREA), with_article(Kind.MASS)
    ('an area', 'a mass')
    """
    return f"{'an' if kind in {Kind.AREA, Kind.ENERGY} else 'a'} {kind}"


def example_of(kinds: Kind | tuple[Kind, ...]) -> str:
    """Return a text that reads as the (first) kind.

    >>> example_of(Kind.RESISTANCE)
    '2.0 ohm'
    """
    return _EXAMPLES[kinds if isinstance(kinds, Kind) else kinds[0]]


def _either(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
