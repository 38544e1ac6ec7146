"""Limit sheets in the making: begun, looked over, taken out as a file, and approved as a revision."""

from collections.abc import Mapping
from urllib.parse import quote

from fastapi import APIRouter, Response

from app.actions.draft_changes import add_stage
from app.actions.draft_table import COLUMNS, rows_from, values_from
from app.actions.sheet_drafts import (
    Approving,
    DraftNow,
    DraftStale,
    approve_draft,
    begin_draft,
    begin_from_values,
    change_draft,
    copy_sheet,
    draft_now,
    refused_in,
    throw_away,
    write_draft,
)
from app.actions.sheets import sheets
from app.actions.table_file import read_lines
from app.domain.draft_values import shown, tables
from app.domain.errors import InputRefused, Sealed
from app.domain.limits import Construction
from app.domain.people import Person, Right
from app.domain.sheet_faults import Fault, SheetRefused
from app.domain.sheet_skeleton import MOST_RINGS, SheetAnswer, StageAnswer, skeleton, skeleton_head
from app.domain.units import LengthUnit
from app.reports.draft_template import template_csv, template_workbook
from app.web.downloads import download
from app.web.draft_fields import linked, open_in
from app.web.draft_upkeep import tasks_listed
from app.web.page import go, page
from app.web.sheet_approvals import page_sent, with_page_again
from app.web.sheets import file_sent
from app.web.visit import Form, Visit, VisitNow, one, texts

router = APIRouter()
FIRST_STAGES = 4
CSV, WORKBOOK = "text/csv; charset=utf-8", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
EXAMPLE = SheetAnswer("", "", "", "", "mm", (StageAnswer("", ""), StageAnswer("", "")))


@router.get("/drafts/new")
def ask(visit: VisitNow) -> Response:
    """Ask how a sheet is begun."""
    visit.person.must(Right.MANAGE_SHEETS)
    return _new(visit, {})


@router.post("/drafts/new")
def begin(visit: VisitNow, form: Form) -> Response:
    """Begin a sheet: from answers, from a copy, or from a table."""
    visit.person.must(Right.MANAGE_SHEETS)
    typed = texts(form)
    try:
        draft_id, then = _begun(visit, typed, file_sent(form))
    except InputRefused as refusal:
        return _new(visit, typed, refusal.fields)
    except SheetRefused as refusal:
        return _new(visit, typed, faults=refusal.faults)
    return go(visit, f"/drafts/{draft_id}{then}?done=draft-begun")


def _begun(visit: Visit, typed: dict[str, str], content: bytes) -> tuple[int, str]:
    """Begin a sheet as chosen, and give its number with the page to go on with."""
    book, by, now = visit.book, visit.person, visit.now
    if typed.get("way") == "copy":
        name, _, revision = typed.get("copy_of", "").partition("/")
        if not revision:
            raise InputRefused({"copy_of": "Choose the revision to copy."})
        return copy_sheet(book, by, name, revision, now), "/head"
    answer = _answer(typed, by)
    if typed.get("way") == "table":
        refused = {f"table_{key}": words for key, words in refused_in(answer).items()}
        if not content:
            refused["file"] = "Choose the filled-in table."
        if refused:
            raise InputRefused(refused)
        return begin_from_values(book, by, values_from(read_lines(content), skeleton_head(answer)), now), ""
    return begin_draft(book, by, answer, now), "/head"


def _answer(typed: dict[str, str], by: Person) -> SheetAnswer:
    """Read the answers; the three ways share the words for the head of the sheet."""
    before = "table_" if typed.get("way") == "table" else ""
    words = {key: typed.get(f"{before}{key}", "").strip() for key in ("name", "revision", "machine_type")}
    unit = typed.get(f"{before}unit", "")
    stages = [_stage_answer(typed, number) for number in range(1, FIRST_STAGES + 1)]
    return SheetAnswer(
        **words,
        approver=by.name,
        unit=unit if unit in tuple(LengthUnit) else LengthUnit.MM.value,
        stages=tuple(stage for stage in stages if stage.bore),
    )


def _stage_answer(typed: Mapping[str, str], number: int) -> StageAnswer:
    """Read what is said of one stage."""
    rings = typed.get(f"rings-{number}", "").strip() or "3"
    if not (rings.isascii() and rings.isdigit() and int(rings) <= MOST_RINGS):
        raise InputRefused({f"rings-{number}": f"A whole number of rings, 0 to {MOST_RINGS}."})
    reed = typed.get(f"valves-{number}") == Construction.REED
    bore, stroke = (typed.get(f"{key}-{number}", "").strip() for key in ("bore", "stroke"))
    return StageAnswer(bore, stroke, int(rings), Construction.REED if reed else Construction.PLATE)


def _new(
    visit: Visit, typed: dict[str, str], errors: dict[str, str] | None = None, faults: tuple[Fault, ...] = ()
) -> Response:
    """Show the ways to begin a sheet."""
    shown_now = {"typed": typed, "errors": errors or {}, "faults": faults, "stages": range(1, FIRST_STAGES + 1)}
    copies = [(f"{each.name}/{each.revision}", f"{each.name} rev {each.revision}") for each in sheets(visit.book)]
    status = 422 if errors or faults else 200
    return page(visit, "drafts/new.html", status, copies=copies, **shown_now)


@router.get("/drafts/template.csv")
def csv_template(visit: VisitNow) -> Response:
    """Give the table to fill in, as CSV."""
    visit.person.must(Right.MANAGE_SHEETS)
    return download("wearbook-limits.csv", CSV, [template_csv(COLUMNS, rows_from(skeleton(EXAMPLE)))])


