"""What is refused as a quantity, with which reason, and what is offered instead."""

import pytest

from groundstrap.errors import QuantityError
from groundstrap.units import Kind, parse, parse_range, parse_value_or_range, units_for

V, A, W, R = Kind.VOLTAGE, Kind.CURRENT, Kind.POWER, Kind.RESISTANCE
L, AREA, T, TEMP, AH = Kind.LENGTH, Kind.AREA, Kind.TIME, Kind.TEMPERATURE, Kind.CAPACITY

# Text, kind, words of the reason, what is offered.
REFUSED = [
    ("", V, "nothing stands there", None),
    ("   ", V, "nothing stands there", None),
    ("12", V, "a bare number has no unit", None),
    ("-20.5", TEMP, "a bare number has no unit", None),
    ("V", V, "there is no number in it", None),
    ("unknown", V, "there is no number in it", None),
    ("4,5 A", A, "a comma is not read as a decimal point", "4.5 A"),
    ("4,5A", A, "a comma is not read as a decimal point", "4.5A"),
    ("0,500 A", A, "a comma is not read as a decimal point", "0.500 A"),
    ("1.234,5 W", W, "a comma is not read as a decimal point", "1234.5 W"),
    ("4,5 Amps", A, "a comma is not read as a decimal point", "4.5 A"),
    ("0,72 ohm +- 0,02 ohm", R, "a comma is not read as a decimal point", "0.72 ohm +- 0.02 ohm"),
    ("1,234.5 W", W, "commas between thousands are not read", "1234.5 W"),
    ("1,000,000 W", W, "commas between thousands are not read", "1000000 W"),
    ("1,500 W", W, "decimal or a thousands comma: write 1500 or 1.500", None),
    ("1,2,3 W", W, "too many commas and points", None),
    ("4, 5 A", A, "a comma stands in it", None),
    ("1_000 W", W, "written in one piece", "1000 W"),
    ("12 000 W", W, "written in one piece", "12000 W"),
    ("12\u202f000 W", W, "written in one piece", "12000 W"),
    ("1'000 W", W, "written in one piece", "1000 W"),
    ("1e3 W", W, "without an exponent", "1000 W"),
    ("1.5E-3 V", V, "without an exponent", "0.0015 V"),
    ("1e400 V", V, "without an exponent", None),
    ("nan V", V, "not a number that anybody could measure", None),
    ("-inf A", A, "not a number that anybody could measure", None),
    ("∞ ohm", R, "not a number that anybody could measure", None),
    ("１２ V", V, "is not one of the digits 0 to 9", "12 V"),
    ("١٢ V", V, "is not one of the digits 0 to 9", "12 V"),
    ("½ m", L, "is not one of the digits 0 to 9", None),
    ("1/2 in", L, "a fraction is written as a decimal number", "0.5 in"),
    ("6 1/2 in", L, "a fraction is written as a decimal number", "6.5 in"),
    ("1/3 in", L, "a fraction is written as a decimal number", None),
    ("1/0 m", L, "a fraction is written as a decimal number", None),
    ("6'3\"", L, "feet and inches are written ft and in", "6 ft 3 in"),
    ("6′ 3″", L, "feet and inches are written ft and in", "6 ft 3 in"),
    ("6'", L, "feet and inches are written ft and in", "6 ft"),
    ("−5 A", A, "the minus sign is a plain -", "-5 A"),
    ("–5 A", A, "the minus sign is a plain -", "-5 A"),
    ("5. V", V, "no digit follows the decimal point", "5 V"),
    ("0.72 +/- 0.02 ohm", R, "a tolerance is written +- or ±", "0.72 +- 0.02 ohm"),
    ("0.72 ohm +- 0.02", R, "a bare number has no unit", "0.72 ohm +- 0.02 ohm"),
    ("0.72 +- 3 %", R, "the number before the tolerance has no unit", None),
    ("0.72 ohm +- 1 A", R, "A does not measure a resistance", None),
    ("20 degC +- 3 %", TEMP, "a percentage of a temperature means nothing", None),
    ("5 V +- 0 V", V, "a tolerance of nothing", "5 V"),
    ("5 V +- -1 V", V, "a tolerance has no sign of its own", None),
    ("10 Amps", A, "'Amps' is not how a unit is written; the nearest is A", "10 A"),
    ("10 Amprs", A, "the nearest is A", "10 A"),
    ("10 VA", W, "the nearest is W", "10 W"),
    ("2 kw", W, "the nearest is kW", "2 kW"),
    ("2 KW", W, "the nearest is kW", "2 kW"),
    ("6 sqmm", AREA, "the nearest is mm2", "6 mm2"),
    ("6 sq. mm", AREA, "the nearest is mm2", "6 mm2"),
    ("6 mm^2", AREA, "the nearest is mm2", "6 mm2"),
    ("12 volts", V, "the nearest is V", "12 V"),
    ("12 V dc", V, "the nearest is V", "12 V"),
    ("5 Ohms", R, "the nearest is ohm", "5 ohm"),
    ("6 feet 3 inches", L, "the nearest is ft", "6 ft 3 in"),
    ("20 C", TEMP, "the nearest is degC", "20 degC"),
    ("20 deg C", TEMP, "the nearest is degC", "20 degC"),
    ("68 F", TEMP, "the nearest is degF", "68 degF"),
    ("5 hrs", T, "the nearest is h", "5 h"),
    ("80 amp-hours", AH, "the nearest is Ah", "80 Ah"),
    ("80 AH", AH, "the nearest is Ah", "80 Ah"),
    ("10 Amps", V, "the nearest is A", None),
    ("5 Mohm", R, "'Mohm' is no unit known here", None),
    ("5 MΩ", R, "'MΩ' is no unit known here", None),
    ("5 kohm", R, "'kohm' is no unit known here", None),
    ("5 µohm", R, "'µohm' is no unit known here", None),
    ("5 m2", AREA, "'m2' is no unit known here", None),
    ("5 cm2", AREA, "'cm2' is no unit known here", None),
    ("5 furlongs", L, "'furlongs' is no unit known here", None),
    ("5 A max", A, "'max' is no unit known here", None),
    ("400 W", A, "W is a unit of power", None),
    ("300 K", TEMP, "K is a unit of temperature difference", None),
    ("6 mm", AREA, "mm is a unit of length", None),
    ("5 Ah", A, "Ah is a unit of capacity", None),
    ("12 24 V", V, "there are two numbers in it", None),
    ("12 V 24 V", V, "there are two numbers in it", None),
    ("about 5 A", A, "'about' stands before the number", None),
    ("~5 A", A, "'~' stands before the number", None),
    (".5.5 V", V, "not read as a number with its unit", None),
    ("6 ft 12 in", L, "12 in is a whole ft or more", None),
    ("1 h 60 min", T, "60 min is a whole h or more", None),
    ("5 min 3 in", T, "in is a unit of length", None),
    ("-5 m", L, "a length is never below zero", None),
    ("-6 mm2", AREA, "an area is never below zero", None),
    ("-1 ohm", R, "a resistance is never below zero", None),
    ("-1 s", T, "a time is never below zero", None),
    ("-460 degF", TEMP, "a temperature is never below absolute zero", None),
    ("9999999999999999 V", V, "far too large for a voltage", None),
    ("0.0000000000001 V", V, "far too small for a voltage", None),
    ("9" * 500 + " V", V, "far too long for a quantity", None),
    ("10..15 V", V, "a range stands where one value is wanted", None),
    ("10 to 15 V", V, "a range stands where one value is wanted", None),
    ("10-15 V", V, "a range stands where one value is wanted", None),
]

