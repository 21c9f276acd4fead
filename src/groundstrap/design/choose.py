"""The whole choice: least sizes, exact search on bound currents, the true network, trim, then the fuses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import product
from math import prod

from groundstrap.assess import ReasonKind
from groundstrap.assess.figures import Ends
from groundstrap.assess.parts import part_ends
from groundstrap.assess.wiring import wire_up
from groundstrap.design.bound import as_they_lie, drop_items, drop_limits
from groundstrap.design.charging import charging_least, never_met
from groundstrap.design.fuses import choose_fuses, lower_needs, stronger_needs, typed
from groundstrap.design.growth import divides
from groundstrap.design.judge import Judge, Task
from groundstrap.design.local import Least, least_sizes, stands_alone
from groundstrap.design.results import Binding, Design, Unsolved
from groundstrap.design.search import Item, Limit, least_cost, least_drop_v
from groundstrap.design.series import later_openings
from groundstrap.design.trim import Choice, exchange, trim
from groundstrap.model import Installation, LoadEstimate
from groundstrap.records import dataclass, replace

__all__ = ["Searched", "Settled", "search", "settle"]

_MOST_LOOP_CHOICES = 2000
"""Sizes of circuits that close loops are tried together as one batch up to so many rows."""


_MOST_ROUNDS = 2
"""A fuse of a stronger family may be larger than what was needed, so that a shared way back needs more."""

_MOST_GROWTHS = 4
"""Thicker cable in a loop draws more of the current to itself; so often what it carries is found anew."""


@dataclass(frozen=True, slots=True)
class Settled:
    """A design with the task that it solves: what its own fuses ask of the wires included."""

    task: Task
    design: Design


def settle(installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Settled:
    """Choose until the fuses that are chosen ask for no more than the wires allow."""
    task = _with_lower(Task.of(installation, estimates))
    settled = _choose(task, installation)
    for _ in range(_MOST_GROWTHS):
        grown = _grown(settled.task, settled.design)
        if grown is None:
            break
        settled = _choose(grown, installation)
    settled = _with_returns(settled, installation)
    stronger = _with_stronger(settled, installation)
    return _in_series(_with_returns(stronger, installation))


def _with_returns(settled: Settled, installation: Installation) -> Settled:
    """The design with shared ways back thick enough for all the fuses that were chosen."""
    for _ in range(_MOST_ROUNDS):
        design = settled.design
        fuller = settled.task.with_ratings({name: fuse.rating_a for name, fuse in design.fuses.items()})
        if not _outgrown(fuller, design):
            break
        settled = _choose(fuller, installation)
    return settled


def _in_series(settled: Settled) -> Settled:
    """The same wires with fuses that open after those behind them, where their windows have such ratings."""
    design = settled.design
    later = later_openings(settled.task.with_fuses(design.sizes), design.fuses)
    if not later:
        return settled
    ratings = {name: (choice.rating_a, choice.family) for name, choice in later.items()}
    return Settled(
        settled.task,
        replace(
            design,
            installation=design.installation.with_choices({}, ratings),
            fuses={**design.fuses, **later},
        ),
    )


def _grown(task: Task, design: Design) -> Task | None:
    """The task with what wires carry at the sizes that were chosen; None where that is no more than thought.

    It only ever grows, so that the rounds end.
    """
    if not divides(task.wiring):
        return None
    now = wire_up(design.installation, task.wiring.estimates).currents
    known = task.wiring.currents.pieces
    for name, found in now.pieces.items():
        before_a = known[name].continuous_a
        if (
            before_a is not None
            and found.continuous_a is not None
            and found.continuous_a > before_a * (1 + 1e-6)
        ):
            return _with_lower(task.with_currents(now))
    return None


def _with_lower(task: Task) -> Task:
    """The task with the needs of fuses that will be of a stronger family, where those are lower.

    Thicker wires only make more fault current, so that what can't be broken at the least sizes never can.
    """
    least = least_sizes(task.local)
    sizes = {
        wire.name: task.shelf.sizes[k] for name, k in least.index.items() for wire in task.open_wires[name]
    }
    wanted = lower_needs(task.with_fuses(sizes))
    return task.with_stronger(wanted) if wanted else task


def _with_stronger(settled: Settled, installation: Installation) -> Settled:
    """The design with wires thick enough for fuses that break their fault, where some wires are.

    Such a family can be slower, or begin at higher ratings, than the usual one that the wires were sized for.
    """
    task, design = settled.task, settled.design
    wanted = stronger_needs(task.with_fuses(design.sizes), design.fuses)
    pieces = task.wiring.topology.pieces
    while wanted:
        fuller = task.with_stronger(wanted)
        other = _choose(fuller, installation)
        if set(other.design.unsolved) <= set(design.unsolved):
            return other
        lost = {found.circuit for found in other.design.unsolved} - {
            found.circuit for found in design.unsolved
        }
        kept = {n: need for n, need in wanted.items() if pieces[task.wiring.index(n)].circuit not in lost}
        wanted = kept if len(kept) < len(wanted) else {}
    return settled


def _outgrown(task: Task, design: Design) -> bool:
    """Whether a way back that is chosen is too thin for the fuses that are chosen since."""
    return any(
        wire.name in design.sizes
        and task.local.forced.get(wire.name)
        and stands_alone(task.local, name, design.sizes[wire.name]) is not None
        for name, wires in task.open_wires.items()
        for wire in wires
    )


def _choose(task: Task, installation: Installation, *, again: bool = True) -> Settled:
    charging = charging_least(task, least_sizes(task.local))
    least = charging.least
    found = search(task, least)
    least = replace(least, index={n: k for n, k in least.index.items() if n in found.picked})
    judge = Judge(task, least, found.body)
    start = judge.repair(found.picked)
    items = task.trim_items(least)
    trimmed = exchange(items, trim(items, start, judge.passes), judge.passes, judge.promising)
    index = _loops(task, least, judge, trimmed)
    sizes = {wire.name: task.shelf.sizes[k] for name, k in index.items() for wire in task.open_wires[name]}
    standing = task.with_fuses(sizes)
    fuses, families = choose_fuses(standing), typed(standing)
    ratings = {name: (choice.rating_a, choice.family) for name, choice in fuses.items()}
    # The rating that is written stands, even where the wires were chosen for the one that its load needs.
    typed_parts = (part for part in installation.parts() if part.name in families)
    ratings |= {part.name: (part.rating_a or 0.0, families[part.name]) for part in typed_parts}
    made = installation.with_choices(sizes, ratings)
    lossier = _lossier(task, made, (*fuses, *families)) if again else {}
    if lossier and judge.slack_v(index) < _lost_more_v(task, lossier):
        # What these fuses lose may break a limit that the ones thought of before kept: size the wires by it.
        return _choose(task.with_ends(lossier), installation, again=False)
    bindings = judge.bindings(index)
    design = Design(
        installation=made,
        sizes=sizes,
        fuses=fuses,
        families=families,
        bindings=bindings,
        unsolved=(*least.unsolved, *charging.lost, *found.lost),
        copper_cm3=_copper_cm3(task, index),
        price=_price(task, index) if task.shelf.priced else None,
        lifted=tuple(name for name in sorted(index) if _for_others(bindings[name], name)),
    )
    return Settled(task, design)


def _lossier(task: Task, made: Installation, chosen: Iterable[str]) -> Mapping[str, Ends]:
    """The chosen fuses that lose more than was thought of them before they had a rating and a type."""
    wiring, names = task.wiring, set(chosen)
    found: dict[str, Ends] = {}
    for part in made.parts():
        if part.name in names and part.name in wiring.ends:
            amps = wiring.currents.pieces[part.name].continuous_a or 0.0
            ends = part_ends(made, part, amps, short=part.name in wiring.short_runs)
            if ends.typical > wiring.ends[part.name].typical * (1 + 1e-9):
                found[part.name] = ends
    return found


def _lost_more_v(task: Task, lossier: Mapping[str, Ends]) -> float:
    """What all of them lose more, as if one load passed them all. [V]"""
    wiring = task.wiring
    return sum(
        (ends.typical - wiring.ends[name].typical) * (wiring.currents.pieces[name].drop_a or 0.0)
        for name, ends in lossier.items()
    )


def _for_others(binding: Binding, name: str) -> bool:
    """Tell whether what holds a circuit at its size is the drop of another circuit."""
    return binding.kind is ReasonKind.DROP and binding.where != name


@dataclass(frozen=True, slots=True)
class Searched:
    """Sizes by the exact search, circuits whose limit no size meets, and the body's end that was counted."""

    picked: Mapping[str, int]
    lost: tuple[Unsolved, ...]
    body: str


