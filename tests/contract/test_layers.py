"""The import contracts of pyproject.toml hold. The picture they follow is in docs/architecture.md."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

TOP_TO_BOTTOM = (
    "cli",
    "api",
    "report",
    "design",
    "checks",
    "assess",
    "vet",
    "solve | job",
    "model",
    "tables | physics",
    "sources",
    "units",
    "errors",
)


def contracts(repository: Path) -> dict[str, dict[str, Any]]:
    project = tomllib.loads((repository / "pyproject.toml").read_text(encoding="utf-8"))
    return {contract["id"]: contract for contract in project["tool"]["importlinter"]["contracts"]}


def test_import_contracts_are_kept(repository: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(repository)
    status = lint_imports(config_filename="pyproject.toml", no_cache=True, no_logo=True)
    assert status == EXIT_STATUS_SUCCESS, "an import goes up or sideways: the report above says which"


def test_layers_are_exhaustive_and_in_the_order_of_the_picture(repository: Path) -> None:
    layers = contracts(repository)["layers"]
    assert layers["exhaustive"] is True
    assert tuple(line.replace("(", "").replace(")", "") for line in layers["layers"]) == TOP_TO_BOTTOM


def test_every_package_has_its_line_in_architecture(repository: Path) -> None:
    page = (repository / "docs" / "architecture.md").read_text(encoding="utf-8")
    names = [name for line in TOP_TO_BOTTOM for name in line.split(" | ")]
    missing = [name for name in names if f"`{name}" not in page]
    assert not missing, f"docs/architecture.md does not speak of {missing}"
