"""What first power asks for beside the lamp: a bolted fuse on a dead lead, a load that really draws."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.model import Circuit, LoadKind, Part, PartKind
from groundstrap.pack.texts.phrases import Telling, listed
from groundstrap.tables import fuse_family
from groundstrap.words import words

__all__ = ["bolted_words", "loaded_words", "loads_drawing"]


def bolted_words(telling: Telling, circuit: Circuit, part: Part) -> Iterator[str]:
    """Yield the order for a fuse that takes a spanner: its lead dead for the lamp and for the fuse."""
    if not _bolted(telling, part):
        return
    isolator = _upstream(telling, circuit)
    if isolator is not None:
        yield words(
            "bolted, never on a live lead: engine off, open {isolator}, put the lamp on the studs of its "
            "holder, close, look; open again, bolt the fuse tight and cover it, close",
            isolator=telling.tag(isolator),
        )
        return
    yield words(
        "bolted, never on a live lead: engine off, take the negative lead off {batteries}, put the lamp on "
        "the studs of its holder, negative on, look; negative off again, bolt the fuse tight and cover it, "
        "negative on last",
        batteries=listed(telling.tag(each.name) for each in telling.batteries),
    )


def _bolted(telling: Telling, part: Part) -> bool:
    if part.kind is not PartKind.FUSE:
        return False
    family = telling.family(part)
    return family is not None and "bolt" in fuse_family(family).fixing


def _upstream(telling: Telling, circuit: Circuit) -> str | None:
    """The isolator that alone makes all plus cable of a circuit dead, from both its ends."""
    out = {wire.name for wire in circuit.wires if not wire.returning}
    if not out or out - telling.live.parked.keys():
        return None
    return next((name for name, left in telling.live.after.items() if not out & left.keys()), None)


def loads_drawing(telling: Telling, circuit: Circuit) -> Iterator[str]:
    """Yield what each load of a circuit waits for before it draws what is to be read."""
    for name in circuit.loads:
        told = loaded_words(telling, name)
        if told:
            yield words("{load}: {drawing}", load=telling.tag(name), drawing=told)


def loaded_words(telling: Telling, load: str) -> str:
    """Return what makes a load draw its amps where its switch alone does not; else nothing."""
    found = telling.plan.installation.loads.get(load)
    kind = None if found is None else found.kind
    if kind in {LoadKind.INVERTER, LoadKind.CHARGER}:
        return words("with its full load plugged in")
    if kind is LoadKind.COMPRESSOR:
        return words("wait until the compressor runs")
    return ""
