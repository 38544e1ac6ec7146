"""The one place where all parts meet: settings, book, pages, guards."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI

from app.settings import Settings
from app.store.book import Book
from app.store.migration import migrate
from app.web import ROUTERS
from app.web.call_rate import CallRate
from app.web.guards import Guards
from app.web.refusals import answer_refusals
from app.web.static_files import StaticFiles

VERSION = "0.1.0"


def create_app(settings: Settings, book: Book | None = None) -> FastAPI:
    """Put the program together around a book; without one, the book of the settings is opened."""

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        yield
        app.state.book.close()

    app = FastAPI(title="Wearbook", version=VERSION, docs_url=None, redoc_url=None, openapi_url=None, lifespan=lifespan)
    app.state.settings = settings
    app.state.book = book or open_book(settings)
    app.state.call_rate = CallRate()
    app.add_middleware(Guards)
    app.mount("/static", StaticFiles(), name="static")
    for router in ROUTERS:
        app.include_router(router)
    answer_refusals(app)
    return app


def open_book(settings: Settings) -> Book:
    """Open the book of the settings and bring it up to date."""
    book = Book(settings.book_path)
    migrate(book)
    return book
