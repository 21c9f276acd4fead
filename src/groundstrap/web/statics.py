"""Files of the page itself: read once, compressed once, each under an address that changes with them."""

from __future__ import annotations

import gzip
import hashlib
from pathlib import Path
from typing import Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from groundstrap.records import dataclass

__all__ = ["StaticFiles"]

_KINDS: Final = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".woff2": "font/woff2",
    ".webmanifest": "application/manifest+json",
    ".txt": "text/plain; charset=utf-8",
}
_FOR_EVER: Final = "public, max-age=31536000, immutable"
_ASK: Final = "no-cache"


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    kind: str
    plain: bytes
    packed: bytes
    etag: str


class StaticFiles:
    """The files of a folder, held in memory; names alone are looked up, so no path leads out of it."""

    def __init__(self, folder: Path) -> None:
        """Read every file of a kind that is served."""
        self._files: dict[str, _File] = {}
        whole = hashlib.sha256()
        for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
            if path.suffix in _KINDS and path.is_file():
                data = path.read_bytes()
                name = path.relative_to(folder).as_posix()
                whole.update(name.encode() + b"\0" + data)
                etag = f'"{hashlib.sha256(data).hexdigest()[:20]}"'
                packed = gzip.compress(data, 9, mtime=0)
                self._files[name] = _File(kind=_KINDS[path.suffix], plain=data, packed=packed, etag=etag)
        self.version = whole.hexdigest()[:12]

    def address(self, name: str) -> str:
        """Return the address of a file, which is another one when anything in the folder has changed."""
        if name not in self._files:
            raise LookupError(f"the page has no file {name!r}; it has {', '.join(self._files)}")
        return f"/static/{self.version}/{name}"

    def route(self) -> Route:
        """Return the route that serves them."""
        return Route("/static/{version}/{name:path}", self._serve, methods=["GET"], include_in_schema=False)

    async def _serve(self, request: Request) -> Response:
        file = self._files.get(request.path_params["name"])
        if file is None:
            return Response("there is no such file", 404, media_type="text/plain")
        fresh = request.path_params["version"] == self.version
        headers = {
            "ETag": file.etag,
            "Cache-Control": _FOR_EVER if fresh else _ASK,
            "Vary": "Accept-Encoding",
        }
        if request.headers.get("if-none-match") == file.etag:
            return Response(None, 304, headers)
        squeezed = "gzip" in request.headers.get("accept-encoding", "") and len(file.packed) < len(file.plain)
        if squeezed:
            headers["Content-Encoding"] = "gzip"
        return Response(file.packed if squeezed else file.plain, 200, headers, media_type=file.kind)
