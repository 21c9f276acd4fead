"""HTML of a document: one file that asks for nothing else, for a screen, a phone and a printer."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from pathlib import Path
from typing import Final

from groundstrap.pack.content import (
    Block,
    Calculation,
    Caution,
    Document,
    Facts,
    Fill,
    Items,
    Paragraph,
    Picture,
    Section,
    Step,
    Steps,
    Table,
)
from groundstrap.report.language import ENGLISH, Language
from groundstrap.words import words

__all__ = ["html"]

_STYLE: Final = Path(__file__).with_name("pack.css")
_BOX: Final = '<input type="checkbox" aria-label="{}">'


def html(document: Document, language: Language = ENGLISH) -> str:
    """Return a document as one HTML file without scripts or outside requests."""
    said = language.in_print
    title = escape(document.title)
    facts = "".join(_fact(name, value, said) for name, value in document.facts)
    links = "".join(
        f'<li><a href="#{escape(section.key)}">{_text(section.title, said)}</a></li>'
        for section in document.sections
    )
    warning = _warning(document.warning, said)
    body = "\n".join(f"{warning}{_section(section, 2, said)}" for section in document.sections)
    mark = said.text(words("Fingerprint {fingerprint}", fingerprint=document.fingerprint))
    revision = f" · {_text(document.revision, said)}" if document.revision else ""
    return (
        f'<!doctype html>\n<html lang="{language.code}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>\n{_STYLE.read_text(encoding='utf-8')}</style>\n</head>\n<body>\n"
        f"<header><h1>{title}</h1><dl>{facts}</dl>"
        f"<nav><ul>{links}</ul></nav></header>\n<main>\n{body}\n</main>\n"
        f"<footer>{escape(mark)}{revision}</footer>\n</body>\n</html>\n"
    )


def _text(text: str, said: Language) -> str:
    return escape(said.text(text))


def _warning(text: str, said: Language) -> str:
    """The warning before every section, for whoever prints or reads one of them alone."""
    return f'<p class="caution"><strong>{_text(text, said)}</strong></p>\n' if text else ""


def _fact(name: str, value: str, said: Language) -> str:
    return f"<div><dt>{_text(name, said)}</dt><dd>{_text(value, said)}</dd></div>"


def _section(section: Section, level: int, said: Language) -> str:
    depth = min(level, 6)
    blocks = "\n".join(_block(block, said) for block in section.blocks)
    parts = "\n".join(_section(part, level + 1, said) for part in section.parts)
    return (
        f'<section id="{escape(section.key)}">\n<h{depth}>{_text(section.title, said)}</h{depth}>\n'
        f"{blocks}\n{parts}\n</section>"
    )


def _block(block: Block, said: Language) -> str:
    match block:
        case Paragraph():
            told = _text(block.text, said)
            return f"<p><strong>{told}</strong></p>" if block.strong else f"<p>{told}</p>"
        case Items():
            return _items(block, said)
        case Caution():
            return _caution(block.text, said)
        case Steps():
            return _steps(block, said)
        case Table():
            return _table(block, said)
        case Facts():
            return f"<dl>{''.join(_fact(name, value, said) for name, value in block.rows)}</dl>"
        case Picture():
            return f"<figure>{block.svg}</figure>"
        case Fill():
            lines = "".join(f"<div><span>{_text(label, said)}</span></div>" for label in block.labels)
            return f'<div class="fill">{lines}</div>'
        case Calculation():
            return "\n".join(_lines(block, said))


def _items(block: Items, said: Language) -> str:
    told = [_text(text, said) for text in block.texts]
    if not block.ticks:
        return f"<ul>{''.join(f'<li>{text}</li>' for text in told)}</ul>"
    rows = "".join(f"<li><label>{_BOX.format(text)} {text}</label></li>" for text in told)
    return f'<ul class="ticks">{rows}</ul>'


def _caution(text: str, said: Language) -> str:
    return f'<p class="caution"><strong>{_text(words("Caution"), said)}:</strong> {_text(text, said)}</p>'


def _steps(block: Steps, said: Language) -> str:
    rows = "".join(_step(step, said) for step in block.steps)
    return f'<ol class="steps" start="{block.first}">{rows}</ol>'


def _step(step: Step, said: Language) -> str:
    told = _text(step.text, said)
    details = "".join(f"<small>{_text(text, said)}</small>" for text in step.details)
    cautions = "".join(_caution(text, said) for text in step.cautions)
    return f"<li><label>{_BOX.format(told)} {told}</label>{details}{cautions}</li>"


def _table(block: Table, said: Language) -> str:
    caption = f"<caption>{_text(block.caption, said)}</caption>" if block.caption else ""
    kinds = [f'class="{column.align}{" blank" if column.blank else ""}"' for column in block.columns]
    head = "".join(
        f'<th scope="col" {kind}>{_text(column.title, said)}</th>'
        for kind, column in zip(kinds, block.columns, strict=True)
    )
    rows = "".join(
        f"<tr>{''.join(f'<td {k}>{_text(cell, said)}</td>' for k, cell in zip(kinds, row, strict=True))}</tr>"
        for row in block.rows
    )
    return (
        f'<div class="wide"><table>{caption}<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>'
    )


def _lines(block: Calculation, said: Language) -> Iterator[str]:
    for line in block.lines:
        more = [f"= {_text(line.numbers, said)}"] if line.numbers else []
        more += ["; ".join(_text(text, said) for text in (line.limit, line.margin) if text)]
        rows = "".join(f"<div>{text}</div>" for text in (_text(line.formula, said), *more) if text)
        source = f"<cite>{_text(line.source, said)}</cite>" if line.source else ""
        yield (
            f'<div class="reckoned"><div class="what"><strong>{_text(line.what, said)}</strong>'
            f"<strong>{_text(line.result, said)}</strong></div>{rows}{source}</div>"
        )
