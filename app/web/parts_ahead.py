"""Ahead of the openings: the parts likely to be needed, the list to order, and the count of what is on hand."""

from fastapi import APIRouter, Response

from app.actions.machines import machine_tags
from app.actions.parts_ahead import count_stock, look_at_parts
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.reports.order_list import order_csv
from app.web.downloads import download
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()
CSV = "text/csv; charset=utf-8"
MONTHS = "12"


@router.get("/parts-ahead")
def show(visit: VisitNow, machine: str = "", months: str = MONTHS) -> Response:
    """Show what the openings ahead are likely to need."""
    visit.person.must(Right.READ)
    return _page(visit, machine, {"months": months})


@router.get("/parts-ahead.csv")
def give_list(visit: VisitNow, machine: str = "", months: str = MONTHS) -> Response:
    """Give the list to order as a table."""
    visit.person.must(Right.READ)
    ahead = look_at_parts(visit.book, machine, months, visit.zone, visit.now, is_whole=True)
    name = f"to-order-{machine or 'all'}-{ahead.today.isoformat()}.csv"
    return download(name, CSV, [order_csv(ahead.lines)])


@router.post("/parts-ahead/stock")
def count(visit: VisitNow, form: Form) -> Response:
    """Keep a count of a part number."""
    try:
        count_stock(visit.book, visit.person, texts(form), visit.now)
    except InputRefused as refusal:
        return _page(visit, "", {"months": MONTHS} | texts(form), refusal.fields)
    return go(visit, "/parts-ahead?done=stock")


def _page(visit: Visit, machine: str, typed: dict[str, str], errors: dict[str, str] | None = None) -> Response:
    """Show the page; a window that cannot be read comes back beside its field, over the usual one."""
    errors, months = dict(errors or {}), typed["months"]
    try:
        ahead = look_at_parts(visit.book, machine, months, visit.zone, visit.now)
    except InputRefused as refusal:
        errors |= refusal.fields
        months = MONTHS
        ahead = look_at_parts(visit.book, machine, months, visit.zone, visit.now)
    tags = [("", "All machines"), *((tag, tag) for tag in machine_tags(visit.book))]
    shown = {"ahead": ahead, "machine": machine, "months": months, "tags": tags, "typed": typed, "errors": errors}
    may_count = visit.person.may(Right.COUNT_STOCK)
    return page(visit, "parts_ahead/page.html", 422 if errors else 200, may_count=may_count, **shown)
