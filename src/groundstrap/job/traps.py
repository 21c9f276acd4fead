"""YAML's own traps, named as such: what would be lost in silence, and what its parser only grumbles at."""

from __future__ import annotations

import re
from bisect import bisect_right
from typing import Final

from groundstrap.errors import CannotDoError, Fault
from groundstrap.job.blocks import Blocks
from groundstrap.job.faults import Faults
from groundstrap.job.patches import quoted
from groundstrap.job.tree import (
    LONGEST_TEXT,
    MapNode,
    Node,
    Parsed,
    ScalarNode,
    SequenceNode,
    Trouble,
    parse_tree,
    scalars_of,
)
from groundstrap.records import dataclass

__all__ = ["read_tree", "whole_tree"]

_MOST_REPAIRS: Final = 30
_BLOCKS: Final = Blocks(parse_tree)
_LONGEST_MENDED: Final = 50_000
"""Each mend reads the text again; a long one is read twice at most."""

_COMMENT: Final = re.compile(r"(?:^|(?<=\s))#+(?=[^\s#])")


def read_tree(text: str, faults: Faults) -> Node | None:
    """Read the text to a tree and tell what is wrong with it; None where it could not be read to its end.

    After some faults the text is mended in memory, at the same length, only to go on and find the others.
    """
    if len(text) > LONGEST_TEXT or len(text.encode("utf-8", "replace")) > LONGEST_TEXT:
        _tell(faults, Trouble(0, 0, "", "the text is too large", f"at most {LONGEST_TEXT} bytes"))
        return None
    parsed = _BLOCKS.read(text)
    mended = text
    told: list[Trouble] = []
    for _ in range(_MOST_REPAIRS if len(text) < _LONGEST_MENDED else 1):
        mend = None if parsed.complete else _mend(mended, parsed)
        if mend is None:
            break
        told.append(mend.trouble)
        mended = mend.text
        parsed = parse_tree(mended)
    for trouble in told:
        _tell(faults, trouble, ".".join(_key_at(parsed.root, trouble.index) or ()))
    for trouble in parsed.troubles:
        _tell(faults, _in_plain_words(trouble, mended))
    _comments(text, parsed, faults)
    return parsed.root if parsed.complete else None


def whole_tree(text: str, file: str = "-") -> Node:
    """Return the tree of a text that is read to its end as it stands, whatever its keys may say.

    Any other is refused with the line where it can't be read.
    """
    faults = Faults(file, text)
    if len(text) <= LONGEST_TEXT:
        parsed = _BLOCKS.read(text)
        if parsed.complete:
            return ScalarNode("", len(text), len(text), 1, 1) if parsed.root is None else parsed.root
    read_tree(text, faults)
    faults.check()
    raise CannotDoError("the text can't be read to its end", next_step="write it by hand")


@dataclass(frozen=True, slots=True)
class _Mend:
    text: str
    trouble: Trouble


def _mend(text: str, parsed: Parsed) -> _Mend | None:
    """Mend the last trouble where it is known how, without moving anything in the text."""
    if not parsed.troubles:
        return None
    trouble = parsed.troubles[-1]
    at = trouble.index
    if "mapping values are not allowed" in trouble.reason and text[at : at + 1] == ":":
        return _Mend(text[:at] + "." + text[at + 1 :], _colon(text, trouble))
    if "'\\t'" in trouble.reason and text[at : at + 1] == "\t":
        told = Trouble(trouble.line, trouble.column, "a tab", "YAML indents with spaces", "spaces", None, at)
        return _Mend(text[:at] + " " + text[at + 1 :], told)
    if "cannot start any token" in trouble.reason and text[at : at + 1] in set("@`%"):
        return _Mend(text[:at] + "x" + text[at + 1 :], _odd_start(text, trouble))
    return None


def _line_of(text: str, index: int) -> tuple[int, str]:
    start = text.rfind("\n", 0, index) + 1
    end = text.find("\n", index)
    return start, text[start : end if end >= 0 else len(text)].rstrip("\r")


def _colon(text: str, trouble: Trouble) -> Trouble:
    start, line = _line_of(text, trouble.index)
    key, _, rest = line.partition(": ")
    value = rest.strip()
    nearest = f"{key.strip()}: {quoted(value)}" if value and "'" not in value else None
    reason = "a colon and a space in a text without quotes"
    at = start + len(key) + 2
    return Trouble(trouble.line, len(key) + 3, value, reason, "quotes around the text", nearest, at)


