"""Ohms from readings, and what became of them: each figure by hand beside it."""

from __future__ import annotations

import pytest

from groundstrap.locate import Growth, Measured, compare, ohms_read
from groundstrap.model import MeterSpec
from tests.unit.locate.test_engine import JOB, readings_text, wired_job


def visit(day: str, milliohm: float, *, own: float = 0.3, limit: float | None = None, anew: bool = False):  # type: ignore[no-untyped-def]
    return Measured(
        day=day, red="cooler -", black="chassis", place="cooler return 1", ohm=milliohm / 1e3,
        standard_ohm=own / 1e3, limit_ohm=None if limit is None else limit / 1e3, anew=anew,
    )  # fmt: skip


def only(*visits: Measured) -> Growth:
    (found,) = compare(visits)
    return found


def test_ohms_are_volts_over_the_current_that_was_read() -> None:
    values = (
        "cooler: 5.0 A, cooler - to chassis at rear: 10 mV, rocker in to rocker out: 15 mV, cooler: 12.2 V"
    )
    wiring = wired_job(JOB + readings_text(values, "cooler"))
    found = ohms_read(wiring, wiring.installation.readings)
    of = {each.place: each for each in found.read}
    # By hand: 10 and 15 mV at 5 A are 2 and 3 milliohms.
    assert of["cooler return 1"].ohm.value == pytest.approx(2e-3, rel=1e-9)
    assert of["rocker"].ohm.value == pytest.approx(3e-3, rel=1e-9)
    assert all(each.current_read for each in found.read)
    # The leads' contact, 3 mV, is 0.6 milliohms at 5 A: no less is known.
    assert of["rocker"].standard_ohm > 0.6e-3
    # Volts across the load say nothing of a joint.
    assert found.left_out == ("cooler + to cooler -: 12.2 V",)


def test_a_current_that_nobody_read_is_that_of_the_plan_with_these_ohms_in_it() -> None:
    wiring = wired_job(JOB + readings_text("cooler - to chassis at rear: 1.02 V", "cooler"))
    (found,) = ohms_read(
        wiring, wiring.installation.readings, meter=MeterSpec(text="bench", name="bench")
    ).read
    # By hand: 60 W at some 11.6 V are 5.2 A, against 4.8 A at the sound 12.6 V.
    assert found.current_a == pytest.approx(5.17, abs=0.06)
    assert found.ohm.value == pytest.approx(1.02 / found.current_a, rel=1e-6)
    assert not found.current_read


def test_what_was_read_again_counts_and_what_says_nothing_is_named() -> None:
    values = (
        "cooler - to chassis at rear: 1.02 V, cooler - to chassis at rear: 11 mV, "
        "chassis at rear to cooler -: 0.5 V"
    )
    wiring = wired_job(JOB + readings_text(values, "cooler"))
    found = ohms_read(wiring, wiring.installation.readings)
    # The last has its leads the other way round: against the current nothing loses volts.
    assert [each.text for each in found.read] == ["11 mV"]
    assert found.left_out == ("chassis at rear to cooler -: 0.5 V",)


def test_two_visits_say_how_much_it_grew_and_bear_no_trend() -> None:
    found = only(visit("2026-03-01", 2.0), visit("2026-11-28", 9.0))
    assert found.grown
    assert found.more_ohm is not None
    assert found.more_ohm.value == pytest.approx(7e-3)
    # By hand: 0.3 and 4 % of 2, 0.3 and 4 % of 9 milliohms: 0.56, of which 1.96 count.
    assert found.more_ohm.high - found.more_ohm.value == pytest.approx(1.96 * 0.562e-3, rel=0.01)
    assert found.trend is None


def test_what_the_readings_can_not_show_is_no_growth() -> None:
    assert not only(visit("2026-03-01", 2.0), visit("2026-11-28", 2.6)).grown
    # By hand: 4 % of 40 and of 44 milliohms are 2.4, of which 1.96 count: four more are the metal's
    # temperature as well as a joint.
    assert not only(visit("2026-03-01", 40.0), visit("2026-11-28", 44.0)).grown


def test_a_line_says_when_it_comes_to_its_limit() -> None:
    days = ("2024-01-01", "2025-01-01", "2026-01-01")
    found = only(
        *(visit(day, value, own=0.1, limit=9.0) for day, value in zip(days, (2.0, 4.0, 6.0), strict=True))
    )
    assert found.trend is not None
    assert found.trend.ohm_per_year.value == pytest.approx(2e-3, rel=0.01)
    assert found.trend.reach is not None
    # By hand: 6 and a year and a half of 2 milliohms.
    assert found.trend.reach.likeliest[:7] in {"2027-06", "2027-07"}
    assert found.trend.reach.earliest < found.trend.reach.likeliest
    assert not found.over


@pytest.mark.parametrize(
    "values",
    [
        # Further ahead than the visits reach back.
        ((("2025-12-01", 2.0), ("2025-12-20", 2.6), ("2026-01-20", 3.4)), "reach"),
        # No line: up, down and up again.
        ((("2024-01-01", 2.0), ("2025-01-01", 9.0), ("2026-01-01", 4.0)), "trend"),
        # Too close together.
        ((("2026-01-01", 2.0), ("2026-01-05", 4.0), ("2026-01-09", 6.0)), "trend"),
        # Nothing that surely rises.
        ((("2024-01-01", 2.0), ("2025-01-01", 2.1), ("2026-01-01", 2.05)), "trend"),
    ],
)
def test_what_the_visits_do_not_bear_is_not_said(values: tuple[tuple[tuple[str, float], ...], str]) -> None:
    visits, missing = values
    found = only(*(visit(day, value, own=0.1, limit=40.0) for day, value in visits))
    assert (found.trend is None) == (missing == "trend")
    assert found.trend is None or found.trend.reach is None


def test_what_was_mended_begins_anew() -> None:
    found = only(visit("2024-01-01", 2.0), visit("2025-01-01", 9.0), visit("2026-01-01", 2.1, anew=True))
    assert (found.more_ohm, len(found.visits)) == (None, 1)


def test_what_is_over_its_limit_stands_first() -> None:
    other = Measured(
        day="2026-01-01", red="a", black="b", place=None, ohm=0.05, standard_ohm=1e-3, limit_ohm=0.01
    )
    found = compare([visit("2026-01-01", 2.0), visit("2026-11-28", 9.0), other])
    assert [each.over for each in found] == [True, False]
