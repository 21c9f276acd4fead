"""Job files in both manners of writing, with comments everywhere, and what stands in them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from groundstrap.job.tree import Node, ScalarNode, SequenceNode, parse_tree, scalars_of
from tests.support.jobs import SAMPLES

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def held(text: str) -> Any:
    """What a text holds, as plain lists, maps and texts."""
    parsed = parse_tree(text)
    assert parsed.complete
    return _held(parsed.root) if parsed.root is not None else {}


def _held(node: Node) -> Any:
    if isinstance(node, ScalarNode):
        return node.text
    if isinstance(node, SequenceNode):
        return [_held(item) for item in node.items]
    return {entry.key.text: _held(entry.value) for entry in node.entries}


def comments_of(text: str) -> list[str]:
    """Every comment of a text, in order."""
    parsed = parse_tree(text)
    inside = [(s.start, s.end) for s in (scalars_of(parsed.root) if parsed.root is not None else ())]
    found = []
    at = 0
    while (at := text.find("#", at)) >= 0:
        free = not any(start <= at < end for start, end in inside)
        end = text.find("\n", at)
        end = len(text) if end < 0 else end
        if free and (at == 0 or text[at - 1] in " \n\t"):
            found.append(text[at:end].rstrip("\r"))
            at = end
        else:
            at += 1
    return found


def in_lines(data: Any, depth: int = 0, counted: list[int] | None = None) -> str:
    """A job written in lines instead of braces, a comment behind or above every third line."""
    counted = [0] if counted is None else counted
    lines: list[str] = []
    indent = "  " * depth
    for key, value in data.items():
        counted[0] += 1
        name = _plain(key)
        if counted[0] % 3 == 0:
            lines.append(f"{indent}# above {counted[0]}")
        tail = f"  # behind {counted[0]}" if counted[0] % 4 == 0 else ""
        if isinstance(value, dict) and value and depth < 3:
            lines += [f"{indent}{name}:{tail}", in_lines(value, depth + 1, counted).rstrip("\n")]
        elif isinstance(value, list) and value and depth < 3:
            lines.append(f"{indent}{name}:{tail}")
            for item in value:
                counted[0] += 1
                lines.append(f"{indent}  - {_item(item, indent + '    ')}")
                if counted[0] % 5 == 0:
                    lines.append(f"{indent}  # between {counted[0]}")
        else:
            lines.append(f"{indent}{name}: {_braced(value)}{tail}")
    return "\n".join(lines) + "\n"


def _item(item: Any, indent: str) -> str:
    if isinstance(item, dict) and len(item) > 1 and "" not in item.values():
        return f"\n{indent}".join(f"{_plain(key)}: {_braced(value)}" for key, value in item.items())
    return _braced(item)


def _braced(value: Any) -> str:
    if isinstance(value, dict):
        return (
            "{"
            + ", ".join(f"{_plain(k)}: {_braced(v)}" if v != "" else _plain(k) for k, v in value.items())
            + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(_braced(item) for item in value) + "]"
    return _plain(str(value))


def _plain(text: str) -> str:
    safe = text and not set(text) & set("#,:[]{}'\"&*!|>%@`") and text[0] not in "-? "
    return text if safe else "'" + text.replace("'", "''") + "'"


def entries(data: Any, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """The path of everything that a job holds, the root left out."""
    found: list[tuple[str, ...]] = []
    pairs = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in pairs:
        found += [(*path, str(key)), *entries(value, (*path, str(key)))]
    return found


def at(data: Any, path: tuple[str, ...]) -> Any:
    """What stands at a path."""
    for key in path:
        data = data[int(key)] if isinstance(data, list) else data[key]
    return data


_FILES = (*sorted(SAMPLES.glob("*.job.yaml")), *sorted(EXAMPLES.glob("*.job.yaml")))
WRITTEN = [path.read_text(encoding="utf-8") for path in _FILES]
TEXTS = [*WRITTEN, *(in_lines(held(text)) for text in WRITTEN)]
TEXTS += [text.replace("\n", "\r\n") for text in TEXTS[::6]] + [text.rstrip("\n") for text in TEXTS[1::7]]
