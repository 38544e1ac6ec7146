"""The ground that is shot at: a book with an overhaul in every phase, set back as it was after whatever changed it."""

import sqlite3
from datetime import UTC, datetime
from hashlib import sha256
from urllib.parse import urlsplit

from httpx2 import Response

from app.actions.amendments import TypedAmendment, propose_amendment
from app.actions.people import person_named
from app.actions.sheet_drafts import copy_sheet
from app.actions.tablets import TypedTablet, enrol_tablet
from app.domain.amending import amendable
from app.domain.overhaul import Meaning, Phase
from app.domain.people import Role
from app.domain.photos import Photo
from app.domain.readings import Occasion
from app.store.book import Book
from app.store.chain import chain_head
from app.store.overhauls import get_overhaul
from app.store.people import change_person
from app.store.photos import save_photo
from app.web import ROUTERS
from tests.builders import (
    PASSWORD,
    a_machine,
    a_person,
    a_reading,
    a_sheet,
    an_overhaul,
    confirm_all,
    enter,
    good_readings,
    run_it,
    sign_all,
)
from tests.store.lived_book import live_beside
from tests.web.visitor import Visitor
from tests.web.workshop import BEFORE, OPENED_AT, RETURNED, Workshop

NOBODY, FITTER, CHIEF, AUDITOR = "nobody", "M. Tarrow", "I. Brandreth", "S. Venn"
WORN = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")
ROUTES = [(m, route.path_regex, route.path) for router in ROUTERS for route in router.routes for m in route.methods]


class Ground:
    """The program around the book, and a browser in front of it for each role."""

    routes = ROUTES

    def __init__(self, book: Book) -> None:
        """Make the book, sign everybody in, and remember the file as it stands."""
        self.book = book
        self.shop = Workshop(book).decided(WORN)
        self._open_more()
        names = (FITTER, CHIEF, AUDITOR)
        self.visitors = {name: self.shop.visitor(name) for name in names} | {NOBODY: Visitor(self.shop.app)}
        for name, visitor in self.visitors.items():
            visitor.client._transport.raise_server_exceptions = False  # an error is looked for, and its page too
            visitor.get("/sign-in" if name == NOBODY else "/")
        typed, fitter = TypedTablet("Hall 1", "2749", "2749", PASSWORD), person_named(book, FITTER)
        tablet = enrol_tablet(book, fitter, fitter.id, typed, "", datetime.now(UTC))
        self.visitors[FITTER].client.cookies.set("wearbook_tablet", tablet)  # so that the lock asks for a PIN too
        self._cookies = {name: dict(visitor.client.cookies) for name, visitor in self.visitors.items()}
        self._file = sqlite3.connect(book.path)
        self._kept = sqlite3.connect(":memory:", check_same_thread=False)
        self._file.backup(self._kept)
        self._version = self._changes()
        self.head = self._head()

    @property
    def pages(self) -> list[str]:
        """The pages of each overhaul that stand in one phase alone."""
        phases = {1: ("box-up", "fit", "photos/2.pin"), 2: ("safe",), 3: ("gauge", "gauged", "photos/2.pin")}
        phases |= {
            4: ("decide?item=2.pin", "decide"),
            5: ("prove", "run", "record"),
            6: ("record", "amendments", f"amendments?reading={self.amended.id}"),
        }
        phases[6] += (f"amendments?reading={self.amended.id}",)
        named = [f"/overhauls/{number}/{name}" for number, names in phases.items() for name in names]
        return [*named, "/machines/GA-9/open", "/people/1", "/people/2", "/instruments/1"]

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()
        self._kept.close()

    def _open_more(self) -> None:
        """Open a machine for each phase, begin a sheet and bring in what stands beside the overhauls."""
        run_it(self.book, self.shop.id, OPENED_AT)
        chief = a_person(self.book, "A. Builder", Role.CHIEF)
        copy_sheet(self.book, chief, "QM-GA", "C", OPENED_AT)
        a_machine(self.book, "GA-9", at=BEFORE)
        with self.book.writing(CHIEF, OPENED_AT) as writing:
            live_beside(writing, self.shop.id)
            change_person(writing, chief.id, is_active=False)
        for number, phase in enumerate(("make safe", "gauge", "decide", "prove", "returned"), start=2):
            machine = a_machine(self.book, f"GA-{number}", at=BEFORE)
            overhaul_id = an_overhaul(self.book, machine, "2300", OPENED_AT, a_sheet(self.book), stages=(2,))
            if phase != "make safe":
                confirm_all(self.book, overhaul_id, Phase.MAKE_SAFE, OPENED_AT)
            if phase == "gauge":
                self._show(overhaul_id)
            if phase in ("decide", "prove", "returned"):
                parts = self.shop.overhaul.parts
                enter(self.book, overhaul_id, *good_readings(parts, Occasion.AS_FOUND, OPENED_AT))
                sign_all(self.book, overhaul_id, OPENED_AT, (Meaning.GAUGED,))
            if phase in ("prove", "returned"):
                sign_all(self.book, overhaul_id, OPENED_AT, (Meaning.DECIDED,))
                confirm_all(self.book, overhaul_id, Phase.BOX_UP, OPENED_AT)
            if phase == "returned":
                self._return(overhaul_id)

    def _return(self, overhaul_id: int) -> None:
        """Prove it, sign it back into service, and propose that something of it be put right."""
        confirm_all(self.book, overhaul_id, Phase.PROVE, OPENED_AT)
        run_it(self.book, overhaul_id, OPENED_AT)
        sign_all(self.book, overhaul_id, OPENED_AT, RETURNED)
        with self.book.reading() as session:
            found = amendable(get_overhaul(session, overhaul_id))
        self.amended = next(reading for reading in found if reading.place.part == "2.pin" and reading.value)
        typed = TypedAmendment(reading=self.amended.id, value="21.985", unit="mm", reason="misread")
        propose_amendment(self.book, person_named(self.book, FITTER), overhaul_id, typed, OPENED_AT)

    def _show(self, overhaul_id: int) -> None:
        """Keep a photo of a part."""
        picture = b"\xff\xd8 a picture \xff\xd9"
        shown = Photo("photo-1", "2.pin", "", "", sha256(picture).hexdigest(), "sent", 4, 3, FITTER, OPENED_AT)
        with self.book.writing(FITTER, OPENED_AT) as writing:
            save_photo(writing, overhaul_id, shown, picture)

    def route_of(self, method: str, url: str) -> str:
        """The route that answers an address; nothing where none does."""
        path = urlsplit(url).path
        return next((route for m, pattern, route in self.routes if m == method and pattern.match(path)), "")

    def send(self, name: str, method: str, url: str, **what: object) -> Response:
        """Send something as somebody, who is signed in whatever was sent before."""
        client = self.visitors[name].client
        client.cookies.clear()
        client.cookies.update(self._cookies[name])
        return client.request(method, url, **what)

    def has_entered(self) -> bool:
        """Whether anything was entered in the chain; whatever was changed is set back, so that each shot is alone."""
        if self._changes() == self._version:
            return False
        has_entered = self._head() != self.head
        self._kept.backup(self._file)
        self._version = self._changes()
        return has_entered

    def _changes(self) -> int:
        """A number that is another after anybody else has written into the file."""
        return int(self._file.execute("PRAGMA data_version").fetchone()[0])

    def _head(self) -> tuple[int, str]:
        with self.book.reading() as session:
            return chain_head(session)
