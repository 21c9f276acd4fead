"""The documentation is complete: everything that can be used has its place on a page made from the code."""

from __future__ import annotations

import ast
import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from groundstrap import units
from tests.contract.source_tree import PACKAGE, public_functions, source_files
from tests.support.bench import every_route


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory, repository: Path) -> Path:
    folder = tmp_path_factory.mktemp("docs") / "reference"
    _generator(repository).write(folder)
    return folder


def _generator(repository: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location("generate", repository / "docs" / "generate.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _headings(page: Path) -> set[str]:
    return set(re.findall(r"^#+ `([^`]+)`", page.read_text(encoding="utf-8"), flags=re.MULTILINE))


def _names_promised_by_the_front_door() -> list[str]:
    """`__all__` of groundstrap.api, read from its text and not through the generator."""
    for file in source_files():
        if file.name not in {"api.py", "api/__init__.py"}:
            continue
        for node in file.tree.body:
            target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
            if isinstance(target, ast.Name) and target.id == "__all__":
                value = getattr(node, "value", None)
                assert value is not None
                return list(ast.literal_eval(value))
    return []


def test_every_name_of_the_front_door_has_its_section(pages: Path) -> None:
    missing = set(_names_promised_by_the_front_door()) - _headings(pages / "api.md")
    assert not missing


def test_every_formula_has_its_section(pages: Path) -> None:
    formulas = {
        node.name for file in source_files() if file.layer == "physics" for node in public_functions(file)
    }
    assert not formulas - _headings(pages / "formulas.md")


def test_every_command_has_its_section(pages: Path) -> None:
    cli = pytest.importorskip("groundstrap.cli")
    commands = {f"groundstrap {name}" for name in cli.main.commands}
    commands |= {f"groundstrap shelf {name}" for name in cli.main.commands["shelf"].commands}
    assert commands
    assert not commands - _headings(pages / "commands.md")


def test_every_route_of_the_bench_has_its_section(pages: Path) -> None:
    web = pytest.importorskip("groundstrap.web")
    app = web.create_app(web.Settings(secret=bytes(32), shelf="sqlite://"))
    routes = {
        f"{method} {path}"
        for method, path, told in every_route(app.routes)
        if told and path.startswith("/api/") and path != "/api/openapi.json"
    }
    assert routes
    assert not routes - _headings(pages / "bench-api.md")


def test_every_rule_has_its_page(pages: Path) -> None:
    files = [path for path in PACKAGE.glob("checks/rules/*/*.py") if not path.name.startswith("_")]
    ids = {path.name.split("_")[0].upper() for path in files}
    listed = (pages / "rules" / "index.md").read_text(encoding="utf-8")
    assert not {rule for rule in ids if not (pages / "rules" / f"{rule}.md").is_file() or rule not in listed}


def test_every_table_has_its_page_with_all_its_rows(pages: Path) -> None:
    listed = (pages / "tables" / "index.md").read_text(encoding="utf-8")
    for data in PACKAGE.glob("tables/data/**/*.csv"):
        page = pages / "tables" / f"{data.stem}.md"
        assert page.is_file(), data.stem
        assert f"[{data.stem}]" in listed
        rows = page.read_text(encoding="utf-8").partition("## Rows")[2].strip().splitlines()
        printed = [line for line in data.read_text(encoding="utf-8").splitlines() if line.strip()]
        assert len(rows) == len(printed) + 1, f"{data.stem}: header, rule and every row"  # one more: the rule


def test_every_source_is_listed(pages: Path) -> None:
    ids = re.findall(
        r"^\[([^\]]+)\]", (PACKAGE / "sources.toml").read_text(encoding="utf-8"), flags=re.MULTILINE
    )
    text = (pages / "sources.md").read_text(encoding="utf-8")
    assert not [source for source in ids if f"`{source}`" not in text]


def test_every_unit_is_listed(pages: Path) -> None:
    text = (pages / "units.md").read_text(encoding="utf-8")
    assert not [unit for kind in units.Kind for unit in units.units_for(kind) if f"`{unit}`" not in text]


def test_the_pages_do_not_depend_on_when_they_are_made(pages: Path, tmp_path: Path, repository: Path) -> None:
    # Another process with another hash seed: an order that hangs on either would show.
    script = "import generate, pathlib, sys; generate.write(pathlib.Path(sys.argv[1]))"
    paths = os.pathsep.join((str(repository / "src"), str(repository / "docs")))
    again = tmp_path / "again"
    environment = {**os.environ, "PYTHONPATH": paths, "PYTHONHASHSEED": "7"}
    subprocess.run([sys.executable, "-c", script, str(again)], check=True, env=environment)
    first = {path.relative_to(pages): path.read_bytes() for path in pages.rglob("*.md")}
    assert first == {path.relative_to(again): path.read_bytes() for path in again.rglob("*.md")}


def test_readme_names_the_two_commands_and_where_to_go_on(repository: Path) -> None:
    text = (repository / "README.md").read_text(encoding="utf-8")
    for needed in ("make demo", "make test", "docs/", "CONTRIBUTING.md", "LICENSE"):
        assert needed in text, needed


def test_ci_runs_the_command_of_the_readme(repository: Path) -> None:
    script = (repository / ".ci" / "run").read_text(encoding="utf-8")
    for target in ("test", "lint", "layers"):
        assert f"\nstep {target} make {target}\n" in script
    for target in ("types", "docs"):  # while the tests run; what they say is told after them
        assert f"\nbeside {target} make {target}\n" in script
        assert f"\nand_told {target} make {target}\n" in script


def test_changelog_has_a_section_for_what_is_not_out_yet(repository: Path) -> None:
    assert "## Unreleased" in (repository / "CHANGELOG.md").read_text(encoding="utf-8")