def search(task: Task, least: Least) -> Searched:
    """Sizes by the exact search; limits that no size meets are told and left out.

    The body counts at its high end; where nothing meets that, at its typical one (verdict then unknown).
    """
    items = drop_items(task.hot, task.shelf, task.open_wires, least.index)
    limits: list[Limit] = []
    for body in ("high", "typical"):
        limits = drop_limits(task.wiring, task.open_wires, least.index, body)
        picked = least_cost(items, limits)
        if picked is None:
            conservative, limits = limits, _as_they_lie(task, least, items, limits)
            picked = least_cost(items, limits) if limits != conservative else None
        if picked is not None:
            return Searched(picked, (), body)
    lost: dict[str, Unsolved] = {}
    for limit in _hopeless(items, limits):
        limits.remove(limit)
        culprit = _owner(task, limit)
        if culprit is not None:
            lost.setdefault(culprit, never_met(task, culprit, least_drop_v(items, limit), limit))
    picked = least_cost(items, limits) or {}
    kept = {name: index for name, index in picked.items() if name not in lost}
    return Searched(kept, tuple(lost.values()), "typical")


def _as_they_lie(task: Task, least: Least, items: Sequence[Item], limits: Sequence[Limit]) -> list[Limit]:
    """The limits, of those that nothing meets the ones that something does where it counts as it lies."""

    def nearer(limit: Limit) -> Limit:
        found = as_they_lie(task.wiring, task.hot, task.open_wires, least.index, limit)
        return limit if _hopeless(items, [found]) else found

    hopeless = _hopeless(items, limits)
    return [nearer(limit) if limit in hopeless else limit for limit in limits]


