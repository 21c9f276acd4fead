"""What a load waits for before it draws what is to be read."""

from __future__ import annotations

from collections.abc import Iterator

from groundstrap.model import Circuit, LoadKind
from groundstrap.pack.texts.phrases import Telling
from groundstrap.words import words

__all__ = ["loaded_words", "loads_drawing"]


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
