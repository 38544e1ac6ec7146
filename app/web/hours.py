"""Operating hours: the meter of a machine by hand, all meters by a table, and the tokens of systems that call."""

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Response
from starlette.datastructures import FormData

from app.actions.meter import HoursAsked, Meter, TypedHours, meter_of, meters, read_meter, strike_reading
from app.actions.meter_file import MeterFileRefused, read_text, take_file
from app.actions.tokens import NewToken, end_meter_token, make_meter_token, meter_tokens
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.reports.meter_plot import MeterPlot, MeterPoint, lay_out_meter_plot
from app.web.page import go, page
from app.web.sheets import file_sent
from app.web.visit import Form, Visit, VisitNow, one, read_form, texts

router = APIRouter()
WIDE_PX, NARROW_PX = 1216.0, 736.0
FIELDS = ("hours", "day", "clock", "answer", "against", "old_last", "new_first", "why")
NO_TABLE = "Choose a file, or paste the table."


@router.get("/machines/{tag}/hours")
def show(visit: VisitNow, tag: str) -> Response:
    """Show the meter of a machine."""
    return _meter(visit, tag, {})


@router.post("/machines/{tag}/hours")
def take(visit: VisitNow, tag: str, form: Form) -> Response:
    """Keep a meter reading, or ask about it."""
    typed = {name: one(form, name) for name in FIELDS}
    try:
        read_meter(visit.book, visit.person, tag, TypedHours(**typed), visit.zone, visit.now)
    except HoursAsked as asked:
        return _meter(visit, tag, typed, asked.fields, question=asked.question)
    except InputRefused as refusal:
        return _meter(visit, tag, typed, refusal.fields)
    place = "/hours" if one(form, "page") == "hours" else ""
    return go(visit, f"/machines/{quote(tag)}{place}?done=hours")


@router.post("/machines/{tag}/hours/{reading_id}/strike")
def strike(visit: VisitNow, tag: str, reading_id: int, form: Form) -> Response:
    """Strike a misread reading."""
    try:
        strike_reading(visit.book, visit.person, tag, reading_id, one(form, "why"), visit.now)
    except InputRefused as refusal:
        return _meter(visit, tag, {}, refusal.fields)
    return go(visit, f"/machines/{quote(tag)}/hours?done=struck")


@router.get("/hours")
def show_all(visit: VisitNow) -> Response:
    """Show all meters, and how readings of many machines come in."""
    return _all(visit, {})


@router.post("/hours/table")
def take_table(visit: VisitNow, form: Form) -> Response:
    """Keep the readings of a table, or name every line that is in doubt."""
    visit.person.must(Right.RECORD_HOURS)
    text = one(form, "text")
    try:
        text = _table(form)
        taken = take_file(visit.book, visit.person, text, visit.zone, visit.now)
    except MeterFileRefused as refusal:
        return _all(visit, {"text": text.replace("\0", "\N{REPLACEMENT CHARACTER}")}, faults=refusal.faults)
    return _all(visit, {}, taken=taken)


@router.post("/hours/tokens")
def make_token(visit: VisitNow, form: Form) -> Response:
    """Make a token and show its secret this once."""
    typed = texts(form)
    try:
        token = make_meter_token(visit.book, visit.person, one(form, "name"), one(form, "machine"), visit.now)
    except InputRefused as refusal:
        return _all(visit, typed, errors=refusal.fields)
    return _all(visit, {}, new_token=token)


@router.post("/hours/tokens/{token_id}/end", dependencies=[Depends(read_form)])
def end_token(visit: VisitNow, token_id: int) -> Response:
    """End a token."""
    end_meter_token(visit.book, visit.person, token_id, visit.now)
    return go(visit, "/hours?done=token-ended")


def _meter(
    visit: Visit, tag: str, typed: dict[str, str], errors: dict[str, str] | None = None, question: object = None
) -> Response:
    """Show a meter, with what was typed and what is asked about it."""
    visit.person.must(Right.READ)
    meter = meter_of(visit.book, tag)
    typed = {"day": visit.today.isoformat()} | typed
    shown: dict[str, Any] = {"meter": meter, "plots": meter_plots(meter), "typed": typed}
    shown |= {"errors": errors or {}, "question": question, "may_record": visit.person.may(Right.RECORD_HOURS)}
    return page(visit, "hours/meter.html", 422 if errors else 200, **shown)


def meter_plots(meter: Meter) -> tuple[MeterPlot, MeterPlot] | None:
    """Draw a meter's readings, for a wide and for a narrow screen."""
    points = [MeterPoint(each.read_at, each.hours, each.is_new_meter) for each in meter.readings]
    since = meter.rate.since.read_at if meter.rate else None
    wide, narrow = (lay_out_meter_plot(points, since, width) for width in (WIDE_PX, NARROW_PX))
    return (wide, narrow) if wide and narrow else None


def _all(
    visit: Visit,
    typed: dict[str, str],
    *,
    errors: dict[str, str] | None = None,
    faults: list[str] | None = None,
    taken: object = None,
    new_token: NewToken | None = None,
) -> Response:
    """Show all meters, with what became of a table or a token."""
    visit.person.must(Right.READ)
    may = {"may_record": visit.person.may(Right.RECORD_HOURS), "may_manage": visit.person.may(Right.MANAGE_MACHINES)}
    came = {"faults": faults or [], "taken": taken, "new_token": new_token, "base": str(visit.request.base_url)}
    found = meters(visit.book)
    tags = [("", "every machine"), *((each.machine.tag, each.machine.tag) for each in found)]
    shown: dict[str, Any] = {"meters": found, "tags": tags, "tokens": meter_tokens(visit.book), "errors": errors or {}}
    return page(visit, "hours/hours.html", 422 if errors or faults else 200, typed=typed, **shown, **came, **may)


def _table(form: FormData) -> str:
    """Give the table that was sent, as a file or pasted."""
    content = file_sent(form)
    text = read_text(content) if content else one(form, "text")
    if not text.strip():
        raise MeterFileRefused([NO_TABLE])
    return text
