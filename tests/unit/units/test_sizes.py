"""Conductor sizes: what reads, as what copper, and what is refused with which question."""

import math

import pytest

from groundstrap.errors import QuantityError
from groundstrap.units import (
    AWG_GAUGES,
    SAE_GAUGES,
    ConductorSize,
    awg_area_mm2,
    awg_size,
    metric_size,
    parse_size,
    sae_area_mm2,
    sae_size,
)

READS = [
    ("6 mm2", "6 mm2", "metric", 6.0),
    ("6 mm²", "6 mm2", "metric", 6.0),
    ("6.0mm2", "6 mm2", "metric", 6.0),
    (" 0.75 mm2 ", "0.75 mm2", "metric", 0.75),
    ("10 AWG", "10 AWG", "awg", awg_area_mm2("10")),
    ("AWG 10", "10 AWG", "awg", awg_area_mm2("10")),
    ("10awg", "10 AWG", "awg", awg_area_mm2("10")),
    ("5 AWG", "5 AWG", "awg", awg_area_mm2("5")),
    ("2/0 AWG", "2/0 AWG", "awg", awg_area_mm2("2/0")),
    ("00 AWG", "2/0 AWG", "awg", awg_area_mm2("2/0")),
    ("0 AWG", "1/0 AWG", "awg", awg_area_mm2("1/0")),
    ("AWG 0000", "4/0 AWG", "awg", awg_area_mm2("4/0")),
    ("10 SAE", "10 SAE", "sae", sae_area_mm2("10")),
    ("SAE 2/0", "2/0 SAE", "sae", sae_area_mm2("2/0")),
    ("00 SAE", "2/0 SAE", "sae", sae_area_mm2("2/0")),
    ("84 x 0.30 mm", "84 x 0.30 mm", "strands", 84 * math.pi / 4 * 0.09),
    ("84x0.3mm", "84 x 0.30 mm", "strands", 84 * math.pi / 4 * 0.09),
    ("84 × 0.30 mm", "84 x 0.30 mm", "strands", 84 * math.pi / 4 * 0.09),
    ("19 x 0.285 mm", "19 x 0.285 mm", "strands", 19 * math.pi / 4 * 0.285**2),
]

LOST_SYSTEM = "a gauge without its system"
REFUSED = [
    ("", "nothing stands there", None, "mm2"),
    ("6", "a bare number may be mm2, AWG or SAE gauge", None, "10 AWG or 10 SAE"),
    ("0.75", "a bare number may be mm2, AWG or SAE gauge", None, "mm2"),
    ("2/0", LOST_SYSTEM, None, "2/0 AWG or 2/0 SAE"),
    ("4/0", LOST_SYSTEM, None, "4/0 AWG or 4/0 SAE"),
    ("00", LOST_SYSTEM, None, "2/0 AWG or 2/0 SAE"),
    ("10 ga", LOST_SYSTEM, None, "10 AWG or 10 SAE"),
    ("10 gauge", LOST_SYSTEM, None, "10 AWG or 10 SAE"),
    ("#10", LOST_SYSTEM, None, "10 AWG or 10 SAE"),
    ("AWG", "there is no number in it", None, "mm2"),
    ("6 mm", "it may be the outside diameter", None, "strands x strand diameter"),
    ("6.5mm", "it may be the outside diameter", None, "copper area printed on the cable in mm2"),
    ("6 mm diameter", "it may be the outside diameter", None, "mm2"),
    ("0.25 in", "it may be the outside diameter", None, "mm2"),
    ("Ø 6 mm", "it may be the outside diameter", None, "mm2"),
    ("2 x 6 mm2", "2 cores in one cable, or 2 cables side by side?", None, "`parallel: 2`"),
    ("2x6mm²", "2 cores in one cable, or 2 cables side by side?", None, "`parallel: 2`"),
    ("2 x 10 AWG", "2 cores in one cable, or 2 cables side by side?", None, "10 AWG"),
    ("16 mm2 x 2", "2 cores in one cable, or 2 cables side by side?", None, "`parallel: 2`"),
    ("7 x 0.75 mm2", "Or strands, whose diameter is in mm?", None, "0.75 mm2"),
    ("2 x 1.5 mm", "2 strands are too few", None, "copper area of one core"),
    ("10/2 AWG", "2 cores of 10 in one cable", None, "10 AWG"),
    ("2 x 1.5", "1.5 has no unit; 2 cores in one cable, or 2 cables side by side?", None, "`parallel: 2`"),
    ("1.5 x 2", "1.5 has no unit; 2 cores in one cable, or 2 cables side by side?", None, "`parallel: 2`"),
    ("7 x 1.5", "7 cores in one cable, or 7 cables side by side? Or strands", None, "1.5 mm2"),
    ("84 x 0.30", "the strand diameter has no unit", "84 x 0.30 mm", "mm"),
    ("84/0.30", "strands are written with an x", "84 x 0.30 mm", "mm"),
    ("84/0.30 mm", "strands are written with an x", "84 x 0.30 mm", "mm"),
    ("7 x 9 mm", "a strand is 0.03 to 4 mm across", None, "mm"),
    ("99999999 x 0.30 mm", "strands are more than", None, "mm"),
    ("50000 x 0.3 mm", "outside 0.05 to 1000 mm2", None, "mm2"),
    ("0 mm2", "outside 0.05 to 1000 mm2", None, "mm2"),
    ("5000 mm2", "outside 0.05 to 1000 mm2", None, "mm2"),
    ("99999999999999 mm2", "far too large", None, "mm2"),
    ("6 AWG2", "something stands after AWG", "6 AWG", "AWG"),
    ("30 AWG", "30 AWG is thinner than 22", None, "AWG 22 to 4/0"),
    ("23 AWG", "23 AWG is thinner than 22", None, "AWG 22 to 4/0"),
    ("5/0 AWG", "5/0 AWG is thicker than 4/0", None, "AWG 22 to 4/0"),
    ("00000 AWG", "00000 AWG is thicker than 4/0", None, "AWG 22 to 4/0"),
    ("20 SAE", "20 SAE is thinner than 18", None, "SAE 18 to 4/0"),
    ("5 SAE", "SAE has no gauge 5", None, "18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 1/0, 2/0, 3/0, 4/0"),
    ("010 AWG", "AWG has no gauge 010", None, "mm2"),
    ("250 kcmil", "circular mils are not read", "126.68 mm2", "mm2"),
    ("250 MCM", "circular mils are not read", "126.68 mm2", "mm2"),
    ("10380 cmil", "circular mils are not read", "5.26 mm2", "mm2"),
    ("6 sqmm", "an area is written in mm2", "6 mm2", "mm2"),
    ("6 mm^2", "an area is written in mm2", "6 mm2", "mm2"),
    ("2,5 mm2", "a comma is not read as a decimal point", "2.5 mm2", "mm2"),
    ("-6 mm2", "not read as a conductor size", None, "mm2"),
    ("6..10 mm2", "not read as a conductor size", None, "mm2"),
    ("6 mm2 +- 1 mm2", "not read as a conductor size", None, "mm2"),
    ("3.5 AWG", "not read as a conductor size", None, "10 AWG"),
    ("２ mm2", "not read as a conductor size", None, "mm2"),
    ("6 m2", "not read as a conductor size", None, "mm2"),
    ("9" * 500, "far too long", None, "mm2"),
]


