"""The approval of a limit sheet, signed on the page of the revision."""

from urllib.parse import quote

from fastapi import APIRouter, Response
from starlette.datastructures import FormData, UploadFile

from app.actions.pictures import MOST_BYTES
from app.actions.sheet_approvals import approve_sheet
from app.domain.errors import InputRefused, Sealed
from app.web.page import go
from app.web.sheets import sheet_page
from app.web.visit import Form, VisitNow, one

router = APIRouter()


@router.post("/sheets/{name}/{revision}/approval")
def approve(visit: VisitNow, name: str, revision: str, form: Form) -> Response:
    """Approve a revision."""
    page = page_sent(form)
    try:
        approve_sheet(visit.book, visit.person, (name, revision), one(form, "password"), page, visit.now)
    except InputRefused as refusal:
        return sheet_page(visit, name, revision, with_page_again(refusal.fields, page))
    except Sealed:
        return go(visit, f"/sheets/{quote(name)}/{quote(revision)}?done=stands#approval")
    return go(visit, f"/sheets/{quote(name)}/{quote(revision)}?done=sheet-signed")


def with_page_again(refused: dict[str, str], page: tuple[str, bytes]) -> dict[str, str]:
    """Ask for a picture again that came with a refused form, since no browser gives a file back by itself."""
    return {"photo": f"Choose {page[0][:60]} again; nothing was kept of it."} | refused if page[1] else refused


def page_sent(form: FormData) -> tuple[str, bytes]:
    """Read the picture that was sent; one byte too many tells that it is too large."""
    upload = form.get("photo")
    if not isinstance(upload, UploadFile) or not upload.size:
        return "", b""
    with upload.file:
        return upload.filename or "", upload.file.read(MOST_BYTES + 1)
