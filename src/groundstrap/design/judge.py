"""The true network as the judge of choices."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field

import numpy as np
from numpy.typing import NDArray

from groundstrap.assess import DesignCurrents, ReasonKind
from groundstrap.assess.drops import DropGauge, drop_cases
from groundstrap.assess.figures import Ends
from groundstrap.assess.lengthless import at_any_length
from groundstrap.assess.limits import is_charging
from groundstrap.assess.regions import guards
from groundstrap.assess.termination import lies_at_parts
from groundstrap.assess.wiring import Case, Wiring, parameters, wire_up
from groundstrap.design.bound import has_own_limit
from groundstrap.design.fuses import FuseNeed, Fuses, fuse_needs
from groundstrap.design.growth import larger
from groundstrap.design.local import Least, Local, Need, forced_of, needs_of
from groundstrap.design.promise import Promise
from groundstrap.design.results import Binding
from groundstrap.design.shelf import Shelf, open_circuits, shelf_of
from groundstrap.design.tried import OpenWire, Tried
from groundstrap.design.trim import Choice, MayPass, TrimItem
from groundstrap.design.values import HotSizes
from groundstrap.model import Installation, LoadEstimate, Wire
from groundstrap.records import dataclass, replace
from groundstrap.units import ConductorSize

__all__ = ["Judge", "Task"]

_MOST_REPAIRS = 12
"""Steps tried where loops make the bound search too hopeful; what still fails then is found and said."""

LOSES_NOTHING_OHM = 1e-6


@dataclass(frozen=True, slots=True)
class Task:
    """What stays the same through a choice."""

    wiring: Wiring
    shelf: Shelf
    open_wires: Mapping[str, tuple[Wire, ...]]
    local: Local
    hot: HotSizes
    asked: Mapping[str, FuseNeed]
    """What each fuse must at least be."""
    fitted: dict[frozenset[tuple[str, ConductorSize]], Fuses] = field(
        default_factory=dict, repr=False, compare=False
    )
    """Sizes that wires were given -> the fuses then; several steps of a choice ask for the same."""

    @classmethod
    def of(cls, installation: Installation, estimates: Mapping[str, LoadEstimate]) -> Task:
        """Wire the installation up as it stands, sizes open."""
        wiring = wire_up(installation, estimates)
        shelf, wires = shelf_of(installation), open_circuits(wiring.installation)
        fuses = guards(wiring.topology, wiring.tree)
        asked = at_any_length(wiring, "needs of fuses", lambda bare: fuse_needs(bare, fuses))
        needs, forced = needs_of(wiring, asked), forced_of(wiring, fuses, asked)
        local = Local(wiring, shelf, wires, needs, forced, lies_at_parts(wiring))
        return cls(wiring, shelf, wires, local, HotSizes(wiring, shelf), asked)

    def with_fuses(self, sizes: Mapping[str, ConductorSize]) -> Fuses:
        """Return the fuses with these wires chosen."""
        key = frozenset(sizes.items())
        if key not in self.fitted:
            self.fitted[key] = Fuses(self.wiring, sizes, self.asked)
        return self.fitted[key]

    def with_ratings(self, ratings_a: Mapping[str, float]) -> Task:
        """Return the same task with what fuses that are chosen by now ask of the ways back they share."""
        fuses = guards(self.wiring.topology, self.wiring.tree)
        forced = forced_of(self.wiring, fuses, self.asked, ratings_a)
        return replace(self, local=replace(self.local, forced=forced))

    def with_currents(self, currents: DesignCurrents) -> Task:
        """Return the same task with what the wires must carry where it is more than was thought."""
        wiring = replace(self.wiring, currents=larger(self.wiring.currents, currents))
        fuses = guards(wiring.topology, wiring.tree)
        asked = fuse_needs(wiring, fuses)
        local = replace(
            self.local,
            wiring=wiring,
            needs=needs_of(wiring, asked),
            forced=forced_of(wiring, fuses, asked),
        )
        hot = HotSizes(wiring, self.shelf)
        return replace(self, wiring=wiring, local=local, hot=hot, asked=asked, fitted={})

    def with_ends(self, ends: Mapping[str, Ends]) -> Task:
        """Return the same task with what fuses that are chosen by now lose."""
        wiring = replace(self.wiring, ends={**self.wiring.ends, **ends}, own_wires={}, passive={})
        local = replace(self.local, wiring=wiring)
        return replace(self, wiring=wiring, local=local, hot=HotSizes(wiring, self.shelf), fitted={})

    def with_stronger(self, needs: Mapping[str, FuseNeed]) -> Task:
        """Return the same task with wires that stand behind these fuses too."""
        changed = {
            wire: tuple(
                Need(old.fuse, new.rating_a, new.written, new.family, new.behind)
                if (new := needs.get(old.fuse)) is not None
                else old
                for old in standing
            )
            for wire, standing in self.local.needs.items()
        }
        return replace(self, local=replace(self.local, needs=changed))

    def trim_items(self, least: Least) -> tuple[TrimItem, ...]:
        """Return what may be trimmed, in the order of names."""
        return tuple(
            TrimItem(
                name=name,
                least=first,
                length_m=sum(wire.length_m for wire in self.open_wires[name]),
                cost=self.shelf.costs(self.open_wires[name]),
                carries=frozenset(self.wiring.tree.circuits[name].draws),
            )
            for name, first in sorted(least.index.items())
        )


class Judge:
    """Judges choices by the drops of the true network; none is solved a second time."""

    def __init__(self, task: Task, least: Least, body: str) -> None:
        """Take the drop's cases with the body at the end that was asked for."""
        self.task, self.least = task, least
        self.circuits = _limited(task.wiring)
        self._names = tuple(sorted(least.index))
        wires, wanted = self._open_wires(), (case for case in drop_cases(task.wiring) if case.body == body)
        self._cases = [self._tried(case, wires) for case in wanted]
        self._keep(np.ones(len(self.circuits) * len(self._cases), dtype=np.bool_))
        self._seen: dict[tuple[int, ...], NDArray[np.float64]] = {}

    def _open_wires(self) -> list[OpenWire]:
        index, hot = self.task.wiring.index, self.task.hot
        return [
            OpenWire(index(wire.name), place, *hot.of(wire))
            for place, name in enumerate(self._names)
            for wire in self.task.open_wires[name]
        ]

    def _tried(self, case: Case, wires: Sequence[OpenWire]) -> Tried:
        """A case in which choices are tried.

        Wires that nobody knows, and those for which nothing could be chosen, lose nothing here: no size of
        another wire is to make up for them. What hangs on them is rated as not known.
        """
        wiring = self.task.wiring
        base = parameters(wiring, case)
        for number in {wiring.index(n) for n in wiring.stand_ins} - {wire.branch for wire in wires}:
            base[number] = (LOSES_NOTHING_OHM, 0.0)
        return Tried(wiring.network, base, wires, DropGauge(wiring, case, self.circuits))

    def _keep(self, kept: NDArray[np.bool_]) -> None:
        """Judge by these limits alone: those of the circuits in the first case, then those in the next."""
        self._kept = kept
        each = kept.reshape(len(self._cases), len(self.circuits))
        self._asked = [bool(row.any()) for row in each]
        every = self.circuits * len(self._cases)
        self._about = tuple(name for name, is_kept in zip(every, kept, strict=True) if is_kept)
        self._limit_v = np.concatenate([case.limit_v for case in self._cases])[kept]
        self._most_v = self._limit_v * (1 + 1e-9)

    def _drops_v(self, choices: Sequence[Choice]) -> NDArray[np.float64]:
        """What drops of each limit that is kept, one row a choice; inf without a point. [V]"""
        keys = [tuple(choice[name] for name in self._names) for choice in choices]
        fresh = [key for key in dict.fromkeys(keys) if key not in self._seen]
        if fresh:
            some = np.array(fresh, dtype=np.intp)
            # A case of which no limit is kept, as one without a point, is not solved again.
            nothing = np.full((len(self.circuits), len(fresh)), np.inf)
            cases = zip(self._cases, self._asked, strict=True)
            found = np.concatenate([case.drops_v(some) if asked else nothing for case, asked in cases])
            self._seen |= dict(zip(fresh, found.T, strict=True))
        return np.array([self._seen[key] for key in keys])[:, self._kept]

    def passes(self, choices: Sequence[Choice]) -> list[bool]:
        """Choices in which every circuit keeps its limit in every case."""
        if not self._about or not choices:
            return [True] * len(choices)
        return [bool((drop_v <= self._most_v).all()) for drop_v in self._drops_v(choices)]

    def slack_v(self, choice: Choice) -> float:
        """Return how far a choice stays below the nearest limit that it keeps; inf where none is. [V]"""
        if not self._about:
            return math.inf
        left = self._most_v - self._drops_v([choice])[0]
        return float(min(left[left >= 0.0], default=math.inf))

    def promising(self, at: Choice) -> MayPass:
        """Return what tells of swaps from a choice whether they may pass, without solving any of them."""
        if not self._about:
            return lambda _: True
        place = {name: number for number, name in enumerate(self._names)}
        key, nothing = [at[name] for name in self._names], [np.nan] * len(self._names)
        cases = zip(self._cases, self._asked, strict=True)
        lost_v = np.array([case.lost_v(key) if asked else nothing for case, asked in cases])
        case_of = np.repeat(np.arange(len(self._cases)), len(self.circuits))[self._kept]
        sizes = self.task.shelf.sizes

        def over_v(choice: Choice) -> NDArray[np.float64]:
            over: NDArray[np.float64] = self._drops_v([choice])[0] - self._most_v
            return np.where(np.isfinite(over), over, np.nan)

        def spared_v(up: str) -> NDArray[np.float64]:
            thinner = sizes[at[up]].area_mm2 / sizes[at[up] + 1].area_mm2
            less_v = lost_v[case_of, place[up]] * (1.0 - thinner)
            return np.where(self._shares(up), less_v, 0.0)

        return Promise(at, over_v, spared_v).may_pass

    def _shares(self, name: str) -> NDArray[np.bool_]:
        """Which of the limits that are kept are of circuits that have a load in common with this one."""
        circuits = self.task.wiring.tree.circuits
        own = frozenset(circuits[name].draws)
        shared = {each: not own.isdisjoint(circuits[each].draws) for each in dict.fromkeys(self._about)}
        return np.array([shared[each] for each in self._about], dtype=np.bool_)

    def repair(self, picked: Choice) -> Choice:
        """Raise sizes until the true network passes; on trees it does from the start.

        What even the thickest wire can't mend (a written wire that drops too much) is no reason to raise
        others: such circuits are left out of the judgement, in the cases where that is so.
        """
        index = dict(picked)
        if not index or not self.circuits:
            return index
        # What was picked is the first that is solved, near to all that follow.
        if self.passes([index])[0]:
            return index
        top = len(self.task.shelf.sizes) - 1
        thickest_v = self._drops_v([dict.fromkeys(index, top)])[0]
        self._keep(thickest_v <= self._most_v)
        for _ in range(_MOST_REPAIRS):
            higher = [name for name in sorted(index) if index[name] < top]
            if not higher or self.passes([index])[0]:
                break
            index[self._best_step(index, higher)] += 1
        return index

    def _best_step(self, index: Choice, higher: Sequence[str]) -> str:
        steps = self._drops_v([{**index, name: index[name] + 1} for name in higher])
        over_v = np.maximum(steps - self._limit_v, 0.0).sum(axis=1)
        return higher[int(np.argmin(over_v))]

    def bindings(self, index: Choice) -> Mapping[str, Binding]:
        """What stopped the next smaller wire of each circuit."""
        above = [name for name in sorted(index) if index[name] > self.least.index[name]]
        result = {name: self.least.bindings[name] for name in index}
        if not above:
            return result
        smaller = [{**index, name: index[name] - 1} for name in above]
        drops = self._drops_v(smaller)
        for name, choice, passing, drop_v in zip(above, smaller, self.passes(smaller), drops, strict=True):
            size = self.task.shelf.sizes[choice[name]]
            # Trim leaves a size that could be smaller only where it costs less than the thinner one.
            dearer = Binding(kind=None, dearer=True, smaller=size)
            result[name] = dearer if passing else self._worst(drop_v, size)
        return result

    def _worst(self, drop_v: NDArray[np.float64], smaller: ConductorSize) -> Binding:
        """The circuit that is furthest over its limit in one choice."""
        at = int(np.argmax(drop_v - self._limit_v))
        return Binding(
            kind=ReasonKind.DROP,
            smaller=smaller,
            where=self._about[at],
            value=float(drop_v[at]),
            limit=float(self._limit_v[at]),
        )


def _limited(wiring: Wiring) -> tuple[str, ...]:
    """Circuits whose drop the network decides: at loads or converters, or with a limit of their own."""
    installation = wiring.installation
    result = []
    for name in sorted(wiring.tree.circuits):
        circuit, feeding = installation.circuits[name], wiring.tree.circuits[name]
        known = all(wiring.currents.draws[d].known for d in feeding.draws if d in wiring.currents.draws)
        ends = bool(circuit.loads) or circuit.converter is not None
        itself = has_own_limit(installation, circuit) and not is_charging(installation, circuit)
        if known and feeding.draws and (ends or itself):
            result.append(name)
    return tuple(result)
