"""What is kept for a shape is found again by jobs of that shape alone, and is what would be found anew."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundstrap.assess import Assessment, assess, wire_up
from groundstrap.assess.shape import MOST_CASES, _kept, kept_for
from groundstrap.assess.wiring import Case, open_pieces
from groundstrap.job import read_job
from groundstrap.model import Situation
from groundstrap.vet import estimates

JOBS = sorted((Path(__file__).parents[2] / "data" / "jobs").glob("*.yaml"))
LAMP = """groundstrap: 1
title: Lamp
system: 12 V
loads:
  lamp: {claims: {power: 60 W}}
circuits:
  lamp: {length: 7 m}
"""


def _assessed(text: str, folder: Path | None = None) -> Assessment:
    installation = read_job(text, folder=folder).installation
    return assess(installation, estimates(installation))


def test_other_values_have_the_same_shape() -> None:
    first = read_job(LAMP).installation
    other = read_job(LAMP.replace("7 m", "3 m").replace("60 W", "90 W")).installation
    assert kept_for(first) is kept_for(other)


@pytest.mark.parametrize(
    "change",
    [
        ("lamp: {length", "lamp: {state: existing, length"),
        ("  lamp: {claims", "  lamp: {runs: [driving], claims"),
        ("  lamp: {claims", "  lamp: {kind: starter, claims"),
        ("lamp", "light"),
    ],
)
def test_another_state_use_kind_or_name_is_another_shape(change: tuple[str, str]) -> None:
    other = LAMP.replace(*change)
    assert other != LAMP
    assert kept_for(read_job(LAMP).installation) is not kept_for(read_job(other).installation)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_what_is_kept_is_what_is_found_anew(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    _kept.cache_clear()
    _assessed(text.replace("length: 1", "length: 2"), path.parent)
    again = _assessed(text, path.parent)
    _kept.cache_clear()
    assert again == _assessed(text, path.parent)


def test_values_that_design_currents_hang_on_are_not_kept_over() -> None:
    small, large = (
        wire_up(found, estimates(found))
        for found in (read_job(text).installation for text in (LAMP, LAMP.replace("60 W", "90 W")))
    )
    assert small.currents.draws["lamp"].drop_a * 1.5 == pytest.approx(large.currents.draws["lamp"].drop_a)
    wire = "lamp wire 1"
    amps = [wiring.currents.pieces[wire].continuous_a for wiring in (small, large)]
    assert None not in amps
    assert (amps[0] or 0.0) * 1.5 == pytest.approx(amps[1])


def test_cases_of_one_shape_are_kept_up_to_a_number() -> None:
    wiring = wire_up(read_job(LAMP).installation, estimates(read_job(LAMP).installation))
    for number in range(3 * MOST_CASES):
        case = Case(situation=Situation.RESTING, running=frozenset({f"load {number}"}))
        assert open_pieces(wiring, case) == frozenset()
    assert len(wiring.tree.kept.once(("open", "lately"), dict)) == MOST_CASES