@pytest.mark.parametrize(("text", "canonical", "system", "area_mm2"), READS)
def test_sizes_read(text: str, canonical: str, system: str, area_mm2: float) -> None:
    size = parse_size(text)
    assert (size.text, size.system, size.area_mm2) == (canonical, system, area_mm2)
    assert str(size) == canonical


@pytest.mark.parametrize(("text", "words", "nearest", "wanted"), REFUSED)
def test_refused_with_a_question(text: str, words: str, nearest: str | None, wanted: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_size(text)
    error = caught.value
    assert words in error.reason
    assert error.nearest == nearest
    assert wanted in error.wanted
    assert error.given == text


def test_strands_are_kept() -> None:
    size = parse_size("84 x 0.30 mm")
    assert (size.strands, size.strand_mm, size.gauge) == (84, 0.30, None)


def test_gauge_is_kept() -> None:
    assert parse_size("00 AWG").gauge == "2/0"
    assert parse_size("6 mm2").gauge is None


def test_same_copper_in_other_words_is_equal() -> None:
    assert parse_size("6 mm²") == parse_size("6.0 mm2") == metric_size(6.0)
    assert parse_size("AWG 00") == parse_size("2/0 AWG") == awg_size("2/0")
    assert parse_size("SAE 10") == sae_size("10")


def test_the_number_without_system_would_be_two_areas() -> None:
    assert awg_size("10").area_mm2 != sae_size("10").area_mm2


@pytest.mark.parametrize("gauge", AWG_GAUGES)
def test_every_awg_gauge_reads_back(gauge: str) -> None:
    size = awg_size(gauge)
    assert parse_size(size.text) == size == ConductorSize(f"{gauge} AWG", "awg", awg_area_mm2(gauge), gauge)


@pytest.mark.parametrize("gauge", SAE_GAUGES)
def test_every_sae_gauge_reads_back(gauge: str) -> None:
    size = sae_size(gauge)
    assert parse_size(size.text) == size == ConductorSize(f"{gauge} SAE", "sae", sae_area_mm2(gauge), gauge)


def test_area_outside_is_refused_from_a_number_too() -> None:
    with pytest.raises(QuantityError, match=r"outside 0\.05 to 1000 mm2"):
        metric_size(5000.0)
