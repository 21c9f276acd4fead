"""The shapes of requests and answers of the API; what a request has too much is refused."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

__all__ = [
    "AnswerAsked",
    "Answered",
    "Asks",
    "CheckAsked",
    "CircuitTold",
    "ComparisonAsked",
    "ComparisonTold",
    "DrawingAsked",
    "DrawingsTold",
    "EditAsked",
    "EditsAsked",
    "EnduranceAsked",
    "Fault",
    "FileName",
    "Files",
    "FirstLookAsked",
    "FirstLookTold",
    "FormAsked",
    "FormTold",
    "JobId",
    "Key",
    "Language",
    "Line",
    "LoadTold",
    "PackRequest",
    "PackTold",
    "Paper",
    "Place",
    "ProblemTold",
    "Question",
    "RuleTold",
    "RulesTold",
    "SlipTold",
    "StockAsked",
    "StockEditAsked",
    "StockRowTold",
    "StockTold",
    "SwapAsked",
    "SwapTold",
    "TableTold",
    "TablesTold",
    "Tells",
    "TermTold",
    "TermsTold",
    "Text",
    "TextTold",
    "Units",
    "Who",
]


def _can_be_kept(text: str) -> str:
    """Refuse what no database keeps."""
    if "\0" in text:
        raise ValueError("a text holds no NUL character")
    return text


Text = Annotated[str, Field(max_length=400_000), AfterValidator(_can_be_kept)]
"""Text of a job."""
Line = Annotated[str, Field(max_length=1_000), AfterValidator(_can_be_kept)]
Who = Annotated[str, Field(max_length=80, pattern=r"^[^\x00-\x1f\x7f]*$")]
FileName = Annotated[str, Field(min_length=1, max_length=120, pattern=r"^[^/\\\x00-\x1f]+$")]
Files = Annotated[dict[FileName, Text], Field(max_length=50)]
Key = Annotated[str, Field(max_length=400)]
Place = Annotated[int, Field(ge=0, le=100_000)]
Units = Literal["metric", "us"]
Paper = Literal["a4", "letter"]
Language = Annotated[str, Field(pattern=r"^[a-z]{2,3}$")]
JobId = Annotated[str, Field(pattern=r"^[0-9a-z]{1,40}$")]


class Asks(BaseModel):
    """What comes in: nothing too much, and nothing taken for what it is not."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Tells(BaseModel):
    """What goes out; more may be added."""

    model_config = ConfigDict(extra="allow")


class Fault(Tells):
    """One thing that is wrong in a text or a request."""

    file: str | None = None
    line: int | None = None
    column: int | None = None
    key: str | None = None
    found: str | None = None
    wanted: str | None = None
    reason: str | None = None
    nearest: str | None = None
    said: str | None = None


class Question(Asks):
    """A job, and how its answer is wanted."""

    text: Text = Field(description="The whole text of the job file.")
    files: Files | None = Field(
        None, description="Files beside it: name -> content; none are read from disk."
    )
    job: JobId | None = Field(
        None, description="A job on the shelf, whose files come along where none are given."
    )
    language: Language = Field("en", description="Language of texts in pictures and of parts of pages.")
    units: Units | None = Field(None, description="What is shown; left out, the job's own.")


class AnswerAsked(Question):
    """A job whose plan is wanted."""

    endurance: bool = Field(
        default=False, description="Run three of its days too; takes up to some seconds, and has a limit."
    )


class EnduranceAsked(Asks):
    """A job whose days are to be run."""

    text: Text = Field(description="The whole text of the job file.")
    files: Files | None = Field(None, description="Files beside it: name -> content.")
    job: JobId | None = Field(
        None, description="A job on the shelf, whose files come along where none are given."
    )
    days: Annotated[int, Field(ge=1, le=60)] = Field(1, description="How often its day is repeated.")
    temperature_c: Annotated[float, Field(ge=-40.0, le=60.0)] | None = Field(
        None, description="One temperature for all spans in place of theirs, in degrees Celsius."
    )
    cures: bool = Field(
        default=True, description="Look for what cures what fails: each change that is tried is a run."
    )
    chances: bool = Field(
        default=False, description="Say how often it goes wrong in 10,000 drawn days; takes some seconds."
    )


class DrawingAsked(Question):
    """A job whose drawing is wanted."""

    compact: bool = Field(default=False, description="One column, 390 pixels wide.")
    routes: bool = Field(default=False, description="Places and runs in the place of the wiring.")
    paper: Paper = "a4"


class ComparisonAsked(Asks):
    """Two jobs that are laid side by side."""

    left: Text
    right: Text
    left_files: Files | None = None
    right_files: Files | None = None
    job: JobId | None = None
    language: Language = "en"
    units: Units | None = None


class EditAsked(Asks):
    """One edit of a text; no `value` and no `do` removes what stands at the path."""

    path: Annotated[
        list[Annotated[str, Field(max_length=400)] | Annotated[int, Field(ge=0, le=100_000)]],
        Field(max_length=20),
    ] = Field(description="Keys from the file's root; items of a list by their number from 0.")
    value: str | list[Any] | dict[str, Any] | None = Field(
        None,
        description="A text as the file has it, or in words; a list or a map; of a rename the new name.",
    )
    typed: bool = Field(
        default=False, description="Whether texts in it are as somebody typed them: with braces, or `a: b`."
    )
    do: Literal["set", "remove", "add", "rename", "move"] | None = None
    before: Annotated[str, Field(max_length=400)] | Annotated[int, Field(ge=0, le=100_000)] | None = Field(
        None, description="An entry is added or moved before this one; left out, behind all."
    )


