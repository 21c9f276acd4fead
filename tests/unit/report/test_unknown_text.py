"""What stays undecided is asked for once, whatever hangs on it."""

from __future__ import annotations

from groundstrap.checks import FindingOutcome, Level
from groundstrap.report.layout import Style
from groundstrap.report.unknown_text import questions, unknown_lines
from tests.rules.judged import judged

FAN_OUT = "\n".join(
    f"  lamp {number}: {{path: [box, {{fuse: 5 A, family: regular blade}}, lamp {number}], length: 3 m, "
    "wire: 1.5 mm2, return: chassis at cabin}"
    for number in range(1, 10)
)
JOB = f"""
supplies: {{battery: {{kind: battery, capacity: 95 Ah, at: cabin}}}}
gear: {{box: {{kind: block, at: cabin, rating: 100 A, state: existing}}}}
loads:
{chr(10).join(f"  lamp {n}: {{kind: led, claims: {{power: 20 W}}, at: cabin}}" for n in range(1, 10))}
circuits:
  feed:
    path: [battery, length: 15 cm, {{fuse: 60 A, family: marine terminal-mounted}}, box]
    state: existing
    length: 2 m
{FAN_OUT}
"""


def test_one_size_that_nobody_knows_is_one_question() -> None:
    findings = judged(JOB).findings
    size = next(q for q in questions(findings) if "size of the wire of feed" in {a.what for a in q.asks})
    assert size.level is Level.STOP
    assert {"PRT001", "THM001", "VDP001", "PRT010"} <= {f.rule for f in size.settled}
    assert {f.circuit for f in size.settled if f.rule == "VDP001"} == {
        "feed",
        *(f"lamp {n}" for n in range(1, 10)),
    }
    text = " ".join(line.strip() for line in unknown_lines(findings, Style()))
    assert text.count("Size of the wire of feed") == 1
    assert "PRT001, " in text
    assert all(f"lamp {number}" in text for number in range(1, 10))


def test_no_rule_asks_in_its_own_words_for_a_size_or_a_load() -> None:
    """A rule that is new here says in `checks/asks.py` what its unknown values wait for."""
    job = JOB.replace("claims: {power: 20 W}", "claims: unknown", 1).replace("wire: 1.5 mm2", "wire: unknown")
    own = [q.settled[0] for q in questions(judged(job).findings) if not q.asks]
    assert [finding.rule for finding in own if finding.slug != "claim-not-met"] == []


def test_every_undecided_finding_is_told_and_the_worst_come_first() -> None:
    findings = [f for f in judged(JOB).findings if f.outcome is FindingOutcome.UNKNOWN]
    asked = questions(findings)
    told = [f for q in asked for f in (*q.settled, *q.helped)]
    assert {id(f) for f in told} == {id(f) for f in findings}
    weights = [question.level.weight for question in asked]
    assert weights == sorted(weights, reverse=True)


def test_what_needs_two_answers_is_named_under_both() -> None:
    job = JOB.replace("claims: {power: 20 W}", "claims: unknown", 1)
    found = {ask.what: q for q in questions(judged(job).findings) for ask in q.asks}
    both = {"size of the wire of feed", "current of lamp 1"}
    shared = [f for f in found["current of lamp 1"].helped if {ask.what for ask in f.asks} == both]
    assert shared
    assert all(finding in found["size of the wire of feed"].helped for finding in shared)


def test_what_is_got_alike_and_settles_the_same_is_told_in_one_line() -> None:
    job = JOB.replace("rating: 100 A, state: existing", "state: existing").replace(
        "gear: {", "gear: {other: {kind: block, at: cabin}, "
    )
    asked = [q for q in questions(judged(job).findings) if {f.rule for f in q.settled} == {"GER002"}]
    assert [[ask.what for ask in q.asks] for q in asked] == [["rating of box", "rating of other"]]
    text = " ".join(line.strip() for line in unknown_lines(judged(job).findings, Style()))
    assert "Rating of box and other: read it off the part" in text


def test_where_all_is_known_nothing_is_asked() -> None:
    assert unknown_lines([], Style()) == []
