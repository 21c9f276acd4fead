"""The package's own source as syntax trees, read once for the contract tests."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "groundstrap"
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceFile:
    """One module: where it is, its lines, its tree, and every node of the tree, walked through once."""

    name: str
    text: str
    tree: ast.Module
    nodes: tuple[ast.AST, ...]

    @property
    def layer(self) -> str:
        """The package directly under groundstrap that the module belongs to."""
        return self.name.split("/")[0].removesuffix(".py")


@cache
def source_files() -> tuple[SourceFile, ...]:
    """Every module of the package, in the order of their paths."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        name = path.relative_to(PACKAGE).as_posix()
        tree = ast.parse(text, filename=name)
        found.append(SourceFile(name=name, text=text, tree=tree, nodes=tuple(ast.walk(tree))))
    return tuple(found)


def functions(file: SourceFile) -> Iterator[Function]:
    """Every function and method of a module, nested ones too."""
    for node in file.nodes:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def imports(file: SourceFile) -> Iterator[str]:
    """Full names of what is imported anywhere in a module, inside functions too."""
    for node in file.nodes:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def public_functions(module: SourceFile) -> Iterator[Function]:
    """Functions at the top of a module whose names are public, in modules whose names are."""
    if any(part.startswith("_") and part != "__init__.py" for part in module.name.split("/")):
        return
    for node in module.tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
            yield node


def lines_without_docstring(node: Function) -> int:
    """Length of a function from its `def` to its end, its docstring left out."""
    assert node.end_lineno is not None
    length = node.end_lineno - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node, clean=False) is not None:
        assert first.end_lineno is not None
        length -= first.end_lineno - first.lineno + 1
    return length


def committed_files() -> tuple[Path, ...]:
    """Every file that is, or is about to be, in the repository; needs a checkout, not an unpacked archive."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    ).stdout.decode()
    return tuple(path for name in listed.split("\0") if name and (path := ROOT / name).is_file())
