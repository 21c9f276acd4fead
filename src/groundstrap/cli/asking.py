"""The questions of `new`: one a line, asked on standard error, so that answers may be piped."""

from __future__ import annotations

import click

from groundstrap import api

__all__ = ["ask_for_job"]


def ask_for_job() -> str:
    """Ask for the main things and return the text of a job file."""
    answers = api.NewJob(
        title=_ask("What is the job called"),
        system=_choose("System voltage", ("12 V", "24 V", "48 V")),
        basis=_choose("Road vehicle or boat", ("road", "boat")),
        battery_at=_ask("Where is the battery", "engine bay"),
        load=_ask("What is to be fitted (one device)", "work light"),
        kind=_choose(
            "What kind is it",
            (
                "heater",
                "lamp",
                "led",
                "motor",
                "pump",
                "fan",
                "electronics",
                "compressor",
                "charger",
                "other",
            ),
            "other",
        ),
        claim=_ask("What does its label say, with the unit (60 W or 5 A)"),
        load_at=_ask("Where is it fitted", "cabin"),
        length=_ask("How long is the way from the battery to it, one way (7 m, 12 ft)"),
        return_to=_return(),
    )
    return api.new_job_text(answers)


def _return() -> str | None:
    found = _choose("Where does its negative go", ("battery", "chassis"))
    return "chassis" if found == "chassis" else None


def _ask(question: str, usual: str | None = None) -> str:
    text: str = click.prompt(question, default=usual, err=True)
    return text.strip()


def _choose(question: str, known: tuple[str, ...], usual: str | None = None) -> str:
    default = known[0] if usual is None else usual
    found: str = click.prompt(question, default=default, err=True, type=click.Choice(known))
    return found
