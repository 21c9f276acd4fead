"""Readings of a job as probes of the search, and the cases that they were taken in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from groundstrap.assess.positions import may_run
from groundstrap.assess.topology import PieceKind, Topology
from groundstrap.assess.wiring import Case, Wiring
from groundstrap.errors import CallError
from groundstrap.locate.probes import Probe, ProbeKind
from groundstrap.locate.search import LEADING, OFF, Complaint
from groundstrap.model import Installation, LoadKind, MeterSpec, Reading, ReadingSet, Situation, State, Wire
from groundstrap.records import dataclass

__all__ = ["Taken", "case_of", "leading_case", "probe_at", "probe_of", "taken_of"]

_FIRST_MORE: Final = OFF + 1
"""Number of the first case behind the leading one and the same with all off."""
_BY_PREFERENCE = (Situation.RESTING, Situation.DRIVING, Situation.IDLING, Situation.MAINS, Situation.CRANKING)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What was read: probes with their values, the cases that they name, and what says nothing here."""

    probes: tuple[Probe, ...]
    values: tuple[float, ...]
    readings: tuple[Reading, ...]
    meters: Mapping[int, MeterSpec]
    cases: tuple[Case, ...]
    left_out: tuple[str, ...]


def leading_case(wiring: Wiring, complaint: Complaint | None, sets: Iterable[ReadingSet]) -> Case:
    """Return the case that readings are proposed in: that of the last set with the load, else a quiet one."""
    installation = wiring.installation
    if complaint is not None and complaint.flat:
        return Case(situation=Situation.RESTING, running=frozenset())
    load = None if complaint is None else complaint.load
    with_it = [each for each in sets if (load in each.using if load is not None else each.using)]
    if with_it:
        return case_of(installation, with_it[-1])
    if load is None:
        return Case(
            situation=Situation.RESTING, running=_known(wiring, may_run(installation, Situation.RESTING))
        )
    for situation in _BY_PREFERENCE:
        if load in may_run(installation, situation):
            return Case(situation=situation, running=_known(wiring, (load, *_coils(installation, {load}))))
    raise CallError(f"{load} runs in no situation of this job", wanted="its `runs`")


def _known(wiring: Wiring, names: Iterable[str]) -> frozenset[str]:
    """Those of which something says what they take."""
    return frozenset(n for n in names if n in wiring.estimates and wiring.estimates[n].known)


def case_of(installation: Installation, taken: ReadingSet) -> Case:
    """Return the case that a set of readings was taken in, with the coils that what ran hangs on."""
    running = frozenset(taken.using)
    return Case(situation=taken.when, running=running | _coils(installation, running))


def _coils(installation: Installation, running: Iterable[str]) -> frozenset[str]:
    """Coils of the relays that loads which run hang on."""
    wanted = set(running)
    relays = {
        name
        for circuit in installation.circuits.values()
        if wanted & set(circuit.loads)
        for part in circuit.parts
        for name in (part.name, part.gear)
    }
    return frozenset(
        name
        for name, load in installation.loads.items()
        if load.kind is LoadKind.COIL and load.relay in relays and load.state is not State.REMOVE
    )


def taken_of(wiring: Wiring, leading: Case, sets: Iterable[ReadingSet]) -> Taken:
    """Return the readings of a job, each in its own case."""
    cases: list[Case] = []
    probes: list[Probe] = []
    readings: list[Reading] = []
    meters: dict[int, MeterSpec] = {}
    left_out: list[str] = []
    for each in sets:
        case = case_of(wiring.installation, each)
        number = _number(case, leading, cases)
        for reading in each.values:
            probe = probe_of(wiring.topology, reading, number)
            if probe is None:
                left_out.append(reading.text)
                continue
            meter = reading.meter or each.meter
            if meter is not None:
                meters[len(probes)] = meter
            probes.append(probe)
            readings.append(reading)
    return Taken(
        probes=tuple(probes),
        values=tuple(reading.value for reading in readings),
        readings=tuple(readings),
        meters=meters,
        cases=tuple(cases),
        left_out=tuple(left_out),
    )


def _number(case: Case, leading: Case, cases: list[Case]) -> int:
    if (case.situation, case.running) == (leading.situation, leading.running):
        return LEADING
    if case.situation is leading.situation and not case.running:
        return OFF
    known = [(each.situation, each.running) for each in cases]
    if (case.situation, case.running) not in known:
        cases.append(case)
        return _FIRST_MORE + len(cases) - 1
    return _FIRST_MORE + known.index((case.situation, case.running))


def probe_of(topology: Topology, reading: Reading, case: int) -> Probe | None:
    """Return a reading as a probe; None for a temperature, and what is no point or piece of the network."""
    if reading.kind == "voltage":
        return probe_at(topology, reading.red or "", reading.black or "", case)
    if reading.kind == "current" and reading.through is not None:
        return _through(topology, reading.through, case)
    return None


def probe_at(topology: Topology, red: str, black: str, case: int = 0) -> Probe | None:
    """Return volts from one point to another, or the current through `red` where there is no `black`."""
    if not black:
        return _through(topology, red, case)
    first, last = topology.node_of.get(red), topology.node_of.get(black)
    if first is None or last is None or first == last:
        return None
    return Probe(ProbeKind.VOLTS, case=case, red=first, black=last)


def _through(topology: Topology, name: str, case: int) -> Probe | None:
    """A current counts into a load, out of a supply, and along a circuit's way out."""
    number = topology.index.get(name)
    if number is None and name in topology.installation.circuits:
        path = topology.installation.circuits[name].path
        wires = [each.name for each in path if isinstance(each, Wire) and each.name in topology.index]
        number = topology.index[wires[0]] if wires else None
    if number is None:
        return None
    supplies = {PieceKind.BATTERY, PieceKind.MACHINE, PieceKind.PANEL}
    sign = -1.0 if topology.pieces[number].kind in supplies else 1.0
    return Probe(ProbeKind.AMPS, case=case, through=number, sign=sign)
