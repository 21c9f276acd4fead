"""A lithium battery straight on an alternator takes a range, and only where nothing limits it."""

from __future__ import annotations

import pytest

from groundstrap.assess.topology import Piece, PieceKind
from groundstrap.endure.cures import cures_of
from groundstrap.endure.day import the_day
from groundstrap.endure.results import Changed, Edit, Straight
from groundstrap.endure.run import endure
from groundstrap.endure.straight import _Loop, straight_on
from tests.invariants.test_endure import BETWEEN_TWO, HEAD, TWO_AND_A_RELAY, wired
from tests.support.cured import as_changed, written_in

LITHIUM = TWO_AND_A_RELAY.replace("chemistry: agm, capacity: 90 Ah", "chemistry: lfp, capacity: 100 Ah")


def taken(job: str) -> tuple[Straight, ...]:
    wiring = wired(HEAD + job)
    return straight_on(wiring, the_day(wiring.installation).stretches)


def test_behind_a_relay_it_takes_a_range_that_the_field_knows() -> None:
    # Reports from the field: 0.33 of the capacity an hour in the mean, 0.67 in the worst case. By hand: the
    # most is 0.9 of 120 A less what the vehicle draws at its least (24.5 A); hot, 0.85 of 120 A.
    (found,) = taken(LITHIUM)
    assert (found.battery, found.alternator, found.idling) == ("house", "alternator", False)
    assert found.low_a < 33.0 < found.typical_a < 67.0 < found.high_a
    assert found.high_a <= 0.9 * 120.0 - 24.5 + 1e-9
    assert found.hot_a == pytest.approx(102.0)


def test_a_longer_cable_lets_it_take_less() -> None:
    near, far = (taken(LITHIUM.replace("length: 4 m", f"length: {length} m"))[0] for length in (4, 12))
    assert far.low_a < near.low_a
    assert far.typical_a < near.typical_a


def test_a_day_without_driving_speaks_of_idle() -> None:
    (found,) = taken(LITHIUM.replace("driving", "idling"))
    assert found.idling
    assert found.hot_a == pytest.approx(0.85 * 45.0)


@pytest.mark.parametrize("job", [TWO_AND_A_RELAY, BETWEEN_TWO], ids=["lead", "behind a converter"])
def test_where_something_limits_it_nothing_is_said(job: str) -> None:
    assert taken(job) == ()


def test_ways_side_by_side_count_by_ohms_law() -> None:
    # By hand: 1 ohm, then 2 and 2 side by side: 2 ohm in all; a piece that hangs loose counts nothing.
    pairs = ((0, 1), (1, 2), (1, 2), (2, 3), (4, 5))
    pieces = tuple(Piece(f"piece {n}", PieceKind.PART, *ends) for n, ends in enumerate(pairs))
    loop = _Loop(pieces, (1.0, 2.0, 2.0, 5.0, 1.0))
    assert loop._between(0, 2) == pytest.approx(2.0)
    assert loop._between(2, 2) == 0.0
    assert loop._between(0, 4) is None


FAILING = """
supplies:
  battery: {kind: battery, capacity: 60 Ah, cranking: 540 A EN}
  alternator: {kind: alternator, rating: 90 A}
loads:
  pump: {kind: heater, claims: {power: 60 W}<critical>}
circuits:
  pump: {path: [battery, fuse, pump], length: 2 m}
day:
  - {driving: 5 min, using: [pump]}
  - {resting: 60 h, using: [pump]}
"""


@pytest.mark.parametrize(("critical", "kinds"), [(", critical: yes", set()), ("", {"load", "cut-off"})])
def test_what_does_not_cure_it_is_told_as_tried(critical: str, kinds: set[str]) -> None:
    # 60 W for 60 h take 300 Ah: no battery of 3 x 60 Ah holds that. A pump that must not fail is not asked to
    # run less; another one starts again at a tenth of it (30 Ah), which nobody has much use of.
    text = HEAD + FAILING.replace("<critical>", critical)

    def again(edits: tuple[Edit, ...]) -> Changed:
        return as_changed(wired(written_in(text, edits)))

    wiring = wired(text)
    run = endure(wiring)
    found = cures_of(wiring, run, again)
    assert {cure.kind for cure in found.cures} == kinds
    assert [str(text) for text in found.in_vain] == [
        "battery of 180 Ah and 1620 A in place of 60 Ah and 540 A",
        "the drive of 5 min takes 25 min",
    ]
    if kinds:
        assert found.cures[-1].kind == "load"
        assert "hardly any use" in found.cures[-1].text
