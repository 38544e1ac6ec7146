"""The visit behind a request: its book, its clock, who is signed in, and the token that guards its forms."""

import hmac
import re
import secrets
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from typing import Annotated
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

from fastapi import Depends, HTTPException, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from app.actions.backups import Backups
from app.actions.clock import clock_trouble, enter_clock_set_back
from app.actions.sign_ins import sign_in_of
from app.domain.errors import NotAllowed
from app.domain.people import Person
from app.domain.preferences import Preferences
from app.domain.sign_ins import Standing
from app.settings import Settings
from app.store.book import Book
from app.web.cookies import BOOK_COOKIE, TABLET_COOKIE, VISIT_COOKIE, read_cookie

MOST_FIELDS = 400
LONGEST_FIELD = 1024 * 1024
PLAIN_FORM = "application/x-www-form-urlencoded"
WITHIN = "wearbook.within"  # in the scope of what the program asks itself: who reads
# Control characters but tab and the ends of lines, half surrogates, and what stands for no character at all.
UNREADABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


class SignInNeeded(Exception):
    """Nobody is signed in; the page asked for comes after signing in."""


class Locked(Exception):
    """The sign-in was idle; it goes on after the password."""


class StrangeForm(NotAllowed):
    """A form that does not come from a page which this browser was given."""


@dataclass
class Visit:
    """What a handler needs to know of the request it answers."""

    request: Request
    book: Book
    settings: Settings
    now: datetime
    signed_in: Person | None
    visitor: str
    fresh: bool
    locked: Person | None = None
    preferences: Preferences = field(default_factory=Preferences)

    @property
    def person(self) -> Person:
        """The person signed in; SignInNeeded when there is none, Locked when the password comes first."""
        if self.locked is not None:
            raise Locked
        if self.signed_in is None:
            raise SignInNeeded
        return self.signed_in

    @property
    def zone(self) -> ZoneInfo:
        """The time zone of the site."""
        return ZoneInfo(self.settings.site_zone)

    @property
    def today(self) -> date:
        """The day at the site."""
        return self.now.astimezone(self.zone).date()

    @property
    def backups(self) -> Backups:
        """The backups of the book."""
        found: Backups = self.request.app.state.backups
        return found

    @property
    def csrf(self) -> str:
        """The token that this browser's forms carry; masked anew in each page, so that no length tells of it."""
        mask = secrets.token_bytes(sha256().digest_size)
        return (mask + _masked(form_key(self.visitor), mask)).hex()

    @property
    def token(self) -> str:
        """The sign-in's token."""
        return read_cookie(self.request, BOOK_COOKIE)

    @property
    def tablet(self) -> str:
        """The secret of a tablet that somebody enrolled for a PIN; nothing on any other."""
        return read_cookie(self.request, TABLET_COOKIE)


def begin_visit(request: Request) -> Visit:
    """Find out who asks; the program itself reads its own pages as nobody, which no request from outside can claim."""
    if WITHIN in request.scope:
        within: Visit = request.scope[WITHIN](request)
        return within
    book: Book = request.app.state.book
    token = read_cookie(request, BOOK_COOKIE)
    visitor = read_cookie(request, VISIT_COOKIE)
    is_fresh = len(visitor) < 20
    settings: Settings = request.app.state.settings
    now = datetime.now(UTC)
    is_use = "x-asked-by-page" not in request.headers
    sign_in, standing = sign_in_of(book, token, settings, now, is_use) if token else (None, Standing.OVER)
    person = sign_in.person if sign_in else None
    request.state.reader = person if standing is Standing.OPEN and is_use else None
    return Visit(
        request=request,
        book=book,
        settings=settings,
        now=now,
        signed_in=person if standing is Standing.OPEN else None,
        locked=person if standing is Standing.LOCKED else None,
        visitor=secrets.token_urlsafe(24) if is_fresh else visitor,
        fresh=is_fresh,
        preferences=sign_in.preferences if sign_in else Preferences(),
    )


async def read_form(request: Request) -> AsyncIterator[FormData]:
    """Read a posted form, and put its files away after the answer; one without this browser's token is refused."""
    book: Book = request.app.state.book
    now = datetime.now(UTC)
    if not book.is_file or clock_trouble(book, now):  # A file's last moment is at hand: no thread is asked for it.
        await run_in_threadpool(enter_clock_set_back, book, now)
    form = await _read_fields(request)
    try:
        _must_be_ours(request, form)
        yield form
    finally:
        await form.close()


async def _read_fields(request: Request) -> FormData:
    """Read what was posted; a form without files is read at once."""
    if request.headers.get("content-type", "").split(";")[0].strip() != PLAIN_FORM:
        return await request.form(max_fields=MOST_FIELDS, max_files=4, max_part_size=LONGEST_FIELD)
    sent = (await request.body()).decode("latin-1")  # what is no ASCII is escaped, in UTF-8
    try:
        fields = parse_qsl(sent, keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:
        raise HTTPException(400, f"A form has at most {MOST_FIELDS} fields.") from None
    if any(len(value) > LONGEST_FIELD for field in fields for value in field):
        raise HTTPException(400, f"A field has at most {LONGEST_FIELD} characters.")
    return FormData([*fields])


def _must_be_ours(request: Request, form: FormData) -> None:
    """Refuse a form without this browser's token."""
    visitor = read_cookie(request, VISIT_COOKIE)
    if not visitor or not hmac.compare_digest(_key_in(one(form, "csrf")), form_key(visitor)):
        raise StrangeForm(
            "This form does not come from a page of this book, or the page is old. Go back, load it again."
        )


def form_key(visitor: str) -> bytes:
    """The key that stands, masked, in every form which this browser was given."""
    return sha256(f"form:{visitor}".encode()).digest()


def _key_in(token: str) -> bytes:
    """Take the mask off a token; nothing where it is none."""
    try:
        given = bytes.fromhex(token)
    except ValueError:
        return b""
    half = sha256().digest_size
    return _masked(given[half:], given[:half])


def _masked(key: bytes, mask: bytes) -> bytes:
    """Lay a mask over a key, or take it off again."""
    return bytes(a ^ b for a, b in zip(key, mask, strict=False))


def one(form: Mapping[str, object], name: str) -> str:
    """Give a field's text; a file or nothing is the empty text."""
    value = form.get(name)
    return readable(value) if isinstance(value, str) else ""


def many(form: FormData, name: str) -> list[str]:
    """Give every text of a field that may be ticked several times."""
    return [readable(value) for value in form.getlist(name) if isinstance(value, str)]


def readable(text: str) -> str:
    """Put the mark of the unreadable in the place of what no page can show."""
    return text if text.isprintable() else UNREADABLE.sub("\N{REPLACEMENT CHARACTER}", text)


def inside(then: str) -> str:
    """Give the address to go on to; one that leads out of the book becomes the first page."""
    return then if then.startswith("/") and not then.startswith(("//", "/\\")) else "/"


def texts(form: FormData) -> dict[str, str]:
    """Give every field's text by name."""
    return {name: one(form, name) for name in form}


posted = asynccontextmanager(read_form)  # for a handler that reads its form by itself
VisitNow = Annotated[Visit, Depends(begin_visit)]
Form = Annotated[FormData, Depends(read_form)]


def made_at(visit: Visit, form: FormData) -> datetime | None:
    """Count back the seconds that an entry waited on a tablet; None where it does not say."""
    age_s = one(form, "age")
    return visit.now - timedelta(seconds=int(age_s)) if re.fullmatch("[0-9]{1,8}", age_s) else None
