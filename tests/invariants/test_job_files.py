"""Whatever is done to a job file, it reads or it has faults; and the order of its entries does not matter."""

from __future__ import annotations

import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundstrap.errors import Fault, JobError
from groundstrap.job import decode_job, read_job
from groundstrap.model import Installation
from tests.support.jobs import SAMPLES

TEXTS = [path.read_text(encoding="utf-8") for path in sorted(SAMPLES.glob("*.job.yaml"))]
ODD = [*"{}[],:#&*!|>'\"%@`-?\n\t\\0", "\x00", "\u2028", "\ufeff", "\ud800", "é"]
ODD += ["unknown", "- ", ": ", "<<: ", "1e999 A"]


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A sample with a few letters, words or lines of it lost, doubled or swapped."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, max(len(text) - 1, 0)))
        what = draw(st.sampled_from(("lose", "put", "line", "word", "cut")))
        if what == "lose":
            text = text[:at] + text[at + 1 :]
        elif what == "put":
            text = text[:at] + draw(st.sampled_from(ODD)) + text[at:]
        elif what == "cut":
            text = text[:at] + text[at + draw(st.integers(1, 60)) :]
        else:
            pieces = re.split(r"(\n)" if what == "line" else r"(\W)", text)
            one, other = (draw(st.integers(0, len(pieces) - 1)) for _ in range(2))
            pieces[one] = pieces[other]
            text = "".join(pieces)
    return text


def read_or_faults(text: str) -> Installation | tuple[Fault, ...]:
    """Read a text; anything but an installation or a list of faults is an error of the reader."""
    try:
        return read_job(text, "mutated.yaml").installation
    except JobError as error:
        return error.faults


@given(mutated())
@settings(max_examples=150, deadline=None)
def test_a_mutated_file_reads_or_has_faults(text: str) -> None:
    found = read_or_faults(text)
    if isinstance(found, tuple):
        assert found
        assert all(fault.wanted and fault.line >= 0 for fault in found)
    else:
        assert all(wire.length_m > 0 for circuit in found.circuits.values() for wire in circuit.wires)


@given(st.text(max_size=300))
@settings(max_examples=60, deadline=None)
def test_any_text_at_all_has_faults(text: str) -> None:
    assert isinstance(read_or_faults(text), tuple)


@given(st.binary(max_size=300).filter(lambda data: not _is_utf_8(data)))
@settings(max_examples=30, deadline=None)
def test_bytes_that_are_no_text_have_a_fault(data: bytes) -> None:
    with pytest.raises(JobError, match="UTF-8"):
        decode_job(data)


def _is_utf_8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def shuffled(text: str, seed: int) -> str:
    """Return a sample with the entries of its circuits, loads and gear in another order."""
    chance = random.Random(seed)
    lines = text.split("\n")
    at = 0
    while at < len(lines):
        if re.fullmatch(r"(circuits|loads|gear):", lines[at]):
            end = at + 1
            while end < len(lines) and (lines[end].startswith("  ") or not lines[end]):
                end += 1
            entries: list[list[str]] = []
            for line in lines[at + 1 : end]:
                if re.match(r"  [^ #]", line) or not entries:
                    entries.append([])
                entries[-1].append(line)
            chance.shuffle(entries)
            lines[at + 1 : end] = [line for entry in entries for line in entry]
            at = end
        else:
            at += 1
    return "\n".join(lines)


def shape(installation: Installation) -> object:
    """Everything but the order; circuits that share a load's return may change which of them has it."""
    return (
        {load.name: load for load in installation.loads.values()},
        dict(installation.gear),
        dict(installation.supplies),
        {name: circuit.path for name, circuit in installation.circuits.items()},
        {(tie.start, tie.end, tie.kind) for tie in installation.ties},
        set(installation.chassis_points),
    )


@given(st.sampled_from(TEXTS), st.integers(0, 10_000))
@settings(max_examples=30, deadline=None)
def test_order_of_entries_does_not_matter(text: str, seed: int) -> None:
    assert shape(read_job(shuffled(text, seed)).installation) == shape(read_job(text).installation)
