"""The shapes of requests and answers of the API; what a request has too much is refused."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

__all__ = [
    "Answered",
    "ComparisonAsked",
    "DrawingAsked",
    "EditAsked",
    "EditsAsked",
    "Fault",
    "FormAsked",
    "PackRequest",
    "PackTold",
    "ProblemTold",
    "Question",
    "TextTold",
]


def _can_be_kept(text: str) -> str:
    """Refuse what no database keeps."""
    if "\0" in text:
        raise ValueError("a text holds no NUL character")
    return text


Text = Annotated[str, Field(max_length=400_000), AfterValidator(_can_be_kept)]
"""Text of a job."""
Line = Annotated[str, Field(max_length=1_000), AfterValidator(_can_be_kept)]
FileName = Annotated[str, Field(min_length=1, max_length=120, pattern=r"^[^/\\\x00-\x1f]+$")]
Files = Annotated[dict[FileName, Text], Field(max_length=50)]
Units = Literal["metric", "us"]
Paper = Literal["a4", "letter"]
Language = Annotated[str, Field(pattern=r"^[a-z]{2,3}$")]
JobId = Annotated[str, Field(pattern=r"^[0-9a-z]{1,40}$")]


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid")


class _Told(BaseModel):
    model_config = ConfigDict(extra="allow")


class Question(_Asked):
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
    since: Text | None = Field(None, description="Text of an earlier revision.")


class DrawingAsked(Question):
    """A job whose drawing is wanted."""

    compact: bool = Field(False, description="One column, 390 pixels wide.")
    routes: bool = Field(False, description="Places and runs in the place of the wiring.")
    paper: Paper = "a4"


class ComparisonAsked(_Asked):
    """Two jobs that are laid side by side."""

    left: Text
    right: Text
    left_files: Files | None = None
    right_files: Files | None = None
    job: JobId | None = None
    language: Language = "en"
    units: Units | None = None


class EditAsked(_Asked):
    """One edit of a text; no `value` and no `do` removes what stands at the path."""

    path: Annotated[
        list[Annotated[str, Field(max_length=400)] | Annotated[int, Field(ge=0, le=100_000)]],
        Field(max_length=20),
    ] = Field(description="Keys from the file's root; items of a list by their number from 0.")
    value: str | list[Any] | dict[str, Any] | None = Field(
        None,
        description="What is put there: a text as the file has it, a list or a map; the new name of a rename.",
    )
    do: Literal["set", "remove", "add", "rename", "move"] | None = None
    before: Annotated[str, Field(max_length=400)] | Annotated[int, Field(ge=0, le=100_000)] | None = Field(
        None, description="An entry is added or moved before this one; left out, behind all."
    )


class EditsAsked(_Asked):
    """Edits that are made one after the other."""

    text: Text
    edits: Annotated[list[EditAsked], Field(max_length=200)]


class FormAsked(Question):
    """A text that is wanted as a form."""


class PackRequest(Question):
    """A pack that is to be made."""

    parts: Annotated[list[Annotated[str, Field(max_length=60)]], Field(max_length=40)] = Field(
        default_factory=list, description="Sections; none for the whole pack."
    )
    paper: Paper = "a4"
    meter: Annotated[str, Field(max_length=40)] = "handheld"


class TextTold(_Told):
    """A text."""

    text: str


class PackTold(_Told):
    """How far a pack is."""

    id: str
    state: Literal["waiting", "making", "done", "failed"]
    files: list[str]
    problem: dict[str, Any] | None = None


class Fault(_Told):
    """One thing that is wrong in a text or a request."""

    file: str | None = None
    line: int | None = None
    column: int | None = None
    key: str | None = None
    found: str | None = None
    wanted: str | None = None
    reason: str | None = None
    nearest: str | None = None


class ProblemTold(_Told):
    """What went wrong, and what to do next."""

    type: str
    title: str
    status: int
    detail: str
    next_step: str
    faults: list[Fault] = Field(default_factory=list)


class Answered(_Told):
    """A plan, as docs/results.md has it."""

    schema_: str = Field(alias="schema")
