"""Entries kept from one text to the next: the tree is that of the parser, which reads only what is new."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundstrap.job.blocks import Blocks
from groundstrap.job.tree import Parsed, parse_tree

EXAMPLES = sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))
LINES = (
    "zones:", "loads:  # of the bed", "title: a b", "about: {a: 1, b: [c, d]}", "empty:", '"quoted": x',
    "  lamp: {kind: led, at: bed}", "  fan: {kind: fan}  # new", "  lamp: 3 W", "  pump:", "    kind: pump",
    "    duty: {run: 3 min,", "    every: 15 min}", "  note: 'open", "  closed: here'", '  x: "a', '  y: b"',
    "  open: [a,", "  shut: b]", "  - {from: a, to: b}", "- c", "    more words", "  text: |", "    # a text",
    "      deeper", "---", "...", "%YAML 1.2", "", "# apart", "    # within", "\tz: 1", "  a: *b", "  <<: c",
    "  anchor: &a 1", "one more: x: y", "   odd: 1", "  ? k", "  : v", "  two: x\u2028  y: z", "e: 'f'\r",
)  # fmt: skip
"""Lines that are plain, and lines that mean another thing by what stands before or behind them."""

KEPT = Blocks(parse_tree)


@settings(max_examples=600, deadline=None)
@given(st.lists(st.sampled_from(LINES), min_size=1, max_size=12), st.sampled_from(("\n", "")))
def test_any_order_of_lines_gives_the_tree_of_the_parser(lines: list[str], last: str) -> None:
    text = "\n".join(lines) + last
    assert KEPT.read(text) == parse_tree(text)
    assert KEPT.read(text) == parse_tree(text)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_only_what_is_new_is_parsed(path: Path) -> None:
    parsed: list[str] = []

    def parse(text: str) -> Parsed:
        parsed.append(text)
        return parse_tree(text)

    blocks, text = Blocks(parse), path.read_text(encoding="utf-8")
    changed = text.replace("circuits:\n", "circuits:\n  one more: {path: [battery, fuse, lamp]}\n")
    assert blocks.read(text) == parse_tree(text)
    assert blocks.read(text) == parse_tree(text)
    assert blocks.read(changed) == parse_tree(changed)
    assert parsed[0] == text
    assert "one more" in parsed[1]
    assert len(parsed) == 2
    assert len(parsed[1]) < 100


def test_a_key_that_stands_twice_is_told_with_its_line() -> None:
    blocks = Blocks(parse_tree)
    blocks.read("title: a\nsystem: 12 V\n")
    assert [trouble.line for trouble in blocks.read("title: a\nsystem: 12 V\ntitle: a\n").troubles] == [3]
