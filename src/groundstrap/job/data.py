"""What a job file holds, without its places: made from its nodes, changed, and compared."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from groundstrap.job.tree import Node, ScalarNode, SequenceNode

__all__ = [
    "Data",
    "Value",
    "as_data",
    "is_number",
    "plain_data",
    "reordered",
    "same",
    "tidied",
    "with_entry",
    "with_item",
    "with_value",
    "without",
]

Value = str | Mapping[str, "Value"] | Sequence["Value"]
"""What an edit puts into a file: a text, a map or a list of such."""
Data = str | dict[str, "Data"] | list["Data"]
"""What stands in a file, without its places."""


_MOST_DIGITS = 7


def is_number(key: str) -> bool:
    """Whether a key of a path may be the number of an item.

    >>> is_number("12"), is_number("²"), is_number("-1")
    (True, False, False)
    """
    return key.isascii() and key.isdigit() and len(key) < _MOST_DIGITS


def tidied(text: str) -> str:
    """Return a text as the reader of a job sees it: single spaces, none at the ends."""
    return " ".join(text.split())


def plain_data(node: Node) -> Data:
    """Return what a node holds."""
    if isinstance(node, ScalarNode):
        return node.text
    if isinstance(node, SequenceNode):
        return [plain_data(item) for item in node.items]
    return {entry.key.text: plain_data(entry.value) for entry in node.entries}


def as_data(value: Value | None) -> Data | None:
    """Return a value as it will be read back: texts in single spaces."""
    if value is None:
        return None
    if isinstance(value, str):
        return tidied(value)
    if hasattr(value, "items"):
        return {tidied(str(key)): as_data(each) or "" for key, each in value.items()}
    return [as_data(each) or "" for each in value]


def _walk(data: Data, path: Sequence[str]) -> Data:
    for key in path:
        if isinstance(data, dict):
            data = data[key] if key in data else next(v for k, v in data.items() if tidied(k) == key)
        else:
            assert isinstance(data, list)
            data = data[int(key)]
    return data


def with_value(data: Data, path: Sequence[str], value: Data) -> Data:
    """Return what a file holds with another value at a path."""
    if not path:
        return value
    parent = _walk(data, path[:-1])
    if isinstance(parent, dict):
        key = path[-1] if path[-1] in parent else next(k for k in parent if tidied(k) == path[-1])
        parent[key] = value
    elif isinstance(parent, list):
        parent[int(path[-1])] = value
    return data


def with_entry(data: Data, path: Sequence[str], key: str, value: Data, at: int) -> Data:
    """Return it with one more entry in the map at a path."""
    parent = _walk(data, path)
    assert isinstance(parent, dict)
    entries = list(parent.items())
    parent.clear()
    parent.update([*entries[:at], (key, value), *entries[at:]])
    return data


def with_item(data: Data, path: Sequence[str], at: int, value: Data) -> Data:
    """Return it with one more item in the list at a path."""
    parent = _walk(data, path)
    assert isinstance(parent, list)
    parent.insert(at, value)
    return data


def without(data: Data, path: Sequence[str]) -> Data:
    """Return it without what stands at a path."""
    parent = _walk(data, path[:-1])
    if isinstance(parent, dict):
        del parent[next(key for key in parent if tidied(key) == path[-1])]
    elif isinstance(parent, list):
        del parent[int(path[-1])]
    return data


def reordered(data: Data, path: Sequence[str], here: int, there: int) -> Data:
    """Return it with an entry or item of a map or list at another place among the others."""
    parent = _walk(data, path)
    at = there - 1 if there > here else there
    if isinstance(parent, dict):
        entries = list(parent.items())
        entries.insert(at, entries.pop(here))
        parent.clear()
        parent.update(entries)
    elif isinstance(parent, list):
        parent.insert(at, parent.pop(here))
    return data


def same(one: Data, other: Data) -> bool:
    """Whether two trees are the same, the order of their entries included."""
    if isinstance(one, dict) and isinstance(other, dict):
        return list(one) == list(other) and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    return one == other
