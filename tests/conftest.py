"""What every test may ask for: Hypothesis settings, and the outside programs to compare with."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Generator
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


def _in_ci_a_skip_is_a_failure(report: pytest.TestReport | pytest.CollectReport) -> None:
    """A check that did not run has not passed: on the build server everything it needs is there."""
    if IN_CI and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        report.outcome = "failed"
        report.longrepr = f"{report.nodeid}: {reason}; in CI a skip is a failure"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Skips of single tests."""
    report = yield
    _in_ci_a_skip_is_a_failure(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Skips of whole modules."""
    report = yield
    _in_ci_a_skip_is_a_failure(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Look for no garbage among 12,000 tests: none while they are made, and never again among them."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def _outside_program(name: str, package: str) -> str:
    """Where the program is; else the test is skipped with a line that says so."""
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"{name} is not installed (Debian package {package}): nothing to compare with")
    return found


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of ngspice, the circuit simulator that networks are compared with."""
    return _outside_program("ngspice", "ngspice")


@pytest.fixture(scope="session")
def repository() -> Path:
    """The checkout's top folder."""
    return ROOT
