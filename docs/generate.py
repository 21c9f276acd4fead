"""Makes the pages of docs/reference/ from the code: commands, rules, tables, sources, names, units, formulas,
the plans of the examples, what is own judgement, and the output that the first job's page shows.

Nothing here is written by hand twice. The pages are made afresh before each build and are not committed;
`tests/contract/test_docs.py` checks that nothing is left out. Run it alone to see the pages without Sphinx:

    python docs/generate.py
"""

from __future__ import annotations

import ast
import csv
import importlib
import inspect
import json
import pkgutil
import re
import shutil
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from types import ModuleType
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
PACKAGE = ROOT / "src" / "groundstrap"
WIDTH = 100


def write(folder: Path) -> None:
    """Write every reference page into a folder, which is emptied first."""
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "rules").mkdir(parents=True)
    (folder / "tables").mkdir()
    (folder / "plans").mkdir()
    pages = {
        "commands": commands_page(),
        "api": api_page(),
        "bench-api": bench_api_page(),
        "formulas": formulas_page(),
        "units": units_page(),
        "sources": sources_page(),
        "own-judgement": own_judgement_page(),
    }
    for name, text in pages.items():
        (folder / f"{name}.md").write_text(text, encoding="utf-8")
    _write_rules(folder)
    _write_tables(folder)
    _write_plans(folder)
    listing = "\n".join((
        "commands", "plans/index", "rules/index", "tables/index", "sources", "own-judgement", "formulas",
        "units", "api", "bench-api",
    ))  # fmt: skip
    intro = "Made from the code at every build: what stands here is what the tool does."
    (folder / "index.md").write_text(
        f"# Reference\n\n{intro}\n\n```{{toctree}}\n:maxdepth: 2\n\n{listing}\n```\n", encoding="utf-8"
    )


# --- what exists -----------------------------------------------------------------------------------------


def submodules(name: str) -> Iterator[ModuleType]:
    """All modules in a package of ours, private ones left out, in the order of their names."""
    package = importlib.import_module(f"groundstrap.{name}")
    if not hasattr(package, "__path__"):
        yield package
        return
    for found in sorted(
        pkgutil.walk_packages(package.__path__, f"{package.__name__}."), key=lambda m: m.name
    ):
        if not any(part.startswith("_") for part in found.name.split(".")):
            yield importlib.import_module(found.name)


# For pages that an index of their own lists: in the contents beside each page they would be most of these,
# and writing these most of the build.
_LISTED = "---\norphan: true\n---\n\n"


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
    cli = importlib.import_module("groundstrap.cli")
    click = importlib.import_module("click")
    root = cli.main
    text = (
        "# Commands\n\n"
        + fenced(root.get_help(click.Context(root, info_name="groundstrap", terminal_width=80)))
        + "\n"
    )
    return text + "\n".join(command_sections(root, click.Context(root, info_name="groundstrap"))) + "\n"


def command_sections(group: Any, above: Any) -> Iterator[str]:
    """A section for each command of a group, and for those of the groups in it."""
    click = importlib.import_module("click")
    for name in sorted(getattr(group, "commands", {})):
        command = group.get_command(above, name)
        inner = click.Context(command, info_name=name, parent=above, terminal_width=80)
        yield f"## `{inner.command_path}`\n\n{fenced(command.get_help(inner))}"
        yield from command_sections(command, inner)


def api_page() -> str:
    """Every name of the front door."""
    api = importlib.import_module("groundstrap.api")
    text = "# The front door: groundstrap.api\n\n" + fenced(inspect.getdoc(api) or "") + "\n"
    return text + "".join(described(name, getattr(api, name), level=2) for name in api.__all__)


