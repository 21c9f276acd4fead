"""The questions of `new`: one a line, asked on standard error, so that answers may be piped."""

from __future__ import annotations

import sys
from dataclasses import field
from typing import Final

import click

from groundstrap import api
from groundstrap.errors import CallError
from groundstrap.records import dataclass

__all__ = ["ask_for_job", "ask_whether"]

_INTRODUCTION: Final = (
    "A dozen questions, then a job file to go on with by hand. Enter takes what stands in [brackets];\n"
    "an end of input leaves, and nothing is written."
)
_CRANKING: Final = "Cranking current on the battery's label, such as 640 A EN or 640 A SAE"


def ask_for_job() -> str:
    """Ask for the main things and return the text of a job file."""
    click.echo(_INTRODUCTION, err=True)
    asked = _Dialogue()
    asked.ask("title", "What is the job called?")
    asked.ask("system", "Which system voltage", usual="12 V")
    asked.ask("basis", "Road vehicle or boat", usual="road")
    on_land = asked.answers.basis == "road"
    usual = "engine bay" if on_land else "battery box"
    asked.place("battery_at", "battery_zone", "Where is the battery", usual)
    asked.ask("cranking", _CRANKING, usual="not known")
    asked.ask("load", "What is to be fitted: one device", usual="work light")
    asked.ask("kind", "What kind is it", usual="other")
    asked.ask("claim", "What does its label say, with the unit: 60 W or 5 A?")
    asked.place("load_at", "load_zone", "Where is it fitted", "cabin")
    asked.ask("length", "How long is the way for the cable from the battery to it, one way: 7 m or 12 ft?")
    if on_land:
        asked.ask("return_to", "Where does its negative go", usual="battery")
    return api.new_job_text(asked.answers)


def ask_whether(question: str) -> bool:
    """Ask a question that is answered with yes or no; anything else is no."""
    click.echo(f"{question} [y/N]: ", err=True, nl=False)
    return _line(question).strip().lower() in {"y", "yes"}


def _none_yet() -> api.NewJob:
    return api.NewJob()


@dataclass(slots=True)
class _Dialogue:
    """Answers so far; a person is asked again where one will not do, a pipe ends there."""

    answers: api.NewJob = field(default_factory=_none_yet)

    def ask(self, about: str, question: str, *, usual: str = "") -> str:
        """Ask for one thing until an answer will do, and return what was said."""
        known = () if about in {"battery_at", "load_at"} else api.new_job_words(about, self.answers)
        words = f" ({', '.join(known)})" if known else ""
        default = f" [{usual}]:" if usual else ""
        while True:
            click.echo(f"{question}{words}{default} ", err=True, nl=False)
            said = _line(question).strip() or usual
            try:
                self.answers = api.with_answer(self.answers, about, said)
            except CallError as error:
                if not sys.stdin.isatty():
                    raise CallError(
                        f"{question} {error.reason}; nothing was written",
                        wanted=error.wanted,
                        given=said or None,
                        nearest=error.nearest,
                    ) from None
                click.echo(f"  {error}", err=True)
            else:
                return said

    def place(self, at: str, zone: str, question: str, usual: str) -> None:
        """Ask for a place, and where it is none of the built-in ones, what its air is like."""
        known = api.new_job_words(at, self.answers)
        said = self.ask(at, f"{question}: a place in your words, or {', '.join(known)}", usual=usual)
        if said not in known:
            self.ask(zone, f"Which of these has air like '{said}'", usual="cabin")


def _line(question: str) -> str:
    """One line of input; a pipe's answer is shown, so that the dialogue can be read."""
    line = sys.stdin.readline()
    if not line:
        click.echo(err=True)
        raise CallError(
            f"the answers ended at '{question}'; nothing was written", wanted="an answer to every question"
        )
    if not sys.stdin.isatty():
        click.echo(line.rstrip("\n"), err=True)
    return line
