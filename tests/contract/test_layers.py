"""The import contracts of pyproject.toml hold. The picture they follow is in docs/architecture.md."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

from tests.contract.source_tree import imports, source_files

TOP_TO_BOTTOM = (
    "cli",
    "web",
    "api",
    "screen",
    "pack",
    "draw",
    "report | shelf",
    "design",
    "checks",
    "endure | locate",
    "assess",
    "vet",
    "solve | job",
    "model",
    "tables | physics",
    "sources",
    "units",
    "errors | words",
    "records",
)

FRONT_ENDS_MAY_SEE = {"__version__", "api", "cli", "errors", "records", "web", "words"}
# Where a library may be imported. What is not here is free.
HOMES = {
    "alembic": {"shelf"},
    "click": {"cli"},
    "numba": {"solve"},
    "rich": {"cli", "report"},
    "ruamel": {"job"},
    "sqlalchemy": {"shelf"},
}


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
    # The module that `python -m` runs calls the command line and is no layer of its own.
    door, *lines = (line.replace("(", "").replace(")", "") for line in layers["layers"])
    assert door == "__main__"
    assert tuple(lines) == TOP_TO_BOTTOM


def test_front_ends_see_only_the_front_door() -> None:
    beyond = [
        f"{file.name}: {name}"
        for file in source_files()
        if file.layer in {"cli", "web"}
        for name in imports(file)
        if name.startswith("groundstrap.") and name.split(".")[1] not in FRONT_ENDS_MAY_SEE
    ]
    assert not beyond, f"a front end reaches past groundstrap.api: {beyond}"


def test_the_front_door_is_a_contract_of_the_build_too(repository: Path) -> None:
    names = {name for line in TOP_TO_BOTTOM for name in line.split(" | ")}
    missing = names - {file.layer for file in source_files()}
    if missing:
        pytest.skip(f"import-linter wants every module that a contract names; not there: {sorted(missing)}")
    found = contracts(repository)
    for name, source in (("front-door", "cli"), ("page-front-door", "web")):
        assert found[name]["source_modules"] == [f"groundstrap.{source}"]
        assert set(found[name]["forbidden_modules"]) == {
            f"groundstrap.{name}" for name in names - FRONT_ENDS_MAY_SEE
        }


@pytest.mark.parametrize(("library", "layers"), HOMES.items())
def test_a_library_stays_in_the_layer_that_it_serves(library: str, layers: set[str]) -> None:
    strays = [
        f"{file.name}: {name}"
        for file in source_files()
        if file.layer not in layers
        for name in imports(file)
        if name.split(".")[0] == library
    ]
    assert not strays, f"{library} outside of {sorted(layers)}: {strays}"


def test_every_package_has_its_line_in_architecture(repository: Path) -> None:
    page = (repository / "docs" / "architecture.md").read_text(encoding="utf-8")
    names = [name for line in TOP_TO_BOTTOM for name in line.split(" | ")]
    missing = [name for name in names if f"`{name}" not in page]
    assert not missing, f"docs/architecture.md does not speak of {missing}"
