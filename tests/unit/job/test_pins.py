"""Choices written back: at their step, on one line, and read again as written."""

import difflib

import pytest

from groundstrap.errors import CallError, UnknownNameError
from groundstrap.job import pin, read_job
from groundstrap.model import Installation, Origin, PartKind, State
from groundstrap.units import ConductorSize, parse_size
from tests.support.jobs import SAMPLES, changed

SIZES = tuple(parse_size(text) for text in ("2.5 mm2", "6 mm2", "10 AWG", "1.5 mm2"))


def choices(installation: Installation) -> tuple[dict[str, ConductorSize], dict[str, tuple[float, str]]]:
    """Choose something for everything, one size a circuit."""
    sizes: dict[str, ConductorSize] = {}
    ratings: dict[str, tuple[float, str]] = {}
    for number, circuit in enumerate(installation.circuits.values()):
        sizes |= {wire.name: SIZES[number % len(SIZES)] for wire in circuit.wires}
        for part in circuit.parts:
            if part.kind in {PartKind.FUSE, PartKind.BREAKER}:
                ratings[part.name] = (30.0, "regular blade" if part.kind is PartKind.FUSE else "")
    return sizes, ratings


def changed_lines(old: str, new: str) -> list[str]:
    return [
        line[1:]
        for line in difflib.unified_diff(old.splitlines(), new.splitlines(), n=0, lineterm="")
        if line.startswith("+") and not line.startswith("+++")
    ]


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.job.yaml")), ids=lambda path: path.name)
def test_every_sample_takes_its_pins(path: object) -> None:
    text = path.read_text(encoding="utf-8")  # type: ignore[attr-defined]
    before = read_job(text)
    sizes, ratings = choices(before.installation)
    pinned = pin(before, sizes, ratings)
    again = read_job(pinned).installation
    for circuit in again.circuits.values():
        old = before.installation.circuits[circuit.name]
        for wire, was in zip(circuit.wires, old.wires, strict=True):
            if was.state is State.NEW and not was.unknown:
                wanted = was.size or sizes[wire.name]
                assert (wire.size, wire.origin) == (wanted, Origin.WRITTEN)
            else:
                assert wire.size == was.size
            assert wire.length_m == pytest.approx(was.length_m, abs=1e-9)
        for part, was_part in zip(circuit.parts, old.parts, strict=True):
            if part.name in ratings and was_part.state is State.NEW:
                assert part.rating_a == (was_part.rating_a or 30.0)
    # a circuit of these files is one line, or its path is: one changed line each
    # and a negative that nobody drew is a line of its own
    implied = [name for name in before.installation.circuits if f"  {name}:" not in text]
    assert len(text.splitlines()) + len(implied) == len(pinned.splitlines())
    assert len(changed_lines(text, pinned)) <= len(before.installation.circuits)
    # what is pinned stays pinned
    assert pin(read_job(pinned), sizes, ratings) == pinned


def pinned_line(steps: str, keys: str, sizes: dict[str, str], ratings: dict[str, tuple[float, str]]) -> str:
    """Pin one circuit and return its line."""
    text = changed(more=f"  test: {{path: [{steps}]{keys}}}  # as drawn\n")
    found = pin(read_job(text), {name: parse_size(size) for name, size in sizes.items()}, ratings)
    [line] = changed_lines(text, found)
    return line.strip()


def test_a_gap_becomes_a_step_and_a_fuse_its_rating() -> None:
    sizes = {"test wire 1": "2.5 mm2", "test return 1": "2.5 mm2"}
    line = pinned_line("battery, fuse, fan", ", length: 2 m", sizes, {"test fuse": (15.0, "mini blade")})
    assert line == (
        "test: {path: [battery, {fuse: 15 A, family: mini blade}, wire: 2.5 mm2, fan], length: 2 m}"
        "  # as drawn"
    )


def test_cable_that_is_written_keeps_what_it_says() -> None:
    sizes = {"test wire 1": "2.5 mm2", "test wire 2": "4 mm2", "test return 1": "4 mm2"}
    line = pinned_line("battery, length: 20 cm, fuse: 10 A, {length: 1 m, colour: red}, fan", "", sizes, {})
    assert line == (
        "test: {path: [battery, {wire: 2.5 mm2, length: 20 cm}, fuse: 10 A, "
        "{wire: 4 mm2, length: 1 m, colour: red}, fan]}  # as drawn"
    )


