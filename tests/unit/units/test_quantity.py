"""Reading quantities and writing them: every unit, tolerances, ranges, and the last digit."""

import math

import pytest
from scipy import constants

from groundstrap.errors import OutOfRangeError, QuantityError, UnknownNameError
from groundstrap.units import (
    Kind,
    convert,
    example_of,
    format_quantity,
    parse,
    parse_range,
    parse_value_or_range,
    spellings_for,
    units_for,
    wanted_units,
)

# Text, kind, SI value worked out by hand from what the prefix or unit means.
EVERY_UNIT = [
    ("12.6 V", Kind.VOLTAGE, 12.6),
    ("20 mV", Kind.VOLTAGE, 0.02),
    ("18.4 A", Kind.CURRENT, 18.4),
    ("25 mA", Kind.CURRENT, 0.025),
    ("10 kA", Kind.CURRENT, 10_000.0),
    ("400 W", Kind.POWER, 400.0),
    ("2 kW", Kind.POWER, 2000.0),
    ("2.0 ohm", Kind.RESISTANCE, 2.0),
    ("2.0 \u03a9", Kind.RESISTANCE, 2.0),
    ("2.0 \u2126", Kind.RESISTANCE, 2.0),
    ("0.1 mohm", Kind.RESISTANCE, 0.0001),
    ("0.1 m\u03a9", Kind.RESISTANCE, 0.0001),
    ("0.1 m\u2126", Kind.RESISTANCE, 0.0001),
    ("7 m", Kind.LENGTH, 7.0),
    ("15 cm", Kind.LENGTH, 0.15),
    ("300 mm", Kind.LENGTH, 0.3),
    ("6 ft", Kind.LENGTH, 1.8288),
    ("10 in", Kind.LENGTH, 0.254),
    ("6 mm2", Kind.AREA, 6.0),
    ("2.5 mm²", Kind.AREA, 2.5),
    ("40 s", Kind.TIME, 40.0),
    ("300 ms", Kind.TIME, 0.3),
    ("5 min", Kind.TIME, 300.0),
    ("14 h", Kind.TIME, 50_400.0),
    ("-5 degC", Kind.TEMPERATURE, -5.0),
    ("-5 °C", Kind.TEMPERATURE, -5.0),
    ("212 degF", Kind.TEMPERATURE, 100.0),
    ("-40 °F", Kind.TEMPERATURE, -40.0),
    ("50 K", Kind.TEMPERATURE_DIFFERENCE, 50.0),
    ("110 Ah", Kind.CAPACITY, 110.0),
    ("2600 mAh", Kind.CAPACITY, 2.6),
    ("500 Wh", Kind.ENERGY, 500.0),
    ("1.2 kWh", Kind.ENERGY, 1200.0),
    ("3 %", Kind.PERCENT, 3.0),
    ("1.2 kg", Kind.MASS, 1.2),
    ("9 Nm", Kind.TORQUE, 9.0),
]


@pytest.mark.parametrize(("text", "kind", "value"), EVERY_UNIT)
def test_every_unit_reads(text: str, kind: Kind, value: float) -> None:
    quantity = parse(text, kind)
    assert quantity.value == value
    assert quantity.kind is kind
    assert quantity.text == text
    assert (quantity.low, quantity.high, quantity.plus_minus, quantity.is_range) == (None, None, None, False)


def test_no_unit_is_left_out_above() -> None:
    written = {text.split(" ")[1] for text, _, _ in EVERY_UNIT}
    assert written == {spelling for kind in Kind for spelling in spellings_for(kind)}


@pytest.mark.parametrize(
    ("unit", "kind", "factor"),
    [
        ("in", Kind.LENGTH, constants.inch),
        ("ft", Kind.LENGTH, constants.foot),
        ("min", Kind.TIME, constants.minute),
        ("h", Kind.TIME, constants.hour),
        ("kW", Kind.POWER, constants.kilo),
        ("mohm", Kind.RESISTANCE, constants.milli),
        ("cm", Kind.LENGTH, constants.centi),
    ],
)
def test_factors_agree_with_scipy(unit: str, kind: Kind, factor: float) -> None:
    # Source: scipy.constants, a general reference library.
    assert parse(f"1 {unit}", kind).value == pytest.approx(factor, rel=1e-15)


@pytest.mark.parametrize("fahrenheit", [-40, 0, 32, 68, 104, 212, 400])
def test_fahrenheit_agrees_with_scipy(fahrenheit: int) -> None:
    # Source: scipy.constants.convert_temperature, which goes by way of kelvin, hence 1e-12.
    expected = float(constants.convert_temperature(fahrenheit, "Fahrenheit", "Celsius"))
    assert parse(f"{fahrenheit} degF", Kind.TEMPERATURE).value == pytest.approx(expected, abs=1e-12)


