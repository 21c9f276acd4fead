"""From a job to its answers: vetted, planned, checked, and its choices pinned. No file is touched here."""

from __future__ import annotations

import hashlib
import importlib
from functools import cache, lru_cache
from pathlib import Path

import groundstrap.job
import groundstrap.tables
from groundstrap import __version__
from groundstrap.assess import assess_wiring, wire_up
from groundstrap.assess.wiring import is_open
from groundstrap.checks import About, Finding, FindingOutcome, Judgement, Level, rule, run, worst
from groundstrap.design.answer import Chosen, chosen
from groundstrap.errors import CallError
from groundstrap.job import Job
from groundstrap.model import Installation
from groundstrap.records import dataclass, replace
from groundstrap.report.figures import Display, number
from groundstrap.report.plan import Pinned, Plan, VetAnswer
from groundstrap.vet import Vetting
from groundstrap.vet import vet as vet_loads

__all__ = ["check", "pin", "plan", "vet", "wiring_plan"]

_TABLES = Path(groundstrap.tables.__file__).with_name("data")


def plan(job: Job) -> Plan:
    """Choose what is left out, and judge the whole.

    Parameters
    ----------
    job : Job
        The job as it was read.

    Examples
    --------
    >>> from groundstrap.api import read_job
    >>> answer = plan(read_job('''groundstrap: 1
    ... title: Work light on the trailer
    ... system: 12 V
    ... loads:
    ...   work light: {claims: {power: 60 W}}
    ... circuits:
    ...   work light: {length: 7 m}
    ... '''))
    >>> sorted(answer.design.sizes)
    ['work light return 1', 'work light wire 1']
    """
    return _held(_Question(_fingerprint(job), job.installation))


def wiring_plan(job: Job) -> Plan:
    """Plan a job as if nothing had been read on it, for whoever looks into the readings anew.

    Found once, whatever is read afterwards.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    unread = replace(job.installation, readings=())
    found = _planned(_Question(f"unread {job.installation.title}", unread))
    return replace(found, fingerprint=_fingerprint(job))


def check(job: Job) -> Plan:
    """Judge a job as it stands and choose nothing: what has no size is not known.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    return _checked(_Question(_fingerprint(job), job.installation))


@dataclass(frozen=True, slots=True)
class _Question:
    """A job as far as the answer depends on it; two are one only where nothing in them differs."""

    fingerprint: str
    installation: Installation

    def __hash__(self) -> int:
        """By the fingerprint, which is shorter and differs where anything does."""
        return hash(self.fingerprint)


# A page that shows an answer in several ways asks for it several times.
@lru_cache(maxsize=8)
def _planned(asked: _Question) -> Plan:
    vetting = vet_loads(asked.installation)
    estimates = {name: found.estimate for name, found in vetting.loads.items()}
    return _judged(asked, vetting, chosen(asked.installation, estimates))


@lru_cache(maxsize=8)
def _held(asked: _Question) -> Plan:
    found = _planned(asked)
    return _with_readings(found, found.installation) if asked.installation.readings else found


@lru_cache(maxsize=8)
def _checked(asked: _Question) -> Plan:
    found = _judged(asked, vet_loads(asked.installation), None)
    if not asked.installation.readings:
        return found
    # What has no size was read on something all the same: on what would be chosen, as far as one knows.
    is_sized = not any(map(is_open, asked.installation.wires()))
    return _with_readings(found, found.installation if is_sized else _planned(asked).installation)


def _with_readings(found: Plan, fitted: Installation) -> Plan:
    """Hold readings against a plan; what does that is loaded for jobs that have some."""
    held: Plan = importlib.import_module("groundstrap.api.held_readings").with_readings(found, fitted)
    return held


def _judged(asked: _Question, vetting: Vetting, choice: Chosen | None) -> Plan:
    design = None if choice is None else choice.design
    installation = asked.installation if design is None else design.installation
    estimates = {name: found.estimate for name, found in vetting.loads.items()}
    wiring = wire_up(installation, estimates) if choice is None else choice.wiring
    assessment = assess_wiring(wiring)
    return Plan(
        installation=installation,
        vetting=vetting,
        design=design,
        assessment=assessment,
        judgement=run(installation, vetting, assessment),
        fingerprint=asked.fingerprint,
    )


