"""Backups: everybody reads which there are, a chief engineer takes one."""

from fastapi import APIRouter, Depends, Response

from app.actions.backups import back_up_now, put_back
from app.domain.people import Right
from app.store.backup import BackupFailed
from app.store.wholeness import damage_of
from app.web.page import go, page
from app.web.visit import Visit, VisitNow, read_form

router = APIRouter()


@router.get("/backups")
def show(visit: VisitNow) -> Response:
    """Show the backups."""
    visit.person.must(Right.READ)
    return _shown(visit, 200)


@router.post("/backups", dependencies=[Depends(read_form)])
def take(visit: VisitNow) -> Response:
    """Take one now."""
    try:
        back_up_now(visit.backups, visit.person, visit.now)
    except BackupFailed:
        return _shown(visit, 503)
    return go(visit, "/backups?done=backup")


def _shown(visit: Visit, status: int) -> Response:
    """Show the page."""
    backups = visit.backups
    shown = {"listed": backups.listed()[:60], "folder": backups.folder, "hours": backups.every.total_seconds() / 3600}
    shown["put_back"] = put_back(visit.book)
    shown["beyond"] = backups.beyond_newest() if damage_of(visit.book) else 0
    may = visit.person.may(Right.BACK_UP)
    return page(visit, "backups/backups.html", status, may_back_up=may, trouble=backups.trouble(), **shown)
