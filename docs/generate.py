"""Makes the pages of docs/reference/ from the code: commands, rules, tables, sources, names, units, formulas.

Nothing here is written by hand twice. The pages are made afresh before each build and are not committed;
`tests/contract/test_docs.py` checks that nothing is left out. Run it alone to see the pages without Sphinx:

    python docs/generate.py
"""

from __future__ import annotations

import csv
import importlib
import importlib.util
import inspect
import pkgutil
import re
import shutil
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
PACKAGE = ROOT / "src" / "groundstrap"
CASES = ROOT / "tests" / "rules" / "cases"
WIDTH = 100


def write(folder: Path) -> None:
    """Write every reference page into a folder, which is emptied first."""
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "rules").mkdir(parents=True)
    (folder / "tables").mkdir()
    pages = {
        "commands": commands_page(),
        "api": api_page(),
        "formulas": formulas_page(),
        "units": units_page(),
        "sources": sources_page(),
    }
    for name, text in pages.items():
        (folder / f"{name}.md").write_text(text, encoding="utf-8")
    _write_rules(folder)
    _write_tables(folder)
    listing = "\n".join(("commands", "rules/index", "tables/index", "sources", "formulas", "units", "api"))
    intro = "Made from the code at every build: what stands here is what the tool does."
    (folder / "index.md").write_text(
        f"# Reference\n\n{intro}\n\n```{{toctree}}\n:maxdepth: 2\n\n{listing}\n```\n", encoding="utf-8"
    )


# --- what exists -----------------------------------------------------------------------------------------


def module_or_none(name: str) -> ModuleType | None:
    """A module of the package, or None where it does not stand yet. One that stands but fails is an error."""
    found = importlib.util.find_spec(f"groundstrap.{name}")
    return None if found is None else importlib.import_module(f"groundstrap.{name}")


def submodules(name: str) -> Iterator[ModuleType]:
    """All modules in a package of ours, private ones left out, in the order of their names."""
    package = module_or_none(name)
    if package is None:
        return
    if not hasattr(package, "__path__"):
        yield package
        return
    for found in sorted(
        pkgutil.walk_packages(package.__path__, f"{package.__name__}."), key=lambda m: m.name
    ):
        if not any(part.startswith("_") for part in found.name.split(".")):
            yield importlib.import_module(found.name)


# --- pieces of text --------------------------------------------------------------------------------------


def fenced(text: str, language: str = "text") -> str:
    """A block that is shown letter by letter."""
    return f"```{language}\n{text.rstrip()}\n```\n"


def cell(value: object) -> str:
    """A value that can stand in a table's cell."""
    return str(value).replace("|", "\\|").replace("\n", " ").replace("<", "\\<").strip()


