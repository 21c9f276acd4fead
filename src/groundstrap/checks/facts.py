"""What rules look at: every thing of an installation with what `assess` and `vet` found about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from groundstrap.assess.results import (
    CircuitAssessment,
    FuseAssessment,
    GearAssessment,
    LoadAssessment,
    SituationAssessment,
    SupplyAssessment,
    WireAssessment,
)
from groundstrap.checks.lookups import Lookups
from groundstrap.checks.rule import About
from groundstrap.model import (
    FUSES,
    Circuit,
    Gear,
    Load,
    Part,
    Passage,
    State,
    Supply,
    Wire,
)
from groundstrap.records import dataclass
from groundstrap.vet.results import ClaimVerdict, VettedLoad

# A plan runs no days, and loads nothing for it; nor for readings where there are none.
if TYPE_CHECKING:
    from groundstrap.endure.results import CutOff, Endurance, SpanRun, SupplyRun
    from groundstrap.locate.judged import Judged, JudgedReading, Proven

__all__ = [
    "BatteryRunSubject",
    "CircuitSubject",
    "ClaimSubject",
    "Facts",
    "FuseSubject",
    "GearSubject",
    "LoadRunSubject",
    "LoadSubject",
    "PartSubject",
    "ProofSubject",
    "ReadingSubject",
    "RecordSubject",
    "SheetSubject",
    "SituationSubject",
    "SpanRunSubject",
    "Subject",
    "SupplySubject",
    "WireSubject",
]


@dataclass(frozen=True)
class Facts(Lookups):
    """Installation, vetting and assessment, and every thing that a rule judges in them."""

    def subjects(self, about: About) -> tuple[Subject, ...]:
        """Return everything of one kind, in the order of the job file."""
        if about not in self._lists:
            self._lists[about] = tuple(_LISTS[about](self))
        return self._lists[about]

    @cached_property
    def _lists(self) -> dict[About, tuple[Subject, ...]]:
        """Things by kind, listed when they are first asked for."""
        return {}


@dataclass(frozen=True)
class Subject:
    """One thing that a rule judges."""

    facts: Facts

    @property
    def where(self) -> str:
        """Which thing of the job file it is, as a name or point."""
        raise NotImplementedError

    @property
    def circuit_name(self) -> str | None:
        """Circuit that it belongs to, if it belongs to one."""
        return None


@dataclass(frozen=True)
class CircuitSubject(Subject):
    """A circuit; `found` is None where it is to be taken out."""

    circuit: Circuit
    found: CircuitAssessment | None

    @property
    def where(self) -> str:
        """Its name."""
        return self.circuit.name

    @property
    def circuit_name(self) -> str | None:
        """Its name."""
        return self.circuit.name


@dataclass(frozen=True)
class WireSubject(Subject):
    """A piece of cable."""

    wire: Wire
    found: WireAssessment | None

    @property
    def where(self) -> str:
        """Its two ends."""
        return f"{self.wire.start} to {self.wire.end}"

    @property
    def circuit_name(self) -> str | None:
        """Circuit that it is a piece of."""
        return self.wire.circuit

    @property
    def circuit(self) -> Circuit:
        """Circuit that it is a piece of."""
        return self.facts.installation.circuits[self.wire.circuit]


@dataclass(frozen=True)
class PartSubject(Subject):
    """A part that the current passes."""

    part: Part

    @property
    def where(self) -> str:
        """Its name."""
        return self.part.name

    @property
    def circuit_name(self) -> str | None:
        """Circuit that it sits in."""
        return self.part.circuit

    @property
    def gear(self) -> Gear | None:
        """The gear that it is, where it has a name."""
        return self.facts.installation.gear.get(self.part.gear or "")


@dataclass(frozen=True)
class FuseSubject(PartSubject):
    """A fuse or breaker."""

    found: FuseAssessment | None


@dataclass(frozen=True)
class GearSubject(Subject):
    """A block or a part with a name."""

    gear: Gear
    found: GearAssessment | None

    @property
    def where(self) -> str:
        """Its name."""
        return self.gear.name


@dataclass(frozen=True)
class ConsumerSubject(Subject):
    """A consumer, as itself or over a run of days."""

    load: Load

    @property
    def where(self) -> str:
        """Its name."""
        return self.load.name

    @property
    def circuits(self) -> tuple[Circuit, ...]:
        """Circuits that it hangs on."""
        return tuple(c for c in self.facts.circuits.values() if self.load.name in c.loads)

    @property
    def circuit_name(self) -> str | None:
        """The circuit that it hangs on, the first of several."""
        return next((circuit.name for circuit in self.circuits), None)


@dataclass(frozen=True)
class LoadSubject(ConsumerSubject):
    """A consumer as solved."""

    found: LoadAssessment | None
    vetted: VettedLoad | None


@dataclass(frozen=True)
class ClaimSubject(Subject):
    """What somebody says that a load takes, and what became of it."""

    load: Load
    claim: ClaimVerdict

    @property
    def where(self) -> str:
        """Name of the load."""
        return self.load.name


@dataclass(frozen=True)
class SupplySubject(Subject):
    """A source."""

    supply: Supply
    found: SupplyAssessment | None

    @property
    def where(self) -> str:
        """Its name."""
        return self.supply.name


@dataclass(frozen=True)
class RecordSubject(Subject):
    """What is written down about the job as a whole."""

    @property
    def where(self) -> str:
        """The part of the job file that it is."""
        return "readings"


@dataclass(frozen=True)
class SituationSubject(Subject):
    """One situation as solved."""

    found: SituationAssessment

    @property
    def where(self) -> str:
        """The load that it fails at, else the situation."""
        culprit = self.found.culprit or next(iter(self.found.without), None)
        return culprit or self.found.situation.value


@dataclass(frozen=True)
class BatteryRunSubject(Subject):
    """A battery over the run of days."""

    run: SupplyRun
    days: Endurance

    @property
    def where(self) -> str:
        """Its name."""
        return self.run.name


@dataclass(frozen=True)
class LoadRunSubject(ConsumerSubject):
    """A load over the run of days, with the first time that it cut off."""

    cut: CutOff | None
    days: Endurance


@dataclass(frozen=True)
class SpanRunSubject(Subject):
    """A span of the last day of the run."""

    span: SpanRun
    days: Endurance

    @property
    def where(self) -> str:
        """Its place in the day."""
        return f"day {self.span.number}"


@dataclass(frozen=True)
class ReadingSubject(Subject):
    """A reading that was taken, beside what sound vehicles show."""

    taken: JudgedReading
    number: int

    @property
    def where(self) -> str:
        """Where it was read, as the job file has it."""
        return self.taken.where

    @property
    def circuit_name(self) -> str | None:
        """The circuit of what it was read at, where that is of one."""
        return self.facts.circuit_read((self.taken.red, self.taken.black, self.taken.through))


@dataclass(frozen=True)
class ProofSubject(Subject):
    """Something that readings prove to be off."""

    proven: Proven
    judged: Judged

    @property
    def where(self) -> str:
        """The place or thing; of a reading that is wrong itself where it was read."""
        number = self.proven.reading
        return self.proven.place if number is None else self.judged.readings[number].where

    @property
    def circuit_name(self) -> str | None:
        """The circuit that it lies in, or that of the load that it is."""
        name = self.proven.circuit or self.facts.circuit_read((self.proven.place,))
        return name if name in self.facts.circuits else None


@dataclass(frozen=True)
class SheetSubject(Subject):
    """All readings of a job together."""

    judged: Judged

    @property
    def where(self) -> str:
        """The part of the job file that they are."""
        return "readings"


def _circuits(facts: Facts) -> Iterator[Subject]:
    for name, circuit in facts.circuits.items():
        yield CircuitSubject(facts, circuit, facts.assessment.circuits.get(name))


def _leftovers(facts: Facts) -> Iterator[Subject]:
    """Circuits to be taken out, and those with an end that nobody found."""
    for name, circuit in facts.installation.circuits.items():
        lost = any(isinstance(e, Passage) and e.what == "unknown" for e in (*circuit.path, *circuit.back))
        if circuit.state is State.REMOVE or lost:
            yield CircuitSubject(facts, circuit, facts.assessment.circuits.get(name))


def _wires(facts: Facts) -> Iterator[Subject]:
    for wire in facts.installation.wires():
        yield WireSubject(facts, wire, facts.wire_findings.get(wire.name))


def _parts(facts: Facts) -> Iterator[Subject]:
    for part in facts.parts.values():
        yield PartSubject(facts, part)


def _fuses(facts: Facts) -> Iterator[Subject]:
    for part in facts.parts.values():
        if part.kind in FUSES:
            yield FuseSubject(facts, part, facts.fuses.get(part.name))


def _gear(facts: Facts) -> Iterator[Subject]:
    for name, gear in facts.installation.gear.items():
        if gear.state is not State.REMOVE:
            yield GearSubject(facts, gear, facts.assessment.gear.get(name))


def _loads(facts: Facts) -> Iterator[Subject]:
    for name, load in facts.loads.items():
        yield LoadSubject(facts, load, facts.assessment.loads.get(name), facts.vetting.loads.get(name))


def _claims(facts: Facts) -> Iterator[Subject]:
    for name, vetted in facts.vetting.loads.items():
        if name in facts.loads:
            for claim in vetted.claims:
                yield ClaimSubject(facts, facts.loads[name], claim)


def _supplies(facts: Facts) -> Iterator[Subject]:
    for name, supply in facts.supplies.items():
        yield SupplySubject(facts, supply, facts.assessment.supplies.get(name))


def _situations(facts: Facts) -> Iterator[Subject]:
    for found in facts.assessment.situations.values():
        yield SituationSubject(facts, found)


def _record(facts: Facts) -> Iterator[Subject]:
    yield RecordSubject(facts)


def _battery_runs(facts: Facts) -> Iterator[Subject]:
    days = facts.endurance
    if days is not None:
        for found in days.supplies.values():
            yield BatteryRunSubject(facts, found, days)


def _load_runs(facts: Facts) -> Iterator[Subject]:
    days = facts.endurance
    if days is None:
        return
    first: dict[str, CutOff] = {}
    for each in sorted(days.cut_offs, key=lambda each: each.at_s):
        first.setdefault(each.load, each)
    for name, load in facts.loads.items():
        if name in days.course.loads or name in days.unknown:
            yield LoadRunSubject(facts, load, first.get(name), days)


def _span_runs(facts: Facts) -> Iterator[Subject]:
    days = facts.endurance
    if days is not None:
        for span in days.spans:
            if span.day == days.days:
                yield SpanRunSubject(facts, span, days)


def _readings(facts: Facts) -> Iterator[Subject]:
    for number, each in enumerate(facts.judged.readings if facts.judged is not None else ()):
        yield ReadingSubject(facts, each, number)


def _proofs(facts: Facts) -> Iterator[Subject]:
    if facts.judged is not None:
        for each in facts.judged.proven:
            yield ProofSubject(facts, each, facts.judged)


def _sheet(facts: Facts) -> Iterator[Subject]:
    if facts.judged is not None:
        yield SheetSubject(facts, facts.judged)


_LISTS: Mapping[About, Callable[[Facts], Iterator[Subject]]] = {
    About.CIRCUIT: _circuits,
    About.LEFTOVER: _leftovers,
    About.WIRE: _wires,
    About.FUSE: _fuses,
    About.PART: _parts,
    About.GEAR: _gear,
    About.LOAD: _loads,
    About.CLAIM: _claims,
    About.SUPPLY: _supplies,
    About.SITUATION: _situations,
    About.RECORD: _record,
    About.BATTERY_RUN: _battery_runs,
    About.LOAD_RUN: _load_runs,
    About.SPAN_RUN: _span_runs,
    About.READING: _readings,
    About.PROOF: _proofs,
    About.SHEET: _sheet,
}