class EditsAsked(Question):
    """Edits that are made one after the other."""

    edits: Annotated[list[EditAsked], Field(max_length=200)]
    answer: bool = Field(
        default=False,
        description="Whether the answer to the text after the edits comes along, as a part of a page.",
    )


class FormAsked(Question):
    """A text that is wanted as a form."""

    base: int = Field(
        0, ge=0, le=10_000_000, description="For a part of a page: the revision it is written from."
    )
    open: Annotated[list[Line], Field(max_length=200)] = Field(
        default_factory=list, description="For a part of a page: ids of entries whose fields are shown."
    )
    only: Line = Field("", description="For a part of a page: id of the one entry that is wanted.")


class PackRequest(Question):
    """A pack that is to be made."""

    parts: Annotated[list[Annotated[str, Field(max_length=60)]], Field(max_length=40)] = Field(
        default_factory=list, description="Sections; none for the whole pack."
    )
    since: Text | None = Field(None, description="Text of an earlier revision: the pack says what changed.")
    paper: Paper = "a4"
    meter: Annotated[str, Field(max_length=40)] = "handheld"


class CheckAsked(Question):
    """A job that is judged as it stands."""


class DrawingsTold(Tells):
    """Drawings: file name -> SVG."""

    drawings: dict[str, str]


class FormTold(Tells):
    """A job as a form; without sections where its text is no YAML."""

    readable: bool
    sections: list[dict[str, Any]]
    addable: list[dict[str, Any]]
    names: dict[str, Any]
    faults: list[Fault]


class CircuitTold(Tells):
    """A circuit: its part of the plan, and what a screen shows of it."""

    circuit: dict[str, Any]
    shown: dict[str, Any]


class LoadTold(Tells):
    """A load: its part of the plan, and what a screen shows of it."""

    load: dict[str, Any]
    shown: dict[str, Any]


class ComparisonTold(Tells):
    """Two jobs side by side, as a screen shows them."""


class RuleTold(Tells):
    """A rule."""

    id: str
    slug: str
    level: str
    status: str
    statement: str
    why: str
    remedy: str
    sources: list[str]


class RulesTold(Tells):
    """Every rule."""

    rules: list[RuleTold]


class TermTold(Tells):
    """A term and what it means."""

    key: str
    word: str
    text: str


class TermsTold(Tells):
    """Every term of the pages."""

    terms: list[TermTold]


class TablesTold(Tells):
    """The names of the reference tables."""

    tables: list[str]


class TableTold(Tells):
    """A reference table."""

    name: str
    title: str
    source: str
    locator: str
    rows: list[dict[str, str]]


Typed = Annotated[str, Field(max_length=200), AfterValidator(_can_be_kept)]


class FirstLookAsked(Asks):
    """A first look, each part as it was typed; whatever is left out is assumed, and said."""

    kind: Typed = Field("", description="What it is.")
    label: Typed = Field("", description="What its label says.")
    measured: Typed = Field("", description="What was measured.")
    distance: Typed = Field("", description="How far it is.")
    fed_from: Typed = Field("", description="Where it is fed from.")
    wire: Typed = Field("", description="What wire there is.")
    title: Typed = ""
    system: Typed = ""
    basis: Typed = ""


class SlipTold(Tells):
    """Something to look at again."""

    field: str
    given: str
    said: str
    meant: str


class FirstLookTold(Tells):
    """A job's text, what was understood and assumed, and slips."""

    text: str
    said: list[str]
    assumed: list[str]
    slips: list[SlipTold]


class SwapAsked(Asks):
    """A swap in one circuit."""

    text: Text
    what: Typed = Field(description="Such as `circuit 3 wire` or `horn fuse 2`.")
    with_: Typed = Field(alias="with", description="Such as `4 AWG` or `30 A`.")


class SwapTold(Tells):
    """The text with the swap in it, and the edits that take it back."""

    text: str
    circuit: str
    done: list[dict[str, Any]]
    back: list[dict[str, Any]]


class StockEditAsked(Asks):
    """One edit: without a row a new one, without cells the row is taken out."""

    row: Annotated[int, Field(ge=0, le=100_000)] | None = None
    typed: Typed | None = Field(None, description="A row as it is said: `4 AWG red 10 m`.")
    cells: Annotated[dict[Typed, Typed], Field(max_length=20)] | None = None


class StockAsked(Asks):
    """A stock file, and what to do with it."""

    text: Text = Field("", description="The file's text; an empty one is begun.")
    edits: Annotated[list[StockEditAsked], Field(max_length=200)] = Field(default_factory=list)


class StockRowTold(Tells):
    """A row of a stock file."""

    number: int
    line: int
    cells: dict[str, str]
    faults: list[Fault]


class StockTold(Tells):
    """A stock file and its rows."""

    text: str
    rows: list[StockRowTold]


class TextTold(Tells):
    """A text."""

    text: str


class EditedTold(TextTold):
    """A text, and what was understood of values that were said in words."""

    said: list[str]
    answer: str = Field("", description="The part of a page, where it was asked for.")
    status: int = Field(200, description="Of that answer: 422 where the text has faults, which it tells.")


class PackTold(Tells):
    """How far a pack is."""

    id: str
    state: Literal["waiting", "making", "done", "failed"]
    files: list[str]
    problem: dict[str, Any] | None = None


class ProblemTold(Tells):
    """What went wrong, and what to do next."""

    type: str
    title: str
    status: int
    detail: str
    next_step: str
    faults: list[Fault] = Field(default_factory=list)


class Answered(Tells):
    """A plan, as docs/results.md has it."""

    schema_: str = Field(alias="schema")
