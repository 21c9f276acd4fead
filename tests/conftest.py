"""What every test may ask for: Hypothesis settings, and the outside programs to compare with."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

ROOT = Path(__file__).resolve().parent.parent
IN_CI = bool(os.environ.get("CI"))

# No deadline: a busy machine is not a fault of the code. In CI the same examples each time, so that a red
# run can be repeated; elsewhere new ones, so that more is looked at.
settings.register_profile("here", deadline=None, max_examples=50)
settings.register_profile(
    "ci",
    deadline=None,
    max_examples=50,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("ci" if IN_CI else "here")


def _outside_program(name: str, package: str) -> str:
    """Where the program is; else the test is skipped with a line that says so, and in CI it fails."""
    found = shutil.which(name)
    if found is not None:
        return found
    reason = f"{name} is not installed (Debian package {package}): nothing to compare with"
    if IN_CI:
        pytest.fail(f"{reason}; in CI a skip is a failure")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of ngspice, the circuit simulator that networks are compared with."""
    return _outside_program("ngspice", "ngspice")


@pytest.fixture(scope="session")
def repository() -> Path:
    """The checkout's top folder."""
    return ROOT
