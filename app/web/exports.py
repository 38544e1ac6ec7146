"""Exports: the page that offers them, and the files themselves."""

from dataclasses import replace

from fastapi import APIRouter, Response
from fastapi.responses import JSONResponse

from app.actions.export_files import Circumstances, Form, export_file
from app.actions.exports import Wanted, published_schema, wanted_record
from app.actions.machines import machine_states
from app.actions.verifying import WrittenDown, read_head, verify_book
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.reports.bundle import VERIFIER, verifier_source
from app.web.downloads import download, in_pieces
from app.web.page import page
from app.web.visit import Visit, VisitNow, readable

router = APIRouter()
KINDS = {
    Form.CSV: "text/csv; charset=utf-8",
    Form.WORKBOOK: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    Form.JSON: "application/json",
    Form.BUNDLE: "application/zip",
}


@router.get("/exports")
def show_exports(visit: VisitNow) -> Response:
    """Show what can be taken out of the book."""
    visit.person.must(Right.READ)
    return page(visit, "exports/exports.html", states=machine_states(visit.book))


@router.get("/exports/schema.json")
def send_schema(visit: VisitNow) -> Response:
    """Send the JSON Schema of an export."""
    visit.person.must(Right.READ)
    return JSONResponse(published_schema())


@router.get("/exports/verify.py")
def send_verifier(visit: VisitNow) -> Response:
    """Send the verifier by itself, for whoever does not want the one in a bundle."""
    visit.person.must(Right.READ)
    return download(VERIFIER, "text/x-python", in_pieces(verifier_source()))


@router.get("/exports/book.{form:export_form}")
def send_book(visit: VisitNow, form: str) -> Response:
    """Send the whole book."""
    return _send(visit, Wanted(), form)


@router.get("/machines/{tag}/export.{form:export_form}")
def send_machine(visit: VisitNow, tag: str, form: str) -> Response:
    """Send one machine with all of its overhauls."""
    return _send(visit, Wanted(tag), form)


@router.get("/overhauls/{overhaul_id}/export.{form:export_form}")
def send_overhaul(visit: VisitNow, overhaul_id: int, form: str) -> Response:
    """Send one record."""
    visit.person.must(Right.READ)
    return _send(visit, wanted_record(visit.book, overhaul_id), form)


@router.get("/verify")
def show_verification(visit: VisitNow, head: str = "", fingerprint: str = "") -> Response:
    """Check the whole book and show what was found, also against what was written down elsewhere."""
    visit.person.must(Right.READ)
    typed, refused = {"head": readable(head)[:100], "fingerprint": readable(fingerprint)[:80]}, {}
    try:
        written = read_head(typed["head"]) if typed["head"].strip() else WrittenDown()
    except InputRefused as refusal:
        written, refused = WrittenDown(), refusal.fields
    found = verify_book(visit.book, visit.settings, replace(written, fingerprint=typed["fingerprint"].strip()))
    shown = {"found": found, "checked_at": visit.now, "typed": typed, "refused": refused}
    return page(visit, "exports/verify.html", 422 if refused else 200, **shown)


def _send(visit: Visit, wanted: Wanted, form: str) -> Response:
    """Send an export to whoever may read the book."""
    visit.person.must(Right.READ)
    settings = visit.settings
    around = Circumstances(visit.person.name, visit.now, settings.site_zone, settings.is_demonstration)
    file = export_file(visit.book, wanted, Form(form), around)
    return download(file.name, KINDS[Form(form)], file.content)
