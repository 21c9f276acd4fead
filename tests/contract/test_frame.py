"""The package's frame: pinned and hashed set-up, no address in it, a version in one piece, a quick start."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import groundstrap

LOCKS = ("requirements.lock", "requirements-demo.lock")


def _pins(path: Path) -> dict[str, set[str]]:
    """Each package with the versions that the lock pins; several where Pythons differ."""
    pins: dict[str, set[str]] = {}
    for name, version in re.findall(
        r"^([a-z0-9.-]+)==(\S+)", path.read_text(encoding="utf-8"), flags=re.MULTILINE
    ):
        pins.setdefault(name, set()).add(version)
    return pins


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_holds_no_address(repository: Path, lock: str) -> None:
    text = (repository / lock).read_text(encoding="utf-8")
    assert not re.search(r"https?:|file:|--index|--find-links| @ ", text)


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_is_hashed(repository: Path, lock: str) -> None:
    entries = re.split(r"\n(?=[a-z0-9])", (repository / lock).read_text(encoding="utf-8").strip())
    assert len(entries) >= 10
    assert not [entry.split()[0] for entry in entries if "==" not in entry or "--hash=sha256:" not in entry]


def test_the_two_locks_agree(repository: Path) -> None:
    everything, demo = (_pins(repository / lock) for lock in LOCKS)
    assert demo.items() <= everything.items()


def test_the_locks_hold_what_the_project_asks_for(repository: Path) -> None:
    project = tomllib.loads((repository / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = [*project["project"]["dependencies"], *project["build-system"]["requires"]]
    names = {re.split(r"[<>=!~\[ ;]", line)[0].lower().replace(".", "-") for line in wanted}
    assert names <= _pins(repository / "requirements-demo.lock").keys()
    groups = project["dependency-groups"].values()
    wanted = [line for group in groups for line in group if isinstance(line, str)]
    wanted += project["project"]["optional-dependencies"]["fast"]
    names = {re.split(r"[<>=!~\[ ;]", line)[0].lower().replace(".", "-") for line in wanted}
    assert names <= _pins(repository / "requirements.lock").keys()


def test_version_is_the_same_everywhere(repository: Path) -> None:
    project = tomllib.loads((repository / "pyproject.toml").read_text(encoding="utf-8"))
    assert groundstrap.__version__ == project["project"]["version"]


def test_the_package_says_that_it_is_typed() -> None:
    assert (Path(groundstrap.__file__).parent / "py.typed").is_file()


def _loaded_by(statement: str) -> set[str]:
    """Top names of everything that a fresh interpreter has loaded after a statement."""
    source = Path(groundstrap.__file__).parents[1]
    found = subprocess.run(
        [sys.executable, "-c", f"import sys\n{statement}\nprint(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(source)},
    )
    return {name.partition(".")[0] for name in found.stdout.split()}


def test_importing_the_root_loads_nothing_heavy() -> None:
    assert not _loaded_by("import groundstrap") & {"click", "numba", "numpy", "rich", "ruamel"}


def test_the_command_line_starts_without_what_only_some_commands_need() -> None:
    pytest.importorskip("groundstrap.cli")
    assert not _loaded_by("import groundstrap.cli") & {"numba", "rich", "scipy"}


def test_planning_loads_nothing_that_could_reach_a_network() -> None:
    """Neither ours nor a library's own import, which costs as much again at each start."""
    loaded = _loaded_by(
        "from groundstrap import api\napi.read_job, api.plan, api.plan_text, api.curve_pictures"
    )
    assert not loaded & {"email", "http", "requests", "smtplib", "socket", "ssl", "urllib3"}


def test_no_file_of_a_packaging_tool_that_writes_addresses_is_kept(repository: Path) -> None:
    assert not [name for name in ("uv.lock", "pylock.toml", "poetry.lock") if (repository / name).exists()]
