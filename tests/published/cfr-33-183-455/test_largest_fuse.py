"""33 CFR 183.455 (c): a fuse below 50 V is at most 150 % of the value of table 5 of 33 CFR 183.425."""

import json

import pytest

from groundstrap import api

JOB = """groundstrap: 1
title: Light on 16 AWG
system: 12 V
basis: boat
supplies: {{battery: {{kind: battery, at: {place}, cranking: 500 A SAE}}}}
zones: {{locker: {{ambient: 30 degC}}}}
loads: {{light: {{kind: led, at: {place}, claims: {{power: 12 W}}}}}}
circuits:
  light: {{path: [battery, length: 10 cm, fuse: 5 A, light], return: battery -, wire: 16 AWG, length: 2 m,
    insulation: 105 degC}}
"""


# Table 5, 105 degC: 16 AWG carries 25 A; note 1: x 0.85 in an engine space. 150 % of 21.25 is 31.875.
@pytest.mark.parametrize(
    ("place", "ampacity_a", "most_a", "printed_a"),
    [("locker", 25.0, 37.5, 37.5), ("engine space", 21.25, 31.875, 37.5)],
)
def test_the_law_s_limit_stands_beside_that_of_practice(
    place: str, ampacity_a: float, most_a: float, printed_a: float
) -> None:
    plan = api.check(api.read_job(JOB.format(place=place)))
    circuit = plan.assessment.circuits["light"]
    legal = circuit.fuses["light fuse"].legal
    assert legal is not None
    assert circuit.ampacity_a == pytest.approx(ampacity_a)
    assert legal.most_a == pytest.approx(most_a)
    assert legal.printed_most_a == pytest.approx(printed_a)
    window = next(
        s for s in json.loads(api.plan_json(plan))["circuits"]["light"]["path"] if s["part"] == "fuse"
    )
    assert window["window_a"]["legal_most"] == pytest.approx(most_a)
    # Practice keeps the rating within the ampacity: the next rating below it.
    assert window["window_a"]["most"] <= ampacity_a


def test_the_text_tells_both_readings_of_the_law() -> None:
    text = " ".join(api.plan_text(api.check(api.read_job(JOB.format(place="engine space")))).split())
    assert "law 31.9 A at most, 150 % of the table's value" in text
    assert "(37.5 A by the value as printed)" in text


def test_on_the_road_there_is_no_such_law() -> None:
    job = JOB.format(place="locker").replace("basis: boat\n", "")
    fuse = api.check(api.read_job(job)).assessment.circuits["light"].fuses["light fuse"]
    assert fuse.legal is None
