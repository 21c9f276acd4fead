"""No mutated job file causes a traceback, or an exit status other than those of the contract."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from groundstrap.cli import main

EXAMPLES = [
    path.read_text(encoding="utf-8")
    for path in sorted((Path(__file__).resolve().parents[3] / "examples").glob("*.job.yaml"))
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


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(
    text=mutated(),
    command=st.sampled_from(("plan", "plan", "check", "vet")),
    options=st.sampled_from(((), ("--json",))),
)
def test_every_job_ends_in_a_status_of_the_contract(
    monkeypatch: pytest.MonkeyPatch, text: str, command: str, options: tuple[str, ...]
) -> None:
    monkeypatch.setenv("GROUNDSTRAP_TRACEBACK", "1")
    result = CliRunner().invoke(main, [command, "-", *options], input=text)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert result.exit_code in {0, 1, 2, 4}
    assert "Traceback" not in result.output
