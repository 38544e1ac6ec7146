"""The one place where all parts meet: settings, book, pages, guards."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial

from fastapi import APIRouter, FastAPI, Request, Response
from fastapi.responses import RedirectResponse
from fastapi.telemetry import TelemetryConfig
from starlette.types import Lifespan

from app.actions.backups import Backups, taken_daily
from app.actions.paper_jobs import PaperJobs
from app.actions.repeating import repeated
from app.serving.certificate import Trust
from app.serving.log import write_log
from app.serving.runtime import settle
from app.settings import Settings, read_settings
from app.store.book import Book
from app.store.opening import give_key, open_and_migrate, open_on_server
from app.store.reads import ReadLog
from app.store.site_key import KeyRefused
from app.store.wholeness import leave_note, looked_through
from app.web import ROUTERS
from app.web import trust as trust_pages
from app.web.call_rate import MOST_CALLS, CallRate
from app.web.compressed import Compressed
from app.web.elsewhere_pages import Elsewhere
from app.web.guards import Guards
from app.web.reads import NotedReads
from app.web.refusals import answer_refusals
from app.web.sent_entries import keep_sent
from app.web.static_files import StaticFiles
from app.web.waiting_line import WaitingLine

VERSION = "0.1.0"
CHECKPOINT_EVERY_S = 30  # each holds whoever keeps a reading up for a moment, so it is seldom


def create_app(settings: Settings, book: Book | None = None, trust: Trust | None = None) -> FastAPI:
    """Put the program together around a book; without one, the book of the settings is opened."""

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        with (
            taken_daily(app.state.backups),
            repeated("checkpoints", CHECKPOINT_EVERY_S, app.state.book.checkpoint),
            looked_through(app.state.book, app.state.backups.folder),
        ):
            yield
        app.state.entries.close()
        app.state.paper_jobs.close()
        app.state.elsewhere.close()
        app.state.book.close()
        leave_note(app.state.book)

    app = _bare(lifespan)
    app.state.settings = settings
    app.state.book = book or open_book(settings, reads_later=True)
    app.state.paper_jobs = PaperJobs(app.state.book, is_alone=settings.processes == 1)
    app.state.call_rate = CallRate(most=max(1, MOST_CALLS // settings.processes))
    app.state.entries = WaitingLine(partial(keep_sent, app))
    app.state.trust = trust
    app.state.backups = Backups(app.state.book, settings)
    app.state.elsewhere = Elsewhere(lambda foreign: create_reader(settings, foreign))
    app.state.reads = ReadLog(app.state.book.path)
    app.add_middleware(NotedReads, log=app.state.reads)
    _put_together(app, ROUTERS)
    return app


def create_app_again() -> FastAPI:
    """Put the program together in one of several processes, from the settings that all of them were started with."""
    write_log()
    app = create_app(read_settings())
    settle()
    return app


def create_reader(settings: Settings, book: Book) -> FastAPI:
    """Put the pages together around a book from elsewhere, which is only read, and from within."""
    app = _bare()
    app.state.settings, app.state.book = settings, book
    app.state.backups = Backups(book, settings)
    for router in ROUTERS:
        app.router.routes.extend(router.routes)
    answer_refusals(app)
    return app


def create_way_in(app: FastAPI) -> FastAPI:
    """Put the plain page together that leads tablets to a book served with TLS; it shows nothing of the book."""
    way_in = _bare()
    way_in.state = app.state
    _put_together(way_in, (trust_pages.router,))
    way_in.add_route("/{path:path}", _lead_to_trust)
    return way_in


async def _lead_to_trust(_request: Request) -> Response:
    """Lead whoever came by any other address to the one page."""
    return RedirectResponse("/trust", status_code=303)


def _bare(lifespan: Lifespan[FastAPI] | None = None) -> FastAPI:
    """Begin a program that shows no description of itself, and reports nothing of its requests to anybody."""
    quiet: TelemetryConfig = {"tracing": False, "metrics": False, "logs": False, "auto_configure": False}
    return FastAPI(
        title="Wearbook", version=VERSION, docs_url=None, redoc_url=None, openapi_url=None, lifespan=lifespan,
        telemetry=quiet,
    )  # fmt: skip


def _put_together(app: FastAPI, routers: tuple[APIRouter, ...]) -> None:
    """Give a program its guards, its static files, its pages and its refusals."""
    app.add_middleware(Compressed)
    app.add_middleware(Guards)
    app.mount("/static", StaticFiles(), name="static")
    for router in routers:
        app.router.routes.extend(router.routes)
    answer_refusals(app)


def open_book(settings: Settings, *, reads_later: bool = False) -> Book:
    """Open the book of the settings with the site's key, and bring it up to date."""
    if settings.book_address:
        book = open_on_server(settings.book_path, settings.book_address)
    else:
        book = open_and_migrate(
            settings.book_path, settings.data_folder / settings.backup_folder, reads_later=reads_later
        )
    try:
        give_key(book, settings.key_path)
    except KeyRefused:
        book.close()
        raise
    return book