def _hopeless(items: Sequence[Item], limits: Sequence[Limit]) -> list[Limit]:
    """Limits that even the thickest of everything does not meet."""
    return [limit for limit in limits if least_drop_v(items, limit) > limit.budget_v + 1e-12]


def _owner(task: Task, limit: Limit) -> str | None:
    """The circuit that a limit is of, where its size is open.

    None where it is written: no feeder before it can make up for that, and its drop is found and told.
    """
    circuits = task.wiring.installation.circuits
    about = limit.about.removesuffix(" input")
    own = (n for n in sorted(limit.items) if about in {n, *circuits[n].loads, circuits[n].converter})
    return next(own, None)


def _loops(task: Task, least: Least, judge: Judge, index: Mapping[str, int]) -> Mapping[str, int]:
    """Circuits that close loops share current by size: try all their sizes as one batch, then trim."""
    names = [n for n in sorted(index) if task.wiring.tree.circuits[n].in_loop]
    ranges = [range(least.index[n], len(task.shelf.sizes)) for n in names]
    count = prod(map(len, ranges)) if names else 0
    if not 1 < count <= _MOST_LOOP_CHOICES:
        return index
    choices = [{**index, **dict(zip(names, each, strict=True))} for each in product(*ranges)]
    good = [choice for choice, passing in zip(choices, judge.passes(choices), strict=True) if passing]
    if not good:
        return index

    def cost(choice: Choice) -> float:
        return sum(task.shelf.cost(task.open_wires[n], task.shelf.sizes[choice[n]]) for n in names)

    return trim(task.trim_items(least), min(good, key=cost), judge.passes)


def _copper_cm3(task: Task, index: Mapping[str, int]) -> float:
    return sum(
        wire.length_m * wire.parallel * task.shelf.sizes[k].area_mm2
        for name, k in index.items()
        for wire in task.open_wires[name]
    )


def _price(task: Task, index: Mapping[str, int]) -> float:
    return sum(task.shelf.cost(task.open_wires[name], task.shelf.sizes[k]) for name, k in index.items())
