"""An overhaul is opened, made safe, gauged, decided, boxed up and proved: every change of it goes through here."""

from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from decimal import Decimal

from sqlmodel import Session

from app.actions.meter import MOST_HOURS, opening_reading
from app.actions.people import check_password, confirm_password
from app.actions.site_rules import require_standby
from app.domain.canonical import canonical, digest
from app.domain.decisions import check_decision
from app.domain.errors import InputRefused, NotThere, NotYet, NumberRefused, Sealed, UnitMismatch
from app.domain.numbers import parse_number
from app.domain.overhaul import (
    Concession,
    Confirmation,
    Decision,
    Meaning,
    Overhaul,
    Phase,
    Scope,
    Signature,
)
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.parts_list import oversize_words
from app.domain.people import Person, Right, Role
from app.domain.phases import check_signature, require_phase
from app.domain.running_limits import PressureUnit
from app.domain.seal import content_for
from app.domain.steps import STANDBY, Step, open_steps, steps_of
from app.domain.vented import wrong_gauge
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.facts import save_confirmation, save_decision, save_signature
from app.store.machines import get_machine, save_meter_reading
from app.store.overhauls import find_open_overhaul, find_overhaul_of_request, get_overhaul, save_overhaul
from app.store.people import find_person_by_name
from app.store.sheets import current_sheet

LONGEST_VALUE = 120
SHORTEST_ID, LONGEST_ID = 8, 64


def open_overhaul(
    book: Book, by: Person, tag: str, typed: dict[str, str], stages: list[str], zone: tzinfo, now: datetime
) -> int:
    """Open an overhaul at the meter's hours; the sheet's revision is frozen into it, a double submit opens once."""
    by.must(Right.OPEN)
    refused: dict[str, str] = {}
    hours = _number(typed.get("hours", ""), "hours", "10300", refused)
    request_id = typed.get("request_id", "")
    if not SHORTEST_ID <= len(request_id) <= LONGEST_ID:
        raise NotThere("This form has no identifier: load its page again.")
    with book.writing(by.name, now) as writing:
        machine = get_machine(writing.session, tag)
        already = find_overhaul_of_request(writing.session, request_id)
        if already is not None:
            return already
        is_open = find_open_overhaul(writing.session, machine.id)
        if is_open is not None:
            raise Sealed(f"{machine.tag} is open already. Close that overhaul first.")
        sheet = current_sheet(writing.session, machine.sheet_name)
        against = require_standby(writing.session, by, tag, typed.get("standby_reason", ""), refused)
        reading = opening_reading(writing, machine, hours, zone, refused)
        scope = _scope(stages, typed.get("what", ""), [stage.number for stage in sheet.stages], refused)
        if refused:
            raise InputRefused(refused)
        save_meter_reading(writing, machine, reading)
        number = save_overhaul(writing, machine, sheet.name, sheet.revision, scope, reading.hours, request_id)
        if against:
            save_confirmation(writing, number, Confirmation(Phase.MAKE_SAFE, STANDBY[0].key, against, by.name, now))
        return number


def _scope(stages: list[str], what: str, known: list[int], refused: dict[str, str]) -> Scope:
    """Read what the opening covers."""
    chosen = tuple(number for number in known if str(number) in stages)
    if not chosen:
        refused["stages"] = "Choose at least one stage."
    if what not in ("rings", "valves"):
        refused["what"] = "Choose valves only, or valves and rings."
    return Scope(chosen or (1,), what == "rings")


def overhaul(book: Book, overhaul_id: int) -> Overhaul:
    """One overhaul with everything entered in it."""
    with book.reading() as session:
        return get_overhaul(session, overhaul_id)


