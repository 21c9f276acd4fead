"""A fuse of which only the rating is written counts as the family that usually serves at that rating."""

from __future__ import annotations

import pytest

from tests.rules.judged import assessed

JOB = """
supplies: {battery: {kind: battery, cranking: 640 A EN}}
loads: {heater: {kind: heater, claims: {power: 240 W, voltage: 12 V}}}
circuits:
  heater: {path: [battery, length: 5 cm, fuse: RATING, heater], length: 3 m, wire: 25 mm2, return: battery -}
"""


@pytest.mark.parametrize(
    ("rating", "family"),
    [
        # ISO 8820-3: type C ends at 40 A, type E begins at 20 A and ends at 100 A; bolted strips go on.
        ("30 A", "regular blade"),
        ("80 A", "high-current blade"),
        ("125 A", "bolt-down strip 51 mm"),
    ],
)
def test_the_family_is_one_that_is_made_at_the_rating(rating: str, family: str) -> None:
    fuse = assessed(JOB.replace("RATING", rating)).circuits["heater"].fuses["heater fuse"]
    # Its window holds smaller ratings of other families: they are not what is written.
    assert fuse.window.ratings != ()
    assert fuse.family == family


def test_the_opening_of_a_large_blade_is_known() -> None:
    closest = assessed(JOB.replace("RATING", "80 A")).circuits["heater"].fuses["heater fuse"].closest
    assert closest is not None
    assert closest.verdict