def bench_api_page() -> str:
    """Every route of the bench, as its own description has it."""
    web = importlib.import_module("groundstrap.web")
    told = web.create_app(web.Settings(secret=bytes(32), shelf="sqlite://")).openapi()
    schemas = told["components"]["schemas"]
    text = f"# The bench for programs\n\n{told['info']['description']}\n\n"
    text += "The same, for machines, is at `/api/openapi.json` of a bench that runs.\n\n"
    for path, operations in told["paths"].items():
        for method, operation in operations.items():
            text += f"## `{method.upper()} {path}`\n\n{operation['description']}\n\n"
            asked = [
                _row(each["name"], each["schema"], needed=each["required"])
                for each in operation.get("parameters", ())
            ]
            for kind, body in operation.get("requestBody", {}).get("content", {}).items():
                text += f"Takes `{kind}`.\n\n"
                asked += _rows(_resolved(body["schema"], schemas))
            text += grid(("it takes", "", ""), asked) + "\n" if asked else ""
            text += f"{_gives(operation, schemas)}\n\n"
    for name in sorted(_inner(told)):
        takes = grid(("it takes", "", ""), _rows(schemas[name]))
        text += f"## {name}\n\n{schemas[name]['description']}\n\n{takes}\n"
    return text + _problems(told)


def _inner(told: Mapping[str, Any]) -> set[str]:
    """Names of what stands inside of the requests' bodies."""
    schemas, found = told["components"]["schemas"], set()
    for operations in told["paths"].values():
        for operation in operations.values():
            for body in operation.get("requestBody", {}).get("content", {}).values():
                inside = json.dumps(_resolved(body["schema"], schemas).get("properties", {}))
                found |= set(re.findall(r"#/components/schemas/(\w+)", inside))
    return found


def _resolved(schema: Mapping[str, Any], schemas: Mapping[str, Any]) -> Mapping[str, Any]:
    name = schema.get("$ref", "").rpartition("/")[2]
    return schemas[name] if name else schema


