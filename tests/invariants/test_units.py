"""What must hold for any quantity: exact round trips both ways, offers that read, no other exception."""

import math
from collections.abc import Callable
from fractions import Fraction
from typing import TypeVar

from hypothesis import example, given
from hypothesis import strategies as st

from groundstrap.errors import QuantityError
from groundstrap.units import (
    Kind,
    awg_area_mm2,
    awg_neighbours,
    format_quantity,
    parse,
    parse_range,
    parse_size,
    parse_value_or_range,
    units_for,
)

KINDS = st.sampled_from(list(Kind))
SIGNED = st.sampled_from([Kind.VOLTAGE, Kind.CURRENT, Kind.POWER, Kind.TEMPERATURE_DIFFERENCE])

# Factor to the unit used inside, written again here as exact fractions: an oracle of its own.
MILLI = Fraction(1, 1000)
FACTORS: dict[str, Fraction | int] = {
    "V": 1, "mV": MILLI, "A": 1, "mA": MILLI, "kA": 1000, "W": 1, "kW": 1000, "ohm": 1, "mohm": MILLI,
    "m": 1, "cm": Fraction(1, 100), "mm": MILLI, "ft": Fraction("0.3048"), "in": Fraction("0.0254"),
    "mm2": 1, "s": 1, "ms": MILLI, "min": 60, "h": 3600, "degC": 1, "degF": Fraction(5, 9), "K": 1,
    "Ah": 1, "mAh": MILLI, "Wh": 1, "kWh": 1000, "%": 1, "kg": 1, "Nm": 1,
}  # fmt: skip


Read = TypeVar("Read")


def inside(number: str | Fraction, unit: str) -> Fraction:
    """What the number is in the unit used inside, exactly."""
    return (Fraction(number) - (32 if unit == "degF" else 0)) * FACTORS[unit]


def outcome(read: Callable[[], Read]) -> Read | QuantityError:
    """Reading or the refusal; any other exception fails the test."""
    try:
        return read()
    except QuantityError as error:
        return error


@st.composite
def kinds_and_units(draw: st.DrawFn, kinds: st.SearchStrategy[Kind] = KINDS) -> tuple[Kind, str]:
    kind = draw(kinds)
    return kind, draw(st.sampled_from(units_for(kind)))


def decimals(whole_digits: int, part_digits: int) -> st.SearchStrategy[str]:
    """Numbers as people and meters write them."""
    whole = st.integers(0, 10**whole_digits - 1).map(str)
    part = st.text("0123456789", max_size=part_digits)
    return st.builds(lambda w, p: f"{w}.{p}" if p else w, whole, part)


def test_the_oracle_knows_every_unit() -> None:
    assert set(FACTORS) == {unit for kind in Kind for unit in units_for(kind)}


@given(kinds_and_units(), decimals(7, 6))
def test_reading_is_the_float_nearest_to_what_is_written(choice: tuple[Kind, str], number: str) -> None:
    kind, unit = choice
    exact = inside(number, unit)
    if exact != 0 and abs(exact) < Fraction(1, 10**12):
        return
    assert parse(f"{number} {unit}", kind).value == float(exact)


@given(kinds_and_units(), st.floats(1e-12, 1e12))
@example((Kind.TEMPERATURE, "degF"), 1e-12)
@example((Kind.TIME, "h"), 1e-12)
@example((Kind.ENERGY, "kWh"), 1e12)
@example((Kind.LENGTH, "in"), math.pi)
def test_written_values_read_back_exactly(choice: tuple[Kind, str], value: float) -> None:
    kind, unit = choice
    assert parse(format_quantity(value, unit), kind).value == value


@given(kinds_and_units(SIGNED), st.floats(-1e12, -1e-12))
def test_negative_values_read_back_exactly(choice: tuple[Kind, str], value: float) -> None:
    kind, unit = choice
    assert parse(format_quantity(value, unit), kind).value == value


@given(st.floats(-273.15, -1e-12), st.sampled_from(["degC", "degF"]))
def test_cold_reads_back_exactly(value: float, unit: str) -> None:
    assert parse(format_quantity(value, unit), Kind.TEMPERATURE).value == value


@given(kinds_and_units(), decimals(7, 6))
def test_written_text_says_the_same_number_again(choice: tuple[Kind, str], number: str) -> None:
    kind, unit = choice
    value = parse(f"{number} {unit}", kind).value
    again, unit_again = format_quantity(value, unit).split(" ")
    assert Fraction(again) == Fraction(number)
    assert unit_again == unit


@given(kinds_and_units(), st.floats(1e-6, 1e6))
def test_no_shorter_text_reads_back_the_same(choice: tuple[Kind, str], value: float) -> None:
    _, unit = choice
    number = format_quantity(value, unit).split(" ")[0]
    if "." not in number:
        return
    _, _, part = number.partition(".")
    shorter = Fraction(round(Fraction(number) * 10 ** (len(part) - 1)), 10 ** (len(part) - 1))
    assert float(inside(shorter, unit)) != value


