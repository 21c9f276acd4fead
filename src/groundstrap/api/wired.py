"""The network of a job as it was planned: one for all that is asked of its readings."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from groundstrap.api.planning import wiring_plan
from groundstrap.assess.wiring import Wiring
from groundstrap.job import Job
from groundstrap.locate import Counted, counted, mends_of
from groundstrap.model import Installation, ReadingSet, newest_readings
from groundstrap.records import dataclass
from groundstrap.report.network_bands import wiring_read

__all__ = ["counted_readings", "standing_readings", "wired"]


@dataclass(frozen=True, slots=True, eq=False)
class _Same:
    """An installation that is only itself: the one that a plan holds, which is kept from call to call."""

    installation: Installation

    def __eq__(self, other: object) -> bool:
        """Whether both hold the very same."""
        return isinstance(other, _Same) and other.installation is self.installation

    def __hash__(self) -> int:
        """By which it is."""
        return id(self.installation)


@lru_cache(maxsize=4)
def _wired(asked: _Same) -> Wiring:
    """The network of a plan, with all that was found on it before: only the readings differ by call."""
    return wiring_read(asked.installation)


def wired(job: Job) -> Wiring:
    """Return the network of a job with a size for everything; its readings are not in it.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return _wired(_Same(wiring_plan(job).installation))


def standing_readings(job: Job) -> tuple[ReadingSet, ...]:
    """Return the readings of a job that count: of its newest visit, but for what a mend has changed since.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return newest_readings(job.installation.readings, _history(job))


def counted_readings(job: Job) -> tuple[Counted, ...]:
    """Return the same reading by reading: of those at one place in one situation the last.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return counted(job.installation.readings, _history(job))


def _history(job: Job) -> Callable[[str, ReadingSet], frozenset[int]] | None:
    """What tells what a mend changes; nothing is solved for a job without one."""
    mended = any(each.mended is not None for each in job.installation.readings)
    return mends_of(wired(job)) if mended else None
