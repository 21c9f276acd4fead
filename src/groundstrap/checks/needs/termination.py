"""What rules need to know about the ends of a piece of cable."""

from __future__ import annotations

from groundstrap.assess.part_results import WireEnd
from groundstrap.checks.facts import WireSubject
from groundstrap.checks.once import once
from groundstrap.model import State
from groundstrap.tables import part_temperature
from groundstrap.words import words

__all__: list[str] = []

_LEADS = frozenset({"tab", "splice", "contact"})


def on_written_stud(subject: WireSubject) -> bool:
    """Whether one of its ends comes to a stud that the job names."""
    return bool(_rings(subject))


def heavy_stud(subject: WireSubject) -> str:
    """The thinnest stud that it comes to, with its point."""
    end = min(_rings(subject), key=lambda end: end.takes_most_mm2 or 0.0, default=None)
    return _stud(end)


def heavy_stud_mm2(subject: WireSubject) -> float | None:
    """Heaviest conductor that rings for that stud are made for. [mm2]"""
    return min((end.takes_most_mm2 for end in _rings(subject) if end.takes_most_mm2), default=None)


def light_stud(subject: WireSubject) -> str:
    """The thickest stud that it comes to, with its point."""
    end = max(_rings(subject), key=lambda end: end.takes_least_mm2 or 0.0, default=None)
    return _stud(end)


def light_stud_mm2(subject: WireSubject) -> float | None:
    """Lightest conductor that rings for that stud are made for. [mm2]"""
    return max((end.takes_least_mm2 for end in _rings(subject) if end.takes_least_mm2), default=None)


def on_tab_or_lead(subject: WireSubject) -> bool:
    """Whether it is to be laid and one of its ends comes to a tab, a contact or the leads of a holder."""
    return subject.wire.state is State.NEW and _narrowest(subject) is not None


def narrow_end(subject: WireSubject) -> str:
    """The narrowest of those ends, with its point."""
    end = _narrowest(subject)
    if end is None:
        return words("its end")
    tab = words("a tab of {tab_mm} mm", tab_mm=f"{end.tab_mm or 0.0:g}")
    what = {"splice": words("the leads of a holder"), "contact": words("a contact")}.get(
        end.terminal or "", tab
    )
    return words("{what} at {point}", what=what, point=end.point)


def narrow_end_mm2(subject: WireSubject) -> float | None:
    """Heaviest conductor that it takes. [mm2]"""
    end = _narrowest(subject)
    return end.takes_most_mm2 if end is not None else None


def narrow_end_assumed(subject: WireSubject) -> bool:
    """Whether that end is what such parts usually have, and nobody wrote it."""
    end = _narrowest(subject)
    return end is None or end.assumed


def ends_at_part(subject: WireSubject) -> bool:
    """Whether it carries current to a fuse, relay, switch or stud."""
    loaded = subject.found is not None and subject.found.continuous_a != 0.0
    return loaded and _warmest(subject) is not None


def part_end(subject: WireSubject) -> str:
    """The part that it brings most heat to."""
    end = _warmest(subject)
    return end.point if end is not None else words("its end")


def part_end_c(subject: WireSubject) -> float | None:
    """Steady temperature that it brings there. [degC]"""
    end = _warmest(subject)
    return end.conductor_c if end is not None else None


def part_air_c(subject: WireSubject) -> float | None:
    """Hottest air there. [degC]"""
    end = _warmest(subject)
    return end.air_c if end is not None else None


def part_least_limit_c(subject: WireSubject) -> float | None:
    """Low end of what a part of unknown limit stands. [degC]"""
    return part_temperature().low_c if _warmest(subject) is not None else None


def part_most_limit_c(subject: WireSubject) -> float | None:
    """High end of what a part of unknown limit stands. [degC]"""
    return part_temperature().high_c if _warmest(subject) is not None else None


def _ends(subject: WireSubject) -> tuple[WireEnd, ...]:
    return subject.facts.assessment.ends.get(subject.wire.name, ())


@once
def _rings(subject: WireSubject) -> list[WireEnd]:
    return [e for e in _ends(subject) if e.terminal == "ring" and e.stud is not None and not e.assumed]


def _stud(end: WireEnd | None) -> str:
    return (
        words("{stud} at {point}", stud=end.stud, point=end.point) if end is not None else words("its stud")
    )


@once
def _narrowest(subject: WireSubject) -> WireEnd | None:
    taking = [e for e in _ends(subject) if e.terminal in _LEADS and e.takes_most_mm2 is not None]
    return min(taking, key=lambda end: end.takes_most_mm2 or 0.0, default=None)


@once
def _warmest(subject: WireSubject) -> WireEnd | None:
    parts = [end for end in _ends(subject) if end.at_part]
    return max(parts, key=lambda end: end.conductor_c or 0.0, default=None)
