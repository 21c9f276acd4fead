"""No mutated job file causes a traceback, or an exit status other than those of the contract.

Cutting and swapping words makes mostly texts that do not read; other values of the same unit, and words for
others that stand in the same place, make mostly jobs that read and are absurd. Both are needed.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from groundstrap.cli import main

TOP = Path(__file__).resolve().parents[3]
EXAMPLES = [
    path.read_text(encoding="utf-8")
    for folder in ("examples", "tests/data/jobs")
    for path in sorted((TOP / folder).glob("*.job.yaml"))
]
PIECES = (
    "unknown", "0 A", "-5 m", "1e9 W", "battery", "{", "}", "[", "]", ": ", ", ", "\t", "\n", "#", "é",
    "48 V", "24 V", "600 m", "cranking", "existing", "chassis", "fuse", "wire: unknown", "0.5 mm2",
    "existing}", "null", "~", "&a", "*a", "12 V, 12 V", "remove", "aluminium", "0.0001 m",
)  # fmt: skip


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """An example with a few pieces cut out, doubled, swapped or put in."""
    text = draw(st.sampled_from(EXAMPLES))
    for _ in range(draw(st.integers(1, 3))):
        words = text.split(" ")
        place = draw(st.integers(0, len(words) - 1))
        match draw(st.sampled_from(("cut", "put", "swap", "double", "line"))):
            case "cut":
                del words[place]
            case "put":
                words.insert(place, draw(st.sampled_from(PIECES)))
            case "swap":
                other = draw(st.integers(0, len(words) - 1))
                words[place], words[other] = words[other], words[place]
            case "double":
                words.insert(place, words[place])
            case "line":
                lines = text.split("\n")
                del lines[draw(st.integers(0, len(lines) - 1))]
                words = "\n".join(lines).split(" ")
        text = " ".join(words)
    return text


QUANTITY = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) (kW|W|A|m|cm|V|mm2|AWG|Ah|ohm|mohm|degC|%|min|s|h)\b")
ABSURD = {
    "kW": ("0.001", "9", "100"), "W": ("0.01", "1", "5000", "100000"), "A": ("0.001", "3", "400", "5000"),
    "m": ("0.01", "0.3", "30", "400"), "cm": ("0.5", "900"), "V": ("6", "9", "12.0", "13", "24", "60"),
    "mm2": ("0.5", "2.5", "35", "240"), "AWG": ("22", "18", "4"), "Ah": ("1", "1000"),
    "ohm": ("0.001", "0.01", "100", "100000"), "mohm": ("0.001", "500"), "degC": ("-40", "5", "60", "100"),
    "%": ("1", "50", "99"), "min": ("0.1", "600"), "s": ("0.01", "3000"), "h": ("0.1", "30"),
}  # fmt: skip
ANOTHER = (
    ("kind: heater", "kind: motor"), ("kind: led", "kind: ptc heater"), ("kind: motor", "kind: electronics"),
    ("flooded", "lfp"), ("agm", "lfp"), ("basis: boat", "basis: road"), ("12 V", "24 V"), ("24 V", "48 V"),
    ("state: existing", "note: x"), ("fuse,", "fuse: 5 A,"), ("fuse,", "unknown,"), ("fuse,", "diode,"),
    ("fuse,", "breaker,"), ("chassis", "battery -"), ("battery -", "chassis"),
    ("wire: 25 mm2", "wire: unknown"),
    ("kind: alternator", "kind: mains charger"), ("path: [battery,", "path: [battery -,"),
    ("laid: free", "laid: loom"), ("critical: yes", "count: 7"), ("when: ignition", "when: always"),
    ("isolator", "relay"), ("at: bed", "at: roof"),
    ("}\n", ", state: remove}\n"), ("}\n", ", state: existing}\n"),
)  # fmt: skip


@st.composite
def absurd(draw: st.DrawFn) -> str:
    """An example that mostly still reads, with values and words that nobody would write."""
    text = draw(st.sampled_from(EXAMPLES))
    for _ in range(draw(st.integers(1, 4))):
        values = list(QUANTITY.finditer(text))
        by_value: bool = draw(st.booleans())
        if values and by_value:
            found = draw(st.sampled_from(values))
            text = text[: found.start(1)] + draw(st.sampled_from(ABSURD[found[2]])) + text[found.end(1) :]
            continue
        old, new = draw(st.sampled_from([pair for pair in ANOTHER if pair[0] in text]))
        place = draw(st.sampled_from([found.start() for found in re.finditer(re.escape(old), text)]))
        text = text[:place] + new + text[place + len(old) :]
    return text


def ends_as_the_contract_says(text: str, command: str, *options: str) -> None:
    result = CliRunner().invoke(main, [command, "-", *options], input=text)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code in {0, 1, 2, 4}
    assert "Traceback" not in result.output


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(
    text=mutated() | absurd() | absurd(),
    command=st.sampled_from(("plan", "plan", "check", "vet")),
    options=st.sampled_from(((), ("--json",))),
)
def test_every_job_ends_in_a_status_of_the_contract(
    monkeypatch: pytest.MonkeyPatch, text: str, command: str, options: tuple[str, ...]
) -> None:
    monkeypatch.setenv("GROUNDSTRAP_TRACEBACK", "1")
    ends_as_the_contract_says(text, command, *options)


def sample(name: str) -> str:
    return next(text for text in EXAMPLES if f"title: {name}" in text)


@pytest.mark.parametrize(
    ("title", "old", "new"),
    [
        ("Two kilowatt inverter", "battery B: {kind: battery,", "battery B: {kind: battery, state: remove,"),
        ("Hotel luggage cart", "converter: {kind: dc-dc,", "converter: {kind: dc-dc, state: remove,"),
        (
            "Hotel luggage cart",
            "traction battery: {kind: battery,",
            "traction battery: {kind: battery, state: remove,",
        ),
        ("Oyster skiff", "rating: 25 A, setpoint", "rating: 5000 A, setpoint"),
    ],
)
@pytest.mark.parametrize("command", ["plan", "check", "vet"])
def test_jobs_that_once_broke_it(
    monkeypatch: pytest.MonkeyPatch, command: str, title: str, old: str, new: str
) -> None:
    """A supply that is to be removed, and a wire that its alternator would melt: found by the test above."""
    monkeypatch.setenv("GROUNDSTRAP_TRACEBACK", "1")
    text = sample(title)
    assert old in text
    ends_as_the_contract_says(text.replace(old, new), command, "--json")
