"""What hangs on no length is found once for all lengths, and is what would be found anew after any edit."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

from groundstrap.assess import Assessment
from groundstrap.assess.lengthless import at_any_length, differs_in_lengths
from groundstrap.assess.rating import assess_wiring
from groundstrap.assess.shape import _kept
from groundstrap.assess.wiring import Wiring, wire_up
from groundstrap.checks import Judgement, run
from groundstrap.checks.asking import _verdict
from groundstrap.checks.unmeasured import _room
from groundstrap.design import Design
from groundstrap.design.answer import chosen
from groundstrap.job import read_job
from groundstrap.model import Wire
from groundstrap.records import dataclass, replace
from groundstrap.vet import estimates, vet

EXAMPLES = Path(__file__).parents[3] / "examples"
PICKUP = (EXAMPLES / "hive-pickup.job.yaml").read_text(encoding="utf-8")
BUS = (EXAMPLES / "book-bus.job.yaml").read_text(encoding="utf-8")
EDITS = {
    PICKUP: (
        ("length: 3.2 m", "length: 6.7 m"),
        ("length: 1.4 m", "length: 1.5 m"),
        ("power: 900 W", "power: 1200 W"),
    ),
    BUS: (
        ("length: 4 m", "length: 14 m"),
        ("length: 1.5 m", "length: 1.6 m"),
    ),
}
"""What people change: a length that makes cable thicker, one that does not, a load."""


@dataclass(frozen=True)
class _Answer:
    design: Design
    assessment: Assessment
    judgement: Judgement


def _answered(text: str) -> _Answer:
    installation = read_job(text, folder=EXAMPLES).installation
    vetting = vet(installation)
    choice = chosen(installation, {name: found.estimate for name, found in vetting.loads.items()})
    assessment = assess_wiring(choice.wiring)
    return _Answer(choice.design, assessment, run(choice.design.installation, vetting, assessment))


def _versions() -> list[str]:
    """Each example, edited once, once more, and with the first edit taken back."""
    found = []
    for text, edits in EDITS.items():
        there = [edit for edit in edits if edit[0] in text]
        for first, second in zip(there, there[1:] + there[:1], strict=True):
            found += [text, text.replace(*first, 1), text.replace(*first, 1).replace(*second, 1)]
            found.append(text.replace(*second, 1))
    return found


def test_after_any_edit_the_answer_is_that_of_a_fresh_start() -> None:
    versions = _versions()
    warm = [_answered(text) for text in versions]
    assert len({repr(each.assessment) for each in warm}) > 6, "the edits move nothing"
    fresh: dict[str, _Answer] = {}
    for text, found in zip(versions, warm, strict=True):
        if text not in fresh:
            _kept.cache_clear()
            _verdict.cache_clear()
            _room.cache_clear()
            fresh[text] = _answered(text)
        assert found == fresh[text]


def _wiring(text: str) -> Wiring:
    installation = read_job(text, folder=EXAMPLES).installation
    return wire_up(installation, estimates(installation))


def test_no_length_can_be_looked_at() -> None:
    lengths = at_any_length(
        _wiring(PICKUP),
        "lengths",
        lambda bare: {
            *(wire.length_m for wire in bare.installation.wires()),
            *(piece.wire.length_m for piece in bare.topology.pieces if piece.wire is not None),
            *(part.length_m for wire in bare.installation.wires() for part in wire.stretches),
            *(lie.length_m for lies in bare.lies.values() for lie in lies),
            *(circuit.length_m for circuit in bare.installation.circuits.values()),
        },
    )
    assert lengths == {1.0}


def test_it_is_found_anew_where_more_than_a_length_differs() -> None:
    changed = (PICKUP, PICKUP.replace("length: 3.2 m", "length: 6.7 m"), PICKUP.replace("900 W", "1200 W"))
    assert len(set(changed)) == len(changed)
    asked: list[Wiring] = []
    for count, text in zip((1, 1, 2), changed, strict=True):
        at_any_length(_wiring(text), "asked in a test", asked.append)
        assert len(asked) == count


def _with_wire(wiring: Wiring, circuit: str, wire: Wire) -> Wiring:
    """The wiring with another first cable of a circuit, the topology left as it is."""
    old = wiring.installation.circuits[circuit]
    path = tuple(wire if each is old.wires[0] else each for each in old.path)
    circuits = {**wiring.installation.circuits, circuit: replace(old, path=path)}
    return replace(wiring, installation=replace(wiring.installation, circuits=circuits))


def test_only_lengths_may_differ() -> None:
    """Whatever else is another value of a cable makes it another wiring; every length may be any."""
    installation = read_job(PICKUP, folder=EXAMPLES).installation
    wiring = wire_up(installation, estimates(installation))
    bare = at_any_length(wiring, "the wiring", lambda bare: bare)
    name, circuit = next((n, c) for n, c in wiring.installation.circuits.items() if c.wires[0].stretches)
    wire: Any = circuit.wires[0]
    stretch: Any = wire.stretches[0]
    another = object()
    for each in fields(wire):
        changed = _with_wire(wiring, name, replace(wire, **{each.name: another}))
        if each.name != "stretches":
            assert differs_in_lengths(changed, bare) == (each.name == "length_m"), each.name
    for each in fields(stretch):
        stretches = (replace(stretch, **{each.name: another}), *wire.stretches[1:])
        changed = _with_wire(wiring, name, replace(wire, stretches=stretches))
        same = each.name == "length_m" or (each.name == "route_m" and stretch.route_m is not None)
        assert differs_in_lengths(changed, bare) == same, each.name