@router.get("/drafts/template.xlsx")
def workbook_template(visit: VisitNow) -> Response:
    """Give the table to fill in, as a workbook."""
    visit.person.must(Right.MANAGE_SHEETS)
    return download("wearbook-limits.xlsx", WORKBOOK, [template_workbook(COLUMNS, rows_from(skeleton(EXAMPLE)))])


@router.get("/drafts/{draft_id}")
def show(visit: VisitNow, draft_id: int) -> Response:
    """Show a draft: its stages, what is missing or wrong, and the way to a revision."""
    visit.person.must(Right.MANAGE_SHEETS)
    return _draft(visit, draft_now(visit.book, draft_id))


@router.get("/drafts/{draft_id}/file")
def download_file(visit: VisitNow, draft_id: int) -> Response:
    """Give the text of a draft as it stands."""
    visit.person.must(Right.MANAGE_SHEETS)
    draft = draft_now(visit.book, draft_id).draft
    return download(f"{draft.title}.toml", "text/plain; charset=utf-8", [draft.text.encode()])


@router.post("/drafts/{draft_id}/stages")
def one_more_stage(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Add a stage after the last."""
    try:
        now = change_draft(visit.book, visit.person, draft_id, one(form, "version"), add_stage, visit.now)
    except DraftStale:
        return _draft(visit, draft_now(visit.book, draft_id), 409)
    except Sealed:
        return go(visit, f"/drafts/{draft_id}?done=stands")
    return go(visit, f"/drafts/{draft_id}/stages/{len(tables(now.values, 'stage'))}?done=draft")


@router.get("/drafts/{draft_id}/text")
def ask_text(visit: VisitNow, draft_id: int) -> Response:
    """Ask for the whole text of a draft."""
    visit.person.must(Right.MANAGE_SHEETS)
    now = draft_now(visit.book, draft_id)
    return _text(visit, now, now.draft.text)


@router.post("/drafts/{draft_id}/text")
def keep_text(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Keep the whole text of a draft."""
    text = one(form, "text")
    try:
        write_draft(visit.book, visit.person, draft_id, one(form, "version"), text, visit.now)
    except DraftStale:
        return _text(visit, draft_now(visit.book, draft_id), text, 409)
    except SheetRefused as refusal:
        words = {"text": refusal.faults[0].words}
        return _text(visit, draft_now(visit.book, draft_id), text, 422, words)
    except Sealed:
        return go(visit, f"/drafts/{draft_id}?done=stands")
    return go(visit, f"/drafts/{draft_id}?done=draft")


@router.post("/drafts/{draft_id}/approve")
def approve(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Approve a draft as a signed revision, and go on to a machine of its kind."""
    sent = Approving(one(form, "version"), one(form, "accepted") == "yes", one(form, "password"), page_sent(form))
    try:
        sheet = approve_draft(visit.book, visit.person, draft_id, sent, visit.now)
    except DraftStale:
        return _draft(visit, draft_now(visit.book, draft_id), 409)
    except InputRefused as refusal:
        refused = with_page_again(refusal.fields, sent.page)
        return _draft(visit, draft_now(visit.book, draft_id), 422, refused, is_accepted=sent.is_accepted)
    except SheetRefused as refusal:
        return _draft(visit, draft_now(visit.book, draft_id), 422, more_faults=refusal.faults)
    except Sealed as refusal:
        return _draft(visit, draft_now(visit.book, draft_id), 409, {"revision": str(refusal)})
    return go(visit, f"/machines/new?sheet={quote(sheet.name)}&done=sheet-approved")


@router.post("/drafts/{draft_id}/drop")
def drop(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Throw a draft away, if that is what is meant."""
    visit.person.must(Right.MANAGE_SHEETS)
    if one(form, "sure") != "yes":
        return _draft(visit, draft_now(visit.book, draft_id), 422, {"sure": "Tick this to throw the draft away."})
    throw_away(visit.book, visit.person, draft_id)
    return go(visit, "/sheets?done=draft-dropped")


def _draft(
    visit: Visit, now: DraftNow, status: int = 200, errors: dict[str, str] | None = None,
    more_faults: tuple[Fault, ...] = (), is_accepted: bool = False,
) -> Response:  # fmt: skip
    """Show a draft as it stands."""
    wrong = now.wrong or tuple(fault for fault in more_faults if not fault.is_missing)
    stages = [
        (
            number,
            shown(stage.get("bore")),
            len(tables(stage, "part")),
            len(tables(stage, "joint")),
            open_in(now, number),
        )
        for number, stage in enumerate(tables(now.values, "stage"), start=1)
    ]
    found = {"missing": linked(now, now.missing), "wrong": linked(now, wrong), "doubts": linked(now, now.warnings)}
    more = {"errors": errors or {}, "is_stale": status == 409 and not errors, "where": "", "stages": len(stages)}
    more["is_accepted"] = is_accepted
    return page(visit, "drafts/draft.html", status, now=now, listed=stages, tasks=tasks_listed(now), **found, **more)


def _text(visit: Visit, now: DraftNow, text: str, status: int = 200, errors: dict[str, str] | None = None) -> Response:
    """Show the text of a draft."""
    more = {"errors": errors or {}, "is_stale": status == 409, "where": "text"}
    stages = len(tables(now.values, "stage"))
    return page(visit, "drafts/text.html", status, now=now, text=text, stages=stages, **more)
