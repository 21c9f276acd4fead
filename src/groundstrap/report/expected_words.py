"""What sound work reads at one place, in words."""

from __future__ import annotations

from groundstrap.locate import ProbeKind
from groundstrap.locate.judged import ExpectedReading
from groundstrap.report.location_words import quantity_words
from groundstrap.words import words

__all__ = ["expected_words"]


def expected_words(where: str, found: ExpectedReading, kind: ProbeKind) -> str:
    """Return what is expected, and both bands; a battery's own posts have no limit."""
    told = {
        "where": where,
        "value": quantity_words(found.expected, kind),
        "low": quantity_words(found.look.low, kind),
        "high": quantity_words(found.look.high, kind),
    }
    if found.fails is None:
        return words("{where}: {value}; look again outside {low} to {high}", **told)
    return words(
        "{where}: {value}; look again outside {low} to {high}, fails outside {least} to {most}",
        **told,
        least=quantity_words(found.fails.low, kind),
        most=quantity_words(found.fails.high, kind),
    )
