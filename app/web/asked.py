"""Asks the program itself for a page, as somebody who only reads: for copies, and for books from elsewhere."""

import asyncio
from collections.abc import MutableMapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from urllib.parse import unquote

from fastapi import FastAPI, Request

from app.domain.people import Person, Role
from app.web.visit import WITHIN, Visit

READER = Person(0, "read-only copy", Role.AUDITOR)


@dataclass(frozen=True)
class Answer:
    """What the program answered: its status, of what kind it is, and its bytes."""

    status: int
    kind: str
    content: bytes

    @property
    def is_page(self) -> bool:
        """Whether it is a page, and no picture or file."""
        return self.kind.startswith("text/html")


def ask_program(app: FastAPI, address: str, query: str = "") -> Answer:
    """Ask for an address without any network."""
    return asyncio.run(_ask(app, address, query))


def reader(request: Request) -> Visit:
    """Read as somebody who changes nothing."""
    state, now = request.app.state, datetime.now(UTC)
    return Visit(request, state.book, state.settings, now, READER, visitor="", fresh=False)


async def _ask(app: FastAPI, address: str, query: str) -> Answer:
    """Send the request through the program, and gather what it sends back."""
    scope: dict[str, Any] = {
        "type": "http", "asgi": {"version": "3.0", "spec_version": "2.4"}, "http_version": "1.1",
        "method": "GET", "scheme": "http",
        "path": unquote(address), "raw_path": address.encode(), "query_string": query.encode(), "root_path": "",
        "headers": [], "client": None, "server": ("127.0.0.1", 80), WITHIN: reader,
    }  # fmt: skip
    answer: dict[str, Any] = {"body": b""}

    async def receive() -> MutableMapping[str, Any]:
        """Send no body."""
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: MutableMapping[str, Any]) -> None:
        """Take the answer in."""
        answer.update({name: value for name, value in message.items() if name in ("status", "headers")})
        answer["body"] += message.get("body", b"")

    await app(scope, receive, send)
    kind = dict(answer["headers"]).get(b"content-type", b"").decode()
    return Answer(answer["status"], kind, answer["body"])