@given(kinds_and_units(), decimals(4, 3))
def test_the_same_quantity_in_any_unit_of_its_kind(choice: tuple[Kind, str], number: str) -> None:
    kind, unit = choice
    value = parse(f"{number} {unit}", kind).value
    for other in units_for(kind):
        assert parse(format_quantity(value, other), kind).value == value


@given(kinds_and_units(), decimals(3, 3), decimals(2, 3))
def test_a_tolerance_lies_evenly_about_the_middle(choice: tuple[Kind, str], number: str, half: str) -> None:
    kind, unit = choice
    if Fraction(half) == 0:
        return
    quantity = parse(f"{number} {unit} +- {half} {unit}", kind)
    middle, width = inside(number, unit), Fraction(half) * FACTORS[unit]
    assert quantity.low == float(middle - width)
    assert quantity.high == float(middle + width)
    assert quantity.plus_minus == float(width)


@given(kinds_and_units(), decimals(4, 3), decimals(4, 3))
def test_a_range_keeps_both_ends(choice: tuple[Kind, str], one: str, other: str) -> None:
    kind, unit = choice
    low, high = sorted((one, other), key=Fraction)
    if Fraction(low) == Fraction(high):
        return
    quantity = parse_range(f"{low}..{high} {unit}", kind)
    assert quantity.low == parse(f"{low} {unit}", kind).value
    assert quantity.high == parse(f"{high} {unit}", kind).value
    assert quantity.low <= quantity.value <= quantity.high


@given(st.integers(1, 999), st.integers(1, 99), st.sampled_from(["A", "V", "W", "mm2", "ohm"]))
def test_a_decimal_comma_never_reads_and_the_point_is_offered(whole: int, part: int, unit: str) -> None:
    error = outcome(lambda: parse(f"{whole},{part} {unit}", tuple(Kind)))
    assert isinstance(error, QuantityError)
    assert error.nearest == f"{whole}.{part} {unit}"
    assert "comma" in error.reason


# Pieces of quantities, put together at random: nearer to what people mistype than any text at random.
PIECES = st.sampled_from(
    ["12", "0.5", "4,5", "1,500", ".", "..", "...", "+-", "±", "+/-", "-", "−", "–", " ", "e3", "1/2", "'",
     "V", "mV", "Amps", "ft", "in", "mm2", "mm", "AWG", "SAE", "2/0", "x", "×", "%", "Ω", "°C", "nan", "１",
     "½", "to", "h", "min", "K", "kohm", "_", "(", "9" * 30, "\t", "\n", "\u202f", "#", '"']
)  # fmt: skip
MISTYPED = st.lists(PIECES, max_size=8).map("".join) | st.text(max_size=30)


@given(MISTYPED, st.lists(KINDS, min_size=1, max_size=3, unique=True).map(tuple))
def test_any_text_reads_or_is_refused_and_offers_read(text: str, kinds: tuple[Kind, ...]) -> None:
    for read in (parse, parse_range, parse_value_or_range):
        found = outcome(lambda read=read: read(text, kinds))  # type: ignore[misc]
        if isinstance(found, QuantityError):
            assert found.given == text
            assert found.reason
            assert found.nearest is None or (
                found.nearest != text and read(found.nearest, kinds).kind in kinds
            )
        else:
            assert math.isfinite(found.value)
            assert found.kind in kinds
            assert found.last_digit > 0


@given(MISTYPED)
def test_any_text_is_a_size_or_is_refused_and_offers_read(text: str) -> None:
    found = outcome(lambda: parse_size(text))
    if isinstance(found, QuantityError):
        assert found.given == text
        assert found.nearest is None or parse_size(found.nearest).area_mm2 > 0
    else:
        assert 0.05 <= found.area_mm2 <= 1000
        assert parse_size(found.text) == found


@given(st.integers(7, 2000), st.integers(30, 4000))
def test_strands_read_back_the_same(strands: int, micrometres: int) -> None:
    area_mm2 = strands * math.pi / 4 * (micrometres / 1000) ** 2
    found = outcome(lambda: parse_size(f"{strands} x {micrometres / 1000} mm"))
    if isinstance(found, QuantityError):
        assert "outside 0.05 to 1000 mm2" in found.reason
        assert not 0.05 <= area_mm2 <= 1000
    else:
        assert parse_size(found.text) == found
        assert found.area_mm2 == area_mm2


@given(st.floats(0.33, 107.0))
def test_an_area_lies_between_its_neighbours(area_mm2: float) -> None:
    found = awg_neighbours(area_mm2)
    assert found.thinner is not None
    assert found.thicker is not None
    # half a per cent: areas of gauges are printed with three figures
    assert awg_area_mm2(found.thinner) * (1 - 5e-3) <= area_mm2 <= awg_area_mm2(found.thicker) * (1 + 5e-3)