def vet(job: Job) -> VetAnswer:
    """Tell what every load really draws, and what becomes of every claim.

    Parameters
    ----------
    job : Job
        The job as it was read.
    """
    judged = check(job)
    findings = tuple(each for each in judged.judgement.findings if _is_about_a_device(each))
    judgement = Judgement(findings=findings, counts=judged.judgement.counts)
    return VetAnswer(
        installation=job.installation, vetting=judged.vetting, findings=findings, worst=worst(judgement)
    )


def _is_about_a_device(finding: Finding) -> bool:
    """Whether it says something of a device and its label that no size of a wire can change."""
    record = rule(finding.rule)
    if record.about is About.CLAIM or record.slug == "load-unknown":
        return True
    return record.about is About.LOAD and finding.outcome is FindingOutcome.FAIL and record.id[:3] == "LOD"


def pin(job: Job, answer: Plan) -> Pinned:
    """Return the job's text with the choices of its plan written into its steps.

    What is written is never changed again, so a choice that a stop stands against is not written: its circuit
    stays open, and the next plan chooses it anew.

    Parameters
    ----------
    job : Job
        The job as it was read.
    answer : Plan
        What `plan` said to that job.
    """
    design = answer.design
    if design is None:
        raise CallError("a job that was only checked has no choices", wanted="what plan answers")
    stopped = _stopped(answer)
    kept: set[str] = set()
    open_: dict[str, tuple[str, ...]] = {}
    for circuit in answer.installation.circuits.values():
        own = {wire.name for wire in circuit.wires} | {part.name for part in circuit.parts}
        names = own & {*design.sizes, *design.fuses, *design.families}
        if circuit.name not in stopped:
            kept |= names
        elif names:
            open_[circuit.name] = stopped[circuit.name]
    sizes = {name: size for name, size in design.sizes.items() if name in kept}
    fuses = {name: fuse for name, fuse in design.fuses.items() if name in kept}
    ratings = {name: (fuse.rating_a, fuse.family) for name, fuse in fuses.items()}
    # Of a rating that is written the type alone was chosen.
    typed = {name: family for name, family in design.families.items() if name in kept}
    rated = {part.name: part.rating_a for part in answer.installation.parts() if part.name in typed}
    ratings |= {name: (rating_a, typed[name]) for name, rating_a in rated.items() if rating_a is not None}
    text = groundstrap.job.pin(job, sizes, ratings)
    shown = Display.of(answer.installation)
    written = [f"{name}: {shown.size(size)}" for name, size in sizes.items()]
    written += [f"{name}: {number(rating_a)} A, {family}" for name, (rating_a, family) in ratings.items()]
    return Pinned(
        text=text,
        wires=len(sizes),
        fuses=len(fuses),
        types=len(ratings) - len(fuses),
        left_open=open_,
        written=tuple(written),
    )


def _stopped(answer: Plan) -> dict[str, tuple[str, ...]]:
    """Circuits that a stop is about, each with the ids of its rules; what somebody answers for is none."""
    found: dict[str, tuple[str, ...]] = {}
    for each in answer.judgement.findings:
        stops = each.outcome is FindingOutcome.FAIL and each.level is Level.STOP and each.decides
        through = answer.assessment.returns.through.get(each.where)
        # A stop at a converter that is a way back for others is about the cable that was sized for them.
        circuit = through.circuit if each.circuit is None and through is not None else each.circuit
        if stops and circuit is not None:
            found[circuit] = tuple(dict.fromkeys((*found.get(circuit, ()), each.rule)))
    return found


def _fingerprint(job: Job) -> str:
    """Hash of everything that the answer depends on."""
    parts = (job.text, repr(job.installation.stock), repr(sorted(job.installation.curves.items())))
    found = hashlib.sha256(f"{__version__}\0{_tables_hash()}".encode())
    for part in parts:
        found.update(b"\0" + part.encode("utf-8", "surrogatepass"))
    return f"sha256:{found.hexdigest()[:32]}"


@cache
def _tables_hash() -> str:
    """Hash of the reference tables; they do not change while the program runs."""
    found = hashlib.sha256()
    for name in sorted(path.name for path in _TABLES.iterdir()):
        if name.endswith((".csv", ".toml")):
            found.update(name.encode() + b"\0" + (_TABLES / name).read_bytes())
    return found.hexdigest()
