"""How often it goes wrong: many days side by side, each with an age, a weather and habits of its own."""

from __future__ import annotations

import math
import sys
import threading
from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import Wiring
from groundstrap.endure.battery import Batteries, batteries_of
from groundstrap.endure.course import Course
from groundstrap.endure.day import Day, the_day
from groundstrap.endure.results import Chances, Share
from groundstrap.endure.stage import Fineness, Many, SceneKey, scene_key
from groundstrap.endure.starts import Need, cranking_of, need_of
from groundstrap.errors import CallError
from groundstrap.model import Assumption
from groundstrap.records import dataclass
from groundstrap.tables.batteries import engine_cranking
from groundstrap.words import words

__all__ = ["chances"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_DAYS: Final = 100_000

AGE: Final = (0.6, 1.0)
"""Share of its capacity that a battery in use still has; own judgement, 0.8 is where makers call it worn."""

OHM_PER_AGE: Final = 2.0
"""By how much its resistance rises with each share of the capacity that it loses; own judgement. [1]"""

WARMER_K: Final = 5.0
"""Half-width of the weather around the day's temperature; own judgement. [K]"""

DUTY: Final = 0.3
"""Half-width of how much of the time a load runs, over what the job says; own judgement. [1]"""

NEED: Final = 0.15
"""Half-width of what a known engine asks for; own judgement. [1]"""

_ROWS: Final = 2500
_COARSE: Final = Fineness(tolerance=3e-4, longest_s=6 * 3600.0, moves_v=0.3)
_NORMAL_95: Final = 1.96


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """What was drawn for some days, one number each."""

    age: Floats
    warmer_k: Floats
    draws: Mapping[str, Floats]
    duties: Mapping[str, Floats]
    need: Floats
    """What the engine asks for, over the middle. [1]"""
    begins: Floats
    """Where the first charge lies between the ends that a rested voltage leaves. [1]"""

    def rows(self, first: int, last: int) -> _Drawn:
        return _Drawn(
            self.age[first:last],
            self.warmer_k[first:last],
            {name: values[first:last] for name, values in self.draws.items()},
            {name: values[first:last] for name, values in self.duties.items()},
            self.need[first:last],
            self.begins[first:last],
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Went:
    """How some days went."""

    failed_start: Bools
    cut: Mapping[str, Bools]
    unsolved: Bools


def chances(
    wiring: Wiring, *, days: int = 10_000, seed: int = 1, temperature_c: float | None = None, workers: int = 2
) -> Chances:
    """Return how often a day goes wrong while age, weather, duty and draws lie within their ranges.

    Source: own-judgement for the ranges that nobody wrote, all of them in the answer; the loads' own
    intervals as they were vetted; the share's interval by Wilson's score (from memory).

    Parameters
    ----------
    wiring : Wiring
        The installation.
    days : int
        How many days are drawn; 1 to 100,000.
    seed : int
        Where the draws begin: the same seed gives the same days.
    temperature_c : float or None
        One temperature for all spans, around which the weather lies. [degC]
    workers : int
        Processes; one where the program has threads of its own.
    """
    if not 1 <= days <= MOST_DAYS:
        raise CallError("so many days are drawn", wanted=f"1 to {MOST_DAYS}", given=f"{days}")
    day = the_day(wiring.installation, days=1, temperature_c=temperature_c)
    need = need_of(wiring)
    drawn = _draw(wiring, day, need, days, seed)
    bends = _bends(wiring, day)
    parts = [(first, min(first + _ROWS, days)) for first in range(0, days, _ROWS)]
    went = _all_run([_Job(wiring, day, need, drawn.rows(*part), bends) for part in parts], workers)
    solved = ~np.concatenate([one.unsolved for one in went])
    names = sorted({name for one in went for name in one.cut})
    starts = np.concatenate([one.failed_start for one in went])
    return Chances(
        days=days,
        seed=seed,
        no_start=None if need is None else _share(starts[solved]),
        cut_off={
            name: _share(np.concatenate([one.cut[name] for one in went])[solved])
            for name in wiring.installation.loads
            if name in names
        },
        unsolved=int((~solved).sum()),
        ranges=_ranges(need) + _first_charges(wiring),
    )


_WAITING: Final[list[_Job]] = []
"""Jobs that the processes take, each by its number."""


def _all_run(jobs: list[_Job], workers: int) -> list[_Went]:
    if workers < 2 or len(jobs) < 2 or not _may_fork():
        return [_run(job) for job in jobs]
    # Only who asks for chances pays for the machinery of processes.
    from concurrent.futures import ProcessPoolExecutor  # noqa: PLC0415
    from multiprocessing import get_context  # noqa: PLC0415

    # A doubled process has the jobs already; what was compiled for them can't be sent.
    _WAITING[:] = jobs
    try:
        with ProcessPoolExecutor(workers, mp_context=get_context("fork")) as pool:
            return list(pool.map(_run_waiting, range(len(jobs))))
    finally:
        _WAITING.clear()


def _run_waiting(number: int) -> _Went:
    return _run(_WAITING[number])


def _may_fork() -> bool:
    """Whether this process may be doubled: not with threads of its own, nor as a worker of another."""
    from multiprocessing import current_process  # noqa: PLC0415

    alone = threading.active_count() == 1 and not current_process().daemon
    return alone and sys.platform == "linux"


def _share(happened: Bools) -> Share:
    """A share with its 95 % interval."""
    count = happened.size
    if not count:
        return Share(value=math.nan, low=0.0, high=1.0)
    share, z = float(happened.mean()), _NORMAL_95
    middle = (share + z * z / (2 * count)) / (1 + z * z / count)
    half = z / (1 + z * z / count) * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count))
    low, high = max(middle - half, 0.0), min(middle + half, 1.0)
    return Share(value=share, low=min(low, share), high=max(high, share))


