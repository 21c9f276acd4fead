"""The files that a job names, found in the folder that the job file lies in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from groundstrap.errors import CallError
from groundstrap.job import decode_job
from groundstrap.job.tree import LONGEST_TEXT, MapNode, Node, ScalarNode, SequenceNode, parse_tree
from groundstrap.shelf.given import is_file_name
from groundstrap.words import words

__all__ = ["files_beside", "names_beside"]


def names_beside(text: str) -> tuple[str, ...]:
    r"""Return the names of the files that a job names: its stock, and makers' curves.

    >>> names_beside("stock: shelf.csv\ngear: {main fuse: {kind: fuse, curve: main.csv}}\n")
    ('shelf.csv', 'main.csv')
    """
    root = parse_tree(text).root
    return tuple(dict.fromkeys(name for name in _named(root, "") if is_file_name(name)))


def _named(node: Node | None, key: str) -> Iterator[str]:
    if isinstance(node, MapNode):
        for entry in node.entries:
            yield from _named(entry.value, entry.key.text)
    elif isinstance(node, SequenceNode):
        for item in node.items:
            yield from _named(item, "")
    elif isinstance(node, ScalarNode) and key in {"stock", "curve"}:
        yield node.text


def files_beside(text: str, folder: Path) -> Mapping[str, str]:
    """Return what a job names and its folder has, by name; what is not there, a plan will ask for.

    Parameters
    ----------
    text : str
        The job.
    folder : Path
        The folder that it lies in.
    """
    found = {}
    for name in names_beside(text):
        path = folder / name
        if path.is_file():
            try:
                with path.open("rb") as opened:
                    found[name] = decode_job(opened.read(LONGEST_TEXT + 1), str(path))
            except OSError as error:
                why = (error.strerror or str(error)).lower()
                reason = words("can't read {path}: {why}", path=path, why=why)
                raise CallError(reason, wanted=words("a file that may be read")) from error
    return found
