"""Limit sheets: what is in the book, what each says, and bringing in another."""

from urllib.parse import quote

from fastapi import APIRouter, Response
from starlette.datastructures import FormData, UploadFile

from app.actions.machines import machine_tags
from app.actions.sheet_approvals import approvals_of, is_approval_due
from app.actions.sheet_drafts import drafts
from app.actions.sheets import WarningsStand, import_sheet, one_sheet, shared_limits, sheets
from app.domain.errors import InputRefused, Sealed
from app.domain.people import Right
from app.domain.sheet_faults import Fault, SheetRefused
from app.web.limit_words import bound
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, one

router = APIRouter()
NO_TEXT = "Choose a file, or paste the text of the sheet."


@router.get("/sheets")
def list_all(visit: VisitNow) -> Response:
    """List every revision of every sheet."""
    visit.person.must(Right.READ)
    listed = drafts(visit.book) if visit.person.may(Right.MANAGE_SHEETS) else []
    return page(visit, "sheets/sheets.html", sheets=sheets(visit.book), drafts=listed)


@router.get("/sheets/import")
def ask(visit: VisitNow) -> Response:
    """Ask for a sheet."""
    visit.person.must(Right.MANAGE_SHEETS)
    return _import_page(visit, "")


@router.post("/sheets/import")
def bring_in(visit: VisitNow, form: Form) -> Response:
    """Bring a sheet in whole, or name everything that is wrong with it."""
    visit.person.must(Right.MANAGE_SHEETS)
    text = one(form, "text")
    try:
        text = _text(form)
        sheet = import_sheet(visit.book, visit.person, text, one(form, "accepted") == "yes", visit.now)
    except SheetRefused as refusal:
        return _import_page(visit, text, 422, faults=refusal.faults)
    except WarningsStand as refusal:
        return _import_page(visit, text, 422, warnings=refusal.warnings, errors=refusal.fields)
    except (InputRefused, Sealed) as refusal:
        words = refusal.fields["text"] if isinstance(refusal, InputRefused) else str(refusal)
        return _import_page(visit, text, 409 if isinstance(refusal, Sealed) else 422, errors={"text": words})
    return go(visit, _after(visit, f"/sheets/{quote(sheet.name)}/{quote(sheet.revision)}"))


@router.get("/sheets/{name}/{revision}")
def show(visit: VisitNow, name: str, revision: str) -> Response:
    """Show the limits of one revision."""
    visit.person.must(Right.READ)
    return sheet_page(visit, name, revision, {})


def sheet_page(visit: Visit, name: str, revision: str, errors: dict[str, str]) -> Response:
    """Show one revision, with who has approved it."""
    sheet, _ = one_sheet(visit.book, name, revision)
    found = next(s for s in sheets(visit.book) if (s.name, s.revision) == (name, revision))
    stages = [(stage, shared_limits(stage)) for stage in sheet.stages]
    approvals = approvals_of(visit.book, name, revision)
    may = visit.person.may(Right.MANAGE_SHEETS) and visit.person.name not in [each.person for each in approvals]
    shown = {"sheet": sheet, "summary": found, "stages": stages, "bound": bound, "errors": errors}
    shown |= {
        "approvals": approvals,
        "may_approve": may,
        "is_approval_due": is_approval_due(visit.book, name, revision),
    }
    return page(visit, "sheets/sheet.html", 422 if errors else 200, **shown)


@router.get("/sheets/{name}/{revision}/file")
def download(visit: VisitNow, name: str, revision: str) -> Response:
    """Give the text of a revision as it was imported."""
    visit.person.must(Right.READ)
    _, text = one_sheet(visit.book, name, revision)
    disposition = f"attachment; filename*=UTF-8''{quote(f'{name}-{revision}.toml')}"
    return Response(text, media_type="text/plain; charset=utf-8", headers={"content-disposition": disposition})


def _text(form: FormData) -> str:
    """Give the text of the file chosen, else the text pasted; what no page can show is marked in it."""
    content = file_sent(form)
    try:
        text = content.decode("utf-8") if content else one(form, "text")
    except UnicodeDecodeError:
        raise SheetRefused([Fault(None, "the file", "a text in UTF-8, which this file is not")]) from None
    if not text.strip():
        raise InputRefused({"text": NO_TEXT})
    return text.replace("\0", "\N{REPLACEMENT CHARACTER}")


def file_sent(form: FormData) -> bytes:
    """Read the file that was sent, and close it; nothing where none was."""
    upload = form.get("file")
    if not isinstance(upload, UploadFile):
        return b""
    with upload.file:
        return upload.file.read()


def _after(visit: Visit, sheet_url: str) -> str:
    """Lead on: a book without machines asks for the first one."""
    return f"{sheet_url}?done=sheet" if machine_tags(visit.book) else "/machines/new?done=sheet"


def _import_page(visit: Visit, text: str, status: int = 200, **more: object) -> Response:
    """Show the form for a sheet, with everything that is wrong and the text as it was."""
    shown = {"faults": (), "warnings": (), "errors": {}, "is_first": not sheets(visit.book)} | more
    return page(visit, "sheets/import.html", status, text=text, **shown)
