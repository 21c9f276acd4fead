"""What workers do: plan a job, and make of the plan what was asked for. They remember their last plans."""

from __future__ import annotations

import hashlib
import json
import tempfile
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from groundstrap import api
from groundstrap.api.sheets import Comparison
from groundstrap.errors import CallError
from groundstrap.records import dataclass
from groundstrap.web.pages import shown
from groundstrap.web.pages.rendering import Look, said
from groundstrap.web.plain import plain
from groundstrap.web.problems import of_error

if TYPE_CHECKING:
    from groundstrap.api.reading import Job

__all__ = ["Asked", "PackAsked", "beside", "planned", "read", "warm"]

_PLANS_KEPT: Final = 12
_plans: OrderedDict[str, api.Plan] = OrderedDict()

_WARM_JOB: Final = """groundstrap: 1
title: warm
system: 12 V
loads:
  lamp: {claims: {power: 60 W}}
circuits:
  lamp: {length: 7 m}
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A job, as it came: its text, and the files beside it."""

    text: str
    files: tuple[tuple[str, str], ...] = ()

    @property
    def key(self) -> str:
        """Hash of all of it."""
        found = hashlib.sha256(self.text.encode("utf-8", "surrogatepass"))
        for name, text in self.files:
            for part in (name, text):
                data = part.encode("utf-8", "surrogatepass")
                found.update(b"\0%d\0" % len(data) + data)
        return found.hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class PackAsked:
    """What of a pack is wanted, and how."""

    job: Asked
    parts: tuple[str, ...] = ()
    paper: str = "a4"
    language: str = "en"
    units: str | None = None
    meter: str = "handheld"
    since: Asked | None = None
    visited: api.Visited | None = None
    """Its accepted visits, where it is on the shelf."""


def warm() -> None:
    """Load what a plan needs, so that the first one is as quick as any."""
    api.plan_json(api.plan(api.read_job(_WARM_JOB)))


def warm_packs() -> None:
    """Load what a pack needs beside; drawing a job takes most of it."""
    warm()
    api.pack(api.plan(api.read_job(_WARM_JOB)), only=("fuses",))


def read(asked: Asked) -> Job:
    """Read a job; files that it names are those that came with it, and none else on this machine."""
    with beside(asked) as folder:
        return api.read_job(asked.text, "job", folder=folder)


@contextmanager
def beside(asked: Asked) -> Iterator[Path | None]:
    """Keep the files that came with a job in a folder, for as long as it may be read again."""
    if not asked.files:
        yield None
        return
    with tempfile.TemporaryDirectory(prefix="groundstrap-") as folder:
        for name, text in asked.files:
            if Path(name).name != name or name in {"", ".", ".."} or "\0" in name:
                raise CallError(
                    "a file beside the job has no plain name", wanted="a name such as stock.csv", given=name
                )
            (Path(folder) / name).write_text(text, encoding="utf-8", newline="")
        yield Path(folder)


def planned(asked: Asked) -> api.Plan:
    """Return the plan of a job, remembered where it was among the last."""
    key = asked.key
    found = _plans.pop(key, None)
    if found is None:
        found = api.plan(read(asked))
    _plans[key] = found
    while len(_plans) > _PLANS_KEPT:
        _plans.popitem(last=False)
    return found


def answer(asked: Asked, days: bool = False) -> str:  # noqa: FBT001, FBT002
    """Return the plan of a job as JSON, with what its days come to where that is asked for; never rounded."""
    return api.whole_json(planned(asked), _days(asked, days)) if days else api.plan_json(planned(asked))


def answer_html(asked: Asked, look: Look, days: bool = False) -> str:  # noqa: FBT001, FBT002
    """Return the plan of a job as a part of a page, with its days in the verdict where they are asked for."""
    return shown.answer_part(api.judged_with(planned(asked), _days(asked, days)), look)


def whole_html(asked: Asked, look: Look) -> str:
    """Return the plan of a job and what stands against its days, as a part of a page."""
    return answer_html(asked, look, days=True)


def _days(asked: Asked, wanted: bool) -> api.EnduranceAnswer | api.DaysNotRun | None:  # noqa: FBT001
    """The run of the days that belong to a verdict."""
    return api.days_of(read(asked), with_cures=False) if wanted else None


def in_short(asked: Asked, look: Look) -> shown.InShort:
    """Return the answer in a few words."""
    return shown.in_short(planned(asked), look)


def vetting(asked: Asked) -> str:
    """Return what every load really draws, as JSON."""
    return api.vet_json(api.vet(read(asked)))


def first_html(given: Mapping[str, str], look: Look, csrf: str) -> str:
    """Return what a first look comes to, as a part of a page."""
    return shown.first_part(
        api.FirstLook(**given),
        lambda text: planned(Asked(text=text)),
        look,
        csrf=csrf,
        errors=lambda error: [dict(each) for each in of_error(error).faults],
    )


def circuit(asked: Asked, name: str, units: str | None, language: str) -> object:
    """Return one circuit in full: its numbers as they are, and as a screen shows them."""
    plan = planned(asked)
    shown_ = plain(api.circuit_sheet(plan, name, units=units, language_code=language))
    return {"circuit": json.loads(api.plan_json(plan))["circuits"].get(name, {}), "shown": shown_}