REFUSED_RANGES = [
    ("10 V", "one value stands where a range is wanted", None),
    ("10 V +- 1 V", "not read as a number with its unit", None),
    ("15..10 V", "the lower end of a range comes first", "10..15 V"),
    ("15 V..10 V", "the lower end of a range comes first", "10 V..15 V"),
    ("10..10 V", "the lower end of a range comes first", None),
    ("10..15", "a bare number has no unit", None),
    ("10 V..15", "a bare number has no unit", "10 V..15 V"),
    ("10 A..15 V", "A is a unit of current", None),
    ("10-15 V", "a range is written a..b", "10..15 V"),
    ("10–15 V", "a range is written a..b", "10..15 V"),
    ("10 V - 15 V", "a range is written a..b", "10 V..15 V"),
    ("10.5 to 15 V", "a range is written a..b", "10.5..15 V"),
    ("10...15 V", "a range is written a..b", "10..15 V"),
    ("10 … 15 V", "a range is written a..b", "10..15 V"),
    ("1...5 V", "a range is written a..b", "1..5 V"),
    ("1..2..3 V", "there are two numbers in it", None),
    ("10,5..15 V", "a comma is not read as a decimal point", "10.5..15 V"),
    ("10 Volt..15 Volt", "the nearest is V", "10 V..15 V"),
    ("..15 V", "not read as a number with its unit", None),
]


@pytest.mark.parametrize(("text", "kind", "words", "nearest"), REFUSED)
def test_refused_with_reason_and_offer(text: str, kind: Kind, words: str, nearest: str | None) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    error = caught.value
    assert words in error.reason
    assert error.nearest == nearest
    assert error.given == text
    assert all(unit in error.wanted for unit in units_for(kind))


@pytest.mark.parametrize(("text", "words", "nearest"), REFUSED_RANGES)
def test_refused_as_a_range(text: str, words: str, nearest: str | None) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_range(text, Kind.VOLTAGE)
    assert words in caught.value.reason
    assert caught.value.nearest == nearest
    assert "a range a..b" in caught.value.wanted


def test_minus_before_a_range_is_repaired() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_range("−20..5 degC", Kind.TEMPERATURE)
    assert caught.value.nearest == "-20..5 degC"


def test_range_with_a_dash_and_negative_ends() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_range("-20 - -5 degC", Kind.TEMPERATURE)
    assert caught.value.nearest == "-20..-5 degC"


def test_end_below_the_least_is_refused() -> None:
    with pytest.raises(QuantityError, match="a length is never below zero"):
        parse_range("-1..5 m", Kind.LENGTH)


def test_where_either_would_do_both_are_named() -> None:
    with pytest.raises(
        QuantityError, match=r"wanted a voltage in V or mV or a range a\.\.b of it, such as 12\.6 V"
    ):
        parse_value_or_range("14.2", Kind.VOLTAGE)


def test_several_kinds_are_all_named() -> None:
    with pytest.raises(QuantityError, match="a percentage in %, or a voltage in V or mV"):
        parse("3 A", (Kind.PERCENT, Kind.VOLTAGE))


@pytest.mark.parametrize("kind", list(Kind))
def test_a_bare_number_names_the_units_that_would_do(kind: Kind) -> None:
    with pytest.raises(QuantityError) as caught:
        parse("12.5", kind)
    assert all(unit in str(caught.value) for unit in units_for(kind))
