"""A book that was lived in for one whole overhaul: in each of its tables of content at least one row."""

from datetime import date, timedelta
from decimal import Decimal
from hashlib import sha256

from app.actions.amendments import TypedAmendment, answer_amendment, propose_amendment
from app.actions.people import person_named
from app.actions.sheet_approvals import approve_sheet
from app.actions.tokens import METER
from app.actions.witnesses import enter_witness
from app.domain.amending import amendable
from app.domain.canonical import digest
from app.domain.instruments import Calibration, Instrument
from app.domain.limits import Method
from app.domain.overhaul import Concession, Decision, Meaning, MeterReading, Phase
from app.domain.parts_ahead import Stock
from app.domain.people import Role
from app.domain.photos import Photo, Withdrawal
from app.domain.readings import Kind, Occasion
from app.domain.service import Service
from app.domain.site_rules import RuleKind
from app.domain.verdicts import Verdict
from app.settings import Settings
from app.store.book import Book, Writing
from app.store.foreign import ForeignRecord, save_bundle
from app.store.heads_file import sign_head
from app.store.instruments import save_calibration, save_instrument
from app.store.known_sites import save_known_site
from app.store.machines import save_meter_reading, save_strike
from app.store.overhauls import get_overhaul
from app.store.people import change_person
from app.store.photos import save_photo, save_withdrawal
from app.store.running import get_run, save_baseline
from app.store.services import save_service
from app.store.site_rules import save_site_rule
from app.store.stock import save_stock
from app.store.tablets import save_tablet
from app.store.tokens import end_token, save_token
from tests.builders import (
    NOW,
    PASSWORD,
    a_machine,
    a_person,
    a_reading,
    a_sheet,
    an_overhaul,
    confirm_all,
    decide,
    enter,
    fit,
    good_readings,
    run_it,
    sign_all,
)
from tests.pictures import a_picture

FITTER, CHIEF, OTHER_CHIEF = "M. Tarrow", "I. Brandreth", "R. Osk"
PIN, GAP = ("2.pin", "diameter"), ("2.ring-1", "closed-gap")
ROLES = {FITTER: Role.FITTER, CHIEF: Role.CHIEF, OTHER_CHIEF: Role.CHIEF, "S. Venn": Role.AUDITOR}
WORST = {"level": "worst place"}


def live_in(book: Book) -> int:
    """Live through one overhaul of stage 2, and through what happens beside it; give the overhaul's number."""
    for name, role in (
        (FITTER, Role.FITTER),
        (CHIEF, Role.CHIEF),
        (OTHER_CHIEF, Role.CHIEF),
        ("S. Venn", Role.AUDITOR),
    ):
        a_person(book, name, role)
    machine = a_machine(book, at=NOW - timedelta(days=100))
    overhaul_id = an_overhaul(book, machine, "2300", NOW, a_sheet(book), stages=(2,))
    confirm_all(book, overhaul_id, Phase.MAKE_SAFE)
    _gauge(book, overhaul_id)
    with book.writing(CHIEF, NOW) as writing:
        live_beside(writing, overhaul_id)
        change_person(writing, 4, is_active=False)
        change_person(writing, 3, password_digest="another digest")
    heads = Settings(data_folder=book.path.parent).heads_path
    sign_head(book, NOW, heads)
    _decide_and_close(book, overhaul_id)
    amend(book, overhaul_id)
    seen = {"meaning": "decided", "name": "A. Surveyor", "body": "the class", "password": PASSWORD}
    approve_sheet(book, person_named(book, CHIEF), ("QM-GA", "C"), PASSWORD, ("page.jpg", a_picture()), NOW)
    enter_witness(book, person_named(book, CHIEF), overhaul_id, seen, NOW)
    sign_head(book, NOW, heads)
    return overhaul_id


def amend(book: Book, overhaul_id: int) -> None:
    """Amend a pin that was signed, and decline what is to be amended of something else."""
    with book.reading() as session:
        pin = next(r for r in amendable(get_overhaul(session, overhaul_id)) if r.place.part == PIN[0] and r.value)
    people = {name: person_named(book, name) for name in (FITTER, CHIEF)}
    wrong = TypedAmendment(reading=pin.id, value="21.970", unit="mm", instrument="M-9", reason="digits turned round")
    other = TypedAmendment(what="batch", old="B-7", new="B-8", reason="misread label")
    for typed, answer in ((wrong, {"outcome": "signed"}), (other, {"outcome": "declined", "words": "it is B-7"})):
        number = propose_amendment(book, people[FITTER], overhaul_id, typed, NOW)
        answer_amendment(book, people[CHIEF], overhaul_id, number, answer | {"password": PASSWORD}, NOW)