def test_a_return_of_another_size_becomes_the_size_of_the_circuit() -> None:
    sizes = {"test wire 1": "2.5 mm2", "test return 1": "6 mm2"}
    line = pinned_line("battery, fuse: 10 A, fan", ", length: 2 m", sizes, {})
    assert (
        line
        == "test: {path: [battery, fuse: 10 A, wire: 2.5 mm2, fan], length: 2 m, wire: 6 mm2}  # as drawn"
    )


def test_a_drawn_return_is_pinned_at_its_steps() -> None:
    sizes = {"test wire 1": "2.5 mm2", "test return 1": "4 mm2", "test return 2": "6 mm2"}
    keys = ", length: 2 m, return: [plug 2, length: 10 cm, panel]"
    line = pinned_line("battery, fuse: 10 A, fan", keys, sizes, {})
    assert "return: [wire: 4 mm2, plug 2, {wire: 6 mm2, length: 10 cm}, panel]" in line


def test_a_rating_left_open_is_filled_in() -> None:
    ratings = {"test fuse": (20.0, "class T")}
    line = pinned_line("battery, {fuse, holder: tap}, wire: 4 mm2, fan", ", length: 2 m", {}, ratings)
    assert "{fuse: 20 A, family: class T, holder: tap}" in line


BLOCK_STYLE = """\
groundstrap: 1
title: 'Bench, block by block'   # with a comment
system: 12 V
supplies:
  battery: {kind: battery, at: box}
gear:
  main fuse:
    kind: fuse   # bolted
    at: box
loads:
  fan: {kind: fan, at: box, claims: {current: 4 A}}
circuits:
  fan:
    path:
      - battery
      - length: 20 cm    # short
      - main fuse
      - length: 1 m
        colour: red
      - fuse
      # the fan itself
      - fan
    return: battery -
"""


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_lists_and_maps_that_go_over_lines(newline: str) -> None:
    text = BLOCK_STYLE.replace("\n", newline)
    sizes = {f"fan wire {number}": parse_size("6 mm2") for number in (1, 2)} | {
        "fan return 1": parse_size("10 mm2")
    }
    pinned = pin(
        read_job(text),
        sizes,
        {"main fuse": (60.0, "bolt-down strip 30 mm"), "fan fuse": (10.0, "mini blade")},
    )
    assert changed_lines(text.replace("\r", ""), pinned.replace("\r", "")) == [
        "    rating: 60 A",
        "    family: bolt-down strip 30 mm",
        "      - {wire: 6 mm2, length: 20 cm}    # short",
        "      - wire: 6 mm2",
        "        length: 1 m",
        "      - {fuse: 10 A, family: mini blade}",
        "    wire: 10 mm2",
    ]
    assert pinned.count("\r\n") == (pinned.count("\n") if newline == "\r\n" else 0)


def test_existing_and_unknown_things_are_left_alone() -> None:
    text = changed(more="  test: {path: [battery, fuse, wire: unknown, fan], length: 2 m, state: existing}\n")
    sizes = {"test wire 1": parse_size("6 mm2")}
    assert pin(read_job(text), sizes, {"test fuse": (10.0, "mini blade")}) == text


def test_names_that_the_job_has_not_are_refused() -> None:
    with pytest.raises(UnknownNameError):
        pin(read_job(changed()), {"lamp wir 1": parse_size("6 mm2")}, {})


def test_the_old_text_stays_readable_where_a_choice_fits_nowhere() -> None:
    text = changed(more="  both: {path: [battery, fuse: 5 A, fan, lamp], length: 4 m}\n").replace(
        "  lamp: {path: [battery, fuse, lamp], length: 3 m}\n", ""
    )
    sizes = {f"both return {number}": parse_size(size) for number, size in ((1, "1 mm2"), (2, "2.5 mm2"))}
    with pytest.raises(CallError, match="drawn"):
        pin(read_job(text), sizes, {})
