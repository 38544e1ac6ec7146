"""Whether the server lives, for whoever watches it."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from app.store.book import Book

router = APIRouter()


@router.get("/healthz")
def healthz(request: Request) -> JSONResponse:
    """Say the version, the book's revision and whether it can be written."""
    book: Book = request.app.state.book
    is_writable = book.is_writable()
    content = {"version": request.app.version, "database_revision": book.revision(), "writable": is_writable}
    return JSONResponse(content, 200 if is_writable else 503)
