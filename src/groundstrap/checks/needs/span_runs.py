"""What rules need to know about a span of a run of days."""

from __future__ import annotations

from typing import Final

from groundstrap.checks.facts import SpanRunSubject
from groundstrap.model import Situation

__all__: list[str] = []

_ENGINE_ON: Final = frozenset({Situation.IDLING, Situation.DRIVING})
_HOUR_S: Final = 3600.0


def engine_is_on(subject: SpanRunSubject) -> bool:
    """Whether the engine runs in it."""
    return subject.span.situation in _ENGINE_ON


def span_situation(subject: SpanRunSubject) -> str:
    """What the vehicle does in it."""
    return subject.span.situation.value


def span_h(subject: SpanRunSubject) -> float:
    """How long it is. [h]"""
    return (subject.span.ends_s - subject.span.begins_s) / _HOUR_S


def short_a(subject: SpanRunSubject) -> float | None:
    """Current that batteries add to what the alternator gives, on average. [A]"""
    return subject.span.charging_short_a
