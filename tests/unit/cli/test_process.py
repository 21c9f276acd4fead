"""The program as a process: it ends without tidying up, and nothing that somebody waits for is lost by it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import groundstrap

_SCRIPT = """
import atexit, sys
from groundstrap import cli
class Loop: pass
loop = Loop(); loop.itself = loop
Loop.__del__ = lambda self: print('taken apart')
sys.argv = ['groundstrap', {command!r}]
real = cli.main
def main():
    atexit.register(print, 'registered')
    sys.stdout.write('not flushed yet ')
    real()
cli.main = main
cli.run()
"""


def _process(command: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(Path(groundstrap.__file__).parents[1])}
    run = [sys.executable, "-c", _SCRIPT.format(command=command)]
    return subprocess.run(run, check=False, capture_output=True, text=True, env=environment)


def test_what_was_written_and_what_was_registered_comes_before_the_end() -> None:
    done = _process("--version")
    assert done.returncode == 0
    version, registered = done.stdout.splitlines()
    assert version == f"not flushed yet groundstrap {groundstrap.__version__}"
    assert registered == "registered"


def test_the_status_is_that_of_the_command() -> None:
    done = _process("paln")
    assert done.returncode == 2
    assert "plan" in done.stderr
    assert done.stdout.splitlines() == ["not flushed yet registered"]


@pytest.mark.skipif(os.name != "posix", reason="a shell closes the stream")
def test_a_stream_that_was_closed_before_hides_nothing_that_the_other_says() -> None:
    run = ["sh", "-c", '"$0" -m groundstrap.cli paln 2>&1 >&-', sys.executable]
    environment = {**os.environ, "PYTHONPATH": str(Path(groundstrap.__file__).parents[1])}
    done = subprocess.run(run, check=False, capture_output=True, text=True, env=environment)
    assert "plan" in done.stdout
    assert "Exception ignored" not in done.stdout
