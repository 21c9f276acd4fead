"""An answer is kept only for the very same question."""

from __future__ import annotations

from groundstrap import api
from groundstrap.records import replace

TEXT = """groundstrap: 1
title: Work light on the trailer
system: 12 V
loads:
  work light: {claims: {power: 60 W}}
circuits:
  work light: {length: 7 m}
"""


def test_the_same_text_is_answered_once() -> None:
    assert api.plan(api.read_job(TEXT)) is api.plan(api.read_job(TEXT))
    assert api.check(api.read_job(TEXT)) is not api.plan(api.read_job(TEXT))


def test_another_text_is_another_question() -> None:
    short, long = (api.plan(api.read_job(TEXT.replace("7 m", length))) for length in ("7 m", "21 m"))
    areas_mm2 = [next(iter(found.design.sizes.values())).area_mm2 for found in (short, long) if found.design]
    assert areas_mm2[0] < areas_mm2[1]
    assert short.fingerprint != long.fingerprint


def test_an_installation_that_its_text_does_not_say_is_another_question_too() -> None:
    """Whoever changes a job that was read keeps its text: that alone does not make it the same."""
    job, hot = api.read_job(TEXT), api.read_job(TEXT.replace("60 W", "240 W"))
    mixed = replace(job, installation=hot.installation)
    assert api.plan(mixed).design == api.plan(hot).design != api.plan(job).design