def test_absolute_zero_agrees_with_scipy() -> None:
    # Source: scipy.constants.zero_Celsius (273.15 K, exact by definition).
    assert parse(f"-{constants.zero_Celsius} degC", Kind.TEMPERATURE).value == -constants.zero_Celsius
    with pytest.raises(QuantityError, match="absolute zero"):
        parse("-273.16 degC", Kind.TEMPERATURE)


@pytest.mark.parametrize("text", ["12V", "12 V", " 12 V ", "12   V", "12\u00a0V", "+12 V", "012 V", "12.0 V"])
def test_spacing_and_sign_do_not_matter(text: str) -> None:
    assert parse(text, Kind.VOLTAGE).value == 12.0


def test_point_may_lead() -> None:
    assert parse(".5 A", Kind.CURRENT).value == 0.5


def test_current_and_voltage_may_be_negative() -> None:
    assert parse("-8 A", Kind.CURRENT).value == -8.0
    assert parse("-0.02 V", Kind.VOLTAGE).value == -0.02


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("6 ft 3 in", Kind.LENGTH, 1.905),  # 75 in x 25.4 mm
        ("6ft3in", Kind.LENGTH, 1.905),
        ("6 ft 3.5 in", Kind.LENGTH, 1.9177),  # 75.5 in x 25.4 mm
        ("0 ft 6 in", Kind.LENGTH, 0.1524),
        ("1 h 30 min", Kind.TIME, 5400.0),
        ("2 min 30 s", Kind.TIME, 150.0),
    ],
)
def test_two_part_quantities(text: str, kind: Kind, value: float) -> None:
    assert parse(text, kind).value == value


def test_unit_of_two_parts_is_the_smaller() -> None:
    assert parse("6 ft 3 in", Kind.LENGTH).unit == "in"


def test_one_of_several_kinds() -> None:
    drop = (Kind.PERCENT, Kind.VOLTAGE)
    assert parse("3 %", drop).kind is Kind.PERCENT
    assert parse("0.4 V", drop).kind is Kind.VOLTAGE


def test_a_kind_is_not_another_whose_name_holds_it() -> None:
    # 'temperature' stands in 'temperature difference'; the kinds are still two.
    with pytest.raises(QuantityError):
        parse("20 degC", Kind.TEMPERATURE_DIFFERENCE)
    with pytest.raises(QuantityError):
        parse("20 K", Kind.TEMPERATURE)


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [("2 mΩ", Kind.RESISTANCE, "mohm"), ("6 mm²", Kind.AREA, "mm2"), ("20 °F", Kind.TEMPERATURE, "degF")],
)
def test_unit_is_kept_in_our_spelling(text: str, kind: Kind, unit: str) -> None:
    assert parse(text, kind).unit == unit


@pytest.mark.parametrize(
    ("text", "kind", "weight"),
    [
        ("12.62 V", Kind.VOLTAGE, 0.01),
        ("12.60 V", Kind.VOLTAGE, 0.01),
        ("13 V", Kind.VOLTAGE, 1.0),
        ("18.4 A", Kind.CURRENT, 0.1),
        ("2 kW", Kind.POWER, 1000.0),
        ("25.0 mA", Kind.CURRENT, 0.0001),
        ("212 degF", Kind.TEMPERATURE, 5 / 9),
        ("6 ft 3.5 in", Kind.LENGTH, 0.00254),
        ("0.72 ohm +- 0.025 ohm", Kind.RESISTANCE, 0.01),
    ],
)
def test_last_digit_weighs_what_the_meter_showed(text: str, kind: Kind, weight: float) -> None:
    assert parse(text, kind).last_digit == weight


@pytest.mark.parametrize(
    "text",
    [
        "0.72 ohm +- 0.02 ohm",
        "0.72 +- 0.02 ohm",
        "0.72 ± 0.02 Ω",
        "0.72ohm+-0.02ohm",
        "0.72 ohm ± 20 mohm",
        "720 mohm +- 0.02 ohm",
    ],
)
def test_tolerances_read_alike(text: str) -> None:
    quantity = parse(text, Kind.RESISTANCE)
    assert (quantity.value, quantity.low, quantity.high, quantity.plus_minus) == (0.72, 0.7, 0.74, 0.02)
    assert not quantity.is_range


def test_tolerance_in_percent_is_of_the_value() -> None:
    quantity = parse("200 A +- 3 %", Kind.CURRENT)
    assert (quantity.low, quantity.high, quantity.plus_minus) == (194.0, 206.0, 6.0)
    assert parse("-200 A +- 3 %", Kind.CURRENT).plus_minus == 6.0


