"""How many loaded conductors lie in one loom, by counting along a cross-section of it.

Source: 33 CFR 183.425 table 5, note 3 (conductors of a bundle lie side by side); the counts by hand.
"""

from __future__ import annotations

import pytest

from groundstrap.api import read_job
from groundstrap.assess.looms import lies

_JOB = """
groundstrap: 1
title: Lamps along one loom
system: 12 V
supplies: {{battery: {{kind: battery, at: tray, capacity: 80 Ah}}}}
places: {{tray: cabin, back: cabin}}
routes: [{{from: tray, to: back, length: 4 m, laid: loom}}]
gear: {{dash switch: {{kind: switch, at: back, rating: 20 A}}}}
loads: {{lamp: {{kind: heater, at: {at}, claims: {{power: 100 W}}}}}}
circuits:
  lamp: {{path: {path}}}
"""


@pytest.mark.parametrize(
    ("at", "path", "conductors"),
    [
        ("back", "[battery, fuse, lamp]", 2),
        # The fuse 20 cm on parts the plus in two pieces, one behind the other: still one plus and one minus.
        ("back", "[battery, length: 20 cm, fuse, lamp]", 2),
        ("back", "[battery, length: 20 cm, fuse, length: 1 m, joint, lamp]", 2),
        ("back", "[battery, length: 20 cm, fuse, {wire: 6 mm2, parallel: 2}, lamp]", 4),
        # To a switch and back along the same loom, and the minus along the way of the plus: two of each.
        ("tray", "[battery, length: 20 cm, fuse, dash switch, lamp]", 4),
    ],
)
def test_a_cross_section_of_the_loom_counts(at: str, path: str, conductors: int) -> None:
    # Of the 20 cm up to the fuse as of the rest: a cross-section anywhere cuts as many.
    found = lies(read_job(_JOB.format(at=at, path=path)).installation, {})
    assert {lie.loaded for pieces in found.values() for lie in pieces} == {conductors}
