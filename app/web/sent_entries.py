"""Entries that tablets send: those that arrive in the same moment are kept in one transaction."""

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from fastapi import FastAPI, Request
from starlette.datastructures import FormData

from app.actions.keeping import Asked, Kept, keep_together
from app.actions.sign_ins import open_sign_ins
from app.domain.errors import WearbookError
from app.domain.people import Person
from app.store.book import Book
from app.web.cookies import BOOK_COOKIE, read_cookie
from app.web.gauging import next_href, typed_now
from app.web.visit import Visit, one

LOG = logging.getLogger("wearbook")


@dataclass(frozen=True)
class Sent:
    """An entry as a tablet sent it."""

    request: Request
    overhaul_id: int
    form: FormData
    now: datetime

    @property
    def token(self) -> str:
        """The token of the sign-in that it was sent with."""
        return read_cookie(self.request, BOOK_COOKIE)


def keep_sent(app: FastAPI, sent: Sequence[Sent]) -> list[str | None]:
    """Keep entries; give for each the address of the next place, or None where it is refused or somebody signs in."""
    book = app.state.book
    sign_ins = open_sign_ins(book, [(each.token, each.now) for each in sent], app.state.settings)
    asked = {
        at: _asked(each, sign_in.person)
        for at, (each, sign_in) in enumerate(zip(sent, sign_ins, strict=True))
        if sign_in is not None and one(each.form, "maker") == str(sign_in.person.id)
    }
    kept = dict(zip(asked, _keep(book, list(asked.values())), strict=True))
    return [_next(each, kept.get(at)) for at, each in enumerate(sent)]


def _keep(book: Book, asked: list[Asked]) -> list[Kept | None]:
    """Keep them in one transaction; where one brings down what was foreseen for all, each is kept by itself."""
    try:
        return keep_together(book, asked) if asked else []
    except WearbookError:
        raise  # the book cannot be written or read, for nobody
    except Exception:
        LOG.exception("unforeseen with %d entries, so each is kept by itself", len(asked))
        return [None] * len(asked)


def _asked(sent: Sent, person: Person) -> Asked:
    """Ask for an entry to be kept as its page would ask."""
    state = sent.request.app.state
    visit = Visit(sent.request, state.book, state.settings, sent.now, person, visitor="", fresh=False)
    return Asked(person, sent.overhaul_id, partial(typed_now, visit, sent.form), sent.now)


def _next(sent: Sent, kept: Kept | None) -> str | None:
    """Give where the tablet goes on; what goes wrong with that is told to its own tablet, and to none beside it."""
    if kept is None:
        return None
    try:
        return next_href(kept, one(sent.form, "paper"))
    except Exception:
        LOG.exception("unforeseen after an entry of overhaul %d was kept", sent.overhaul_id)
        return None
