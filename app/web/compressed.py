"""Pages are sent packed where the browser can unpack them; documents, pictures and streams go as they are."""

import gzip

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

PACKED = ("text/html", "application/json", "text/csv")
FEWEST_BYTES = 1_000
LEVEL = 5  # of 9: a tenth larger than the tightest, in a third of the time


class Compressed:
    """Pack an answer that comes in one piece.

    What a page says of itself must not be guessed from its length: the token of its forms is masked anew in each page
    (`Visit.csrf`), and no page shows any other secret beside what an address can put into it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, and pack its answer."""
        if scope["type"] != "http" or "gzip" not in Headers(scope=scope).get("accept-encoding", ""):
            await self.app(scope, receive, send)
            return
        begun: Message | None = None

        async def packed(message: Message) -> None:
            """Hold the start until the body is there, since its length stands in it."""
            nonlocal begun
            if message["type"] == "http.response.start" and _is_packed(MutableHeaders(scope=message)):
                begun = message
                return
            if begun is not None:
                start, begun = begun, None
                message = _pack(start, message)
                await send(start)
            await send(message)

        await self.app(scope, receive, packed)


def _is_packed(headers: MutableHeaders) -> bool:
    """Whether this kind of answer is worth packing, and is not packed yet."""
    is_kind = headers.get("content-type", "").split(";")[0] in PACKED
    if is_kind:
        headers.add_vary_header("Accept-Encoding")
    return is_kind and "content-encoding" not in headers


def _pack(start: Message, message: Message) -> Message:
    """Pack the body where it is the whole of it and long enough."""
    body = message.get("body", b"")
    if message.get("more_body", False) or len(body) < FEWEST_BYTES:
        return message
    headers = MutableHeaders(scope=start)
    small = gzip.compress(body, LEVEL, mtime=0)
    headers["content-encoding"], headers["content-length"] = "gzip", str(len(small))
    return {**message, "body": small}