def _odd_start(text: str, trouble: Trouble) -> Trouble:
    _, line = _line_of(text, trouble.index)
    value = line[trouble.column - 1 :].strip()
    reason = f"a text without quotes can't begin with {text[trouble.index]}"
    nearest = quoted(value)
    return Trouble(trouble.line, trouble.column, value, reason, "quotes around it", nearest, trouble.index)


def _in_plain_words(trouble: Trouble, text: str) -> Trouble:
    """Say what the parser of the library says in words that help whoever wrote the file."""
    for pattern, reason, wanted in _PLAIN_WORDS:
        if re.search(pattern, trouble.reason):
            found = trouble.found or _line_of(text, trouble.index)[1].strip()
            return Trouble(trouble.line, trouble.column, found, reason, wanted, trouble.nearest)
    return trouble


_PLAIN_WORDS: Final = (
    (r"special characters are not allowed", "a character that no text may hold", "plain text in UTF-8"),
    (r"got '<stream end>'", "a bracket or brace is still open at the end", "its ] or }"),
    (r"expected ',' or", "something is missing between two entries, or a bracket or brace is not closed",
     "a comma between entries, ] at the end of a list, } at the end of a map"),
    (r"unexpected end of stream", "a quote is still open at the end", "its second quote mark"),
    (r"could not find expected ':'|expected <block end>|expected the node content|did not find expected",
     "the text is no list and no map here", "`key: value`, at the same depth as its neighbours"),
    (r"escape sequence|unknown escape|too large to convert", "a backslash in double quotes",
     "single quotes, in which a backslash is a backslash"),
)  # fmt: skip


def _tell(faults: Faults, trouble: Trouble, key: str = "") -> None:
    faults.add(
        Fault(
            file=faults.file,
            line=trouble.line,
            column=trouble.column,
            key=key,
            found=trouble.found,
            wanted=trouble.wanted,
            nearest=trouble.nearest,
            reason=trouble.reason,
        )
    )


def _comments(text: str, parsed: Parsed, faults: Faults) -> None:
    """Refuse a comment without a space after its `#`: `title: Van #2` would be read as `Van`."""
    if "#" not in text:
        return
    scalars = list(scalars_of(parsed.root)) if parsed.root is not None else list(parsed.scalars)
    scalars = sorted((s for s in scalars if s.end > s.start), key=lambda scalar: scalar.start)
    starts = [scalar.start for scalar in scalars]
    reached = len(text) if parsed.complete else max((scalar.end for scalar in scalars), default=0)
    for match in _COMMENT.finditer(text):
        place = bisect_right(starts, match.start()) - 1
        before = scalars[place] if place >= 0 else None
        if match.start() >= reached or (before is not None and match.start() < before.end):
            continue
        _comment_fault(text, match.start(), before, parsed, faults)


def _comment_fault(text: str, index: int, before: ScalarNode | None, parsed: Parsed, faults: Faults) -> None:
    start, line = _line_of(text, index)
    tail = line[index - start :]
    key = ""
    reason, wanted = "a comment without a space after its #", "a space after #"
    nearest = f"# {tail.lstrip('#')}"
    if before is not None and before.end > start:
        reason = "a comment begins here, and the text before it loses its tail"
        wanted = "quotes around the text; a comment has a space after its #"
        nearest = quoted(f"{before.text} {tail}")
        key = ".".join(_key_at(parsed.root, before.start) or ())
    line_number = text.count("\n", 0, index) + 1
    _tell(faults, Trouble(line_number, index - start + 1, tail, reason, wanted, nearest), key)


def _key_at(node: Node | None, index: int) -> tuple[str, ...] | None:
    """Return the path of keys to the text at a position."""
    if isinstance(node, ScalarNode):
        return () if node.start <= index < max(node.end, node.start + 1) else None
    if isinstance(node, MapNode):
        for entry in node.entries:
            found = _key_at(entry.key, index)
            found = _key_at(entry.value, index) if found is None else found
            if found is not None:
                return (entry.key.text, *found)
    elif isinstance(node, SequenceNode):
        for number, item in enumerate(node.items):
            found = _key_at(item, index)
            if found is not None:
                return (str(number), *found)
    return None
