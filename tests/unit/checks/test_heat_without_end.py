"""A current that heats a conductor on and on is told as such, unless its pauses end it in time."""

from __future__ import annotations

from tests.rules.judged import judged

JOB = """
supplies: {battery: {kind: battery, cranking: 640 A EN}, alternator: none}
loads: {hoist: {kind: heater, claims: {power: 1200 W, voltage: 12 V}DUTY}}
circuits:
  hoist: {path: [battery, fuse: 150 A, hoist], length: 2 m, wire: 1.5 mm2, insulation: PVC, return: battery -}
"""


def test_a_hundred_amperes_on_a_thin_wire_are_no_unknown_temperature() -> None:
    # Copper's resistance grows faster than a thin wire can lose heat: no handbook rates 1.5 mm2 for 100 A.
    found = judged(JOB.replace("DUTY", "")).of("THM002")
    assert {f.outcome.value for f in found} == {"fail"}
    assert all("on and on" in f.text for f in found)


def test_a_pull_of_two_seconds_is_not_said_to_go_on_for_ever() -> None:
    found = judged(JOB.replace("DUTY", ", duty: {run: 2 s, every: 30 min}")).of("THM002")
    assert not [f for f in found if "on and on" in f.text]
