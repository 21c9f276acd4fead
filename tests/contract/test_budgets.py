"""Small on purpose: the sizes that CONTRIBUTING.md allows, and habits that it forbids."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from tests.contract.source_tree import (
    PACKAGE,
    SourceFile,
    functions,
    lines_without_docstring,
    public_functions,
    source_files,
)

MODULE_LINES = 500
FUNCTION_LINES = 40
POSITIONAL_ARGUMENTS = 6
# A plain word says neither what is measured nor in which unit: length_m, ambient_c, drop_v do.
UNITLESS = {
    "ampacity",
    "ambient",
    "area",
    "current",
    "diameter",
    "drop",
    "duration",
    "energy",
    "length",
    "power",
    "resistance",
    "temp",
    "temperature",
    "time",
    "torque",
    "voltage",
}
# Only these may look up their own package late, and only to keep `--help` quick.
LATE_IMPORTS_ALLOWED_IN = {"cli"}


def test_there_is_source_to_look_at() -> None:
    assert source_files(), f"no module found under {PACKAGE.name}"


def test_modules_are_at_most_500_lines() -> None:
    long = {file.name: lines for file in source_files() if (lines := file.text.count("\n")) > MODULE_LINES}
    assert not long, f"longer than {MODULE_LINES} lines: {long}"


def test_functions_are_at_most_40_lines_without_docstring() -> None:
    long = [
        f"{file.name}:{node.lineno} {node.name} {lines}"
        for file in source_files()
        for node in functions(file)
        if (lines := lines_without_docstring(node)) > FUNCTION_LINES
    ]
    assert not long, f"longer than {FUNCTION_LINES} lines: {long}"


def test_at_most_six_positional_arguments() -> None:
    wide = [
        f"{file.name}:{node.lineno} {node.name}"
        for file in source_files()
        for node in functions(file)
        if len([a for a in (*node.args.posonlyargs, *node.args.args) if a.arg not in {"self", "cls"}])
        > POSITIONAL_ARGUMENTS
    ]
    assert not wide, f"more than {POSITIONAL_ARGUMENTS} positional arguments: {wide}"


def _named_floats(file: SourceFile) -> Iterator[tuple[int, str]]:
    """Arguments and dataclass fields that hold a float: line and name."""
    for node in file.nodes:
        if isinstance(node, ast.arg) and node.annotation is not None:
            if "float" in ast.unparse(node.annotation):
                yield node.lineno, node.arg
        elif (
            isinstance(node, ast.AnnAssign)
            and isinstance(node.target, ast.Name)
            and "float" in ast.unparse(node.annotation)
        ):
            yield node.lineno, node.target.id


def test_a_number_carries_its_unit_in_its_name() -> None:
    bare = [
        f"{file.name}:{line} {name}"
        for file in source_files()
        for line, name in _named_floats(file)
        if name in UNITLESS
    ]
    assert not bare, f"names without a unit: {bare}"


def _is_bare_pair(annotation: ast.expr) -> bool:
    """True for `tuple[A, B]` and `dict[...]`; `tuple[A, ...]` is a sequence and fine."""
    if not isinstance(annotation, ast.Subscript) or not isinstance(annotation.value, ast.Name):
        return False
    if annotation.value.id == "dict":
        return True
    elements = annotation.slice
    return (
        annotation.value.id == "tuple"
        and isinstance(elements, ast.Tuple)
        and not (isinstance(elements.elts[-1], ast.Constant) and elements.elts[-1].value is Ellipsis)
    )


def test_public_functions_return_named_results() -> None:
    # `report` is where results turn into the dicts of JSON; there a dict is the result itself.
    bare = [
        f"{file.name}:{node.lineno} {node.name} -> {ast.unparse(node.returns)}"
        for file in source_files()
        if file.layer != "report"
        for node in public_functions(file)
        if node.returns is not None and _is_bare_pair(node.returns)
    ]
    assert not bare, f"bare tuples or dicts as results: {bare}"


def _is_own(node: ast.AST) -> bool:
    if isinstance(node, ast.ImportFrom):
        names = [node.module or ""]
    elif isinstance(node, ast.Import):
        names = [alias.name for alias in node.names]
    else:
        return False
    return any(name.split(".")[0] == "groundstrap" for name in names)


def _late_imports(file: SourceFile) -> Iterator[int]:
    """Lines of own imports inside functions; a module that indents none has none."""
    if any(_is_own(node) and node.col_offset for node in file.nodes if isinstance(node, ast.stmt)):
        for function in functions(file):
            yield from (
                node.lineno for node in ast.walk(function) if isinstance(node, ast.stmt) and _is_own(node)
            )


def test_no_import_inside_a_function_to_dodge_a_cycle() -> None:
    late = [
        f"{file.name}:{line}"
        for file in source_files()
        if file.layer not in LATE_IMPORTS_ALLOWED_IN
        for line in _late_imports(file)
    ]
    assert not late, f"imports of our own inside functions: {late}"


def test_no_star_import_and_no_import_of_the_package_root() -> None:
    bad = [
        f"{file.name}:{node.lineno}"
        for file in source_files()
        for node in file.nodes
        if isinstance(node, ast.ImportFrom)
        and (
            any(alias.name == "*" for alias in node.names)
            or (node.module == "groundstrap" and _imports_more_than_modules(node))
        )
    ]
    assert not bad, f"star imports or imports from the root: {bad}"


def _imports_more_than_modules(node: ast.ImportFrom) -> bool:
    """`from groundstrap import physics` names a module; anything else but the version leans on the root."""
    allowed = {file.layer for file in source_files()} | {"__version__"}
    return any(alias.name not in allowed for alias in node.names)


# Whoever answers for others has to go on: what nobody foresaw is logged there and told as a failure of ours.
OUTERMOST = {"web/app.py", "web/workers.py"}


def test_no_catch_all_outside_the_command_line() -> None:
    caught = [
        f"{file.name}:{node.lineno}"
        for file in source_files()
        if file.layer != "cli" and file.name not in OUTERMOST
        for node in file.nodes
        if isinstance(node, ast.ExceptHandler)
        and (node.type is None or ast.unparse(node.type) in {"Exception", "BaseException"})
    ]
    assert not caught, f"catch-all handlers: {caught}"


def test_no_unfinished_marks() -> None:
    mark = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b")
    left = [
        f"{file.name}:{number}"
        for file in source_files()
        for number, line in enumerate(file.text.splitlines(), 1)
        if mark.search(line)
    ]
    assert not left, f"unfinished marks: {left}"
