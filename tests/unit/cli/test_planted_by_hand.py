"""A fault that is put into each example by hand is found in the terminal, by readings that it asks for."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pytest

from groundstrap.cli import main
from tests.support.by_hand import PLANTED, Planted


class Person(io.StringIO):
    """Reads what the terminal asks for and types what the meter shows."""

    def __init__(self, planted: Planted, screen: io.StringIO) -> None:
        super().__init__()
        self.planted, self.screen, self.readings = planted, screen, 0

    def readline(self, _: int = -1) -> str:
        """Answer the last question on the screen: where, in which situation, with what on."""
        how, where = self.screen.getvalue().splitlines()[-2:]
        told = re.search(r"; (\w+), with (?:everything off|(.+) on)$", how)
        assert told is not None, how
        using = tuple(told[2].split(", ")) if told[2] else ()
        self.readings += 1
        return self.planted.read(where.removesuffix(": "), told[1], using) + "\n"


@pytest.mark.parametrize("planted", PLANTED, ids=lambda each: each.example)
def test_it_is_found_by_the_readings_that_it_asks_for(
    planted: Planted, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "own.job.yaml"
    job.write_text(planted.text, encoding="utf-8")
    screen = io.StringIO()
    person = Person(planted, screen)
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr(sys, "stdin", person)
    with pytest.raises(SystemExit) as ended:
        main(["measure", str(job), "--load", planted.load, "--meter", "handheld"])
    assert ended.value.code in {0, None}, screen.getvalue()
    told = " ".join(capsys.readouterr().out.split())
    assert f"It is {planted.place} (" in told, screen.getvalue()
    # Five are the most that it needs on average over all faults; one vehicle may need more.
    assert 1 <= person.readings <= 8
    # What was there stays; what was read stands in the file, with its day.
    text = job.read_text(encoding="utf-8")
    assert text.startswith(planted.text)
    assert text.count("date: 20") >= 1
