"""Static files: style sheets and scripts in one piece each, packed once, kept for a year under their digest."""

import gzip
import hashlib
import mimetypes
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from starlette import staticfiles
from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.types import Scope

STATIC = Path(__file__).resolve().parents[2] / "static"
# What every page needs is sent in one piece, in this order: fewer requests, and packed the smaller for it.
SHEETS = (
    "tokens", "sheet", "controls", "verdict", "drawing", "gauge", "decide", "record", "steps", "findings", "office",
    "drafts", "looks", "modes", "gauge_modes",
)  # fmt: skip
SCRIPTS = (
    "print", "light", "pin", "lock", "keypad", "leaves", "tablet_store", "queue", "turn", "empty", "keep",
    "queue_shown", "others", "offline", "figures", "bands", "verdict", "aloud",
)  # fmt: skip
BUNDLES = {
    "book.css": tuple(f"css/{name}.css" for name in SHEETS),
    "book.js": tuple(f"js/{name}.js" for name in SCRIPTS),
}
COMMENT = re.compile(rb"/\*.*?\*/\s*", re.DOTALL)  # what a style sheet says to its readers is not sent
PACKED = (".css", ".js", ".svg")
MOST_KEPT_S = 31_536_000


@dataclass(frozen=True)
class Piece:
    """A file as it is sent: its text, the same packed, and the digest that its address carries."""

    content: bytes
    packed: bytes
    digest: str


@cache
def piece(path: str) -> Piece:
    """Give what is sent for a path, read and packed once."""
    content = b"\n".join((STATIC / each).read_bytes() for each in BUNDLES.get(path, (path,)))
    content = COMMENT.sub(b" ", content) if path.endswith(".css") else content
    return Piece(content, gzip.compress(content, mtime=0), hashlib.sha256(content).hexdigest()[:12])


@cache
def known_pieces() -> frozenset[str]:
    """Name what is sent packed; whatever else is asked for goes the ordinary way."""
    found = (path for path in STATIC.rglob("*") if path.suffix in PACKED)
    return frozenset(BUNDLES) | {path.relative_to(STATIC).as_posix() for path in found}


def asset(path: str) -> str:
    """Give the address of a static file; it carries the file's digest, so that it can be kept for years."""
    return f"/static/{path}?{piece(path).digest}"


def answer_with(path: str, headers: Headers, asked_digest: str = "") -> Response:
    """Answer with a piece, packed where the browser can unpack it, and kept for long under its own digest alone."""
    sent = piece(path)
    is_packed = "gzip" in headers.get("accept-encoding", "")
    is_named = asked_digest == sent.digest
    own = {
        "cache-control": f"public, max-age={MOST_KEPT_S}, immutable" if is_named else "no-cache",
        "vary": "Accept-Encoding",
        "etag": f'"{sent.digest}"',
    }
    if headers.get("if-none-match") == own["etag"]:
        return Response(status_code=304, headers=own)
    if is_packed:
        own["content-encoding"] = "gzip"
    kind = mimetypes.guess_type(path)[0]
    return Response(sent.packed if is_packed else sent.content, media_type=kind, headers=own)


class StaticFiles(staticfiles.StaticFiles):
    """The files under static/ and what they are put together to."""

    def __init__(self) -> None:
        super().__init__(directory=STATIC)

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer with the file; an address with its digest never changes its content."""
        if path in known_pieces() and scope["method"] in ("GET", "HEAD"):
            return answer_with(path, Headers(scope=scope), scope.get("query_string", b"").decode("latin-1"))
        response = await super().get_response(path, scope)
        response.headers["cache-control"] = "no-cache"
        return response
