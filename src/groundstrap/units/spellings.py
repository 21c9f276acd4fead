"""Wrong spellings of units that people do write, each with the right one; used for error messages only.

None of them is read: one spelling a unit, so that `mW` and `MW`, or `c` and `C`, never meet.
"""

import difflib
from typing import Final

from groundstrap.units.kinds import UNITS

# Keys: case folded, without spaces, points, carets, asterisks, hyphens and middle dots.
_MEANT: Final = {
    "v": "V", "volt": "V", "volts": "V", "vdc": "V", "voltsdc": "V", "vcc": "V",
    "mv": "mV", "millivolt": "mV", "millivolts": "mV",
    "a": "A", "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "adc": "A",
    "ma": "mA", "milliamp": "mA", "milliamps": "mA", "milliampere": "mA", "milliamperes": "mA",
    "ka": "kA", "kiloamp": "kA", "kiloamps": "kA", "kiloampere": "kA",
    "w": "W", "watt": "W", "watts": "W", "va": "W", "wdc": "W",
    "kw": "kW", "kilowatt": "kW", "kilowatts": "kW", "kva": "kW",
    "ohm": "ohm", "ohms": "ohm", "ω": "ohm", "r": "ohm",
    "mohm": "mohm", "mohms": "mohm", "mω": "mohm", "milliohm": "mohm", "milliohms": "mohm", "mr": "mohm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "mtr": "m", "mtrs": "m",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "ft": "ft", "foot": "ft", "feet": "ft", "fts": "ft",
    "in": "in", "inch": "in", "inches": "in", "ins": "in",
    "mm2": "mm2", "mm²": "mm2", "sqmm": "mm2", "mmsq": "mm2", "qmm": "mm2", "squaremm": "mm2",
    "squaremillimetre": "mm2", "squaremillimetres": "mm2", "squaremillimeter": "mm2",
    "squaremillimeters": "mm2",
    "s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s",
    "ms": "ms", "msec": "ms", "millisecond": "ms", "milliseconds": "ms",
    "min": "min", "mins": "min", "minute": "min", "minutes": "min",
    "h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "degc": "degC", "c": "degC", "°c": "degC", "℃": "degC", "celsius": "degC", "degreec": "degC",
    "degreesc": "degC", "degcelsius": "degC", "degreescelsius": "degC", "centigrade": "degC",
    "degf": "degF", "f": "degF", "°f": "degF", "℉": "degF", "fahrenheit": "degF", "degreesf": "degF",
    "degfahrenheit": "degF", "degreesfahrenheit": "degF",
    "k": "K", "kelvin": "K", "kelvins": "K", "degk": "K",
    "ah": "Ah", "amph": "Ah", "amphr": "Ah", "amphour": "Ah", "amphours": "Ah", "amperehour": "Ah",
    "amperehours": "Ah", "ahour": "Ah", "ahours": "Ah",
    "ahr": "Ah", "ahrs": "Ah",
    "mah": "mAh", "milliamphour": "mAh", "milliamphours": "mAh",
    "wh": "Wh", "whr": "Wh", "whrs": "Wh", "watthour": "Wh", "watthours": "Wh",
    "kwh": "kWh", "kwhr": "kWh", "kilowatthour": "kWh", "kilowatthours": "kWh",
    "percent": "%", "pct": "%", "pc": "%", "percentage": "%",
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
    "nm": "Nm", "newtonmetre": "Nm", "newtonmetres": "Nm", "newtonmeter": "Nm", "newtonmeters": "Nm",
}  # fmt: skip

# A prefix that is thousands or millions of times another's: guessing here would be worse than asking.
_OTHER_PREFIX: Final = ("meg", "mic", "kil", "nan", "u", "µ", "μ", "k")
_EITHER: Final = frozenset({"deg", "degree", "degrees", "°"})
"""Of two scales; nothing says which."""
_LEAST_LIKENESS: Final = 0.8
_SHORTEST_GUESSED: Final = 4


def unit_meant(written: str) -> str | None:
    """Return the unit that a wrong spelling most likely means; None where a guess could be far off.

    >>> unit_meant("Amps"), unit_meant("mm^2"), unit_meant("sq. mm"), unit_meant("kw")
    ('A', 'mm2', 'mm2', 'kW')
    >>> unit_meant("Mohm")
    """
    if written in UNITS:
        return UNITS[written].name
    folded = "".join(c for c in written.casefold() if c not in " .^*-·\u00a0\u202f_()")
    meant = _MEANT.get(folded)
    if folded in _EITHER:
        return None
    if meant is None:
        meant = _alike(folded)
    if meant is not None and meant.startswith("m") and written.startswith("M") and meant not in {"m", "min"}:
        return None if meant in {"mohm", "ms"} else meant
    return meant


def _alike(folded: str) -> str | None:
    if len(folded) < _SHORTEST_GUESSED or folded.startswith(_OTHER_PREFIX):
        return None
    whole_words = [word for word in _MEANT if len(word) >= _SHORTEST_GUESSED]
    found = difflib.get_close_matches(folded, whole_words, n=1, cutoff=_LEAST_LIKENESS)
    return _MEANT[found[0]] if found else None
