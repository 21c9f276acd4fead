"""Existing cable without a fuse is a caution only where vehicle makers build it so: common practice."""

from __future__ import annotations

import pytest

from tests.rules.judged import judged

LINK = """
supplies:
  first: {kind: battery, cranking: 640 A EN, state: existing}
  second: {kind: battery, capacity: 90 AhSTATE}
  alternator: none
loads: {lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V}}}
circuits:
  link: {path: [first, PATH second], length: 7 m, wire: 6 mm2, state: existing}
  lamp: {path: [second, fuse: 10 A, lamp], length: 1 m, wire: 2.5 mm2}
"""


@pytest.mark.parametrize("state", [", state: existing", ""])
def test_a_link_fused_at_one_end_is_a_stop_whoever_laid_it(state: str) -> None:
    (found,) = judged(LINK.replace("STATE", state).replace("PATH", "length: 20 cm, fuse: 40 A,")).of("PRT011")
    assert (found.outcome.value, found.level.value) == ("fail", "stop")


def test_one_fuse_whose_place_nobody_wrote_cannot_stand_at_both_ends_of_7_m() -> None:
    (found,) = judged(LINK.replace("STATE", ", state: existing").replace("PATH", "fuse: 40 A,")).of("PRT011")
    assert (found.outcome.value, found.level.value) == ("fail", "stop")
    assert "wherever it sits" in found.text


FEED = """
supplies: {battery: {kind: battery, cranking: 640 A EN, state: existing}, alternator: none}
gear: {box: {kind: block, rating: 100 A, state: existing}}
loads: {lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V}}}
circuits:
  feed: {path: [battery, box], length: 1 m, wire: SIZE, state: existing}
  lamp: {path: [box, fuse: 10 A, lamp], length: 1 m, wire: 2.5 mm2}
"""


@pytest.mark.parametrize(("size", "level"), [("16 mm2", "caution"), ("2.5 mm2", "stop")])
def test_an_existing_feed_without_a_fuse_is_only_a_caution_where_it_is_heavy(size: str, level: str) -> None:
    # Own judgement: from 10 mm2 on, as makers lead from a battery to a fuse box.
    (found,) = judged(FEED.replace("SIZE", size)).of("PRT006")
    assert (found.where, found.outcome.value, found.level.value) == ("feed", "fail", level)
