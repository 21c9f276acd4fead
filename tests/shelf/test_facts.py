"""What the list and a search know of a text is the same, be it read in sections or as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundstrap.shelf.facts import _read, facts_of, folded
from tests.shelf.test_merging import EXAMPLES, jobs, text_of


def words_of(text: str) -> set[str]:
    return set(facts_of(text).words.split("\n")) - {""}


def as_a_whole(text: str) -> set[str]:
    return set(folded("\n".join(_read(text).words)).split("\n")) - {""}


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_has_the_words_that_people_look_for(name: str, repository: Path) -> None:
    text = (repository / "examples" / f"{name}.job.yaml").read_text(encoding="utf-8")
    assert words_of(text) == as_a_whole(text)
    assert not {"loads", "claims", "power", "kind"} & words_of(text)


@given(jobs, st.integers(1, 4))
def test_sections_say_what_the_whole_says(job: object, braced: int) -> None:
    text = text_of(job, braced)
    assert words_of(text) == as_a_whole(text)


@pytest.mark.parametrize(
    ("text", "title", "vehicle", "word"),
    [
        ("# Ada's\ntitle: 'Bed light'\nabout:\n  vehicle: van # red\n", "Bed light", "van", "red"),
        # Braces and quotes that go on in the first column.
        ("title: Bed\nabout: {\nvehicle: van\n}\n", "Bed", "van", "van"),
        ('title: "Bed\nlight: x"\n', "Bed light: x", "", "light: x"),
        ("\ufefftitle: Bed\r\nabout: {vehicle: van}\r\n", "Bed", "van", "bed"),
        ("---\ntitle: Bed\n", "Bed", "", "bed"),
        ("title: Bed\nloads: [", "Bed", "", "loads"),
        ("# only words\n", "", "", "only words"),
        ("", "", "", ""),
        ("- a\n- b\n", "", "", "a"),
        ("title: {a: b}\n", "{a: b}", "", "b"),
        ("title: " + "x" * 300 + "\n", "x" * 199 + "…", "", "xxx"),
    ],
)
def test_a_text_is_read_as_far_as_it_goes(text: str, title: str, vehicle: str, word: str) -> None:
    found = facts_of(text)
    assert (found.title, found.vehicle) == (title, vehicle)
    assert word in found.words
