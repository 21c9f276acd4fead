"""A PostgreSQL server of one's own, in a temporary folder, that a test may stop as rudely as it likes."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_SETTINGS = {
    "listen_addresses": "",
    "max_connections": "40",
    "shared_buffers": "16MB",
    "autovacuum": "off",
    "jit": "off",
}


def programs() -> Path | None:
    """The folder of the server's programs; Debian keeps them off the path."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda each: int(each.parent.name))
    found = shutil.which("initdb")
    if found is not None:
        folders.append(Path(found).resolve().parent)
    whole = [each for each in folders if all((each / name).is_file() for name in ("initdb", "pg_isready"))]
    return whole[0] if whole else None


class Server:
    """One server, reached through a socket in its own folder."""

    def __init__(self, bin_folder: Path, folder: Path) -> None:
        """Make the files of a server that nobody has used."""
        self.bin, self.folder = bin_folder, folder
        self.data = folder / "data"
        # The server refuses to run as root.
        self.user: dict[str, Any] = {"user": "postgres", "group": "postgres"} if os.geteuid() == 0 else {}
        if self.user:
            account = pwd.getpwnam("postgres")
            os.chown(folder, account.pw_uid, account.pw_gid)
        self._run(
            "initdb",
            "-D",
            self.data,
            "-U",
            "workshop",
            "-A",
            "trust",
            "--no-sync",
            "-E",
            "UTF8",
            "--locale=C",
        )
        self.process: subprocess.Popen[bytes] | None = None

    def url(self, database: str = "postgres") -> str:
        """Address of one of its databases."""
        return f"postgresql+psycopg://workshop@/{database}?host={self.folder}"

    def start(self) -> None:
        """Start it, and wait until it answers."""
        until = time.monotonic() + 60
        while time.monotonic() < until:
            if self.process is None or self.process.poll() is not None:
                # After a kill it refuses as long as the children of the one before have not noticed.
                self.process = self._started()
            if self._asked("pg_isready", "-q", "-h", self.folder) == 0:
                return
            time.sleep(0.05)
        raise RuntimeError("the PostgreSQL server does not answer")

    def _started(self) -> subprocess.Popen[bytes]:
        settings = [part for name, value in _SETTINGS.items() for part in ("-c", f"{name}={value}")]
        return subprocess.Popen(
            [self.bin / "postgres", "-D", self.data, "-k", self.folder, *settings],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=self.folder,
            **self.user,
        )

    def stop_at_once(self) -> None:
        """End it without a shutdown: what it had not written to its log is gone."""
        self._run("pg_ctl", "stop", "-D", self.data, "-m", "immediate", "-s")
        self._wait()

    def kill(self) -> None:
        """kill -9 of the postmaster; its children notice, and the next start recovers."""
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        self._wait()

    def _wait(self) -> None:
        assert self.process is not None
        self.process.wait(30)
        self.process = None

    def new_database(self, name: str) -> str:
        """Make a database and return its address."""
        self._run("createdb", "-h", self.folder, "-U", "workshop", name)
        return self.url(name)

    def _asked(self, program: str, *arguments: object) -> int:
        return subprocess.run(
            [self.bin / program, *map(str, arguments)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=False,
            cwd=self.folder,
            **self.user,
        ).returncode

    def _run(self, program: str, *arguments: object) -> None:
        subprocess.run(
            [self.bin / program, *map(str, arguments)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            check=True,
            cwd=self.folder,
            **self.user,
        )


@contextmanager
def server(bin_folder: Path) -> Iterator[Server]:
    """A running server; it and its folder are gone afterwards."""
    folder = Path(tempfile.mkdtemp(prefix="gs-pg-"))
    try:
        made = Server(bin_folder, folder)
        try:
            made.start()
            yield made
        finally:
            if made.process is not None:
                made.stop_at_once()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