def test_tolerance_of_a_percentage_is_in_points() -> None:
    quantity = parse("90 % +- 2 %", Kind.PERCENT)
    assert (quantity.low, quantity.high) == (88.0, 92.0)


def test_tolerance_of_a_temperature_is_a_difference() -> None:
    # By hand: 18 degF of difference is 10 K; 212 degF is 100 degC.
    quantity = parse("212 degF +- 18 degF", Kind.TEMPERATURE)
    assert (quantity.value, quantity.low, quantity.high, quantity.plus_minus) == (100.0, 90.0, 110.0, 10.0)
    assert parse("52 degC +- 2 K", Kind.TEMPERATURE).high == 54.0


@pytest.mark.parametrize(
    ("text", "kind", "low", "high", "middle"),
    [
        ("10.5..15 V", Kind.VOLTAGE, 10.5, 15.0, 12.75),
        ("12.3 V..14.8 V", Kind.VOLTAGE, 12.3, 14.8, 13.55),
        ("12.3 V .. 14.8 V", Kind.VOLTAGE, 12.3, 14.8, 13.55),
        ("-20..85 degC", Kind.TEMPERATURE, -20.0, 85.0, 32.5),
        ("-20..-5 degC", Kind.TEMPERATURE, -20.0, -5.0, -12.5),
        ("5..70 degC", Kind.TEMPERATURE, 5.0, 70.0, 37.5),
        ("32..212 degF", Kind.TEMPERATURE, 0.0, 100.0, 50.0),
        ("500 mA..1 A", Kind.CURRENT, 0.5, 1.0, 0.75),
        ("6 ft..7 ft 6 in", Kind.LENGTH, 1.8288, 2.286, 2.0574),
    ],
)
def test_ranges_read(text: str, kind: Kind, low: float, high: float, middle: float) -> None:
    quantity = parse_range(text, kind)
    assert (quantity.low, quantity.high, quantity.value, quantity.is_range) == (low, high, middle, True)
    assert quantity.plus_minus is None
    assert parse_value_or_range(text, kind) == quantity


def test_last_digit_of_a_range_is_the_coarser() -> None:
    assert parse_range("10.5..15 V", Kind.VOLTAGE).last_digit == 1.0


def test_value_or_range_takes_a_value() -> None:
    assert parse_value_or_range("14.2 V", Kind.VOLTAGE) == parse("14.2 V", Kind.VOLTAGE)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (12.6, "V", "12.6 V"),
        (0.1 + 0.2, "V", "0.30000000000000004 V"),
        (1.905, "in", "75 in"),
        (1.8288, "ft", "6 ft"),
        (0.0001, "mohm", "0.1 mohm"),
        (2000.0, "kW", "2 kW"),
        (-40.0, "degF", "-40 degF"),
        (0.0, "degF", "32 degF"),
        (-0.0, "A", "0 A"),
        (1e12, "W", "1000000000000 W"),
        (1e-12, "A", "0.000000000001 A"),
        (3.0, "%", "3 %"),
    ],
)
def test_written_text_is_short_and_plain(value: float, unit: str, text: str) -> None:
    assert format_quantity(value, unit) == text


def test_other_spelling_is_written_in_ours() -> None:
    assert format_quantity(0.5, "Ω") == "0.5 ohm"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e13, 1e-13])
def test_what_is_no_quantity_is_not_written(value: float) -> None:
    with pytest.raises(OutOfRangeError):
        format_quantity(value, "V")
    with pytest.raises(OutOfRangeError):
        convert(value, Kind.VOLTAGE, "mV")


def test_unknown_unit_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        format_quantity(1.0, "kWH")
    assert caught.value.nearest == "kWh"


def test_unit_of_another_kind_is_not_converted_to() -> None:
    with pytest.raises(UnknownNameError, match="unit of voltage"):
        convert(1.0, Kind.VOLTAGE, "A")


def test_convert_is_rounded_once() -> None:
    assert convert(1.905, Kind.LENGTH, "ft") == 6.25
    assert convert(100.0, Kind.TEMPERATURE, "degF") == 212.0
    assert convert(0.02, Kind.VOLTAGE, "mV") == 20.0


@pytest.mark.parametrize("kind", list(Kind))
def test_first_unit_is_the_one_inside(kind: Kind) -> None:
    assert parse(f"7 {units_for(kind)[0]}", kind).value == 7.0


@pytest.mark.parametrize("kind", list(Kind))
def test_examples_read(kind: Kind) -> None:
    assert parse(example_of(kind), kind).kind is kind


@pytest.mark.parametrize("kind", list(Kind))
def test_wanted_units_name_every_unit(kind: Kind) -> None:
    assert all(unit in wanted_units(kind) for unit in units_for(kind))
