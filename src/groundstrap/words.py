"""Texts that can be said in another language: a template, and what goes into it, kept beside the text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Self

__all__ = ["Name", "Sentence", "Words", "joined", "listed", "plural", "sentence", "term", "whole", "words"]


class Words(str):
    """A text in English that remembers the template it was made from, and the fields that went into it.

    It is a text like any other to whoever does not translate: comparing, wrapping and JSON see English. A
    field may itself be made of words. Two of them can be added; an f-string or a method of texts forgets.
    """

    __slots__ = ("fields", "many", "template")

    template: str
    """With `{name}` where a field goes; what a catalogue has its translation under."""
    many: str
    """The template for any number but one; empty where nothing is counted."""
    fields: Mapping[str, object]

    def __new__(cls, template: str, fields: Mapping[str, object], many: str = "") -> Self:
        """Make the English text; a field that the template asks for and is not there is a mistake."""
        chosen = many if many and fields["count"] != 1 else template
        made = super().__new__(cls, chosen.format_map(fields) if fields else chosen)
        made.template, made.many, made.fields = template, many, fields
        return made

    def __getnewargs__(self) -> tuple[Any, ...]:
        """Copies and pickles are made as this was."""
        return self.template, self.fields, self.many

    def __add__(self, other: str) -> Words:
        """Put a text behind this one; both can still be translated."""
        return _both(self, other)

    def __radd__(self, other: str) -> Words:
        """Put a text before this one; both can still be translated."""
        return _both(other, self)


class Name(str):
    """A text that is the same in every language, even where it reads like a quantity: cable 6.1."""

    __slots__ = ()


class Sentence(Words):
    """A text that begins with a capital and ends with a stop, in whatever language it is said."""

    __slots__ = ()

    def __new__(cls, template: str, fields: Mapping[str, object], many: str = "") -> Self:
        """Make the English sentence; the field `text` is what stands in it."""
        told = whole(str(fields["text"]))
        made = super().__new__(cls, told.replace("{", "{{").replace("}", "}}"), {"text": fields["text"]})
        made.template, made.many = template, many
        return made


def whole(text: str) -> str:
    """Return a text with a capital first and a stop at the end, where it has none.

    >>> whole("the leads were not nulled"), whole("Is it new?")
    ('The leads were not nulled.', 'Is it new?')
    """
    told = text[:1].upper() + text[1:]
    return told if told.endswith((".", "?", "!")) else f"{told}."


def sentence(text: str) -> Sentence:
    """Return a text as a sentence, which can still be translated.

    >>> str(sentence(words("{lead} melts", lead="16 AWG lead")))
    '16 AWG lead melts.'
    """
    return Sentence("{text}", {"text": text})


def _both(head: str, tail: str) -> Words:
    return Words("{head}{tail}", {"head": head, "tail": tail})


def words(template: str, /, **fields: object) -> Words:
    """Return a text that can be translated: a template that is written out where it is used, and its fields.

    >>> told = words("{wire} carries {limit} where it is hottest", wire="hoist wire 1", limit="148 A")
    >>> str(told), told.template
    ('hoist wire 1 carries 148 A where it is hottest', '{wire} carries {limit} where it is hottest')
    """
    return Words(template, fields)


def listed(names: Iterable[str]) -> str:
    """Return names as they are counted up in a sentence, each once.

    >>> str(listed(["hoist", "pump", "lights"])), str(listed(["hoist"])), listed([])
    ('hoist, pump and lights', 'hoist', '')
    """
    every = list(dict.fromkeys(names))
    if len(every) < 2:
        return every[0] if every else ""
    head = every[0]
    for name in every[1:-1]:
        head = words("{before}, {name}", before=head, name=name)
    return words("{before} and {name}", before=head, name=every[-1])


def plural(one: str, many: str, /, count: int, **fields: object) -> Words:
    """Return a text that counts something, which each language does in its own way.

    >>> str(plural("{count} circuit", "{count} circuits", 1)), str(plural("{count} load", "{count} loads", 3))
    ('1 circuit', '3 loads')
    """
    return Words(one, {"count": count, **fields}, many)


def term(word: str) -> Words:
    """Return a word of the trade that stands in an enumeration or a table, as a text that can be translated.

    Names that a user gave are no terms: they stay as they are in every language.

    >>> term("relay").template
    'relay'
    """
    return Words(word.replace("{", "{{").replace("}", "}}"), {"word": word})


def joined(separator: str, texts: Iterable[str]) -> Words:
    """Return texts one after the other, each of which can still be translated; so can what stands between.

    >>> told = joined(", ", [words("{size} of copper", size="6 mm2"), "black"])
    >>> str(told), told.fields["text_0"].template
    ('6 mm2 of copper, black', '{size} of copper')
    """
    every = {f"text_{number}": text for number, text in enumerate(texts)}
    return Words("{between}".join(f"{{{name}}}" for name in every), {**every, "between": separator})
