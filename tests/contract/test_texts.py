"""Every text that people read can be said in every language that there is, with the same fields in it."""

from __future__ import annotations

import string

import pytest
from babel.messages.catalog import Message

from tests.support.catalogue import compiled, kept, languages, po_path, template

NEXT = "run `make texts`, translate what is new in the .po file, and run it again"


def fields(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def english(message: Message) -> str:
    """The English of a message, of one that counts that for many."""
    return str(message.id[-1]) if isinstance(message.id, tuple) else str(message.id)


def said(message: Message) -> tuple[str, ...]:
    """What a message is in the other language, an empty text where that is missing."""
    string = message.string
    return tuple(each or "" for each in string) if isinstance(string, tuple | list) else (string or "",)


@pytest.fixture(scope="module")
def every() -> set[object]:
    return {message.id for message in template() if message.id}


@pytest.mark.parametrize("code", languages())
class TestLanguage:
    def test_it_has_every_text_and_no_other(self, code: str, every: set[object]) -> None:
        there = {message.id for message in kept(code) if message.id}
        assert there == every, NEXT

    def test_nothing_is_left_untranslated_or_guessed(self, code: str) -> None:
        left = [message.id for message in kept(code) if message.id and (message.fuzzy or "" in said(message))]
        assert not left, NEXT

    def test_fields_are_those_of_the_english(self, code: str) -> None:
        for message in kept(code):
            for text in said(message) if message.id else ():
                assert fields(text) == fields(english(message)), text

    def test_spaces_at_the_ends_are_kept(self, code: str) -> None:
        for message in kept(code):
            one = english(message)
            for text in said(message) if message.id else ():
                assert one[:1].isspace() == text[:1].isspace(), one
                assert one[-1:].isspace() == text[-1:].isspace(), one

    def test_what_the_program_reads_is_what_stands_there(self, code: str) -> None:
        assert po_path(code).with_suffix(".mo").read_bytes() == compiled(kept(code)), NEXT
