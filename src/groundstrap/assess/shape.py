"""What hangs on the shape of an installation alone, kept from one job to the next.

The shape is everything but values: what there is, what it is joined to, and what works it. Two jobs of one
shape have the same nodes and pieces in the same order, and on trees the same way of every current.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import lru_cache
from operator import attrgetter
from typing import Any, Final, TypeVar

from groundstrap.model import Circuit, Element, Installation, Part, Wire

__all__ = ["MOST_CASES", "Kept", "kept_for"]

Answer = TypeVar("Answer")

_NOTHING: Final = object()

MOST_CASES: Final = 256
"""Cases of one shape that answers are kept for: those of one plan, of days, of loads that are shed."""

_LATELY: Final = 8
"""Values of one question that answers are kept for: those that one plan asks again and again."""


class Kept:
    """Answers for one shape, by the function that finds them and what else it was asked."""

    def __init__(self) -> None:
        """Start with none."""
        self._answers: dict[Hashable, Any] = {}

    def get(self, question: Hashable) -> Any:
        """Return what is kept under a question, or None."""
        return self._answers.get(question)

    def put(self, question: Hashable, answer: object) -> None:
        """Keep the answer to a question."""
        self._answers[question] = answer

    def once(self, question: Hashable, find: Callable[[], Answer]) -> Answer:
        """Return the answer to a question, found the first time that it is asked.

        >>> kept = Kept()
        >>> kept.once("how many", lambda: 3), kept.once("how many", lambda: 4)
        (3, 3)
        """
        if question not in self._answers:
            self._answers[question] = find()
        answer: Answer = self._answers[question]
        return answer

    def lately(
        self, question: Hashable, values: Hashable, find: Callable[[], Answer], most: int = _LATELY
    ) -> Answer:
        """Return the answer to a question that hangs on values too: kept for the few that were asked last.

        >>> kept = Kept()
        >>> [kept.lately("twice", n, lambda n=n: 2 * n) for n in range(10)][-1]
        18
        >>> kept.lately("twice", 9, lambda: 0), kept.lately("twice", 1, lambda: 0)
        (18, 0)
        """
        answers: dict[Hashable, Any] = self.once((question, "lately"), dict)
        answer = answers.pop(values, _NOTHING)
        if answer is _NOTHING:
            answer = find()
        answers[values] = answer
        # A copy, and no matter who removes: threads that plan the same shape share these.
        if len(answers) > most:
            for oldest in list(answers)[:-most]:
                answers.pop(oldest, None)
        found: Answer = answer
        return found


_WIRE = attrgetter("name", "start", "end", "returning", "state")
_PART = attrgetter("name", "kind", "start", "end", "gear", "when", "returning", "state")
_PASSAGE = attrgetter("point", "what", "name")
_CIRCUIT = attrgetter("name", "start", "end", "back_end", "loads", "converter", "state")
_LOAD = attrgetter("name", "kind", "plus", "minus", "runs", "runs_written", "never_with", "state")
_SUPPLY = attrgetter(
    "name", "kind", "plus", "minus", "in_plus", "in_minus", "taps", "series", "when", "isolated", "state"
)
_GEAR = attrgetter("name", "kind", "when", "state")
_TIE = attrgetter("name", "kind", "start", "end")


def kept_for(installation: Installation) -> Kept:
    """Return where answers for the shape of an installation are kept: one place for all its jobs."""
    return _kept(_shape(installation))


@lru_cache(maxsize=32)
def _kept(shape: Hashable) -> Kept:
    del shape
    return Kept()


def _shape(installation: Installation) -> Hashable:
    return (
        installation.basis,
        installation.reference,
        installation.chassis_points,
        tuple(map(_TIE, installation.ties)),
        tuple((_GEAR(gear), gear.closes_v is None) for gear in installation.gear.values()),
        tuple(map(_LOAD, installation.loads.values())),
        tuple(
            (_SUPPLY(supply), bool(supply.standing_a), bool(supply.running_a))
            for supply in installation.supplies.values()
        ),
        tuple(map(_shape_of_circuit, installation.circuits.values())),
    )


def _shape_of_circuit(circuit: Circuit) -> Hashable:
    return (
        _CIRCUIT(circuit),
        tuple(map(_shape_of_element, circuit.path)),
        tuple(map(_shape_of_element, circuit.back)),
    )


def _shape_of_element(element: Element) -> Hashable:
    if isinstance(element, Wire):
        return _WIRE(element)
    if isinstance(element, Part):
        return (_PART(element), element.closes_v is None)
    return _PASSAGE(element)
