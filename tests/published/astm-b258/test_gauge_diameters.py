"""AWG by the defining formula against printed diameters, circular mils and areas."""

import pytest

from groundstrap.units import CIRCULAR_MIL_MM2, awg_area_mm2, awg_diameter_mm

# Source: ASTM B258, table of nominal diameters in inches, printed to 0.1 mil. From memory; 4/0 to 6 also
# agree with a printed list of diameters that was read.
DIAMETERS_IN = {
    "4/0": 0.4600,
    "3/0": 0.4096,
    "2/0": 0.3648,
    "1/0": 0.3249,
    "1": 0.2893,
    "2": 0.2576,
    "3": 0.2294,
    "4": 0.2043,
    "5": 0.1819,
    "6": 0.1620,
    "7": 0.1443,
    "8": 0.1285,
    "9": 0.1144,
    "10": 0.1019,
    "11": 0.0907,
    "12": 0.0808,
    "13": 0.0720,
    "14": 0.0641,
    "15": 0.0571,
    "16": 0.0508,
    "17": 0.0453,
    "18": 0.0403,
    "19": 0.0359,
    "20": 0.0320,
    "21": 0.0285,
    "22": 0.0253,
}

# Source: NFPA 70 (NEC), chapter 9, table 8, area in circular mils. From memory. The table squares a diameter
# printed to a tenth of a mil and rounds to ten: 18 is 40.3 squared, so 1620 where the formula has 1624.
# Hence 0.3 %.
CIRCULAR_MILS = {
    "18": 1620,
    "16": 2580,
    "14": 4110,
    "12": 6530,
    "10": 10_380,
    "8": 16_510,
    "6": 26_240,
    "4": 41_740,
    "3": 52_620,
    "2": 66_360,
    "1": 83_690,
    "1/0": 105_600,
    "2/0": 133_100,
    "3/0": 167_800,
    "4/0": 211_600,
}

# Source: ISO/IEC 61918, annex F, true areas beside the trade sizes in mm2; read. Printed to three or four
# figures; the tolerance is half of the last.
AREAS_MM2 = [
    ("20", 0.518, 0.0005),
    ("18", 0.823, 0.0005),
    ("16", 1.309, 0.0005),
    ("14", 2.081, 0.0005),
    ("12", 3.309, 0.0005),
    ("10", 5.261, 0.0005),
    ("8", 8.366, 0.0005),
    ("6", 13.3, 0.05),
    ("4", 21.15, 0.005),
    ("2", 33.63, 0.005),
    ("1/0", 53.48, 0.005),
    ("2/0", 67.43, 0.005),
    ("3/0", 85.03, 0.005),
    ("4/0", 107.2, 0.05),
]


@pytest.mark.parametrize(("gauge", "inches"), DIAMETERS_IN.items())
def test_diameter_is_the_printed_one(gauge: str, inches: float) -> None:
    # Printed to a tenth of a mil: half of that either way.
    assert awg_diameter_mm(gauge) / 25.4 == pytest.approx(inches, abs=0.000_05)


def test_defining_points_are_exact() -> None:
    # Source: ASTM B258: 4/0 is 0.46 in, 36 is 0.005 in; from memory.
    assert awg_diameter_mm("4/0") == pytest.approx(0.46 * 25.4, rel=1e-14)
    assert awg_diameter_mm("36") == 0.005 * 25.4


@pytest.mark.parametrize(("gauge", "mils"), CIRCULAR_MILS.items())
def test_circular_mils_are_the_printed_ones(gauge: str, mils: int) -> None:
    assert awg_area_mm2(gauge) / CIRCULAR_MIL_MM2 == pytest.approx(mils, rel=0.003)


@pytest.mark.parametrize(("gauge", "area_mm2", "tolerance_mm2"), AREAS_MM2)
def test_area_is_the_printed_one(gauge: str, area_mm2: float, tolerance_mm2: float) -> None:
    assert awg_area_mm2(gauge) == pytest.approx(area_mm2, abs=tolerance_mm2)


def test_circular_mil_in_square_millimetres() -> None:
    # Source: NIST SP 811, appendix B: 1 circular mil is 5.067 075 E-10 m2; from memory.
    assert pytest.approx(5.067_075e-4, abs=0.5e-10) == CIRCULAR_MIL_MM2


def test_six_gauges_thicker_is_twice_across_and_three_twice_the_copper() -> None:
    # common practice: the rules of thumb that fitters use, good to 2 % and 1 %.
    assert awg_diameter_mm("4") / awg_diameter_mm("10") == pytest.approx(2, rel=0.02)
    assert awg_area_mm2("7") / awg_area_mm2("10") == pytest.approx(2, rel=0.01)