def grid(header: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    """A table."""
    head = [cell(name) for name in header]
    lines = [f"| {' | '.join(head)} |", f"|{' --- |' * len(head)}"]
    lines += [f"| {' | '.join(cell(value) for value in row)} |" for row in rows]
    return "\n".join(lines) + "\n"


def not_yet(title: str) -> str:
    """The page of something that does not stand yet."""
    return f"# {title}\n\nNothing of this stands in this version.\n"


def signature(name: str, thing: Any) -> str:
    """How something is called, on one line where it fits."""
    try:
        called = inspect.signature(thing)
    except ValueError:  # some classes of the standard library tell nobody
        return name
    # A default that is a function would print its address, which differs from run to run.
    text = re.sub(
        r"<(?:function|class|built-in function) '?([\w.]+)'?(?: at 0x[0-9a-f]+)?>", r"\1", f"{name}{called}"
    )
    text = text.replace("collections.abc.", "")
    if len(text) <= WIDTH:
        return text
    inside, _, result = text.removeprefix(f"{name}(").rpartition(")")
    lines = [f"    {part}," for part in _arguments(inside)]
    return "\n".join((f"{name}(", *lines, f"){result}"))


def _arguments(text: str) -> list[str]:
    """The arguments of a call: commas inside brackets do not part them."""
    parts, depth = [""], 0
    for letter in text:
        depth += (letter in "([{") - (letter in ")]}")
        if letter == "," and depth == 0:
            parts.append("")
        else:
            parts[-1] += letter
    return [part.strip() for part in parts if part.strip()]


def described(name: str, thing: object, *, level: int) -> str:
    """Heading, call and docstring of a function, a class or a constant."""
    call = signature(name, thing) if callable(thing) else f"{name}: {type(thing).__name__}"
    own_words = inspect.isfunction(thing) or inspect.isclass(thing) or inspect.ismodule(thing)
    words = inspect.getdoc(thing) if own_words else None
    text = f"{'#' * level} `{name}`\n\n{fenced(call, 'python')}\n"
    return text + (fenced(words) + "\n" if words else "")


# --- pages -----------------------------------------------------------------------------------------------


def commands_page() -> str:
    """Every command as its own help shows it."""
    cli = module_or_none("cli")
    if cli is None:
        return not_yet("Commands")
    click = importlib.import_module("click")
    root = cli.main
    text = "# Commands\n\n" + fenced(root.get_help(click.Context(root, info_name="groundstrap"))) + "\n"
    for name in sorted(getattr(root, "commands", {})):
        context = click.Context(root, info_name="groundstrap")
        command = root.get_command(context, name)
        inner = click.Context(command, info_name=name, parent=context)
        text += f"## `groundstrap {name}`\n\n{fenced(command.get_help(inner))}\n"
    return text


def api_page() -> str:
    """Every name of the front door."""
    api = module_or_none("api")
    if api is None:
        return not_yet("The front door: groundstrap.api")
    text = "# The front door: groundstrap.api\n\n" + fenced(inspect.getdoc(api) or "") + "\n"
    return text + "".join(described(name, getattr(api, name), level=2) for name in api.__all__)


def public_functions(module: ModuleType) -> list[tuple[str, Any]]:
    """Functions that a module defines itself, in the order in which they stand there."""
    found = [
        (name, thing)
        for name, thing in vars(module).items()
        if not name.startswith("_")
        and inspect.isfunction(inspect.unwrap(thing) if callable(thing) else thing)
        and getattr(thing, "__module__", None) == module.__name__
    ]
    return sorted(found, key=lambda pair: inspect.getsourcelines(inspect.unwrap(pair[1]))[1])


def formulas_page() -> str:
    """Every formula with its source, its units, a worked example and its valid range."""
    text = "# Formulas and their valid ranges\n\n"
    text += "A value outside a range is refused; nothing is clamped or extrapolated.\n\n"
    modules = list(submodules("physics"))
    if not modules:
        return not_yet("Formulas and their valid ranges")
    for module in modules:
        functions = public_functions(module)
        if not functions:
            continue
        title = module.__name__.removeprefix("groundstrap.")
        text += f"## {title}\n\n{_first_line(module)}\n\n"
        for name, function in functions:
            text += described(name, function, level=3)
            limits: dict[str, tuple[float, float]] = getattr(function, "valid_range", {})
            if limits:
                rows = [(f"`{key}`", f"{low:g}", f"{high:g}") for key, (low, high) in limits.items()]
                text += grid(("valid range of", "from", "to"), rows) + "\n"
    return text


def _first_line(thing: object) -> str:
    return cell((inspect.getdoc(thing) or "").partition("\n")[0])


def units_page() -> str:
    """Every unit that is read, by what it measures."""
    units = module_or_none("units")
    if units is None or not hasattr(units, "units_for"):
        return not_yet("Units")
    rows = [(kind.value, "  ".join(f"`{unit}`" for unit in units.units_for(kind))) for kind in units.Kind]
    words = fenced(inspect.getdoc(units) or "")
    return f"# Units\n\n{words}\n" + grid(("what", "units that are read"), rows)


def sources_page() -> str:
    """Every standard, book and practice by its id."""
    path = PACKAGE / "sources.toml"
    if not path.is_file():
        return not_yet("Sources")
    entries = {
        key: value
        for key, value in tomllib.loads(path.read_text(encoding="utf-8")).items()
        if isinstance(value, dict)
    }
    rows = [
        (
            f"`{key}`",
            entry.get("kind", ""),
            entry.get("title", ""),
            entry.get("edition", ""),
            entry.get("seen", ""),
        )
        for key, entry in sorted(entries.items())
    ]
    note = (
        "`kind` is the weight of a source; `seen` says how much of it was read, and whether from memory.\n\n"
    )
    return f"# Sources\n\n{note}" + grid(("id", "kind", "title", "edition", "seen"), rows)


# --- rules -----------------------------------------------------------------------------------------------


def rules() -> list[tuple[Any, ModuleType]]:
    """Every rule's record with its module, by id."""
    if not (PACKAGE / "checks" / "rules").is_dir():
        return []
    found = [(module.RULE, module) for module in submodules("checks.rules") if hasattr(module, "RULE")]
    return sorted(found, key=lambda pair: str(pair[0].id))


def _write_rules(folder: Path) -> None:
    found = rules()
    for record, module in found:
        (folder / "rules" / f"{record.id}.md").write_text(rule_page(record, module), encoding="utf-8")
    if not found:
        text = not_yet("Rules")
    else:
        rows = [
            (f"[{record.id}]({record.id}.md)", record.slug, _first_line(module), record.status)
            for record, module in found
        ]
        pages = "\n".join(str(record.id) for record, _ in found)
        text = "# Rules\n\n" + grid(("rule", "name", "what holds", "status"), rows)
        text += f"\n```{{toctree}}\n:hidden:\n\n{pages}\n```\n"
    (folder / "rules" / "index.md").write_text(text, encoding="utf-8")


def rule_page(record: Any, module: ModuleType) -> str:
    """One rule: its words, what it needs, its sources, and its first failing and passing case."""
    text = f"# {record.id}: {record.slug}\n\n{sections(inspect.getdoc(module) or '')}\n"
    text += f"**Status**: {record.status} since {record.since}\n\n"
    text += "**Needs**: " + ", ".join(f"`{need}`" for need in record.needs) + "\n\n"
    text += "**Sources**: " + "; ".join(cell(source) for source in record.sources) + "\n\n"
    for title, outcome in (("A case that fails", "fail"), ("A case that passes", "pass")):
        case = first_case(str(record.id), outcome)
        if case is not None:
            given = "\n".join(f"{key} = {value}" for key, value in case.get("given", {}).items())
            text += f"## {title}\n\n{cell(case.get('name', ''))}\n\n{fenced(given)}\n"
    return text


def sections(words: str) -> str:
    """A docstring whose underlined lines are headings."""
    lines = words.splitlines()
    out: list[str] = []
    for line in lines:
        if out and line and set(line) == {"-"}:
            out[-1] = f"## {out[-1]}\n"
        else:
            out.append(line)
    return "\n".join(out) + "\n"


def first_case(rule_id: str, outcome: str) -> dict[str, Any] | None:
    """The first case of a rule's case file with this outcome."""
    path = CASES / f"{rule_id}.toml"
    if not path.is_file():
        return None
    cases: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8")).get("case", [])
    return next((case for case in cases if str(case.get("expect", "")).lower() == outcome), None)


# --- tables ----------------------------------------------------------------------------------------------


def _write_tables(folder: Path) -> None:
    data = PACKAGE / "tables" / "data"
    found = sorted(data.glob("**/*.toml")) if data.is_dir() else []
    rows = []
    for path in found:
        about = tomllib.loads(path.read_text(encoding="utf-8"))
        (folder / "tables" / f"{path.stem}.md").write_text(table_page(path, about), encoding="utf-8")
        shown = (about.get("title", ""), f"`{about.get('source', '')}`", about.get("known", ""))
        rows.append((f"[{path.stem}]({path.stem}.md)", *shown))
    text = not_yet("Tables")
    if rows:
        pages = "\n".join(path.stem for path in found)
        text = "# Tables\n\n" + grid(("table", "what it holds", "source", "known"), rows)
        text += f"\n```{{toctree}}\n:hidden:\n\n{pages}\n```\n"
    (folder / "tables" / "index.md").write_text(text, encoding="utf-8")


def table_page(path: Path, about: dict[str, Any]) -> str:
    """One table: where it comes from, how it is read, and its rows."""
    facts: list[tuple[str, object]] = []
    for key, value in about.items():
        if key in {"title", "columns"}:
            continue
        if isinstance(value, dict):
            facts += [(f"{key}: {inner}", _plain(shown)) for inner, shown in value.items()]
        else:
            facts.append((key, _plain(value)))
    columns = about.get("columns", {})
    text = f"# {path.stem}\n\n{cell(about.get('title', ''))}\n\n" + grid(("about it", ""), facts) + "\n"
    if columns:
        about_columns = [
            (f"`{name}`", column.get("unit", ""), column.get("role", ""), column.get("about", ""))
            for name, column in columns.items()
        ]
        text += "## Columns\n\n" + grid(("column", "unit", "role", ""), about_columns) + "\n"
    numbers = path.with_suffix(".csv")
    if numbers.is_file():
        with numbers.open(encoding="utf-8", newline="") as lines:
            header, *rows = list(csv.reader(lines))
        text += "## Rows\n\n" + grid(header, rows)
    return text


def _plain(value: object) -> str:
    """A value of a TOML file in words."""
    if isinstance(value, list):
        return "; ".join(_plain(inner) for inner in value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {_plain(inner)}" for key, inner in value.items())
    return str(value)


if __name__ == "__main__":
    write(HERE / "reference")
    print(f"reference pages written to {(HERE / 'reference').relative_to(ROOT)}")
