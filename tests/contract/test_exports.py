"""The front door promises names: each is there, is listed once, and is typed where type checkers look."""

from __future__ import annotations

import ast
import inspect
import os
import subprocess
import sys
from pathlib import Path

import pytest

import groundstrap
from groundstrap import api

PROMISED = (
    "check",
    "explain",
    "new_job_text",
    "pin",
    "plan",
    "read_job",
    "tables",
    "vet",
)


@pytest.mark.parametrize("name", PROMISED)
def test_a_promised_name_is_offered(name: str) -> None:
    assert name in api.__all__


@pytest.mark.parametrize("name", api.__all__)
def test_every_name_that_is_listed_is_there_and_documented(name: str) -> None:
    assert inspect.getdoc(getattr(api, name))


def test_names_are_listed_once_and_in_order() -> None:
    assert list(api.__all__) == sorted(set(api.__all__), key=str)


def test_type_checkers_see_the_same_names() -> None:
    tree = ast.parse(Path(api.__file__).read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    seen = {
        (node.module, alias.name)
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    homes = {(home, name) for home, names in api._HOMES.items() for name in names}
    assert seen == homes
    assert {name for _, name in homes} == set(api.__all__)


def test_an_unknown_name_says_what_there_is() -> None:
    with pytest.raises(AttributeError, match="plan_text"):
        _ = api.paln


def test_what_is_wrong_with_a_call_is_said_without_numbers_and_yaml() -> None:
    source = Path(groundstrap.__file__).parents[1]
    script = (
        "import sys\n"
        "from groundstrap.cli import main\n"
        "try: main(['plan', '--jsn'])\n"
        "except SystemExit as done: print(done.code)\n"
        "print(*sys.modules)"
    )
    found = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(source)},
    )
    assert found.stdout.splitlines()[0] == "2"
    assert not {name.partition(".")[0] for name in found.stdout.split()} & {"numpy", "ruamel", "rich"}
