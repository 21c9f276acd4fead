"""PDF of a document: tagged, with bookmarks, the same bytes for the same content."""

from __future__ import annotations

import io
import json
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any, Final

import segno
import typst

from groundstrap.errors import CannotDoError
from groundstrap.pack.content import Block, Document, Picture, Section
from groundstrap.records import dataclass
from groundstrap.report.language import ENGLISH, Language
from groundstrap.words import words

__all__ = ["FONT", "PAPERS", "Setting", "pdf"]

FONT: Final = "Source Sans Pro"
PAPERS: Final = {"a4": "a4", "letter": "us-letter"}
_FORM: Final = Path(__file__).with_name("pack.typ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How a document is set: the paper, the language, whether it has a cover."""

    paper: str = "a4"
    language: Language = ENGLISH
    cover: bool = True


def pdf(document: Document, setting: Setting) -> bytes:
    """Return a document as PDF, tagged for whoever does not see it (ISO 14289-1).

    Raises:
        CannotDoError: the typesetter refused what it was given.
    """
    content = json.dumps(_content(document, setting), ensure_ascii=False)
    compiler = typst.Compiler(font_paths=_fonts(), ignore_system_fonts=True, sys_inputs={"content": content})
    try:
        made = compiler.compile(input=_FORM.read_bytes(), format="pdf", pdf_standards=["ua-1"], timestamp=0)
    except typst.TypstError as error:
        raise _refused(error.message) from error
    if not isinstance(made, bytes):
        raise _refused("it gave back several files")
    return made


def _refused(why: str) -> CannotDoError:
    return CannotDoError(
        f"the PDF could not be set in type: {why}",
        next_step="this is a fault of the tool: report it with the job file",
    )


@cache
def _fonts() -> typst.Fonts:
    """The faces that the form asks for, from the package that brings them; none of the machine's own."""
    import font_source_sans_pro  # noqa: PLC0415

    folder = Path(font_source_sans_pro.__file__).parent / "files"
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(folder)])


def _content(document: Document, setting: Setting) -> dict[str, Any]:
    """What the form reads, in the language of the setting and with the signs of print."""
    said = setting.language.in_print
    return {
        "title": document.title,
        "author": [value for name, value in document.facts if name == words("By")],
        "description": said.text(
            words("Job pack, fingerprint {fingerprint}", fingerprint=document.fingerprint)
        ),
        "font": FONT,
        "language": setting.language.code,
        "paper": PAPERS[setting.paper],
        "revision": said.text(document.revision),
        "warning": said.text(document.warning),
        "fingerprint": document.fingerprint,
        "says": {
            "fingerprint": said.text(words("Fingerprint")),
            "page": said.text(words("page")),
            "of": said.text(words("of")),
            "caution": said.text(words("Caution")),
            "parted": said.text(words("This takes more than one sheet: keep all of them together.")),
            "code": said.text(words("Title and fingerprint as a square code")),
        },
        "cover": setting.cover,
        "code": _code(document),
        "facts": [[said.text(name), said.text(value)] for name, value in document.facts],
        "sections": [_section(section, said) for section in document.sections],
    }


def _section(section: Section, said: Language) -> dict[str, Any]:
    return {
        "key": section.key,
        "title": said.text(section.title),
        "new_page": section.new_page,
        "one_page": section.one_page,
        "blocks": [_block(block, said) for block in section.blocks],
        "parts": [_section(part, said) for part in section.parts],
    }


def _block(block: Block, said: Language) -> dict[str, Any]:
    """A block by the names of its fields, with its kind beside them; a drawing keeps its own texts."""
    values = {each.name: _value(getattr(block, each.name), said) for each in fields(block)}
    if isinstance(block, Picture):
        values["svg"] = block.svg.replace('font-family="sans-serif"', f'font-family="{FONT}"')
    return {"kind": type(block).__name__.lower(), **values}


def _value(value: object, said: Language) -> object:
    if isinstance(value, str):
        return said.text(value)
    if isinstance(value, tuple):
        return [_value(each, said) for each in value]
    if isinstance(value, bool | int | float):
        return value
    return {each.name: _value(getattr(value, each.name), said) for each in fields(value)}  # type: ignore[arg-type]


def _code(document: Document) -> str:
    """The square code on the cover: title and fingerprint, so that paper and file can be matched."""
    drawn = io.BytesIO()
    code = segno.make(f"{document.title}\n{document.fingerprint}", error="m", micro=False)
    code.save(drawn, kind="svg", scale=4, border=2, xmldecl=False, svgns=True, omitsize=False, nl=False)
    return drawn.getvalue().decode()
