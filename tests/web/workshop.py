"""A workshop: a book with its people and one machine opened, brought to the phase a test begins at."""

from copy import copy
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import cached_property

from httpx2 import Response

from app.actions.overhauls import overhaul
from app.actions.people import person_named, set_active
from app.domain.limits import Part
from app.domain.overhaul import Concession, Decision, Meaning, Overhaul, Phase
from app.domain.people import Role
from app.domain.readings import Occasion, Reading
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import (
    PASSWORD,
    a_machine,
    a_person,
    a_reading,
    a_revision,
    a_sheet,
    an_app,
    an_overhaul,
    approve,
    confirm_all,
    decide,
    enter,
    fit,
    good_readings,
    run_it,
    sign_all,
)
from tests.web.forms import form_of
from tests.web.visitor import Visitor

OPENED_AT = datetime.now(UTC) - timedelta(days=1)
BEFORE = OPENED_AT - timedelta(days=100)
LATER = OPENED_AT + timedelta(hours=12)
RETURNED = (Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF)


class Workshop:
    """GA-1 opened at 2300 h, stage 2 with rings unless said otherwise; everybody signs in with PASSWORD."""

    def __init__(
        self,
        book: Book,
        stages: tuple[int, ...] = (2,),
        has_rings: bool = True,
        change: tuple[str, str] | None = None,
        is_approved: bool = True,
        **settings: object,
    ) -> None:
        """`change` opens it on a revision of the sheet in which the first text is replaced by the second."""
        self.book = book
        for name, role in (
            ("M. Tarrow", Role.FITTER), ("I. Brandreth", Role.CHIEF), ("R. Osk", Role.CHIEF), ("S. Venn", Role.AUDITOR),
        ):  # fmt: skip
            a_person(book, name, role)
        self.machine = a_machine(book, at=BEFORE)
        self.app = an_app(book, **settings)
        scope = {"stages": stages, "has_rings": has_rings}
        sheet = a_revision(book, *change) if change else a_sheet(book)
        if is_approved:
            approve(book, sheet)
        self.id = an_overhaul(book, self.machine, "2300", OPENED_AT, sheet, **scope)

    def safe(self) -> "Workshop":
        """Made safe."""
        confirm_all(self.book, self.id, Phase.MAKE_SAFE, OPENED_AT)
        return self

    def all_gauged(self, *instead: Reading) -> "Workshop":
        """Made safe and gauged everywhere, all sound but for these readings; nobody has signed."""
        self.safe()
        enter(self.book, self.id, *good_readings(self.overhaul.parts, Occasion.AS_FOUND, OPENED_AT), *instead)
        return self

    def gauged(self, *instead: Reading) -> "Workshop":
        """Gauged everywhere and signed by the fitter."""
        self.all_gauged(*instead)
        sign_all(self.book, self.id, OPENED_AT, (Meaning.GAUGED,))
        return self

    def decided(self, *instead: Reading, decisions: tuple[Decision, ...] = ()) -> "Workshop":
        """Gauged, decided and signed by the chief engineer."""
        self.gauged(*instead)
        for each in decisions:
            decide(self.book, self.id, each)
        sign_all(self.book, self.id, OPENED_AT, (Meaning.DECIDED,))
        return self

    def boxed_up(self) -> "Workshop":
        """Decided without anything to fit, and every step of boxing up confirmed."""
        self.decided()
        confirm_all(self.book, self.id, Phase.BOX_UP, OPENED_AT)
        return self

    def closed_and_proved(self) -> "Workshop":
        """As it stands, with every step of boxing up and of proving confirmed."""
        confirm_all(self.book, self.id, Phase.BOX_UP, OPENED_AT)
        confirm_all(self.book, self.id, Phase.PROVE, OPENED_AT)
        run_it(self.book, self.id, OPENED_AT)
        return self

    def proved(self) -> "Workshop":
        """Boxed up, and every step of proving confirmed."""
        self.boxed_up()
        confirm_all(self.book, self.id, Phase.PROVE, OPENED_AT)
        run_it(self.book, self.id, OPENED_AT)
        return self

    def returned(self) -> "Workshop":
        """Proved, and signed back into service by both."""
        self.proved()
        sign_all(self.book, self.id, OPENED_AT, RETURNED)
        return self

    def opened_again(self, hours: str) -> "Workshop":
        """The same machine opened again a while later, on the same scope, and made safe."""
        again = copy(self)
        again.id = an_overhaul(self.book, self.machine, hours, LATER, a_sheet(self.book), stages=(2,))
        return again.safe()

    def with_new_rings(self) -> "Workshop":
        """Decided with ring 1 of stage 2 over its limit; the new set is entered and gauged as fitted but for ring 3."""
        self.decided(a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place"))
        fit(self.book, self.id, "2.ring-set", OPENED_AT)
        enter(self.book, self.id, *good_readings(self.parts("2.ring-1", "2.ring-2"), Occasion.AS_FITTED, OPENED_AT))
        return self

    def keep_out(self, name: str) -> None:
        """Keep somebody out of the book."""
        by, whom = (person_named(self.book, each) for each in ("I. Brandreth", name))
        set_active(self.book, by, whom.id, False, OPENED_AT)

    def visitor(self, name: str) -> Visitor:
        """Somebody signed in."""
        return Visitor(self.app).sign_in(name)

    @cached_property
    def fitter(self) -> Visitor:
        """M. Tarrow, signed in."""
        return self.visitor("M. Tarrow")

    @cached_property
    def chief(self) -> Visitor:
        """I. Brandreth, signed in."""
        return self.visitor("I. Brandreth")

    @cached_property
    def auditor(self) -> Visitor:
        """S. Venn, signed in."""
        return self.visitor("S. Venn")

    def key_in(
        self, visitor: Visitor, place: str, status: int = 303, *, base: str = "gauge", how: str = "", **typed: object
    ) -> Response:
        """Open the page of a place as part/characteristic, type into its form and send it."""
        asked = f"{'&' if '?' in place else '?'}how={how}" if how else ""
        visitor.get(self.url(f"/{base}/{place}{asked}"))
        typed = {"correction": "gauged again"} | typed
        return visitor.post(self.url("/readings"), form_of(visitor.page, self.url("/readings")) | typed, status)

    def sign(self, visitor: Visitor, page: str, status: int = 303, password: str = PASSWORD) -> Response:
        """Open a page, type the password into its form for a signature and send it."""
        visitor.get(self.url(page))
        form = form_of(visitor.page, self.url("/signatures"))
        return visitor.post(self.url("/signatures"), form | {"password": password}, status)

    @property
    def overhaul(self) -> Overhaul:
        """The overhaul as it stands in the book."""
        return overhaul(self.book, self.id)

    @property
    def readings(self) -> tuple[Reading, ...]:
        """Every reading, in the order stored."""
        return self.overhaul.readings

    def url(self, path: str = "") -> str:
        """An address of this overhaul."""
        return f"/overhauls/{self.id}{path}"

    def parts(self, *refs: str) -> tuple[Part, ...]:
        """These parts."""
        return tuple(part for part in self.overhaul.parts if part.ref in refs)


def a_decision(ref: str, verdict: Verdict, until_hours: str = "") -> Decision:
    """A decision by I. Brandreth; with an end it is a concession that R. Osk signed too."""
    concession = Concession("R. Osk", Decimal(until_hours)) if until_hours else None
    return Decision(ref, verdict, "Looked at it myself.", "I. Brandreth", OPENED_AT, concession=concession)
