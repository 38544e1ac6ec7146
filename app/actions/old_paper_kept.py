"""Overhauls from paper come into the book: each whole or not at all, and marked as what it is."""

from dataclasses import replace
from datetime import datetime

from sqlmodel import Session

from app.actions.old_paper import Ready, Setting, request_of
from app.actions.paper_work import Work
from app.domain.canonical import canonical, digest
from app.domain.errors import Sealed
from app.domain.overhaul import Decision, Fitting, Meaning, Signature
from app.domain.people import Person, Right
from app.domain.seal import content_for
from app.store.book import Book, Writing
from app.store.facts import save_decision, save_fitting, save_signature
from app.store.machines import get_machine, list_meter_readings
from app.store.overhauls import (
    Paper,
    find_overhaul_of_request,
    get_overhaul,
    list_overhauls,
    list_requests,
    save_overhaul_from_paper,
)
from app.store.readings import save_reading
from app.store.sheets import get_sheet

NOT_NAMED = "number not on the paper"


def setting_of(session: Session, tag: str, sheet_name: str, revision: str) -> Setting:
    """Gather what a file is held against."""
    machine = get_machine(session, tag)
    requests = frozenset(list_requests(session, machine.id))
    meter, overhauls = list_meter_readings(session, machine.id), list_overhauls(session, machine.id)
    return Setting(machine, get_sheet(session, sheet_name, revision), meter, overhauls, requests)


def keep_from_paper(book: Book, by: Person, setting: Setting, ready: Ready, source: str, now: datetime) -> bool:
    """Keep one overhaul with everything in it, in one change of the book; False where it is in the book already."""
    by.must(Right.ENTER_PAPER)
    with book.writing(by.name, now) as writing:
        request_id = request_of(ready.digest)
        if find_overhaul_of_request(writing.session, request_id) is not None:
            return False
        _require_free(writing.session, setting, ready)
        paper = Paper(f"“{ready.name}”, lines {ready.first_line} to {ready.last_line} of {source}", request_id)
        opening = setting.machine, setting.sheet, ready.scope, ready.hours, ready.at
        overhaul_id = save_overhaul_from_paper(writing, *opening, paper)
        _keep_content(writing, overhaul_id, ready, request_id, source)
        content = canonical(content_for(get_overhaul(writing.session, overhaul_id), Meaning.FROM_PAPER))
        save_signature(writing, overhaul_id, Signature(Meaning.FROM_PAPER, by.name, now, digest(content)), content)
    return True


def _require_free(session: Session, setting: Setting, ready: Ready) -> None:
    """Refuse what the book was opened for since the file was looked through."""
    for each in list_overhauls(session, setting.machine.id):
        if each.opened_at.astimezone(ready.zone).date() == ready.on or (each.is_open and each.opened_at < ready.at):
            raise Sealed(f"Overhaul {each.number} came into the book meanwhile. Look the file through again.")


def _keep_content(writing: Writing, overhaul_id: int, ready: Ready, request_id: str, source: str) -> None:
    """Keep the readings, what was done, and what went in."""
    by, now = writing.person, writing.now
    for reading in ready.readings:
        kept = replace(reading, id=f"{request_id}-{reading.id}", entered_by=by, stored_at=now)
        save_reading(writing, overhaul_id, kept)
    for ref, work in ready.works:
        save_decision(writing, overhaul_id, Decision(ref, work.verdict, _reason(work, source), by, now))
        if work.is_fitted:
            number = work.number or ("" if work.made_to else NOT_NAMED)
            save_fitting(writing, overhaul_id, Fitting(ref, number, work.batch, by, now, work.made_to))


def _reason(work: Work, source: str) -> str:
    """Say where it stands what was done."""
    return f"Done so by the paper: line {work.line} of {source}."