def confirm_step(book: Book, by: Person, overhaul_id: int, phase: Phase, key: str, value: str, now: datetime) -> None:
    """Confirm one step of a phase by name and time, in the order of the work; sent twice, it is confirmed once."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        done = found.confirmation(phase, key)
        if done is not None and (done.value, done.person) == (value.strip(), by.name):
            return
        require_phase(found, phase)
        step = next((step for step in steps_of(found, phase) if step.key == key), None)
        if step is None:
            raise NotThere(f"There is no such step in “{phase}”.")
        confirmation = Confirmation(phase, key, _step_value(step, value), by.name, now)
        if phase is Phase.MAKE_SAFE and step.key.startswith("gauge-"):
            _must_be_vented(found, step, value)
        _require_order(found, phase, step)
        save_confirmation(writing, overhaul_id, confirmation)


def _step_value(step: Step, value: str) -> str:
    """Check the value a step asks for."""
    text = value.strip()
    if len(text) > LONGEST_VALUE or (step.asks and not text):
        words = (
            f"{step.asks}: fill this in, such as {step.hint}." if step.asks else f"At most {LONGEST_VALUE} characters."
        )
        raise InputRefused({f"value-{step.key}": words})
    return text


def _must_be_vented(found: Overhaul, step: Step, value: str) -> None:
    """Refuse a gauge that still shows pressure."""
    wrong = wrong_gauge(value, found.sheet.proving.unit if found.sheet.proving else PressureUnit.BAR)
    if wrong:
        raise InputRefused({f"value-{step.key}": wrong})


def _require_order(found: Overhaul, phase: Phase, step: Step) -> None:
    """Box up goes in its order; the other lists may be confirmed as the work allows."""
    waiting = open_steps(found, phase)
    if phase is Phase.BOX_UP and waiting and step in waiting and step != waiting[0]:
        raise NotYet(f"In the order of the work “{waiting[0].words}” comes first.")


@dataclass(frozen=True)
class TypedDecision:
    """A decision as the form sends it."""

    ref: str
    verdict: str
    reason: str
    until_hours: str = ""
    until_date: str = ""
    second_person: str = ""
    second_password: str = ""
    oversize: str = ""


def decide(book: Book, by: Person, overhaul_id: int, typed: TypedDecision, zone: tzinfo, now: datetime) -> None:
    """Put a chief engineer's decision beside the first verdict, once; a concession is signed by a second one."""
    by.must(Right.DECIDE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        require_phase(found, Phase.DECIDE)
        verdict = _verdict_for(found, typed.ref)
        decision = _decision(found, typed, by, zone, now)
        check_decision(verdict, decision)
        if decision.concession:
            second = _second(writing.session, decision.concession.second_person)
            check_password(book, second, typed.second_password, now, "second_password", by)
        last = found.decision(typed.ref)
        if last is None or replace(decision, at=last.at) != last:
            save_decision(writing, overhaul_id, decision)


def _verdict_for(found: Overhaul, ref: str) -> PartVerdict:
    """Find what is decided on: a part, or the member that decides for its set."""
    verdicts = judge_overhaul(found)
    for verdict in verdicts:
        if verdict.part.ref == ref and verdict.with_set is None:
            return replace(verdict, decision=None)
    members = [v for v in verdicts if v.with_set is not None and v.with_set.ref == ref]
    if members:
        absolute = [member for member in members if member.is_absolute]
        return replace((absolute or members)[0], decision=None)
    raise NotThere("There is nothing to decide there: a part that goes with its set is decided with the set.")


def _decision(found: Overhaul, typed: TypedDecision, by: Person, zone: tzinfo, now: datetime) -> Decision:
    """Read a typed decision."""
    refused: dict[str, str] = {}
    if typed.verdict not in (Verdict.REUSE, Verdict.REWORK, Verdict.RENEW):
        refused["verdict"] = "Choose REUSE, REWORK or RENEW."
    concession = _concession(found, typed, now.astimezone(zone).date(), refused)
    if len(typed.reason) > 500:
        refused["reason"] = "At most 500 characters."
    renews = _oversize(found, typed, refused)
    if refused:
        raise InputRefused(refused)
    return Decision(typed.ref, Verdict(typed.verdict), typed.reason.strip(), by.name, now, renews, concession)


def _oversize(found: Overhaul, typed: TypedDecision, refused: dict[str, str]) -> str:
    """Read the oversize a bore is to be made to, where one is chosen; only of those the sheet holds."""
    if not typed.oversize:
        return ""
    part = found.sheet.part(typed.ref)
    chosen = next((one for one in part.oversizes if one.size.typed == typed.oversize), None) if part else None
    if chosen is None or typed.verdict != Verdict.REWORK:
        refused["oversize"] = "An oversize goes with REWORK of a bore, and is one of those on the sheet."
        return ""
    return oversize_words(chosen)


def _concession(found: Overhaul, typed: TypedDecision, today: date, refused: dict[str, str]) -> Concession | None:
    """Read the end of a concession, where one is given; it lies ahead."""
    if not (typed.until_hours or typed.until_date):
        return None
    hours = _number(typed.until_hours, "until_hours", "12400", refused) if typed.until_hours else None
    if hours is not None and "until_hours" not in refused and hours <= found.hours:
        refused["until_hours"] = f"The end lies ahead of the {found.hours} h of this opening."
    if hours is not None and hours > MOST_HOURS:
        refused["until_hours"] = f"More than {MOST_HOURS} h cannot be."
    day = None
    if typed.until_date:
        try:
            day = date.fromisoformat(typed.until_date)
        except ValueError:
            refused["until_date"] = "Give the date as 2027-03-31."
    if day is not None and day <= today:
        refused["until_date"] = "The end lies ahead of today."
    return Concession(typed.second_person.strip(), hours, day)


def _second(session: Session, name: str) -> Person:
    """Find who signs second: another chief engineer."""
    person = find_person_by_name(session, name)
    if person is None or person.role is not Role.CHIEF or not person.is_active:
        raise InputRefused({"second_person": "The second signature is another chief engineer's."})
    return person


RIGHT_TO_SIGN = {
    Meaning.GAUGED: Right.SIGN_GAUGED,
    Meaning.DECIDED: Right.SIGN_DECIDED,
    Meaning.RETURNED_FITTER: Right.SIGN_RETURNED,
    Meaning.RETURNED_CHIEF: Right.SIGN_DECIDED,
}


def sign(book: Book, by: Person, overhaul_id: int, meaning: Meaning, password: str, now: datetime) -> Signature:
    """Sign with the password again; the signature covers a digest of the content it names."""
    by.must(RIGHT_TO_SIGN[meaning])
    confirm_password(book, by, password, now)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        check_signature(found, meaning, by.name)
        content = canonical(content_for(found, meaning))
        signature = Signature(meaning, by.name, now, digest(content))
        save_signature(writing, overhaul_id, signature, content)
        return signature


def _number(typed: str, field: str, example: str, refused: dict[str, str]) -> Decimal:
    """Read a plain number, or keep the words why not."""
    try:
        return parse_number(typed, example=example)
    except (NumberRefused, UnitMismatch) as refusal:
        refused[field] = str(refusal)
        return Decimal(0)
