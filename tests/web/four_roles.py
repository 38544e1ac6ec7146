"""A book at boxing up with nobody signed in, a fitter, a chief engineer and an auditor before it, made once a run."""

from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from fastapi import FastAPI

from app.actions.sheet_drafts import copy_sheet
from app.domain.people import Role
from app.store.book import Book
from tests.builders import a_book, a_person, a_reading, run_it
from tests.web.visitor import Visitor
from tests.web.workshop import OPENED_AT, Workshop

WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")


def shop_with_a_run(book: Book) -> Workshop:
    """At boxing up, with a run in the book already, and a limit sheet in the making."""
    shop = Workshop(book).decided(WORN_RING)
    copy_sheet(book, a_person(book, "A. Builder", Role.CHIEF), "QM-GA", "C", OPENED_AT)
    run_it(book, shop.id, OPENED_AT)
    return shop


def everybody_at(shop: Workshop) -> tuple[Visitor, ...]:
    """Nobody signed in, a fitter, a chief engineer and an auditor, each with a page of the book before them."""
    visitors = Visitor(shop.app), shop.fitter, shop.chief, shop.auditor
    for visitor in visitors:
        visitor.get("/sign-in")
    return visitors


@cache
def as_it_stands() -> tuple[bytes, tuple[tuple[dict[str, str], str], ...]]:
    """The file of that book, and the cookies and the page of each of them, who stay signed in."""
    with TemporaryDirectory() as folder:
        with closing(a_book(Path(folder))) as book:
            visitors = everybody_at(shop_with_a_run(book))
        return book.path.read_bytes(), tuple((dict(visitor.client.cookies), visitor.page) for visitor in visitors)


def visitor_as(app: FastAPI, cookies: dict[str, str], page: str) -> Visitor:
    """A visitor who goes on with these cookies from this page."""
    visitor = Visitor(app)
    visitor.client.cookies.update(cookies)
    visitor.page = page
    return visitor
