"""A made-up language that writes every letter of a text with another one: what stays English is seen."""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterable, Iterator

from groundstrap.report.language import Language

__all__ = ["MARKED", "exactly", "roughly", "slipped"]

_FIELD = re.compile(r"(\{\{|\}\}|\{[^{}]*\})")
_LATIN = re.compile(r"[A-Za-z]{2,}")
_OTHER = str.maketrans({chr(ord(first) + n): chr(0x3B1 + n) for first in "aA" for n in range(26)})
_UNITS = {"mm", "cm", "ms", "min", "mV", "mA", "kA", "kW", "Ah", "Wh", "ohm", "mohm", "kohm", "Nm", "lbf"}
_UNITS |= {"degC", "deg", "AWG", "SAE", "EN", "in", "out"}
"""What a quantity is written with in every language, and how the job calls terminals: in, out."""
_SIGNS = str.maketrans({"\N{NO-BREAK SPACE}": " ", "\N{MINUS SIGN}": "-"})
_MARKS = re.compile(r"\[[A-Z]{3}\d{3}(?:, [A-Z]{3}\d{3})*\]|\bTP\d+|places\.|\b(?:sha256:)?[0-9a-f]{16,}\b")
"""Ids of rules, test points of the drawing, a key of the job file, fingerprints."""


class Marked(gettext.NullTranslations):
    """Answers every template with other letters, and leaves its fields."""

    def gettext(self, message: str) -> str:
        pieces = _FIELD.split(message)
        return "".join(p if _FIELD.fullmatch(p) else p.translate(_OTHER) for p in pieces)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


MARKED = Language("xx", Marked())


def exactly(given: Iterable[str]) -> re.Pattern[str]:
    """What finds these names, and nothing that is only a part of one."""
    return re.compile("|".join(rf"(?<!\w){re.escape(name)}(?!\w)" for name in given))


def roughly(given: Iterable[str]) -> re.Pattern[str]:
    """What finds any word of these names."""
    return exactly(sorted({word for name in given for word in _LATIN.findall(name)}))


def slipped(found: Iterator[str], given: re.Pattern[str]) -> list[str]:
    """Texts in which Latin letters stand that belong to no name and no unit."""
    said = (MARKED.text(text).translate(_SIGNS) for text in found)
    return [s for s in said if set(_LATIN.findall(_MARKS.sub("", given.sub("", s)))) - _UNITS]
