"""Who is there: the token that changes need, signing in and out, the name that saves are kept under."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import JSONResponse

from groundstrap.web.asked import VisitorHere, settings_of, visitors_of
from groundstrap.web.shapes import Who
from groundstrap.web.signing import admitted

__all__ = ["router"]

router = APIRouter(prefix="/api/session", tags=["session"])


class SignInAsked(BaseModel):
    """What one signs in with."""

    model_config = ConfigDict(extra="forbid", strict=True)
    passphrase: Annotated[str, Field(max_length=400)]
    who: Who = Field("", description="The name that saves are kept under.")


class NameAsked(BaseModel):
    """The name that saves are kept under, where nobody has to sign in."""

    model_config = ConfigDict(extra="forbid", strict=True)
    who: Who


class SessionTold(BaseModel):
    """Who the bench thinks that somebody is."""

    token: str = Field(description="Comes with every change as the header X-CSRF-Token.")
    who: str
    signed_in: bool
    shared: bool = Field(description="Whether one has to sign in.")


def _told(request: Request, visitor: VisitorHere) -> JSONResponse:
    settings = settings_of(request)
    told = SessionTold(
        token=visitor.token, who=visitor.who, signed_in=visitor.signed_in, shared=settings.shared
    )
    return JSONResponse(told.model_dump())


@router.get("", response_model=SessionTold)
async def session(request: Request, visitor: VisitorHere) -> Response:
    """Return who one is here, and the token that changes need."""
    return _told(request, visitor)


@router.post("", response_model=SessionTold)
async def sign_in(wanted: SignInAsked, request: Request) -> Response:
    """Sign in with the passphrase that the bench is shared with."""
    visitor = await admitted(request, wanted.passphrase, wanted.who)
    response = _told(request, visitor)
    visitors_of(request).set_cookie(response.headers, visitor)
    return response


@router.put("", response_model=SessionTold)
async def name(wanted: NameAsked, request: Request, visitor: VisitorHere) -> Response:
    """Set the name that saves are kept under; whoever is signed in has one already."""
    response = _told(request, visitor)
    if not visitor.signed_in:
        visitors_of(request).set_name(response.headers, wanted.who)
    return response


@router.delete("", status_code=204)
async def sign_out(request: Request, visitor: VisitorHere) -> Response:
    """Sign out: the cookie is worth nothing from then on."""
    visitors_of(request).sign_out(visitor)
    return Response(status_code=204)
