"""The catalogue of texts: found in the code, kept for translators, compiled for the program.

`python -m tests.support.catalogue` brings every catalogue up to date: new texts come in untranslated, texts
that are gone go out, and what is translated is compiled.
"""

from __future__ import annotations

import ast
import io
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from groundstrap.checks import Rule, needs_words, rules
from groundstrap.report.terms import terms

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "groundstrap"
LOCALE = PACKAGE / "locale"
DOMAIN = "groundstrap"
_BEGUN = datetime(2026, 1, 1, tzinfo=UTC)
_TEMPLATES = {"words": 1, "plural": 2}
"""What makes texts, and how many templates it is given."""

__all__ = ["compiled", "kept", "languages", "template"]


def _empty(code: str | None) -> Catalog:
    """A catalogue whose head says nothing that changes from one run to the next."""
    return Catalog(
        locale=code,
        domain=DOMAIN,
        project="Groundstrap",
        version="0",
        msgid_bugs_address="none",
        creation_date=_BEGUN,
        revision_date=_BEGUN,
        last_translator="Groundstrap maintainers",
        language_team="Groundstrap maintainers",
        charset="utf-8",
        fuzzy=False,
        header_comment="# Texts of Groundstrap; `make texts` brings them up to date.",
    )


def template() -> Catalog:
    """Return every text that can be translated, with the files that say it."""
    found = _empty(None)
    for path in sorted(PACKAGE.rglob("*.py")):
        file = path.relative_to(PACKAGE).as_posix()
        for message in _templates(ast.parse(path.read_text(encoding="utf-8"))):
            found.add(message, locations=[(file, 0)])
    for text in (text for rule in rules() for text in _of_rule(rule) if text):
        found.add(text.replace("{", "{{").replace("}", "}}"), locations=[("checks/rules", 0)])
    for word in terms():
        found.add(word.replace("{", "{{").replace("}", "}}"), locations=[("report/terms.py", 0)])
    return found


def _of_rule(rule: Rule) -> tuple[str, ...]:
    """What a rule says of itself, and the clauses that its sources are quoted with."""
    clauses = (source.partition(",")[2].strip() for source in rule.sources)
    told = (rule.statement, rule.why, rule.applies_to, rule.known_limits)
    return (*told, *needs_words(rule), *clauses)


def _templates(module: ast.Module) -> Iterator[str | tuple[str, ...]]:
    """Every literal that `words` and `plural` are called with, in calls inside of such calls too."""
    for call in ast.walk(module):
        if isinstance(call, ast.Call):
            name = str(getattr(call.func, "id", "") or getattr(call.func, "attr", ""))
            given = call.args[: _TEMPLATES.get(name, 0)]
            said = [
                arg.value for arg in given if isinstance(arg, ast.Constant) and isinstance(arg.value, str)
            ]
            if said and len(said) == _TEMPLATES[name]:
                yield said[0] if len(said) == 1 else tuple(said)


def languages() -> tuple[str, ...]:
    """Return the languages that have a catalogue."""
    return tuple(
        sorted(path.name for path in LOCALE.iterdir() if path.is_dir() and path.name != "__pycache__")
    )


def po_path(code: str) -> Path:
    """Return where the translations of a language stand."""
    return LOCALE / code / "LC_MESSAGES" / f"{DOMAIN}.po"


def kept(code: str) -> Catalog:
    """Return the catalogue of a language as it stands."""
    with po_path(code).open("rb") as opened:
        return read_po(opened, locale=code, domain=DOMAIN)


def compiled(catalogue: Catalog) -> bytes:
    """Return a catalogue as the program reads it."""
    made = io.BytesIO()
    write_mo(made, catalogue)
    return made.getvalue()


def _brought_up_to_date(code: str) -> Iterator[str]:
    path = po_path(code)
    said = kept(code) if path.exists() else _empty(code)
    catalogue = _empty(code)
    for message in template():
        if message.id:
            there = said.get(message.id)
            string = there.string if there is not None else None
            catalogue.add(message.id, string, locations=message.locations)
    with path.open("wb") as opened:
        write_po(opened, catalogue, width=110, sort_output=True, omit_header=False)
    path.with_suffix(".mo").write_bytes(compiled(catalogue))
    missing = [message for message in catalogue if message.id and not message.string]
    yield f"{code}: {len(catalogue)} texts, {len(missing)} not translated"


if __name__ == "__main__":
    for language in languages():
        for line in _brought_up_to_date(language):
            sys.stdout.write(f"{line}\n")
