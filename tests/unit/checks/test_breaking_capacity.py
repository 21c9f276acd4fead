"""How much cable brings a fault current down, against Ohm's law by hand."""

from __future__ import annotations

import re

from tests.rules.judged import judged

JOB = """
supplies:
  battery: {kind: battery, resistance: 5 mohm, rested: 12.7 V, at: cabin}
  alternator: none
gear: {block: {kind: block, at: cabin, rating: 100 A}}
loads: {lamp: {kind: led, claims: {power: 60 W}, at: cabin}}
circuits:
  feed:
    path: [battery, length: 15 cm, {fuse: 60 A, family: marine terminal-mounted}, block]
    wire: 16 mm2
    length: 40 cm
  lamp:
    path: [block, {fuse: 10 A, family: regular blade}, lamp]
    return: battery -
    length: 6 m
    wire: 2.5 mm2
"""


def test_the_remedy_names_metres_of_cable_and_what_the_main_fuse_does_not_do() -> None:
    [finding] = judged(JOB).of("PRT008")
    assert finding.where == "lamp fuse"
    assert finding.value is not None
    # By hand: the most volts of lead-acid, 14.8 V, through what is wanting to 1 kA, over 1.16 mohm/m at
    # 20 degC (ISO 6722, 16 mm2) and 0.80 of that at -30 degC.
    ohm = 14.8 * (1 / 1000.0 - 1 / finding.value)
    by_hand_m = ohm / (0.00116 * (1 + 0.00393 * -50.0))
    said = re.search(r"about ([0-9.]+) m more of 16 mm2", finding.remedy)
    assert said is not None
    assert abs(float(said[1]) - by_hand_m) < 0.02 * by_hand_m
    assert "feed fuse breaks all of it but limits none of it" in finding.remedy


def test_no_more_cable_is_proposed_than_the_circuit_has() -> None:
    """Own judgement: some 9 m of 16 mm2 more, by hand as above, before a lamp 1 m away are no remedy."""
    [finding] = judged(JOB.replace("length: 6 m", "length: 1 m")).of("PRT008")
    assert finding.where == "lamp fuse"
    # The smallest made of a type that breaks 2 kA, for a fault of 1.6 kA.
    assert "Fit a fuse of 30 A, bolt-down strip 30 mm" in finding.remedy
    assert " more of " not in finding.remedy
    # It hangs on such a block.
    assert "feed it from a block" not in finding.remedy


def test_a_caution_on_cable_that_nobody_knows_is_undecided() -> None:
    known = judged(JOB.replace("wire: 16 mm2", "wire: unknown"))
    [finding] = [f for f in known.of("PRT008") if f.where == "lamp fuse"]
    assert finding.outcome.value == "unknown"
    assert [ask.what for ask in finding.asks] == ["size of the wire of feed"]


def test_the_type_that_is_named_cures() -> None:
    """30 A is the smallest bolt-down strip and breaks 2 kA (maker's sheets): what is proposed, fitted."""
    thick = JOB.replace("wire: 2.5 mm2", "wire: 6 mm2")
    assert [f.where for f in judged(thick).of("PRT008")] == ["lamp fuse"]
    fitted = thick.replace(
        "{fuse: 10 A, family: regular blade}", "{fuse: 30 A, family: bolt-down strip 30 mm}"
    )
    assert not judged(fitted).of("PRT008")


def test_no_type_is_named_that_a_part_does_not_let_in() -> None:
    """No fuse of 15 A or less is made that breaks 1.6 kA: the sheet of one that does is what is left."""
    socket = "socket: {kind: connector, at: cabin, rating: 15 A}"
    job = JOB.replace("gear: {", f"gear: {{{socket}, ").replace(
        "regular blade}, lamp]", "regular blade}, socket, lamp]"
    )
    [finding] = judged(job).of("PRT008")
    assert "No type in the tables" in finding.remedy
    assert "Fit a fuse of" not in finding.remedy
    sheet = job.replace("family: regular blade", "family: regular blade, breaks: 5 kA")
    assert not judged(sheet).of("PRT008")
