"""The hand-written pages tell the truth: their jobs plan, and every key of job and result is named."""

from __future__ import annotations

import importlib.util
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from groundstrap import api
from groundstrap.checks import Status
from groundstrap.checks.catalogue import entries
from groundstrap.job import schema
from groundstrap.model import Basis, GearKind, LoadKind, Situation, SupplyKind
from tests.contract.source_tree import PACKAGE, ROOT

PAGES = (
    ROOT / "README.md",
    ROOT / "CONTRIBUTING.md",
    ROOT / "CHANGELOG.md",
    *sorted((ROOT / "docs").glob("*.md")),
)
EXAMPLES = sorted((ROOT / "examples").glob("*.job.yaml"))
# Names of things on the vehicle stand under these; they are no keys of the format.
NAMED = {
    "about", "circuits", "circuits_a", "gear", "loads", "loads_a", "loads_v", "says", "situations",
    "supplies", "supplies_a", "terminals", "volts_v",
}  # fmt: skip


def _yaml_blocks() -> list[tuple[str, str]]:
    found = []
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        for number, block in enumerate(re.findall(r"^```yaml\n(.*?)^```", text, flags=re.M | re.S), 1):
            found.append((f"{page.name} {number}", block))
    return found


BLOCKS = _yaml_blocks()
WHOLE = [(name, text) for name, text in BLOCKS if text.startswith("groundstrap: 1")]
PIECES = [(name, text) for name, text in BLOCKS if not text.startswith("groundstrap: 1")]


@pytest.mark.parametrize("text", [text for _, text in WHOLE], ids=[name for name, _ in WHOLE])
def test_a_job_on_a_page_plans(text: str) -> None:
    plan = api.plan(api.read_job(text))  # a fault in the job would be raised
    assert plan.exit_status in {0, 4}, "a page shows no job that must not be built"
    assert all(wire.size is not None for wire in plan.installation.wires())


def test_the_pages_show_whole_jobs() -> None:
    names = [name for name, _ in WHOLE]
    assert [name.split()[0] for name in names].count("quickstart.md") == 2
    assert {"README.md", "job-file.md"} <= {name.split()[0] for name in names}


@pytest.mark.parametrize("text", [text for _, text in PIECES], ids=[name for name, _ in PIECES])
def test_a_piece_of_a_job_on_a_page_is_yaml_with_keys_of_the_format(text: str) -> None:
    read = YAML(typ="safe", pure=True).load(text)
    assert set(read) <= set(schema.TOP_KEYS)


def _page(name: str) -> str:
    return (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8")


def _schema_keys() -> Iterator[str]:
    for name in schema.__all__:
        if name.endswith("_KEYS"):
            yield from getattr(schema, name)


@pytest.mark.parametrize("key", sorted(set(_schema_keys())))
def test_every_key_of_the_job_file_is_named_on_its_page(key: str) -> None:
    assert f"`{key}`" in _page("job-file")


def test_every_word_of_a_closed_list_is_named_on_the_job_file_s_page() -> None:
    kinds = [
        kind for several in (GearKind, SupplyKind, LoadKind) for kind in several if kind is not LoadKind.COIL
    ]
    words = {*map(str, (*kinds, *Situation, *Basis)), *schema.MATERIALS, *schema.PART_WORDS}
    page = _page("job-file")
    assert not {word for word in words if f"`{word}`" not in page}


@pytest.mark.parametrize(
    "section", ["places", "zones", "routes", "gear", "supplies", "loads", "circuits", "waivers"]
)
def test_every_section_of_the_job_file_has_its_heading(section: str) -> None:
    headings = re.findall(r"^## (.*)$", _page("job-file"), flags=re.MULTILINE)
    assert any(f"`{section}`" in heading for heading in headings)


def _keys(value: Any, under: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            if under not in NAMED:
                yield key
            yield from _keys(inner, "" if under in NAMED else key)
    elif isinstance(value, list):
        for inner in value:
            yield from _keys(inner)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_key_of_a_result_is_named_on_its_page(path: Path) -> None:
    job = api.read_job_file(path)
    texts = (api.plan_json(api.plan(job)), api.plan_json(api.check(job)), api.vet_json(api.vet(job)))
    page = _page("results")
    named = set(re.findall(r"[a-z0-9_]+", page))
    assert not {key for text in texts for key in _keys(json.loads(text)) if key not in named}


def test_all_own_judgement_of_tables_rules_and_code_is_on_its_page() -> None:
    page = _generated_own_judgement()
    for table in PACKAGE.glob("tables/data/*.csv"):
        if re.search(r"own[- ]judgement", table.read_text(encoding="utf-8")):
            assert f"[{table.stem}]" in page, table.stem
    for entry in entries().values():
        if entry.rule.status is not Status.RETIRED and any("own-judgement" in s for s in entry.rule.sources):
            assert f"[{entry.rule.id}]" in page, entry.rule.id
    for name in ("STAND_IN_A_PER_MM2", "UNKNOWN_LENGTH_M", "DISAGREES_BELOW", "HEAVY_A", "exponent_doubt"):
        assert f"`{name}`" in page, name


def _generated_own_judgement() -> str:
    spec = importlib.util.spec_from_file_location("generate", ROOT / "docs" / "generate.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    text: str = module.own_judgement_page()
    return text


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+\.(?:md|yaml))[^)]*\)", page.read_text(encoding="utf-8")):
        if not target.startswith("reference/"):  # those are made at build time, and Sphinx looks after them
            assert (page.parent / target).is_file(), target
