"""What is due: one page over all machines, and the same as a calendar to subscribe to."""

from typing import Any

from fastapi import APIRouter, Depends, Response

from app.actions.due import USUAL_WINDOW_DAYS, WINDOWS_DAYS
from app.actions.due_plan import DuePlan, calendar_plan, due_plan, make_calendar_address
from app.domain.days import date_words
from app.domain.due import DueTask, Visit
from app.domain.people import Right
from app.reports.calendar_file import CalendarEvent, write_calendar
from app.web.page import page
from app.web.visit import Visit as Asked
from app.web.visit import VisitNow, read_form

router = APIRouter()
MOST_SHOWN = 200


@router.get("/due")
def show(visit: VisitNow, window: str = "", visits: str = "") -> Response:
    """Show what is due on all machines, soonest first; of very many the first, unless all are asked for."""
    return _due(visit, window, is_whole=visits == "all")


@router.post("/due/calendar", dependencies=[Depends(read_form)])
def make_address(visit: VisitNow) -> Response:
    """Make the address of a person's calendar, and show it this once."""
    secret = make_calendar_address(visit.book, visit.person, visit.now)
    return _due(visit, "", address=f"{visit.request.base_url}due/calendar/{secret}.ics")


@router.get("/due/calendar/{secret}.ics")
def calendar(visit: VisitNow, secret: str) -> Response:
    """Give the calendar to whoever holds its address."""
    plan = calendar_plan(visit.book, secret, visit.zone)
    text = write_calendar("Wearbook: due", [event_of(each) for each in plan.visits], visit.now)
    return Response(text, media_type="text/calendar; charset=utf-8")


def event_of(visit: Visit) -> CalendarEvent:
    """Write a visit as an event; it goes by the task that sets its day, and since when that task counts."""
    first = visit.tasks[0]
    names = ", ".join(each.task.name for each in visit.tasks)
    summary = f"{visit.tag}: {'open, ' if visit.opens_machine else ''}{names}"
    uid = f"{visit.tag}.{first.task.key}.{first.last.on:%Y%m%d}@wearbook"
    return CalendarEvent(uid, visit.on, summary, "\n".join(map(_line, visit.tasks)))


def _line(each: DueTask) -> str:
    """Write a task of a visit with its own due date."""
    return f"{each.task.name}: due {date_words(each.due.on) if each.due.on else 'some day'}, {each.due.why}"


def _due(visit: Asked, window: str, address: str = "", *, is_whole: bool = False) -> Response:
    """Show the plan."""
    visit.person.must(Right.READ)
    days = int(window) if window in map(str, WINDOWS_DAYS) else USUAL_WINDOW_DAYS
    plan: DuePlan = due_plan(visit.book, visit.zone, days)
    may = {"may_open": visit.person.may(Right.OPEN), "may_serve": visit.person.may(Right.SERVICE)}
    shown = plan.visits if is_whole else plan.visits[:MOST_SHOWN]
    around: dict[str, Any] = {"windows": WINDOWS_DAYS, "today": visit.today, "address": address}
    return page(visit, "due/due.html", plan=plan, visits=shown, **around, **may)
