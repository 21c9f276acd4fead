"""A docstring is a contract with fixed parts: result with its unit, source, parameters, an example that runs.

The parts are those that CONTRIBUTING.md asks for. Formulas are held to all of them; other layers, whose
functions return named results with the unit in each name, to fewer.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from tests.contract.source_tree import Function, public_functions, source_files

UNIT = re.compile(r"\[[^\]\[]+\]")


def _formulas() -> Iterator[tuple[str, Function, str]]:
    for file in source_files():
        if file.layer == "physics":
            for node in public_functions(file):
                yield f"{file.name}:{node.lineno} {node.name}", node, ast.get_docstring(node) or ""


def _returns_a_number(node: Function) -> bool:
    """A number or an array of them; a named result carries its units in its own names."""
    return node.returns is not None and bool(
        re.search(r"\b(float|NDArray|Floats)\b", ast.unparse(node.returns))
    )


def test_every_module_says_what_lives_there() -> None:
    silent = [file.name for file in source_files() if not ast.get_docstring(file.tree)]
    assert not silent


def test_summary_is_one_line() -> None:
    long = [
        f"{file.name}:{node.lineno} {node.name}"
        for file in source_files()
        for node in public_functions(file)
        if len((ast.get_docstring(node) or "").split("\n\n")[0].splitlines()) != 1
    ]
    assert not long, f"no summary, or one of several lines: {long}"


def test_a_formula_gives_the_unit_of_its_result() -> None:
    without = [
        where
        for where, node, words in _formulas()
        if _returns_a_number(node) and not UNIT.search(words.split("\n\n")[0])
    ]
    assert not without, f"no [unit] in the first line: {without}"


def test_a_formula_names_its_source() -> None:
    without = [
        where for where, _, words in _formulas() if not re.search(r"^Sources?: \S", words, re.MULTILINE)
    ]
    assert not without, f"no line 'Source: ...': {without}"


def test_a_formula_speaks_of_each_parameter_and_its_unit() -> None:
    silent = []
    for where, node, words in _formulas():
        parts = re.split(r"\n(?=\S)", words)
        for argument in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
            told = [part for part in parts if re.match(rf"[^\n]*\b{argument.arg}\b", part)]
            number = argument.annotation is not None and "float" in ast.unparse(argument.annotation)
            callback = argument.annotation is not None and "Callable" in ast.unparse(argument.annotation)
            if not told or (number and not callback and not any(UNIT.search(part) for part in told)):
                silent.append(f"{where}({argument.arg})")
    assert not silent, f"parameters without a word or without a [unit]: {silent}"


def _offered_by_units() -> set[str]:
    """What groundstrap.units offers to the other packages; its inner modules have helpers beside that."""
    for file in source_files():
        if file.name in {"units.py", "units/__init__.py"}:
            return {
                alias.asname or alias.name
                for node in file.tree.body
                if isinstance(node, ast.ImportFrom)
                for alias in node.names
            } | {node.name for node in public_functions(file)}
    return set()


def test_formulas_and_units_show_a_worked_example() -> None:
    offered = _offered_by_units()
    without = [
        f"{file.name}:{node.lineno} {node.name}"
        for file in source_files()
        for node in public_functions(file)
        if (file.layer == "physics" or (file.layer == "units" and node.name in offered))
        and ">>> " not in (ast.get_docstring(node) or "")
    ]
    assert not without, f"no example that runs: {without}"