def _draw(wiring: Wiring, day: Day, need: Need | None, days: int, seed: int) -> _Drawn:
    rng = np.random.default_rng(seed)
    age = rng.uniform(*AGE, days)
    warmer = rng.uniform(-WARMER_K, WARMER_K, days)
    if need is None or need.written:
        asks = rng.uniform(1.0 - NEED, 1.0 + NEED, days)
    else:
        usual = engine_cranking("any")
        asks = np.exp(rng.uniform(math.log(usual.low), math.log(usual.high), days)) / usual.typical
    names = sorted({name for stretch in day.stretches for name in stretch.running})
    draws, duties = {}, {}
    for name in names:
        estimate = wiring.estimates.get(name)
        if estimate is None or estimate.power_w is None or not estimate.power_w.value:
            continue
        power = estimate.power_w
        sigma = (power.high - power.low) / (2.0 * _NORMAL_95) / power.value
        draws[name] = np.clip(1.0 + sigma * rng.standard_normal(days), 0.3, 2.0)
        duties[name] = rng.uniform(1.0 - DUTY, 1.0 + DUTY, days)
    return _Drawn(age, warmer, draws, duties, asks, rng.uniform(0.0, 1.0, days))


def _ranges(need: Need | None) -> tuple[Assumption, ...]:
    own = words("own judgement")
    found = [
        Assumption(words("age"), f"{100 * AGE[0]:g} %..{100 * AGE[1]:g} %", own),
        Assumption(words("weather"), f"+-{WARMER_K:g} K", own),
        Assumption(words("duty"), f"+-{100 * DUTY:g} %", own),
        Assumption(words("draws"), words("their own intervals"), words("95 %, as the loads were vetted")),
    ]
    if need is not None and need.written:
        found.append(Assumption(words("what the engine asks for"), f"+-{100 * NEED:g} %", own))
    elif need is not None:
        usual = engine_cranking("any")
        why = words("engines of usual size; nobody wrote it")
        found.append(Assumption(words("what the engine asks for"), f"{usual.low:g}..{usual.high:g} A", why))
    return tuple(found)


def _first_charges(wiring: Wiring) -> tuple[Assumption, ...]:
    return tuple(
        Assumption(
            words("{name}: begins with", name=block.supply.name),
            f"{block.begins_low_pct:.0f} %..{block.begins_high_pct:.0f} %",
            words("its rested voltage, by meter and make"),
        )
        for block in batteries_of(wiring.topology).batteries.blocks
        if block.begins_low_pct < block.begins_high_pct
    )


def _first_wells(batteries: Batteries, begins: Floats) -> Floats:
    """Both wells at the beginning, rested, each day with its own charge: (2, batteries, 1, rows). [Ah]"""
    low, high = (
        np.array([getattr(block, end) for block in batteries.blocks]).reshape(-1, 1, 1) / 100.0
        for end in ("begins_low_pct", "begins_high_pct")
    )
    charge = batteries.total_ah - (1.0 - low - (high - low) * begins) * batteries.rated_ah
    return np.stack([batteries.share * charge, (1.0 - batteries.share) * charge])


def _bends(wiring: Wiring, day: Day) -> dict[SceneKey, Floats]:
    """What one day finds for the means of loads that run in turns."""
    course = Course(wiring, batteries_of(wiring.topology).batteries, fine=_COARSE)
    found = {}
    for stretch in day.stretches:
        stage = course.run(stretch)
        if stage.means is not None:
            found[scene_key(stretch)] = stage.means.bend[:, 0].copy()
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Job:
    """Some days to be run."""

    wiring: Wiring
    day: Day
    need: Need | None
    drawn: _Drawn
    bends: Mapping[SceneKey, Floats]


def _run(job: _Job) -> _Went:
    drawn, rows = job.drawn, job.drawn.age.size
    base = batteries_of(job.wiring.topology).batteries
    batteries = base.aged(drawn.age[None, None], 1.0 + OHM_PER_AGE * (1.0 - drawn.age[None, None]))
    machines = [n for n, branch in enumerate(job.wiring.network.branches) if branch.law.value == "regulated"]
    course = Course(
        job.wiring,
        batteries,
        rows=rows,
        many=Many(draws=drawn.draws, duties=drawn.duties, bends=job.bends, warmer_k=drawn.warmer_k),
        fine=_COARSE,
        keep=np.array(machines, dtype=np.intp),
    )
    course.wells = _first_wells(batteries, drawn.begins)
    failed = np.zeros(rows, dtype=bool)
    cut: dict[str, Bools] = {}
    for stretch in job.day.stretches:
        if stretch.starts_engine and job.need is not None:
            failed |= _no_start(course, job.need, drawn, stretch.temperature_c)
        stage = course.run(stretch)
        for load, one in enumerate(stage.scene.consumers):
            if np.isfinite(one.cut_v):
                before = cut.get(one.name, np.zeros(rows, dtype=bool))
                cut[one.name] = before | course.switches.was_cut[load]
    if job.need is not None:
        failed |= _no_start(course, job.need, drawn, job.day.stretches[-1].temperature_c)
    return _Went(failed, cut, course.failed.copy())


def _no_start(course: Course, need: Need, drawn: _Drawn, temperature_c: float | None) -> Bools:
    base = 20.0 if temperature_c is None else temperature_c
    air = course.batteries.air(np.clip(base + drawn.warmer_k, -45.0, 65.0))
    found = cranking_of(course.batteries, course.wells, air, need, course.switches.parted)
    bad: Bools = (found.holds_a < found.asks_a * drawn.need) | found.frozen
    return bad
