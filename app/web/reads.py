"""What auditors open: noted outside the chain when it is answered, and shown to them and to chief engineers."""

from datetime import UTC, datetime

from fastapi import APIRouter, Response
from starlette.concurrency import run_in_threadpool
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.domain.people import Person, Right, Role
from app.store.reads import Read, ReadLog
from app.web.page import page
from app.web.visit import VisitNow

router = APIRouter()
MOST_SHOWN = 300
READING = ("GET", "HEAD")


class NotedReads:
    """Note every address that an auditor opens, once its answer begins."""

    def __init__(self, app: ASGIApp, log: ReadLog) -> None:
        self.app, self.log = app, log

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, and note it where an auditor reads."""

        async def noted(message: Message) -> None:
            """Note the read with its status, then send the answer."""
            reader: Person | None = scope.get("state", {}).get("reader")
            if message["type"] == "http.response.start" and reader is not None and reader.role is Role.AUDITOR:
                asked = scope["query_string"].decode("latin-1")
                address = f"{scope['path']}?{asked}" if asked else scope["path"]
                read = Read(datetime.now(UTC), reader.name, address, message["status"])
                await run_in_threadpool(self.log.note, read)
            await send(message)

        is_read = scope["type"] == "http" and scope["method"] in READING
        await self.app(scope, receive, noted if is_read else send)


@router.get("/reads")
def show(visit: VisitNow, person: str = "") -> Response:
    """Show what auditors have opened, the newest first."""
    visit.person.must(Right.SEE_READS)
    reads = visit.request.app.state.reads.newest(MOST_SHOWN, person)
    return page(visit, "reads/reads.html", reads=reads, of_person=person, most=MOST_SHOWN)
