"""What a refrigerator takes while its air changes, and what has no thermostat."""

from __future__ import annotations

import pytest

from groundstrap.endure import changes, cures, endure
from groundstrap.endure.answers import answers
from groundstrap.endure.results import Edit, Endurance
from groundstrap.errors import CannotDoError
from groundstrap.records import replace
from tests.invariants.test_endure import wired
from tests.support.cured import as_changed

REST = """groundstrap: 1
title: rest
system: 12 V
supplies: {{battery: {{kind: battery, chemistry: agm, capacity: 95 Ah}}}}
loads: {{cooler: {{kind: {kind}, claims: {{power: 60 W}}{duty}}}}}
circuits: {{cooler: {{length: 4 m}}}}
day:
  - {{resting: 10 h, using: [cooler], temperature: {air}}}
"""


def _taken_ah(kind: str, duty: str, air: str) -> float:
    run = endure(wired(REST.format(kind=kind, duty=duty and f", duty: {duty}", air=air)))
    return -run.spans[0].change_ah["battery"]


@pytest.mark.parametrize(
    ("air", "shares"),
    [
        # 4 % of it for each kelvin from 25 degC (own judgement), a tenth at least, all at most; by hand:
        # 1 - 0.04 * 5 = 0.8 at 20 degC; 0.1 at -10 degC; 1.4 * 75 % = 105 % at 35 degC.
        ("20 degC", (1.0, 0.8, 0.792, 0.6)),
        ("-10 degC", (1.0, 0.1, 0.099, 0.075)),
        ("35 degC", (1.0, 1.0, 1.0, 1.0)),
    ],
)
def test_a_written_duty_goes_smoothly_with_the_air(air: str, shares: tuple[float, ...]) -> None:
    found = [_taken_ah("compressor", duty, air) for duty in ("", "100 %", "99 %", "75 %")]
    # 3 %: 60 W take fewer amps at more volts, and 0.1 Ah in 10 h that the battery loses by itself.
    assert [each / found[0] for each in found] == pytest.approx(shares, rel=0.03, abs=0.003)


def test_a_motor_has_no_thermostat() -> None:
    full, part = (_taken_ah("motor", duty, "-10 degC") for duty in ("100 %", "75 %"))
    assert part / full == pytest.approx(0.75, rel=0.01)


def test_no_duty_is_offered_where_the_cold_would_cure_it() -> None:
    """A fridge of which nobody wrote how much it runs: any duty would be cut to a tenth at -10 degC."""

    def again(edits: tuple[Edit, ...]) -> None:
        asked.extend(edits)

    asked: list[Edit] = []
    for air, offered in (("-10 degC", False), ("25 degC", True)):
        text = REST.format(kind="compressor", duty=", works: 11.5..15 V", air=air).replace("10 h", "30 h")
        wiring = wired(text)
        asked.clear()
        cures.cures_of(wiring, endure(wiring), again)
        assert any(each.path[-1] == "duty" for each in asked) is offered


def test_the_worst_rest_is_the_one_in_which_the_air_lets_it_run_most() -> None:
    # By hand: 60 % of 60 W are 46 W at 32 degC (1.28 of it) and 4 W at 2 degC (0.1 of it, the least): a cold
    # battery holds less, but not twelve times less.
    text = REST.format(kind="compressor", duty=", works: 11.5..15 V, duty: 60 %", air="32 degC")
    wiring = wired(text + "  - {resting: 10 h, using: [cooler], temperature: 2 degC}\n")
    run = endure(wiring)
    told = answers(wiring, run)
    assert told.worst_rest["until_cut_off_h"] == 1
    assert told.until_cut_off_h is not None
    # At the amps of that rest its 95 Ah are through in a day, and not in ten as in the cold one.
    assert told.until_cut_off_h < 95.0 / (-run.spans[0].change_ah["battery"] / 10.0)


def test_a_cure_whose_days_cannot_be_solved_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    text = REST.format(kind="motor", duty=", works: 11.5..15 V", air="20 degC").replace("10 h", "30 h")
    wiring = wired(text)
    run = endure(wiring)
    assert run.cut_offs

    def only_quick(*_: object, quick: bool = False, **__: object) -> Endurance:
        if quick:
            return replace(run, cut_offs=())
        raise CannotDoError("no days", next_step="look at them")

    monkeypatch.setattr(cures, "endure", only_quick)
    assert cures.cures_of(wiring, run, lambda _: as_changed(wiring)).cures == ()


def test_what_is_dearest_at_rest_is_so_in_its_air() -> None:
    # By hand: at -10 degC 50 % of 60 W are 3 W (a tenth of it, the least), under the 10 W of a lamp; at
    # 25 degC they are 30 W.
    for air, first in (("-10 degC", "lamp"), ("25 degC", "cooler")):
        text = REST.format(kind="compressor", duty=", duty: 50 %", air=air)
        text = text.replace("}}\ncircuits: {", "}, lamp: {kind: led, claims: {power: 10 W}}}\ncircuits: {")
        text = text.replace("4 m}}", "4 m}, lamp: {length: 2 m}}").replace("[cooler]", "[cooler, lamp]")
        wiring = wired(text)
        assert changes._dear(wiring, endure(wiring))[0].name == first
