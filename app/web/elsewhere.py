"""Records of other books: bundles are brought in, and what is in them is read as it came."""

from urllib.parse import quote

from fastapi import APIRouter, Response
from starlette.datastructures import UploadFile

from app.actions.elsewhere import (
    Brought,
    bring_in,
    bundle_file,
    bundle_named,
    bundles,
    export_in,
    key_of_bundle,
    keys_of_bundles,
)
from app.actions.known_sites import key_words, known_sites, mark_site
from app.domain.errors import InputRefused, NotThere
from app.domain.people import Right
from app.web.downloads import download, in_pieces
from app.web.elsewhere_pages import Elsewhere, is_shown, still
from app.web.moments import as_told
from app.web.page import go, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/elsewhere")
def show(visit: VisitNow) -> Response:
    """Show what was brought in, by the site it comes from."""
    visit.person.must(Right.READ)
    return _shown(visit)


@router.post("/elsewhere")
def take(visit: VisitNow, form: Form) -> Response:
    """Bring a bundle in, and say what became of each of its records."""
    visit.person.must(Right.BRING_IN)
    file = form.get("file")
    content = file.file.read() if isinstance(file, UploadFile) else b""
    try:
        if not content:
            raise InputRefused({"file": "Choose the bundle: the .zip that the other book exported."})
        return _shown(visit, brought=bring_in(visit.book, visit.person, content, visit.now))
    except InputRefused as refusal:
        return _shown(visit, 422, refusal.fields)


@router.post("/elsewhere/known")
def mark(visit: VisitNow, form: Form) -> Response:
    """Mark the key of another site as known, or as no longer known."""
    typed = texts(form)
    try:
        mark_site(visit.book, visit.person, typed, visit.now)
    except InputRefused as refusal:
        return _shown(visit, 422, refusal.fields, typed=typed)
    return go(visit, "/elsewhere?done=site-marked#known")


@router.get("/elsewhere/{number}/export.json")
def send_export(visit: VisitNow, number: int) -> Response:
    """Send the JSON of a bundle, to the letter as it came."""
    visit.person.must(Right.READ)
    found, content = bundle_file(visit.book, number)
    return download(f"{found.site}-{number}.json", "application/json", in_pieces(export_in(content)))


@router.get("/elsewhere/{number}/bundle.zip")
def send_bundle(visit: VisitNow, number: int) -> Response:
    """Send a bundle as it came."""
    visit.person.must(Right.READ)
    found, content = bundle_file(visit.book, number)
    return download(f"{found.site}-{number}.zip", "application/zip", in_pieces(content))


@router.get("/elsewhere/{number}/{path:path}")
def show_page(visit: VisitNow, number: int, path: str) -> Response:
    """Show a page of a book from elsewhere, without anything that could change."""
    visit.person.must(Right.READ)
    found, address = bundle_named(visit.book, number), f"/{path}"
    if not is_shown(address):
        raise NotThere("This page is not shown of a book from elsewhere.")
    held: Elsewhere = visit.request.app.state.elsewhere
    query = visit.request.url.query
    answer = held.ask(found.digest, lambda: bundle_file(visit.book, number)[1], quote(address), query)
    if answer.status != 200:
        raise NotThere("There is no such page in this bundle.")
    content, zone = answer.content, visit.settings.site_zone
    key = key_words(key_of_bundle(visit.book, number, found.digest), known_sites(visit.book))
    shown = still(content.decode(), number, found, zone, key) if answer.is_page else content
    return Response(shown, media_type=answer.kind)


def _shown(
    visit: Visit,
    status: int = 200,
    errors: dict[str, str] | None = None,
    brought: Brought | None = None,
    typed: dict[str, str] | None = None,
) -> Response:
    """Show the page."""
    given = {"listed": bundles(visit.book), "may_bring_in": visit.person.may(Right.BRING_IN), "brought": brought}
    known = known_sites(visit.book)
    given |= {"keys": keys_of_bundles(visit.book), "known": known, "key_words": lambda key: key_words(key, known)}
    return page(
        visit, "elsewhere/elsewhere.html", status, errors=errors or {}, typed=typed or {}, as_told=as_told, **given
    )
