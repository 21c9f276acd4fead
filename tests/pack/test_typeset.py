"""The PDF and the HTML of a document: literal texts, tags, the same bytes, nothing on top of anything."""

from __future__ import annotations

import html.parser
import re

import pypdfium2
import pytest

from groundstrap.errors import CallError
from groundstrap.pack.content import (
    Align,
    Calculation,
    CalculationLine,
    Caution,
    Column,
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
from groundstrap.pack.typeset.html import html as html_of
from groundstrap.pack.typeset.pdf import Setting, pdf
from groundstrap.report.language import language
from groundstrap.words import words
from tests.support.pdf import overlaps, pages

LITERAL = "#set text(9pt) *b* _i_ $x^2$ [y] @z <a> \\ `c` // no comment & 'q' \"r\""
SIGNS = "Ω µ ² ± ° ≤ √ Δ → ☐ × −"
PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="200" viewBox="0 0 400 200"'
    ' font-family="sans-serif"><text x="10" y="40" font-size="14">battery post</text></svg>'
)


def document() -> Document:
    columns = (Column("No."), Column("Length", Align.RIGHT), Column("Read", blank=True))
    blocks = (
        Paragraph(LITERAL),
        Paragraph(SIGNS, strong=True),
        Items(("one", "two"), ticks=True),
        Caution("hot surface"),
        Steps((Step(text="take the negative off", cautions=("no rings",), details=("10 mm spanner",)),)),
        Table(columns, tuple((f"W{n}", f"{n}.5 m", "") for n in range(1, 90)), caption="Cables"),
        Facts((("Vehicle", "van"),)),
        Calculation(
            (
                CalculationLine(
                    what="Drop", formula="ΔV = I · R", numbers="10 A · 4 mohm", result="0.04 V", source="Ohm"
                ),
            )
        ),
        Fill(("Date", "Signature")),
    )
    return Document(
        title="Van #2, *pump*",
        fingerprint="a1b2c3",
        revision=words("Revision {number}", number="2"),
        facts=(("Owner", "a bee yard"),),
        sections=(
            Section(key="all", title="Everything", blocks=blocks),
            Section(
                key="drawing",
                title="Wiring",
                blocks=(Picture(svg=PICTURE, words="a battery", whole_page=True, landscape=True),),
            ),
        ),
    )


@pytest.fixture(scope="module")
def made() -> bytes:
    return pdf(document(), Setting())


def test_the_same_content_gives_the_same_bytes(made: bytes) -> None:
    assert pdf(document(), Setting()) == made


def test_texts_of_a_user_are_never_markup(made: bytes) -> None:
    told = "".join(page.text for page in pages(made)).replace("\r\n", " ")
    assert LITERAL in told
    assert "Van #2, *pump*" in told


def test_every_sign_of_the_trade_is_in_the_face(made: bytes) -> None:
    assert SIGNS in "".join(page.text for page in pages(made))


def test_it_is_tagged_titled_and_has_bookmarks(made: bytes) -> None:
    """ISO 14289-1: marked, with a title that is shown, a language and a structure tree."""
    for mark in (b"/MarkInfo", b"/StructTreeRoot", b"/DisplayDocTitle true", b"/Lang"):
        assert mark in made
    read = pypdfium2.PdfDocument(made)
    assert read.get_metadata_value("Title") == "Van #2, *pump*"
    assert [mark.get_title() for mark in read.get_toc()] == ["Everything", "Wiring"]


def test_nothing_stands_on_anything_or_outside(made: bytes) -> None:
    for page in pages(made):
        assert not overlaps(page)
        assert not page.outside


def test_a_table_repeats_its_head_and_pages_are_counted(made: bytes) -> None:
    found = pages(made)
    with_cables = [page for page in found if re.search(r"\bW\d+", page.text)]
    assert len(with_cables) > 1
    assert all("Length" in page.text for page in with_cables)
    assert f"page 1 of {len(found)}" in found[0].text.replace("\r\n", " ")


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_both_papers(paper: str, size: tuple[int, int]) -> None:
    first = pages(pdf(document(), Setting(paper=paper)))[0]
    assert (round(first.width), round(first.height)) == size


def test_a_drawing_lies_across_its_page(made: bytes) -> None:
    last = pages(made)[-1]
    assert last.width > last.height
    assert "battery post" in last.text


class Reader(html.parser.HTMLParser):
    """Opens and closes of tags, and all that asks for something."""

    EMPTY = frozenset({"meta", "input", "br", "link", "img"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.asks: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.asks += [value or "" for name, value in attrs if name in {"src", "href", "action", "data"}]
        if tag in {"script", "iframe"}:
            self.asks.append(tag)
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_html_is_whole_literal_and_asks_for_nothing() -> None:
    made = html_of(document())
    reader = Reader()
    reader.feed(made)
    assert reader.open == []
    assert [ask for ask in reader.asks if not ask.startswith("#")] == []
    assert html.escape(LITERAL) in made
    assert "url(" not in made.partition("</style>")[0]


def test_an_unknown_language_is_refused_with_those_that_there_are() -> None:
    with pytest.raises(CallError, match="'xx'"):
        language("xx")
