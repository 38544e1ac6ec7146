"""A chief engineer in front of a limit sheet in the making."""

from app.store.book import Book
from tests.builders import a_sheet
from tests.web.forms import form_of
from tests.web.visitor import Visitor, a_chief

ANSWERS = {
    "way": "answers", "name": "QM-X", "revision": "A", "machine_type": "two-stage compressor", "unit": "mm",
    "bore-1": "140", "stroke-1": "110", "bore-2": "78,5", "stroke-2": "110", "rings-2": "2", "valves-2": "reed",
}  # fmt: skip


def a_draft(book: Book, **answers: str) -> Visitor:
    """A chief engineer in front of the draft that a handful of answers laid out."""
    visitor = a_chief(book)
    visitor.get("/drafts/new")
    visitor.follow(visitor.post("/drafts/new", ANSWERS | answers))
    return visitor


def a_copy(book: Book) -> Visitor:
    """A chief engineer in front of a whole draft, copied from the sheet in the book as revision E."""
    a_sheet(book)
    visitor = a_chief(book)
    visitor.get("/sheets/QM-GA/C")
    visitor.follow(visitor.post("/drafts/new", {"way": "copy", "copy_of": "QM-GA/C"}))
    send(visitor, "/drafts/1/head", revision="E")
    return visitor


def send(visitor: Visitor, page: str, status: int = 303, **typed: str) -> str:
    """Open a page of the draft, send its form with some fields filled, and give the page that comes."""
    visitor.get(page)
    answer = visitor.post(page, form_of(visitor.page, page) | typed, status)
    return visitor.follow(answer).text if status == 303 else answer.text
