"""Letters for colours of cables: IEC 60757, table of colour codes."""

from __future__ import annotations

import pytest

from groundstrap.tables import colour_code


@pytest.mark.parametrize(
    ("colour", "letters"),
    [
        ("black", "BK"),
        ("Red", "RD"),
        ("light blue", "BU"),
        ("gray", "GY"),
        ("violet", "VT"),
        ("green-and-yellow", "GNYE"),
        ("red/blue", "RDBU"),
        ("white black", "WHBK"),
        ("BN", "BN"),
    ],
)
def test_a_colour_has_its_letters(colour: str, letters: str) -> None:
    assert colour_code(colour) == letters


@pytest.mark.parametrize("colour", ["mauve", "red with a tracer", "", "4"])
def test_a_word_that_is_none_of_the_table_has_none(colour: str) -> None:
    assert colour_code(colour) is None
