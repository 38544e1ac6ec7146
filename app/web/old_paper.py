"""Old paper: the template, a file looked through and shown, and its overhauls coming in while the page tells it."""

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData, UploadFile

from app.actions.machines import machine_state
from app.actions.paper_jobs import PaperJob, PaperJobs, State
from app.actions.reading_file import COLUMNS
from app.actions.sheets import one_sheet, sheets
from app.domain.errors import InputRefused, NotYet
from app.domain.people import Right
from app.reports.reading_template import WORDS, csv_template, workbook_template
from app.web.downloads import download, in_pieces
from app.web.page import go, page
from app.web.sheets import file_sent
from app.web.visit import Form, Visit, VisitNow, one, read_form

router = APIRouter()
CSV, WORKBOOK = "text/csv; charset=utf-8", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
LOOK_AGAIN_S = 2


@router.get("/machines/{tag}/paper")
def ask(visit: VisitNow, tag: str) -> Response:
    """Offer the template, and ask for it filled in."""
    visit.person.must(Right.ENTER_PAPER)
    return _ask(visit, tag, {})


@router.get("/machines/{tag}/paper/template.{form:template_form}")
def template(visit: VisitNow, tag: str, form: str, revision: str = "") -> Response:
    """Give the empty template of a machine."""
    visit.person.must(Right.ENTER_PAPER)
    state = machine_state(visit.book, tag)
    sheet, _ = one_sheet(visit.book, state.machine.sheet_name, revision or state.sheet.revision)
    name = f"{tag}-paper.{form}"
    if form == "csv":
        return download(name, CSV, in_pieces(csv_template(sheet, tag, COLUMNS)))
    return download(name, WORKBOOK, in_pieces(workbook_template(sheet, tag, COLUMNS)))


@router.post("/machines/{tag}/paper")
def look_through(visit: VisitNow, tag: str, form: Form) -> Response:
    """Begin to look a file through."""
    visit.person.must(Right.ENTER_PAPER)
    typed = {"revision": one(form, "revision")}
    sheet_name = machine_state(visit.book, tag).machine.sheet_name
    try:
        sent = _name_of(form), file_sent(form)
        job = _jobs(visit).check(visit.person, tag, (sheet_name, typed["revision"]), *sent, visit.zone)
    except (InputRefused, NotYet) as refusal:
        fields = refusal.fields if isinstance(refusal, InputRefused) else {"file": str(refusal)}
        return _ask(visit, tag, typed, fields)
    return go(visit, _url(job))


@router.get("/machines/{tag}/paper/{job_id}")
def show(visit: VisitNow, tag: str, job_id: str) -> Response:
    """Show how far a file is, and what is in it; asked again by itself while it is at work."""
    visit.person.must(Right.ENTER_PAPER)
    return _show(visit, _jobs(visit).find(tag, job_id), {})


@router.post("/machines/{tag}/paper/{job_id}/take")
def take(visit: VisitNow, tag: str, job_id: str, form: Form) -> Response:
    """Bring in what was looked through."""
    jobs, is_left_out = _jobs(visit), one(form, "leave_out") == "yes"
    try:
        jobs.take(visit.person, tag, job_id, one(form, "password"), is_left_out, visit.now)
    except InputRefused as refusal:
        return _show(visit, jobs.find(tag, job_id), refusal.fields)
    return go(visit, _url(jobs.find(tag, job_id)))


@router.post("/machines/{tag}/paper/{job_id}/stop", dependencies=[Depends(read_form)])
def stop(visit: VisitNow, tag: str, job_id: str) -> Response:
    """Stop a file."""
    _jobs(visit).stop(visit.person, tag, job_id)
    return go(visit, _url(_jobs(visit).find(tag, job_id)))


def _jobs(visit: Visit) -> PaperJobs:
    """The files at hand."""
    found: PaperJobs = visit.request.app.state.paper_jobs
    return found


def _url(job: PaperJob) -> str:
    """The address of a file's page."""
    return f"/machines/{quote(job.setting.machine.tag)}/paper/{job.id}"


def _name_of(form: FormData) -> str:
    """The name of the file that was sent."""
    upload = form.get("file")
    return (upload.filename or "") if isinstance(upload, UploadFile) else ""


def _ask(visit: Visit, tag: str, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the page that asks for a file."""
    state = machine_state(visit.book, tag)
    known = [each for each in sheets(visit.book) if each.name == state.machine.sheet_name]
    revisions = [(each.revision, f"{each.name} rev {each.revision}") for each in known]
    shown: dict[str, Any] = {"state": state, "revisions": revisions, "errors": errors or {}, "columns": WORDS}
    typed = {"revision": state.sheet.revision} | {name: text for name, text in typed.items() if text}
    return page(visit, "paper/ask.html", 422 if errors else 200, typed=typed, **shown)


def _show(visit: Visit, job: PaperJob, errors: dict[str, str]) -> Response:
    """Show a file's page."""
    answer = page(visit, "paper/file.html", 422 if errors else 200, job=job, states=State, errors=errors, url=_url(job))
    if job.is_running:
        answer.headers["refresh"] = str(LOOK_AGAIN_S)
    return answer
