"""Each list as CSV for a spreadsheet and as JSON for a program: the same rows, units in the names.

A cell that a spreadsheet would take for a formula has an apostrophe before it, as spreadsheets themselves
mark a text, and so has each thing of a list within a cell; one that begins with an apostrophe gets another.
JSON has it as it is.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from groundstrap.model import LoadKind, Uncertain
from groundstrap.pack.lists.cuts import Cut, CutEnd
from groundstrap.pack.lists.devices import Device, devices_of
from groundstrap.pack.lists.fuses import Slot, slots_of
from groundstrap.pack.lists.labels import SHEETS, Label
from groundstrap.pack.lists.purchase import Bought, purchase_of
from groundstrap.pack.lists.reels import CableReels, Reel
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.test_sheet import numbered_points
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.report.stamp import stamp_words
from groundstrap.report.test_points import Method
from groundstrap.report.values import Json, json_text, known
from groundstrap.units import ConductorSize

__all__ = ["LISTS", "csv_text", "list_files"]

_MARKED: Final = ("=", "+", "-", "@", "\t", "\r", "'")
"""What a cell begins with that a spreadsheet takes for a formula, or for the mark of a text."""

_AGAINST: Final = "stands_against"
"""Last column of every list, in each of its rows: it stays with a list that is sent on by itself, with rows
that are sorted or filtered, and a reader that goes by names or by places finds all others where they were."""
_CABLES: Final = (
    "number", "circuit", "returning", "size", "area_mm2", "other_size", "material", "insulation_c", "colour",
    "outer_mm", "from_place", "from_reference", "from_thing", "from_terminal", "from_end", "from_stud",
    "from_tab_mm", "from_torque_least_nm", "from_torque_most_nm", "from_crimp", "from_assumed",
    "to_place", "to_reference", "to_thing", "to_terminal", "to_end", "to_stud", "to_tab_mm",
    "to_torque_least_nm", "to_torque_most_nm", "to_crimp", "to_assumed", "shrink_mm", "shrink_lined",
    "length_m", "cut_m", "length_assumed",
)  # fmt: skip
_PARTS: Final = (
    "group", "item", "unit", "fitted", "needed", "spare", "buy", "pack", "reels_m", "part", "price",
    "circuits",
)  # fmt: skip
_REELS: Final = ("reel", "item", "sold_by", "reel_m", "place", "cable", "cut_m", "left_m", "proved")
_LABELS: Final = (
    "number", "circuit", "from", "to", "at", "outer_mm", "around_mm", "flag_mm", "tape_mm", "line_1",
    "line_2", "line_3",
)  # fmt: skip
_FUSES: Final = (
    "block", "way", "place", "reference", "name", "kind", "rating_a", "family", "holder", "label", "circuit",
    "feeds", "size", "area_mm2", "thinner_size", "thinner_mm2", "thinner_circuit", "continuous_a", "known_a",
    "existing", "free",
)  # fmt: skip

_DEVICES: Final = ("reference", "name", "one", "of", "place", "kind", "taken_for", "circuits")

_TESTS: Final = (
    "number", "circuit", "when", "using", "where", "red", "black", "through", "unit", "expected",
    "look_least", "look_most", "fails_below", "fails_above", "how", "note", "read", "meter", "date", "by",
)  # fmt: skip
"""`where` is the reading as a job file names it, `read` is left empty: filled in, the sheet goes back in."""

LISTS: Final[Mapping[str, tuple[str, ...]]] = {
    "devices": (*_DEVICES, _AGAINST),
    "cables": (*_CABLES, _AGAINST),
    "parts": (*_PARTS, _AGAINST),
    "reels": (*_REELS, _AGAINST),
    "labels": (*_LABELS, _AGAINST),
    "fuses": (*_FUSES, _AGAINST),
    "tests": (*_TESTS, _AGAINST),
}
"""The columns of each list, by the name of its files."""


def list_files(
    plan: Plan,
    paper: str = "a4",
    *,
    only: Iterable[str] = (),
    telling: Telling | None = None,
    meter: str = "handheld",
) -> Mapping[str, str]:
    """Return the text of each list's CSV and JSON file, by the file's name.

    Parameters
    ----------
    plan : Plan
        What `plan` said.
    paper : str
        Flags are as on this paper's labels.
    only : Iterable of str
        Names of lists; none for all of them.
    telling : Telling or None
        What was found of the plan before, reels in the units that it is shown in.
    meter : str
        Meter that the readings are banded for.
    """
    found: dict[str, str] = {}
    stamp = str(stamp_words(plan))
    telling = telling or Telling(plan, Display(plan.installation.units))
    wanted = tuple(only) or tuple(LISTS)
    for name in wanted:
        rows = list(_tests(telling, meter) if name == "tests" else _rows(name, telling, paper))
        found[f"{name}.csv"] = csv_text(LISTS[name], ({**row, _AGAINST: stamp} for row in rows))
        kept = [known(row) for row in rows]
        head = {"schema": f"groundstrap.{name}/1", "fingerprint": plan.fingerprint, _AGAINST: stamp}
        found[f"{name}.json"] = json_text({**head, name: kept})
    return found


def _rows(name: str, telling: Telling, paper: str) -> Iterator[Json]:
    plan = telling.plan
    if name == "cables":
        yield from map(_cable, telling.every_cut)
    elif name == "labels":
        yield from (_label(label, paper) for label in telling.labels)
    elif name == "devices":
        # Whatever a page is shown in, a list is in the job's own units.
        yield from map(_device, devices_of(Telling(plan, Display(plan.installation.units))))
    elif name == "fuses":
        yield from map(_slot, slots_of(plan, telling.refs))
    elif name == "reels":
        yield from (row for each in telling.reels for reel in each.reels for row in _reel(each, reel))
    else:
        yield from map(_part, purchase_of(plan, telling.every_cut, telling.reels).rows)


def csv_text(columns: Iterable[str], rows: Iterable[Mapping[str, Any]]) -> str:
    r"""Return rows as CSV with a line of names; lists within a cell are joined by semicolons.

    >>> csv_text(("number", "from"), [{"number": "6.1", "from": "-G1 +"}])
    "number,from\r\n6.1,'-G1 +\r\n"
    """
    names = tuple(columns)
    written = io.StringIO(newline="")
    writer = csv.writer(written)
    writer.writerow(names)
    writer.writerows([_cell(row.get(name)) for name in names] for row in rows)
    return written.getvalue()


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g}"
    if isinstance(value, list):
        return "; ".join(map(_listed, value))
    return _safe(str(value))


def _listed(value: object) -> str:
    """A thing of a list; one with the sign that parts them in its name stands in quotes, doubled within."""
    text = f"{value:.10g}" if isinstance(value, float) else _safe(str(value))
    if ";" in text or text.startswith('"'):
        return '"' + text.replace('"', '""') + '"'
    return text


def _safe(text: str) -> str:
    """A text that no spreadsheet reckons with; what is no sign of a text, such as a null, is left out."""
    clean = "".join(char for char in text if char.isprintable() or char in "\t\r\n")
    return f"'{clean}" if clean.lstrip(" ").startswith(_MARKED) else clean


def _size(size: ConductorSize | None) -> Json:
    if size is None:
        return {"size": None, "area_mm2": None, "other_size": None}
    return {"size": size.text, "area_mm2": size.area_mm2, "other_size": Display().other(size)}


def _cable(cut: Cut) -> Json:
    return {
        "number": cut.number,
        "circuit": cut.circuit,
        "returning": cut.returning,
        **_size(cut.cable.size),
        "material": cut.cable.material,
        "insulation_c": cut.cable.insulation_c,
        "colour": cut.cable.colour,
        "outer_mm": cut.outer_mm,
        **_end("from", cut.start),
        **_end("to", cut.end),
        "shrink_mm": cut.shrink_mm,
        "shrink_lined": cut.shrink_lined if cut.shrink_mm is not None else None,
        "length_m": cut.length_m,
        "cut_m": cut.cut_m,
        "length_assumed": cut.length_assumed,
    }


def _end(name: str, end: CutEnd) -> Json:
    torque: Uncertain | None = end.torque_nm
    return {
        f"{name}_place": end.spot.place or None,
        f"{name}_reference": end.spot.reference or None,
        f"{name}_thing": str(end.spot.thing),
        f"{name}_terminal": str(end.spot.terminal) or None,
        f"{name}_end": str(end.fitting) or None,
        f"{name}_stud": end.stud,
        f"{name}_tab_mm": end.tab_mm,
        f"{name}_torque_least_nm": None if torque is None else torque.low,
        f"{name}_torque_most_nm": None if torque is None else torque.high,
        f"{name}_crimp": list(end.crimp_colours) or None,
        f"{name}_assumed": end.assumed if end.kind is not None else None,
    }


def _device(device: Device) -> Json:
    return {
        "reference": device.reference or None,
        "name": device.name,
        "one": device.one,
        "of": device.of,
        "place": device.place or None,
        "kind": device.kind,
        "taken_for": [str(each) for each in device.told] or None,
        "circuits": list(device.circuits) or None,
    }


def _tests(telling: Telling, meter: str) -> Iterator[Json]:
    """Readings of the test sheet, each with room for what was read."""
    plan, loads = telling.plan, telling.plan.installation.loads
    # A clamp at a post reads what its battery gives.
    things = {post: s.name for s in plan.installation.supplies.values() for post in (s.plus, s.minus)}
    for each in numbered_points(telling, meter):
        point = each.point
        volts = point.method is Method.VOLTS
        yield {
            "number": each.number,
            "circuit": point.circuit,
            "when": "dead" if point.when is None else point.when.value,
            "using": [name for name in point.using if loads[name].kind is not LoadKind.COIL] or None,
            "where": f"{point.red} to {point.black}" if point.black else things.get(point.red, point.red),
            "red": point.red if point.black else None,
            "black": point.black or None,
            "through": None if point.black else point.red,
            "unit": point.unit,
            "expected": point.expected,
            "look_least": point.look.low,
            "look_most": point.look.high,
            "fails_below": point.fails.low,
            "fails_above": point.fails.high,
            "how": None if volts else point.method.value,
            "note": str(point.note) or None,
            "meter": "clamp" if point.method is Method.CLAMP else meter,
        }


def _part(row: Bought) -> Json:
    lengths = [length_m for length_m, count in row.reels for _ in range(count)]
    return {
        "group": row.group,
        "item": str(row.item),
        "unit": row.unit,
        "fitted": row.fitted,
        "needed": row.needed,
        "spare": row.spare,
        "buy": row.buy,
        "pack": row.pack if row.pack > 1 else None,
        "reels_m": lengths or None,
        "part": row.part or None,
        "price": row.price,
        "circuits": list(row.circuits) or None,
    }


def _reel(each: CableReels, reel: Reel) -> Iterator[Json]:
    for place, cut in enumerate(reel.cuts, 1):
        yield {
            "reel": reel.number,
            "item": str(each.item),
            "sold_by": each.sold_by.value,
            "reel_m": reel.length_m,
            "place": place,
            "cable": cut.number,
            "cut_m": cut.cut_m,
            "left_m": reel.left_m,
            "proved": each.proved,
        }


def _label(label: Label, paper: str) -> Json:
    number, circuit, route = label.lines
    return {
        "number": label.number,
        "circuit": label.circuit,
        "from": label.start,
        "to": label.end,
        "at": label.at,
        "outer_mm": label.outer_mm,
        "around_mm": label.around_mm,
        "flag_mm": label.flag_mm(SHEETS[paper].label_width_mm),
        "tape_mm": label.tape_mm,
        "line_1": number,
        "line_2": circuit,
        "line_3": route,
    }


def _slot(slot: Slot) -> Json:
    size = _size(slot.size)
    return {
        "block": slot.block or None,
        "way": slot.way or None,
        "place": slot.place or None,
        "reference": slot.reference or None,
        "name": slot.name or None,
        "kind": slot.kind or None,
        "rating_a": slot.rating_a,
        "family": slot.family,
        "holder": slot.holder,
        "label": slot.label or None,
        "circuit": slot.circuit or None,
        "feeds": list(slot.feeds) or None,
        "size": size["size"],
        "area_mm2": size["area_mm2"],
        "thinner_size": None if slot.thinner is None else slot.thinner.text,
        "thinner_mm2": None if slot.thinner is None else slot.thinner.area_mm2,
        "thinner_circuit": slot.of_circuit or None,
        "continuous_a": slot.continuous_a,
        "known_a": slot.known_a,
        "existing": slot.existing,
        "free": slot.free,
    }