def circuit_html(asked: Asked, name: str, look: Look) -> str:
    """Return one circuit in full, as a part of a page."""
    return shown.circuit_part(planned(asked), name, look)


def load(asked: Asked, name: str, units: str | None, language: str) -> object:
    """Return one load in full: its numbers as they are, and as a screen shows them."""
    plan = planned(asked)
    shown_ = plain(api.load_sheet(plan, name, units=units, language_code=language))
    return {"load": json.loads(api.plan_json(plan))["loads"].get(name, {}), "shown": shown_}


def load_html(asked: Asked, name: str, look: Look) -> str:
    """Return one load in full, as a part of a page."""
    return shown.load_part(planned(asked), name, look)


def sheet(asked: Asked, units: str | None) -> object:
    """Return what a first screen shows of an answer, rounded as it is shown."""
    return plain(api.sheet(planned(asked), units=units))


def drawings(asked: Asked, wanted: Mapping[str, Any]) -> Mapping[str, str]:
    """Return the drawings of a job: file name -> SVG."""
    return dict(api.drawing(planned(asked), **wanted))


def drawings_html(asked: Asked, look: Look, routes: bool) -> str:  # noqa: FBT001
    """Return the drawings of a job, as a part of a page."""
    return shown.drawing_part(planned(asked), look, routes=routes)


def curves(asked: Asked, units: str | None) -> Mapping[str, str]:
    """Return time over current of each circuit with a fuse: file name -> SVG."""
    return dict(api.curve_pictures(planned(asked), units=units))


def comparison(left: Asked, right: Asked, units: str | None) -> object:
    """Return two jobs side by side."""
    return plain(api.comparison(planned(left), planned(right), units=units))


def both(left: Asked, right: Asked, units: str | None) -> Comparison:
    """Return two jobs side by side, as a page shows them."""
    return api.comparison(planned(left), planned(right), units=units)


def forms_html(text: str, look: Look, more: Mapping[str, Any]) -> str:
    """Return the forms of a job, as a part of a page."""
    return shown.forms_part(text, look, **more)


def pinned(asked: Asked) -> object:
    """Return the text of a job with its choices written into it."""
    return plain(api.pin(read(asked), planned(asked)))


def form(asked: Asked) -> object:
    """Return a job as a form: everything that it holds and may hold, each with its faults."""
    return plain(api.job_form(asked.text))


def values_of(text: str) -> Mapping[tuple[str, ...], str]:
    """Return what stands at each key of a job's text that has no keys of its own."""
    return {each.path: each.value for each in _leaves(api.job_form(text).sections)}


def _leaves(fields: tuple[api.FieldForm, ...]) -> Iterator[api.FieldForm]:
    for each in fields:
        if each.fields:
            yield from _leaves(each.fields)
        else:
            yield each


def names_in(text: str, section: str) -> tuple[str, ...]:
    """Return the names of the entries that a section of a job's text has."""
    found = [each for each in api.job_form(text).sections if each.path == (section,)]
    return tuple(each.path[-1] for each in found[0].fields) if found else ()


def edited(text: str, edits: tuple[api.Edit, ...]) -> str:
    """Return a job's text with edits made."""
    return api.edited(text, edits)


def edited_told(text: str, edits: tuple[api.Edit, ...], language: str) -> Mapping[str, object]:
    """Return a job's text with edits made, and what of them was said in words, as it was understood."""
    after = api.edited(text, edits)
    return {"text": after, "said": [said(each, language) for each in api.edits_heard(text, edits)]}


def stock_words(asked: Asked, look: Look) -> str:
    """Return what the list of the stock restricts, in words; nothing where it restricts nothing."""
    return said(api.sheet(planned(asked), units=look.units).stock, look.code)


def photo(data: bytes) -> bytes:
    """Return a photo that was made anew."""
    return api.clean_photo(data)


def first_look(given: Mapping[str, str]) -> object:
    """Return a job's text from a few typed words, what was understood, and what may be a slip."""
    return plain(api.first_look(api.FirstLook(**given)))


def swap(text: str, what: str, with_: str) -> object:
    """Return a job's text with a wire or fuse of one circuit swapped, and how to take that back."""
    return plain(api.swapped(text, what, with_))


def stock(text: str, edits: tuple[tuple[int | None, str | None, Mapping[str, str] | None], ...]) -> object:
    """Return a stock file's text with edits made, and its rows; a row may come as it was typed."""
    made = [
        api.StockEdit(row=row, cells=cells if typed is None else api.stock_cells(typed))
        for row, typed, cells in edits
    ]
    after = api.stock_edited(text, made)
    return {"text": after, "rows": plain(api.stock_rows(after))}


def packed(asked: PackAsked, *, progress: Callable[[str], None]) -> Mapping[str, bytes]:
    """Make a pack, or parts of it; each file's name is told before it is made."""
    since = None if asked.since is None else planned(asked.since)
    files = api.pack(
        planned(asked.job),
        only=asked.parts,
        paper=asked.paper,
        units=asked.units,
        language_code=asked.language,
        meter=asked.meter,
        since=since,
        days=api.endured_for_pack(read(asked.job), asked.parts),
        visited=asked.visited,
        progress=progress,
    )
    return dict(files)
