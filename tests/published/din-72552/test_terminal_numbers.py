"""DIN 72552 as quoted: what hangs on the terminals that an added circuit meets."""

from __future__ import annotations

import pytest

from groundstrap.tables import NotTabled, TerminalNumber, terminal_number

# number: live, switched, return, coil, contact
ROLES = {
    "30": "live", "15": "switched", "31": "return", "31b": "return", "85": "coil", "86": "coil",
    "87": "contact", "87a": "contact", "54": "lamp", "58L": "lamp", "58R": "lamp",
    "L": "lamp", "R": "lamp", "50": "control",
}  # fmt: skip


@pytest.mark.parametrize("number", ROLES)
def test_role_of_a_terminal(number: str) -> None:
    found = terminal_number(number)
    assert isinstance(found, TerminalNumber)
    assert found.role == ROLES[number]


def test_a_number_whose_meaning_was_not_sure_is_not_made_up() -> None:
    assert isinstance(terminal_number("77"), NotTabled)
