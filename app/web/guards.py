"""Guards around every answer: security headers, and no request larger than a page sends."""

import re

from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 3 * 1024 * 1024
MOST_PHOTO_BYTES = 40 * 1024 * 1024  # a photo that is too large is read and refused in words beside its field
MOST_BUNDLE_BYTES = 128 * 1024 * 1024  # a larger one comes in by the command
BUNDLES = "/elsewhere"
PHOTOS = re.compile(r"(/tablet)?/overhauls/[0-9]+/photos|/sheets/[^/]+/[^/]+/approval|/drafts/[0-9]+/approve")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "font-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=()",
}

OURS = {name.encode(): value.encode() for name, value in HEADERS.items()}
CACHE_CONTROL = b"cache-control"
NEVER_KEPT = (CACHE_CONTROL, b"no-store")


class TooLarge(Exception):
    """More was sent than any page of this book sends."""


class Guards:
    """Add the headers to every answer and stop reading a request that is too large."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, guarded."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        taken = 0
        most = MOST_PHOTO_BYTES if PHOTOS.fullmatch(scope["path"]) else MOST_BYTES
        most = MOST_BUNDLE_BYTES if scope["path"] == BUNDLES else most

        async def counted() -> Message:
            """Count what comes in."""
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > most:
                raise TooLarge
            return message

        async def guarded(message: Message) -> None:
            """Add the headers to the answer's start."""
            if message["type"] == "http.response.start":
                own = [header for header in message["headers"] if header[0] not in OURS]
                is_kept = any(name == CACHE_CONTROL for name, _ in own)
                message["headers"] = [*own, *OURS.items()] if is_kept else [*own, *OURS.items(), NEVER_KEPT]
            await send(message)

        await self.app(scope, counted, guarded)
