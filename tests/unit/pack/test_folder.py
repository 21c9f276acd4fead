"""A pack's folder holds the old pack or the new one, whatever happens; what is not a pack's is never lost."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from groundstrap.errors import CallError, CannotDoError
from groundstrap.pack import folder as folder_module
from groundstrap.pack.folder import LISTING, write_pack

OLD = {"pack.html": b"old", "cables.csv": b"old cables"}
NEW = {"pack.html": b"new", "fuses.csv": b"new fuses"}


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.name != LISTING}


def test_a_new_folder_holds_the_files_and_their_listing(tmp_path: Path) -> None:
    write_pack(tmp_path / "van", OLD, "abc")
    assert contents(tmp_path / "van") == OLD
    listing = json.loads((tmp_path / "van" / LISTING).read_text())
    assert (listing["fingerprint"], sorted(listing["files"])) == ("abc", sorted(OLD))
    assert [path.name for path in tmp_path.iterdir()] == ["van"]


def test_an_older_pack_is_replaced_as_a_whole(tmp_path: Path) -> None:
    write_pack(tmp_path / "van", OLD, "abc")
    write_pack(tmp_path / "van", NEW, "def")
    assert contents(tmp_path / "van") == NEW
    assert [path.name for path in tmp_path.iterdir()] == ["van"]


def test_files_and_folders_of_somebody_else_stay(tmp_path: Path) -> None:
    write_pack(tmp_path / "van", OLD, "abc")
    (tmp_path / "van" / "photo.jpg").write_bytes(b"photo")
    (tmp_path / "van" / "more").mkdir()
    (tmp_path / "van" / "more" / "note.txt").write_bytes(b"note")
    write_pack(tmp_path / "van", NEW, "def")
    assert (tmp_path / "van" / "photo.jpg").read_bytes() == b"photo"
    assert (tmp_path / "van" / "more" / "note.txt").read_bytes() == b"note"
    assert (tmp_path / "van" / "pack.html").read_bytes() == b"new"


def test_a_file_in_the_way_is_not_written_over(tmp_path: Path) -> None:
    folder = tmp_path / "van"
    write_pack(folder, OLD, "abc")
    (folder / "pack.html").write_bytes(b"mine")
    with pytest.raises(CallError, match=r"pack\.html"):
        write_pack(folder, NEW, "def")
    assert (folder / "pack.html").read_bytes() == b"mine"
    assert [path.name for path in tmp_path.iterdir()] == ["van"]


def test_a_folder_of_something_else_is_refused(tmp_path: Path) -> None:
    """A home folder or a project is no place for a pack: nothing there is copied, moved or written."""
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "letter.txt").write_bytes(b"mine")
    with pytest.raises(CallError, match="other files and no pack"):
        write_pack(tmp_path / "home", NEW, "def")
    assert [path.name for path in (tmp_path / "home").iterdir()] == ["letter.txt"]


def test_the_folder_one_is_in_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_pack(tmp_path / "van", OLD, "abc")
    monkeypatch.chdir(tmp_path / "van")
    with pytest.raises(CallError, match="the folder you are in"):
        write_pack(Path(), NEW, "def")
    assert contents(tmp_path / "van") == OLD


def test_a_changed_file_that_the_new_pack_does_not_have_is_kept(tmp_path: Path) -> None:
    write_pack(tmp_path / "van", OLD, "abc")
    (tmp_path / "van" / "cables.csv").write_bytes(b"with my notes")
    write_pack(tmp_path / "van", NEW, "def")
    assert (tmp_path / "van" / "cables.csv").read_bytes() == b"with my notes"


def test_no_room_leaves_the_old_pack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_pack(tmp_path / "van", OLD, "abc")

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(folder_module.os, "fsync", full)
    with pytest.raises(CannotDoError, match="no space left"):
        write_pack(tmp_path / "van", NEW, "def")
    assert contents(tmp_path / "van") == OLD
    assert [path.name for path in tmp_path.iterdir()] == ["van"]


def test_a_second_rename_that_fails_gives_the_old_pack_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_pack(tmp_path / "van", OLD, "abc")
    rename = Path.rename

    def failing(self: Path, to: Path) -> Path:
        if self.name.endswith(".new"):
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
        return rename(self, to)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(CannotDoError, match="permission denied"):
        write_pack(tmp_path / "van", NEW, "def")
    assert contents(tmp_path / "van") == OLD


def test_a_file_by_that_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "van").write_bytes(b"mine")
    with pytest.raises(CallError, match="no folder"):
        write_pack(tmp_path / "van", NEW, "def")
    assert (tmp_path / "van").read_bytes() == b"mine"


def test_a_folder_above_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(CannotDoError, match="no such file"):
        write_pack(tmp_path / "none" / "van", NEW, "def")


WRITER = """
import sys
from pathlib import Path
from groundstrap.pack.folder import write_pack
n = 0
while True:
    n += 1
    write_pack(Path(sys.argv[1]), {f"{k}.txt": str(n).encode() * 2000 for k in range(30)}, str(n))
    print(n, flush=True)
"""


@pytest.mark.parametrize("seed", range(12))
def test_killed_in_the_middle_the_pack_is_whole(tmp_path: Path, seed: int) -> None:
    """Of one making throughout: the last one that was reported, or the one after it; never a mixture."""
    folder = tmp_path / "van"
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(folder)], stdout=subprocess.PIPE, text=True
    ) as run:
        assert run.stdout is not None
        last = int(run.stdout.readline())
        time.sleep(0.003 * seed)
        run.send_signal(signal.SIGKILL)
        for line in run.stdout:
            last = int(line) if line.endswith("\n") else last
    if not folder.exists():
        folder = folder.with_name(".van.before")
    texts = {path.read_bytes() for path in folder.iterdir() if path.suffix == ".txt"}
    assert len(texts) == 1
    assert texts.pop() in {str(n).encode() * 2000 for n in (last - 1, last, last + 1)}
    assert len(list(folder.glob("*.txt"))) == 30
    write_pack(tmp_path / "van", {"0.txt": b"again"}, "again")
    assert [path.name for path in tmp_path.iterdir()] == ["van"]
    assert contents(tmp_path / "van") == {"0.txt": b"again"}


def test_where_a_signal_would_end_a_process_none_is_sent(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Python's own documentation of os.kill: on Windows signal 0 is CTRL_C_EVENT; age decides there."""

    def never(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr(folder_module, "_ASKS", False)
    monkeypatch.setattr(folder_module.os, "kill", never)
    young, old = tmp_path / ".van.111111.new", tmp_path / ".van.222222.new"
    for begun in (young, old):
        begun.mkdir()
    long_ago = time.time() - 7200
    os.utime(old, (long_ago, long_ago))
    write_pack(tmp_path / "van", NEW, "abc")
    assert young.exists()
    assert not old.exists()