def _gauge(book: Book, overhaul_id: int) -> None:
    """Gauge everything: one entry corrected, one looked at by a second person, one taken back."""
    with book.reading() as session:
        parts = get_overhaul(session, overhaul_id).parts
    wrong = a_reading(*GAP, "0.40/0.45", **WORST, temperature_c=Decimal("21.5"))
    again = a_reading(*GAP, "0.65/0.70", **WORST, supersedes=wrong.id, correction="misread")
    pin = a_reading(*PIN, "21.960")
    back = a_reading(*PIN, "21.960", kind=Kind.TAKEN_BACK, value=None, supersedes=pin.id)
    look = a_reading(*GAP, "0.66/0.70", **WORST, measured_by=CHIEF, entered_by=CHIEF, is_second_look=True)
    sound = good_readings(parts, Occasion.AS_FOUND, NOW)
    enter(book, overhaul_id, *sound, wrong, again, pin, back, a_reading(*PIN, "21.960"), look)
    cannot = {"kind": Kind.CANNOT, "value": None, "reason": "no room for the gauge"}
    enter(book, overhaul_id, a_reading("2.bush", "diameter", "22", **cannot))
    picture = b"\xff\xd8 a picture \xff\xd9"
    with book.writing(FITTER, NOW) as writing:
        for number, note in enumerate(("worn", "the wrong ring")):
            shown = (sha256(picture).hexdigest(), "sent", 4, 3)
            photo = Photo(f"photo-{number}", GAP[0], again.id, note, *shown, FITTER, NOW)
            save_photo(writing, overhaul_id, photo, picture)
        save_withdrawal(writing, overhaul_id, photo, Withdrawal("another ring", FITTER, NOW))


def live_beside(writing: Writing, overhaul_id: int) -> None:
    """Everything that belongs to the machine or to the site."""
    machine = get_overhaul(writing.session, overhaul_id).machine
    misread = MeterReading(Decimal("2301.5"), NOW, FITTER)
    number = save_meter_reading(writing, machine, misread, "read at the gate")
    save_strike(writing, machine, MeterReading(misread.hours, NOW, FITTER, id=number), "misread")
    done = Service("oil-level", "QM-GA rev C", Decimal(2300), NOW, FITTER, (), "topped up", True)
    save_service(writing, machine, done, "request-of-a-service")
    save_site_rule(writing, RuleKind.SAFE_LINE, "Cooling water shut", True)
    save_stock(writing, Stock("QM-31-193", 4, date(2027, 6, 30)))
    gauge = {"name": "F-03", "method": "feeler", "measures": "0.05 to 1 mm"}
    number = save_instrument(writing, gauge | {"resolution": "0.05 mm", "permissible_error": "0.004 mm"})
    instrument = Instrument(number, "F-03", Method.FEELER, "-", "-", "-")
    for year, error in ((2025, None), (2026, Decimal("0.012"))):
        save_calibration(writing, instrument, Calibration(date(year, 1, 8), date(year + 1, 1, 8), f"K-{year}", error))
    about = {"site": "Quillmoor", "scope": "book", "made_at": "2026-11-24T09:00:00+00:00", "made_by": "S. Venn"}
    record = ForeignRecord("Quillmoor", "GA-1", 3, 16, digest("a record"))
    save_bundle(writing, b"PK a bundle", about | {"head_seq": 7, "head_digest": digest("head")}, [record])
    for is_known in (True, False):
        save_known_site(writing, "6668-7aad-f862-bd77-6c8f-c18b-8e9f-8e20", "Ballast Yard", is_known)
    ended, _ = (
        save_token(writing, METER, digest(f"token {person}"), "the control panel", machine.id, person)
        for person in (1, None)
    )
    end_token(writing, ended)
    for person, device in ((1, "a device"), (2, "a device"), (1, "a device"), (1, "another device")):
        save_tablet(writing, person, "the tablet in the hall", digest(device), f"digest of a PIN {device}")


def _decide_and_close(book: Book, overhaul_id: int) -> None:
    """Sign gauged and decided, with a concession; fit the new set, box up, prove, and sign back into service."""
    sign_all(book, overhaul_id, NOW, (Meaning.GAUGED,))
    ends = Concession(OTHER_CHIEF, Decimal(3000), date(2027, 3, 1))
    decide(book, overhaul_id, Decision(PIN[0], Verdict.REUSE, "New pin on order", CHIEF, NOW, concession=ends))
    decide(book, overhaul_id, Decision("2.ring-set", Verdict.RENEW, "One over its limit", CHIEF, NOW, "2.ring-set"))
    sign_all(book, overhaul_id, NOW, (Meaning.DECIDED,))
    fit(book, overhaul_id, "2.ring-set", NOW)
    fit(book, overhaul_id, "2.bush", NOW, made_to="22.01")
    confirm_all(book, overhaul_id, Phase.BOX_UP)
    confirm_all(book, overhaul_id, Phase.PROVE)
    run_id = run_it(book, overhaul_id)
    with book.writing(CHIEF, NOW) as writing:
        machine = get_overhaul(writing.session, overhaul_id).machine
        save_baseline(writing, machine, get_run(writing.session, run_id), "in good order")
    sign_all(book, overhaul_id, NOW, (Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF))
