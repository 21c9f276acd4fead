"""Another language: templates looked up in a catalogue, numbers with its own decimal sign, signs of print."""

from __future__ import annotations

import gettext
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final

from groundstrap.errors import CallError
from groundstrap.records import dataclass
from groundstrap.report.signs import UNIT, signs
from groundstrap.words import Name, Sentence, Words, whole

__all__ = ["ENGLISH", "Language", "language", "languages"]

_CATALOGUES: Final = Path(__file__).parent.parent / "locale"
_DOMAIN: Final = "groundstrap"
_COMMA: Final = frozenset({"de"})
"""Languages that write a comma before decimals."""

_ONE: Final = rf"[-+~±]?\d+(?:\.\d+)?(?: ?{UNIT})?(?:/m)?"
_QUANTITY: Final = re.compile(rf"\(?{_ONE}(?:(?: to | x |\.\.|, | \(| / |/| ?± ?| ){_ONE})*\)?")
"""A text that is a quantity and nothing else: one number or several, with or without a unit."""
_POINT: Final = re.compile(r"(?<=\d)\.(?=\d)")
_TO: Final = re.compile(r"(?<=[\w%)]) to (?=[-+~]?\d)")


@dataclass(frozen=True, slots=True)
class Language:
    """One language that texts are said in; `code` as ISO 639-1 has it."""

    code: str
    catalogue: gettext.NullTranslations
    printed: bool = False
    """Whether the signs of print stand in it: mm², °C, Ω; else those of a terminal and of the job file."""

    @property
    def in_print(self) -> Language:
        """Return it with the signs of print."""
        return replace(self, printed=True)

    def text(self, text: str) -> str:
        """Return a text in this language: made of words by its template, or a quantity and nothing else.

        Every other text, such as a name that the user gave, stays as it is.

        >>> from groundstrap.words import words
        >>> told = words("{least} for {name}", least="2.5 mm2", name="10 ohm box")
        >>> ENGLISH.text(told), ENGLISH.in_print.text(told).replace("\N{NO-BREAK SPACE}", " ")
        ('2.5 mm2 for 10 ohm box', '2.5 mm² for 10 ohm box')
        """
        if isinstance(text, Name) or (self.code == "en" and not self.printed):
            return str(text)
        if isinstance(text, Sentence):
            return whole(str(self._field(text.fields["text"])))
        if isinstance(text, Words):
            fields = {name: self._field(value) for name, value in text.fields.items()}
            return self._signed(self._template(text)).format_map(fields)
        return self._plain(text)

    def _template(self, text: Words) -> str:
        if text.many:
            counted = text.fields["count"]
            return self.catalogue.ngettext(
                text.template, text.many, counted if isinstance(counted, int) else 2
            )
        return self.catalogue.gettext(text.template)

    def _field(self, value: object) -> object:
        return self.text(value) if isinstance(value, str) else value

    def _plain(self, text: str) -> str:
        return self._quantity(text) if _QUANTITY.fullmatch(text) else text

    def _quantity(self, text: str) -> str:
        if self.code in _COMMA:
            text = _POINT.sub(",", text)
        between = self.catalogue.gettext("{low} to {high}")
        word = between.removeprefix("{low}").removesuffix("{high}")
        return self._signed(_TO.sub(word, text))

    def _signed(self, text: str) -> str:
        return signs(text) if self.printed else text


ENGLISH: Final = Language("en", gettext.NullTranslations())


def languages() -> tuple[str, ...]:
    """Return the codes of the languages that there are, English first."""
    return ("en", *sorted(path.name for path in _CATALOGUES.glob("*") if path.is_dir()))


@cache
def language(code: str) -> Language:
    """Return a language by its code.

    Raises:
        CallError: there is no catalogue of it.
    """
    if code == "en":
        return ENGLISH
    if code not in languages():
        raise CallError(f"there is no catalogue for the language {code!r}", wanted=", ".join(languages()))
    return Language(code, gettext.translation(_DOMAIN, _CATALOGUES, [code]))
