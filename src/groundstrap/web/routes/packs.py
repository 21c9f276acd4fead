"""Packs: begun, watched, and their files."""

from __future__ import annotations

import mimetypes
from typing import Annotated, Final

from fastapi import APIRouter, Path, Response
from starlette.responses import JSONResponse

from groundstrap.web.asked import WorkHere
from groundstrap.web.problems import Problem, Refused
from groundstrap.web.shapes import PackRequest, PackTold
from groundstrap.web.tasks import PackAsked
from groundstrap.web.work import PackState

__all__ = ["router"]

router = APIRouter(prefix="/api/packs", tags=["packs"])
PackId = Annotated[str, Path(pattern=r"^[\w-]{1,40}$")]
_SHOWN: Final = {".pdf": "application/pdf", ".svg": "image/svg+xml", ".html": "text/html; charset=utf-8"}
# What is in a pack is a document of its own: it runs nothing, loads nothing and stays out of the bench.
_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; sandbox"


@router.post("", response_model=PackTold, status_code=202)
async def begin(wanted: PackRequest, work: WorkHere) -> Response:
    """Begin a pack, or parts of it; what comes back says where to ask how far it is."""
    asked = PackAsked(
        job=await work.asked(wanted.text, wanted.files, wanted.job),
        parts=tuple(wanted.parts),
        paper=wanted.paper,
        language=wanted.language,
        units=wanted.units,
        meter=wanted.meter,
        since=None if wanted.since is None else await work.asked(wanted.since, wanted.files, wanted.job),
        visited=await work.visited(wanted.job),
    )
    state = work.begin_pack(asked)
    return JSONResponse(_told(state), 202, {"Location": f"/api/packs/{state.id}"})


@router.get("/{pack_id}", response_model=PackTold)
async def pack(pack_id: PackId, work: WorkHere) -> Response:
    """Return how far a pack is: the files that are begun, and all of them once it is done."""
    return JSONResponse(_told(work.pack(pack_id)))


@router.get(
    "/{pack_id}/files/{name}",
    response_class=Response,
    responses={200: {"content": {"application/pdf": {}, "image/svg+xml": {}, "text/html": {}, "*/*": {}}}},
)
async def file(pack_id: PackId, name: Annotated[str, Path(max_length=120)], work: WorkHere) -> Response:
    """Return a file of a pack that is done."""
    content = (work.pack(pack_id).content or {}).get(name)
    if content is None:
        raise Refused(
            Problem(
                status=404,
                kind="no-file",
                detail="the pack has no such file, or is not done",
                next_step="ask how far it is",
            )
        )
    ending = f".{name.rpartition('.')[2]}"
    kind = _SHOWN.get(ending) or mimetypes.types_map.get(ending, "application/octet-stream")
    headers = {"Content-Disposition": f'{"inline" if ending in _SHOWN else "attachment"}; filename="{name}"'}
    if ending != ".pdf":
        headers["Content-Security-Policy"] = _POLICY
    return Response(content, 200, headers, media_type=kind)


def _told(state: PackState) -> dict[str, object]:
    told: dict[str, object] = {"id": state.id, "state": state.state, "files": list(state.files)}
    if state.problem is not None:
        told["problem"] = state.problem.body()
    return told
