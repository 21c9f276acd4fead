"""`groundstrap shelf`: what each command says and does, and with which status it ends."""

from __future__ import annotations

import importlib
import io
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pytest
from PIL import Image

from groundstrap.cli import main

TEXT = """\
groundstrap: 1
title: Bed light
stock: stock.csv
loads: {light: {claims: {power: 5 W}}}  # by the bed
"""


@dataclass(frozen=True)
class Ended:
    status: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, object]:
        found: dict[str, object] = json.loads(self.out)
        return found


Run = Callable[..., Ended]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    monkeypatch.setenv("GROUNDSTRAP_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("GROUNDSTRAP_WHO", "Ada")
    monkeypatch.delenv("GROUNDSTRAP_SHELF", raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "van.job.yaml").write_text(TEXT, encoding="utf-8")
    (tmp_path / "stock.csv").write_text("kind\n", encoding="utf-8")

    def call(*words: str) -> Ended:
        with pytest.raises(SystemExit) as ended:
            main(["shelf", *words])
        said = capsys.readouterr()
        code = ended.value.code
        return Ended(code if isinstance(code, int) else 0, said.out, said.err)

    return call


def kept(run: Run) -> str:
    return str(run("keep", "van.job.yaml", "--json").json["saved"]["job_id"])  # type: ignore[index]


def test_a_job_is_kept_with_what_lies_beside_it_and_shown(run: Run) -> None:
    first = run("keep", "van.job.yaml", "--note", "from paper")
    assert first.status == 0
    assert "revision 1 of" in first.err
    job = run("list", "--json").json["jobs"][0]  # type: ignore[index]
    assert (job["title"], job["who"], job["latest"]) == ("Bed light", "Ada", 1)
    shown = run("show", job["id"])
    assert shown.out == TEXT
    assert f"--as {job['id']} --based-on 1" in shown.err
    revision = run("show", job["id"], "--json").json["revision"]
    assert revision["files"] == {"stock.csv": "kind\n"}  # type: ignore[index]
    assert "from paper" in run("history", job["id"]).out


def test_lists_are_read_by_people(run: Run) -> None:
    assert run("list").out == "there is no such job on the shelf\n"
    job_id = kept(run)
    lines = run("list", "BED").out.splitlines()
    assert lines[0].split() == ["job", "title", "revision", "saved", "by"]
    assert lines[1].startswith(f"{job_id}  Bed light")
    assert run("list", "boat").out == "there is no such job on the shelf\n"
    run("remove", job_id)
    assert "removed" in run("list", "--removed").out


def test_the_second_of_two_is_told_and_merges(run: Run, tmp_path: Path) -> None:
    job_id = kept(run)
    (tmp_path / "van.job.yaml").write_text(TEXT.replace("5 W", "6 W"), encoding="utf-8")
    assert run("keep", "van.job.yaml", "--as", job_id, "--based-on", "1", "--who", "Bob").status == 0
    other = tmp_path / "other.job.yaml"
    other.write_text(TEXT.replace("Bed light", "Bunk light"), encoding="utf-8")
    again = ("keep", "other.job.yaml", "--as", job_id, "--based-on", "1")
    told = run(*again)
    assert told.status == 2
    assert "Bob saved revision 2 meanwhile" in told.err
    assert "--merge" in told.err
    assert run(*again, "--json").json["clash"]["theirs"]["who"] == "Bob"  # type: ignore[index]
    assert run(*again, "--merge").status == 0
    both = TEXT.replace("5 W", "6 W").replace("Bed light", "Bunk light")
    assert run("show", job_id).out == other.read_text(encoding="utf-8") == both


def test_what_both_changed_is_decided_with_take(run: Run, tmp_path: Path) -> None:
    job_id = kept(run)
    file = tmp_path / "van.job.yaml"
    for watts, who in (("6 W", "Bob"), ("7 W", "Ada")):
        file.write_text(TEXT.replace("5 W", watts), encoding="utf-8")
        told = run("keep", "van.job.yaml", "--as", job_id, "--based-on", "1", "--merge", "--who", who)
    assert told.status == 2
    assert "loads.light.claims.power: was '5 W', yours '7 W', theirs '6 W'" in " ".join(told.err.split())
    assert file.read_text(encoding="utf-8") == TEXT.replace("5 W", "7 W")
    assert (
        run("keep", "van.job.yaml", "--as", job_id, "--based-on", "1", "--merge", "--take", "theirs").status
        == 0
    )
    assert file.read_text(encoding="utf-8") == TEXT.replace("5 W", "6 W")


def test_a_revision_is_restored_and_a_job_removed_for_good(run: Run, tmp_path: Path) -> None:
    job_id = kept(run)
    (tmp_path / "van.job.yaml").write_text(TEXT + "# more\n", encoding="utf-8")
    run("keep", "van.job.yaml", "--as", job_id, "--based-on", "1")
    assert run("restore", job_id, "1", "--json").json["saved"] == {"job_id": job_id, "number": 3, "new": True}
    assert run("show", job_id).out == TEXT
    assert run("remove", job_id, "--for-good").status == 2
    assert f"groundstrap shelf restore {job_id} 3" in run("remove", job_id).err
    assert run("remove", job_id, "--for-good").status == 0
    assert run("show", job_id).status == 2


def test_jobs_go_out_and_come_in(run: Run, tmp_path: Path) -> None:
    job_id = kept(run)
    assert run("export", job_id, "-o", "out.zip").status == 0
    assert run("export", job_id, "-o", "out.zip").status == 2
    assert run("export", job_id, "-o", "out.zip", "--force").status == 0
    (tmp_path / "there").mkdir()
    assert run("export", "Bed light", "-o", "there/van.job.yaml").status == 0
    assert (tmp_path / "there" / "van.job.yaml").read_text(encoding="utf-8") == TEXT
    assert (tmp_path / "there" / "stock.csv").read_text(encoding="utf-8") == "kind\n"
    assert not list(tmp_path.glob(".*tmp"))
    found = run("import", "out.zip", "--json").json["imported"]
    assert found["job"]["latest"] == 1  # type: ignore[index]
    assert "holds it, 1 revision" in run("import", "van.job.yaml").err
    assert run("export", job_id, "-o", "nowhere/out.zip").status == 3


def test_photos_are_added_and_listed(run: Run, tmp_path: Path) -> None:
    job_id = kept(run)
    assert run("photo", job_id).out == "the job has no photos\n"
    made = io.BytesIO()
    Image.new("RGB", (20, 10)).save(made, "PNG")
    (tmp_path / "box.png").write_bytes(made.getvalue())
    assert "fuse box" in run("photo", job_id, "box.png", "--caption", "fuse box").out
    assert run("photo", job_id, "van.job.yaml").status == 2


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("keep", "nothing.yaml"), 2, "nothing.yaml"),
        (("keep", "van.job.yaml", "--as", "x"), 2, "belong together"),
        (("show", "nothing"), 2, "an id or a title"),
        (("lst",), 2, "Did you mean 'list'"),
        (("list", "--shelf", "sqlite:///no/such/folder"), 3, "name a file in a folder"),
        (("list", "--shelf", "mysql://x"), 2, "sqlite:///FILE"),
    ],
)
def test_what_goes_wrong_is_one_line_with_what_to_do(
    run: Run, words: tuple[str, ...], status: int, says: str
) -> None:
    found = run(*words)
    assert (found.status, found.out) == (status, "")
    assert says in found.err
    assert "Traceback" not in found.err


def test_an_installation_without_the_extra_says_how_to_get_it(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = importlib.import_module

    def missing(name: str) -> ModuleType:
        if name == "groundstrap.api.shelving":
            raise ModuleNotFoundError("No module named 'sqlalchemy'", name="sqlalchemy.orm")
        return there(name)

    monkeypatch.setattr("groundstrap.api.importlib.import_module", missing)
    found = run("list")
    assert found.status == 2
    assert "pip install 'groundstrap[bench]'" in found.err
