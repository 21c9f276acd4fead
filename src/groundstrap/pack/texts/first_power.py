"""What a load waits for before it draws what is to be read."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.model import Circuit, LoadKind, PartKind
from groundstrap.pack.texts.phrases import Telling
from groundstrap.words import listed, words

__all__ = ["loaded_words", "loads_drawing", "unswitched"]

_SWITCHES = frozenset({PartKind.SWITCH, PartKind.RELAY, PartKind.ISOLATOR})


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


def unswitched(telling: Telling, circuit: Circuit) -> Iterator[str]:
    """Yield what nothing in the circuit switches: with the fuse in it runs, unless its own switch is off."""
    if any(part.kind in _SWITCHES for part in circuit.parts):
        return
    loads = [telling.plan.installation.loads.get(name) for name in circuit.loads]
    named = [load.name for load in loads if load is not None and load.kind is not LoadKind.COIL]
    if named:
        yield words(
            "no switch is drawn for {loads}: off at its own switch, or unplugged, or it runs at once",
            loads=listed(map(telling.tag, named)),
        )
