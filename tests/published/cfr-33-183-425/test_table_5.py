"""33 CFR 183.425, table 5 with notes 1 and 2: ampacity on boats."""

from __future__ import annotations

import math

import pytest

from groundstrap.tables import Ampacity, NotTabled, Unsuitable, published_ampacity, show
from groundstrap.units import awg_area_mm2

CLASSES = (60, 75, 80, 90, 105, 125, 200)

# Source: 33 CFR 183.425, table 5, read in the 2015 edition; every row, stranded copper at 30 degC.
TABLE_5 = {
    "18": (10, 10, 15, 20, 20, 25, 25),
    "16": (15, 15, 20, 25, 25, 30, 35),
    "14": (20, 20, 25, 30, 35, 40, 45),
    "12": (25, 25, 35, 40, 45, 50, 55),
    "10": (40, 40, 50, 55, 60, 70, 70),
    "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135),
    "4": (105, 125, 130, 135, 160, 170, 180),
    "3": (120, 145, 150, 155, 180, 195, 210),
    "2": (140, 170, 175, 180, 210, 225, 240),
    "1": (165, 195, 210, 210, 245, 265, 280),
    "1/0": (195, 230, 245, 245, 285, 305, 325),
    "2/0": (225, 265, 285, 285, 330, 355, 370),
    "3/0": (260, 310, 330, 330, 385, 410, 430),
    "4/0": (300, 360, 385, 385, 445, 475, 510),
}

# Source: the same, note 1 (engine spaces, 50 degC).
NOTE_1 = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89, 200: 1.00}

# Source: a sheet of boat cable at 105 degC that prints the table with both notes applied, to 0.1 A.
WITH_NOTES = [
    ("10", "engine space", 1, 51.0),
    ("10", "engine space", 4, 30.6),
    ("2", "outside", 7, 105.0),
    ("16", "engine space", 1, 21.25),
    ("4/0", "engine space", 24, 189.1),
]


def ampacity(awg: str, class_c: float, *, engine_space: bool = False, loaded: int = 1) -> Ampacity:
    found = published_ampacity(
        basis="boat",
        insulation_c=class_c,
        area_mm2=awg_area_mm2(awg),
        ambient_c=30,
        loaded_conductors=loaded,
        engine_space=engine_space,
    )
    assert isinstance(found, Ampacity)
    return found


@pytest.mark.parametrize("awg", TABLE_5)
def test_every_cell(awg: str) -> None:
    assert tuple(ampacity(awg, class_c).value_a for class_c in CLASSES) == TABLE_5[awg]


@pytest.mark.parametrize("class_c", [c for c in NOTE_1 if c != 200])
def test_note_1_and_the_square_root_rule_agree_to_a_hundredth(class_c: int) -> None:
    (factor,) = ampacity("10", class_c, engine_space=True).factors
    assert factor.value == NOTE_1[class_c]
    assert factor.value == pytest.approx(math.sqrt((class_c - 50) / (class_c - 30)), abs=0.01)


def test_note_1_at_200_degc_is_a_named_difference() -> None:
    # Known difference: the regulation prints 1.00 for 200 degC; the rule that its other six factors follow
    # gives 0.94. The lower one is used, the printed one stays in the table.
    printed = show("boat_engine_space_factors_33_cfr_183").find("insulation_c", "200")
    assert printed is not None
    assert printed.number("factor") == 1.00
    (factor,) = ampacity("10", 200, engine_space=True).factors
    assert factor.value == pytest.approx(0.939, abs=0.0005)


@pytest.mark.parametrize(("awg", "where", "loaded", "printed_a"), WITH_NOTES)
def test_both_notes_together(awg: str, where: str, loaded: int, printed_a: float) -> None:
    found = ampacity(awg, 105, engine_space=where == "engine space", loaded=loaded)
    assert found.value_a == pytest.approx(printed_a, abs=0.05)  # printed to 0.1 A
    assert found.value_a == pytest.approx(found.base_a * math.prod(f.value for f in found.factors))


def test_note_2_says_what_the_law_requires() -> None:
    # 33 CFR 183.435: in law the bundle factor is for conductors that carry 50 V or more.
    assert any("50 V" in remark for remark in ampacity("10", 105, loaded=4).remarks)
    assert ampacity("10", 105, loaded=2).factors == ()


@pytest.mark.parametrize(
    ("area_mm2", "row", "amps"),
    [(6, "10 AWG", 60), (2.5, "14 AWG", 35), (35, "2 AWG", 210), (70, "2/0 AWG", 330)],
)
def test_metric_sizes_step_down(area_mm2: float, row: str, amps: float) -> None:
    found = published_ampacity(basis="boat", insulation_c=105, area_mm2=area_mm2, ambient_c=30)
    assert isinstance(found, Ampacity)
    assert (found.row, found.value_a) == (row, amps)


def test_a_class_without_a_column_takes_the_next_lower_one() -> None:
    found = published_ampacity(basis="boat", insulation_c=100, area_mm2=awg_area_mm2("10"), ambient_c=30)
    assert isinstance(found, Ampacity)
    assert (found.table_class_c, found.value_a) == (90, 55)


def test_below_the_smallest_row_nothing_is_known() -> None:
    found = published_ampacity(basis="boat", insulation_c=105, area_mm2=0.75, ambient_c=30)
    assert isinstance(found, NotTabled)
    assert "18 AWG" in found.why


def test_insulation_below_its_surroundings_is_unsuitable_not_zero() -> None:
    found = published_ampacity(basis="boat", insulation_c=60, area_mm2=6, ambient_c=60)
    assert isinstance(found, Unsuitable)
