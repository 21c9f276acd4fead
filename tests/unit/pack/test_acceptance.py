"""The sheet that is signed: readings with their bands, what they come to, what was mended and read again."""

from __future__ import annotations

from groundstrap import api
from groundstrap.pack.content import Caution, Facts, Fill, Items, Paragraph, Section, Table
from groundstrap.pack.texts.acceptance import acceptance_section
from groundstrap.pack.texts.phrases import Telling
from groundstrap.report.figures import Display

JOB = """groundstrap: 1
title: Work light on a trailer
system: 12 V
supplies:
  battery: {kind: battery, capacity: 80 Ah, running: 0 A}
  alternator: none
loads: {work light: {kind: led, claims: {power: 60 W, by: manual}}}
circuits:
  work light: {path: [battery, fuse: 10 A, work light], length: 7 m, return: battery -, wire: 2.5 mm2}
"""
SET = """  - when: resting
    using: [work light]
    meter: handheld
    date: %s
    by: R. Fitter
    values: [work light - to battery -: %s, work light: %s]
"""


def section(*sets: tuple[str, str, str]) -> Section | None:
    text = JOB + ("readings:\n" if sets else "") + "".join(SET % each for each in sets)
    return acceptance_section(Telling(api.plan(api.read_job(text)), Display()))


def test_without_readings_there_is_none() -> None:
    assert section() is None


def test_sound_readings_say_so_with_meter_day_and_who_and_room_to_sign() -> None:
    found = section(("2026-11-28", "0.310 V", "12.0 V"))
    assert found is not None
    verdict, _, head, table, *_ = found.blocks
    assert isinstance(verdict, Paragraph)
    assert verdict.text == "By these readings the work is as planned."
    assert isinstance(head, Paragraph)
    assert all(part in head.text for part in ("Resting", "handheld", "2026-11-28", "R. Fitter"))
    assert isinstance(table, Table)
    assert [row[-2:] for row in table.rows] == [("0.310 V", "agrees"), ("12.00 V", "agrees")]
    assert [each.labels for each in found.blocks if isinstance(each, Fill)] == [
        ("read by", "date", "signature"),
        ("accepted by", "date", "signature"),
    ]


def test_what_was_mended_stands_as_it_was_and_as_it_is() -> None:
    found = section(("2026-11-20", "1.740 V", "10.6 V"), ("2026-11-28", "0.310 V", "12.0 V"))
    assert found is not None
    *_, table = [each for each in found.blocks if isinstance(each, Table)]
    assert [row[-3:] for row in table.rows] == [
        ("1.74 V (FAILS)", "0.310 V", "agrees"),
        ("10.60 V (FAILS)", "12.00 V", "agrees"),
    ]


def test_a_bad_ground_is_told_with_the_chi_square_of_all_and_with_it_set_apart() -> None:
    found = section(("2026-11-28", "1.740 V", "10.6 V"))
    assert found is not None
    texts = [each.text for each in found.blocks if isinstance(each, Paragraph)]
    assert texts[0].startswith("By these readings the work is not as planned: 2 of them fail.")
    facts = next(each for each in found.blocks if isinstance(each, Facts))
    told = dict(facts.rows)
    assert "under 0.01 %" in told["all together"]
    assert "chi-square" in told["with what they prove"]
    assert any("TST004" in str(block) for block in found.blocks)


def test_visits_that_were_accepted_stand_behind_the_readings_with_what_has_changed() -> None:
    """By hand: 9 mV at 4 A are 2.25 milliohms as built, 40 mV are 10 a year later."""

    def visit(day: str, ohm: float, note: str) -> api.Visit:
        at = {"red": "pump -", "black": "chassis at rear", "place": "pump return 1", "standard_ohm": 4e-4}
        more = {"usual_ohm": 2.3e-3, "limit_ohm": 0.05, "current_a": 4.0, "read": "mV"}
        place, sound = (
            api.VisitPlace(ohm=ohm, **at, **more),
            api.VisitPlace(ohm=2e-3, **{**at, **more, "red": "lamp -", "place": None}),
        )  # type: ignore[arg-type]
        told = {"job_id": "x", "revision": 1, "who": "Ada", "when_utc": None, "places": (place, sound)}
        return api.Visit(day=day, note=note, **told)  # type: ignore[arg-type]

    visits = (visit("2026-11-28", 10e-3, ""), visit("2025-03-01", 2.25e-3, "handed over"))
    visited = api.visited(visits)
    bare = Telling(api.plan(api.read_job(JOB)), Display())
    found = acceptance_section(bare, visited)
    assert found is not None
    (table,) = [each for each in found.blocks if isinstance(each, Table)]
    assert [row[:3] for row in table.rows] == [("2025-03-01", "2", "Ada"), ("2026-11-28", "2", "Ada")]
    (items,) = [each for each in found.blocks if isinstance(each, Items)]
    (grown,) = items.texts
    assert "pump return 1: grown; grew from 2.25 mohm to 10 mohm" in str(grown)
    assert any(isinstance(each, Paragraph) and each.text == "1 place is as it was." for each in found.blocks)
    assert any(isinstance(each, Caution) and "Keep to local rules" in each.text for each in found.blocks)
    text = JOB + "readings:\n" + SET % ("2026-11-28", "0.310 V", "12.0 V")
    both = acceptance_section(Telling(api.plan(api.read_job(text)), Display()), visited)
    assert both is not None
    assert {"visit", "read"} <= {str(c.title) for t in both.blocks if isinstance(t, Table) for c in t.columns}
    assert api.visited(()) is None