def _rows(schema: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    needed = schema.get("required", ())
    return [_row(name, each, needed=name in needed) for name, each in schema.get("properties", {}).items()]


def _row(name: str, schema: Mapping[str, Any], *, needed: bool) -> tuple[str, str, str]:
    """A field: its name, what it is, what is said of it."""
    said = str(schema.get("description", ""))
    return f"`{name}`" + ("" if needed else " (may be left out)"), _kind(schema), said


def _kind(schema: Mapping[str, Any]) -> str:
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "anyOf" in schema:
        return " or ".join(_kind(each) for each in schema["anyOf"])
    if "enum" in schema or "const" in schema:
        return ", ".join(f"`{each}`" for each in schema.get("enum", [schema.get("const")]))
    if schema.get("type") == "array":
        return f"list of {_kind(schema.get('items', {}))}"
    return {"object": "map", "string": "text", "boolean": "yes or no", "null": "nothing"}.get(
        str(schema.get("type", "")), str(schema.get("type", "anything"))
    )


def _gives(operation: Mapping[str, Any], schemas: Mapping[str, Any]) -> str:
    """What a route answers where nothing stands against it."""
    status, told = next((status, told) for status, told in operation["responses"].items() if status < "300")
    kinds = ", ".join(f"`{kind}`" for kind in told.get("content", {}))
    schema = _resolved(told.get("content", {}).get("application/json", {}).get("schema", {}), schemas)
    names = ", ".join(f"`{name}`" for name in schema.get("properties", {}))
    return f"Gives {status}" + (f" with {kinds}" if kinds else "") + (f": {names}" if names else "") + "."


def _problems(told: Mapping[str, Any]) -> str:
    """What can stand against a request, once for all routes."""
    every: dict[str, str] = {}
    for operations in told["paths"].values():
        for operation in operations.values():
            every |= {
                status: each["description"]
                for status, each in operation["responses"].items()
                if status >= "400"
            }
    return "## Problems\n\n" + grid(("status", "what it says"), sorted(every.items()))


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
    for module in submodules("physics"):
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
    units = importlib.import_module("groundstrap.units")
    rows = [(kind.value, "  ".join(f"`{unit}`" for unit in units.units_for(kind))) for kind in units.Kind]
    words = fenced(inspect.getdoc(units) or "")
    return f"# Units\n\n{words}\n" + grid(("what", "units that are read"), rows)


def sources_page() -> str:
    """Every standard, book and practice by its id."""
    path = PACKAGE / "sources.toml"
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
    found = [(module.RULE, module) for module in submodules("checks.rules") if hasattr(module, "RULE")]
    return sorted(found, key=lambda pair: str(pair[0].id))


def _write_rules(folder: Path) -> None:
    found = rules()
    for record, module in found:
        (folder / "rules" / f"{record.id}.md").write_text(rule_page(record, module), encoding="utf-8")
    rows = [
        (f"[{record.id}]({record.id}.md)", record.slug, _first_line(module), record.status)
        for record, module in found
    ]
    text = "# Rules\n\n" + grid(("rule", "name", "what holds", "status"), rows)
    (folder / "rules" / "index.md").write_text(text, encoding="utf-8")


def rule_page(record: Any, module: ModuleType) -> str:
    """One rule: its words, what it needs, its sources, and its first failing and passing case."""
    text = f"{_LISTED}# {record.id}: {record.slug}\n\n{sections(inspect.getdoc(module) or '')}\n"
    text += f"**Level**: {record.level}. **Status**: {record.status} since {record.since}\n\n"
    if record.remedy:
        text += f"**Remedy**: {cell(record.remedy)} {cell(record.caution.value)}\n\n"
    text += "**Needs**: " + ", ".join(f"`{need}`" for need in record.needs) + "\n\n"
    text += "**Sources**: " + "; ".join(cell(source) for source in record.sources) + "\n\n"
    text += "## By example\n\n"
    for each in importlib.import_module("groundstrap.checks").examples(str(record.id)):
        text += f"**{_EXAMPLES[each.kind]}**: {cell(each.name)}\n\n"
        text += fenced(f"{each.verdict.outcome.name}: {each.verdict.text}") + "\n"
    return f"{text}[All rules](index.md)\n"


_EXAMPLES = {
    "fails": "A case that fails",
    "passes": "A case that passes",
    "unknown": "A case that stays unknown",
    "boundary": "A case on the limit",
}


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


# --- plans: what the program really prints ---------------------------------------------------------------


def yaml_jobs(page: Path) -> list[str]:
    """The whole jobs that stand in a page, in its order."""
    blocks = re.findall(r"^```yaml\n(.*?)^```", page.read_text(encoding="utf-8"), flags=re.M | re.S)
    return [block for block in blocks if block.startswith("groundstrap: 1")]


def _write_plans(folder: Path) -> None:
    """A page with the plan of each example, and the pieces of output that the first job's page shows."""
    api = importlib.import_module("groundstrap.api")
    names = []
    for path in sorted((ROOT / "examples").glob("*.job.yaml")):
        job = api.read_job_file(path, path.name)
        plan = api.plan(job)
        name = path.name.removesuffix(".job.yaml")
        names.append(name)
        page = f"# {job.installation.title}\n\nThe job, `examples/{path.name}`:\n\n"
        page += fenced(path.read_text(encoding="utf-8"), "yaml")
        page += f"\nWhat `groundstrap plan examples/{path.name}` prints (exit status {plan.exit_status}):\n\n"
        page += fenced(api.plan_text(plan))
        page += _drawings(folder / "plans", name, api.curve_pictures(plan))
        page += _wiring(folder / "plans", name, {**api.drawing(plan), **api.drawing(plan, routes=True)})
        (folder / "plans" / f"{name}.md").write_text(page, encoding="utf-8")
    text = "# The examples and their plans\n\nThe program made each plan when these pages were built.\n"
    text += "\n```{toctree}\n:maxdepth: 1\n\n" + "\n".join(names) + "\n```\n"
    (folder / "plans" / "index.md").write_text(text, encoding="utf-8")
    for name, output in quickstart_outputs().items():
        (folder / "plans" / f"{name}.txt").write_text(output, encoding="utf-8")


def _drawings(folder: Path, name: str, pictures: Mapping[str, str]) -> str:
    """The drawings of an example as files, and the part of its page that shows them."""
    text = "\n## Its fuses over time and current\n\n"
    text += "What `--curves` writes; [how to read one](../../curves.md).\n\n"
    for file, svg in pictures.items():
        (folder / f"{name}-{file}").write_text(svg, encoding="utf-8")
        words = file.removesuffix(".svg").replace("-", " ")
        text += f"![{words}: fuse against wire, load and faults]({name}-{file})\n\n"
    return text


def _wiring(folder: Path, name: str, sheets: Mapping[str, str]) -> str:
    """The wiring of an example as files, and the part of its page that shows it."""
    text = "\n## Its wiring\n\nWhat `draw` writes; [how to read it](../../drawings.md).\n\n"
    for file, svg in sheets.items():
        (folder / f"{name}-{file}").write_text(svg, encoding="utf-8")
        text += f"![{file.removesuffix('.svg').replace('-', ', sheet ')}]({name}-{file})\n\n"
    return text


def quickstart_outputs() -> dict[str, str]:
    """What the commands of the first job's page print, by the name under which it is shown there."""
    api = importlib.import_module("groundstrap.api")
    first, box = yaml_jobs(HERE / "quickstart.md")
    job = api.read_job(box)
    plan = api.plan(job)
    whole, small = api.plan_text(plan), api.plan_text(api.plan(api.read_job(first)))
    thin = box.replace("proving box]}", "proving box], wire: 1.5 mm2}")
    assert thin != box, "the page's circuit has changed: the thin wire must be written into it here as well"
    too_thin = api.plan_text(api.plan(api.read_job(thin)))
    return {
        "first": f"{part(small, '', 'LOADS:')}...\n{part(small, 'WHAT STAYS UNKNOWN', 'WHY,')}",
        "vet": part(api.vet_text(api.vet(job)), "", "WHAT STANDS AGAINST IT"),
        "glance": part(whole, "", "SITUATIONS:"),
        "why": part(whole, "WHY,", "PARTS,"),
        "pinned": api.pin(job, plan).text,
        "thin": f"{part(too_thin, '', 'LOADS:')}...\n{part(too_thin, 'WHAT STANDS', '  CAUTION')}",
    }


def part(text: str, start: str, end: str) -> str:
    """The lines from the first that begins with `start` to the one before that which begins with `end`."""
    lines = text.splitlines(keepends=True)
    first = next(number for number, line in enumerate(lines) if line.startswith(start))
    after = enumerate(lines[first:], first)
    last = next((number for number, line in after if line.startswith(end)), len(lines))
    return "".join(lines[first:last]).strip("\n") + "\n"


# --- own judgement ---------------------------------------------------------------------------------------

_OWN = re.compile(r"own[-\s]judgement", re.IGNORECASE)


def own_judgement_page() -> str:
    """Everything that no law, standard, handbook or maker says: figures in the code, tables, rules."""
    text = (
        "# What is own judgement\n\nNo law, standard, handbook or maker says what stands here; we hold it to "
    )
    text += "be sensible. Who knows better\nwrites the value into the job, where there is a key for it, or "
    text += "waives the rule with a reason.\n\n## Figures and ways of reckoning\n\n"
    for path in sorted(PACKAGE.rglob("*.py")):
        if path.name == "sources.py" or path.is_relative_to(PACKAGE / "report"):
            continue
        where = path.stem if "rules" in path.parts else f"{path.parent.name}.{path.stem}"
        for name, value, words in own_figures(path):
            text += f"- {cell(words)}{f' **`{value}`**' if value else ''} (`{where}`, `{name}`)\n"
    text += "\n"
    text += "## Rows of the reference tables\n\n" + grid(("table", "rows"), own_rows()) + "\n"
    text += "## Rules\n\nWhere a rule names a stronger source as well, that one counts.\n\n"
    found = [
        (f"[{record.id}](rules/{record.id}.md)", record.slug, source.partition(", ")[2])
        for record, _ in rules()
        for source in record.sources
        if source.startswith("own-judgement")
    ]
    return text + grid(("rule", "name", "what is judged"), found)


def own_figures(path: Path) -> Iterator[tuple[str, str, str]]:
    """Constants, fields and functions of a module whose words, or whose answers, are own judgement."""
    source = path.read_text(encoding="utf-8")
    if not _OWN.search(source):
        return
    tree = ast.parse(source)
    all_own = "All of them are own judgement" in (ast.get_docstring(tree) or "")
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        for statement, after in pairwise(body if isinstance(body, list) else ()):
            words = _string(after)
            other = "Source:" in words or "ommon practice" in words
            target = getattr(statement, "target", None) or next(iter(getattr(statement, "targets", ())), None)
            if isinstance(target, ast.AST) and (_OWN.search(words) or (all_own and words and not other)):
                value = getattr(statement, "value", None)
                if words.lower().startswith("own judgement. ["):  # nothing but the unit: the module says what
                    words = f"{(ast.get_docstring(tree) or '').splitlines()[0]} {words}"
                yield ast.unparse(target), ast.unparse(value) if isinstance(value, ast.AST) else "", words
        if isinstance(node, ast.FunctionDef) and "checks" not in path.parts:
            words = re.split(r"\n(?:Parameters|Examples)\n", ast.get_docstring(node) or "")[0]
            first, *rest = words.split("\n\n")
            if first and _OWN.search(ast.unparse(node)):
                yield node.name, "", " ".join((first, *(more for more in rest if _OWN.search(more))))


def _string(node: ast.AST) -> str:
    """The text of a statement that is nothing but a text: the words below a constant or a field."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return inspect.cleandoc(node.value.value) if isinstance(node.value.value, str) else ""
    return ""


def own_rows() -> Iterator[tuple[str, str]]:
    """Tables that are own judgement as a whole, and single rows of others."""
    for path in sorted((PACKAGE / "tables" / "data").glob("*.toml")):
        about = tomllib.loads(path.read_text(encoding="utf-8"))
        link = f"[{path.stem}](tables/{path.stem}.md)"
        with path.with_suffix(".csv").open(encoding="utf-8", newline="") as lines:
            rows = list(csv.DictReader(lines))
        keys = [name for name, column in about.get("columns", {}).items() if column.get("role") == "key"]
        own = [
            " ".join(row[key] for key in keys if row[key])
            for row in rows
            if _OWN.search(" ".join(row.values()))
            or ("known" not in row and _OWN.search(about.get("known", "")))
        ]
        if own:
            yield link, "all" if len(own) == len(rows) else "; ".join(own)


# --- tables ----------------------------------------------------------------------------------------------


def _write_tables(folder: Path) -> None:
    data = PACKAGE / "tables" / "data"
    found = sorted(data.glob("**/*.toml"))
    rows = []
    for path in found:
        about = tomllib.loads(path.read_text(encoding="utf-8"))
        (folder / "tables" / f"{path.stem}.md").write_text(table_page(path, about), encoding="utf-8")
        shown = (about.get("title", ""), f"`{about.get('source', '')}`", about.get("known", ""))
        rows.append((f"[{path.stem}]({path.stem}.md)", *shown))
    text = "# Tables\n\n" + grid(("table", "what it holds", "source", "known"), rows)
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
    text = f"{_LISTED}# {path.stem}\n\n{cell(about.get('title', ''))} [All tables](index.md)\n\n"
    text += grid(("about it", ""), facts) + "\n"
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
