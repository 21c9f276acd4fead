"""An entry of a job in one line, as somebody would say it: what a list of entries shows of each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from groundstrap import api
from groundstrap.words import words

__all__ = ["in_brief"]

_SELF: Final = frozenset(
    {
        "at", "kind", "chemistry", "capacity", "cranking", "rating", "current", "power", "voltage",
        "resistance", "claims", "by", "path", "wire", "colour", "from", "to", "laid", "ambient",
        "when", "values", "rule", "where", "run",
    }
)  # fmt: skip
"""Keys whose value says what it is without a word before it."""
_SAID: Final[Mapping[str, Callable[[str], str]]] = {
    "count": lambda value: words("{value} alike", value=value),
    "duty": lambda value: words("{value} of the time", value=value) if "%" in value else value,
    "measured": lambda value: words("measured {value}", value=value),
    "length": lambda value: words("{value} long", value=value),
    "using": lambda value: words("with {value}", value=value),
}
"""Keys that are said in words of their own."""
_LATE: Final = ("at", "duty", "state", "note")
"""Keys that stand behind the others."""


def in_brief(field: api.FieldForm, say: Callable[[str], str]) -> str:
    r"""Return an entry in one line.

    Parameters
    ----------
    field : FieldForm
        The entry, as the form of its job describes it.
    say : callable
        Says a text in the language of the page.

    Examples
    --------
    >>> pump = "loads: {pump: {kind: pump, claims: {current: 8 A}}}"
    >>> form = api.job_form(f"groundstrap: 1\ntitle: Pump\nsystem: 12 V\n{pump}\n")
    >>> in_brief(form.sections[3].fields[0], str)
    'pump · 8 A'
    """
    if not field.fields:
        return _value(field, say)
    late = [each for each in field.fields if each.path[-1] in _LATE]
    first = [each for each in field.fields if each.path[-1] not in _LATE]
    return " · ".join(_part(each, say) for each in (*first, *late))


def _part(field: api.FieldForm, say: Callable[[str], str]) -> str:
    """One fact of it: its value, with what it is before it where the value does not say that."""
    told = " → ".join(_inner(field, say)) if field.about.kind == "path" else ", ".join(_inner(field, say))
    key = field.path[-1]
    if key in _SAID:
        return say(_SAID[key](told))
    if key in _SELF or key.isdecimal() or (field.about.choices_said and field.about.kind == "choice"):
        return told
    return f"{say(field.about.label) if field.about.key else key} {told}"


def _inner(field: api.FieldForm, say: Callable[[str], str]) -> Iterator[str]:
    """Its value, or the values in it."""
    for each in field.fields:
        yield _part(each, say)
    if not field.fields and field.value:
        yield _value(field, say)


def _value(field: api.FieldForm, say: Callable[[str], str]) -> str:
    """A value as it is said to people."""
    about, value = field.about, field.value.strip("{}[] ")
    choices = dict(zip(about.choices, about.choices_said, strict=False))
    return say(choices.get(value, value))
