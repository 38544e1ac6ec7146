"""Refusals in words: each reason has its status, and no page ever shows a traceback."""

import logging
import re
from urllib.parse import quote

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from app.domain.errors import InputRefused, NotAllowed, NotThere, NotYet, Sealed, WearbookError
from app.reports.pdf import NotSet
from app.store.book import Damaged, OutOfReach
from app.store.wholeness import say_damaged
from app.web.guards import NEVER_KEPT, OURS, TooLarge
from app.web.page import environment, go, page
from app.web.unlock import answer_locked
from app.web.visit import Locked, SignInNeeded, StrangeForm, begin_visit

LOG = logging.getLogger("wearbook")
SECRET_IN_PATH = re.compile("(?<=^/due/calendar/).+")  # a log shows no address that lets somebody in
OUT_OF_REACH = "The book is out of reach"
STATUS: dict[type[WearbookError], tuple[int, str]] = {
    NotThere: (404, "Not in the book"),
    StrangeForm: (403, "This page is old"),
    NotAllowed: (403, "Not for this role"),
    Sealed: (409, "Signed and read-only"),
    NotYet: (409, "Something comes first"),
    InputRefused: (422, "Not kept"),
    NotSet: (503, "No PDF now"),
    OutOfReach: (503, OUT_OF_REACH),
}


def answer_refusals(app: FastAPI) -> None:
    """Answer every refusal with a page of its own."""
    app.add_exception_handler(WearbookError, _refused)
    app.add_exception_handler(SignInNeeded, _sign_in_first)
    app.add_exception_handler(Locked, answer_locked)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _no_such_page)
    app.add_exception_handler(OverflowError, _no_such_number)
    app.add_exception_handler(TooLarge, _too_large)
    app.add_exception_handler(ClientDisconnect, _gone)
    app.add_exception_handler(Exception, _unforeseen)


def _say(request: Request, status: int, title: str, words: str) -> Response:
    """Show a refusal; where not even who asks can be read, without anything of the book."""
    try:
        return page(begin_visit(request), "refusal.html", status, heading=title, words=words)
    except OutOfReach as reason:
        said = environment().get_template("out_of_reach.html").render(heading=OUT_OF_REACH, words=str(reason))
        return HTMLResponse(said, 503, {"retry-after": "5"})


def _refused(request: Request, error: Exception) -> Response:
    """Answer a refusal of the trade."""
    kinds = [kind for kind in type(error).__mro__ if kind in STATUS]
    status, title = STATUS[kinds[0]] if kinds else (503, "Not stored")
    if isinstance(error, Damaged):
        say_damaged(request.app.state.book, str(error))
    if status == 403:
        _log_refusal(request, error)
    return _say(request, status, title, str(error))


def _log_refusal(request: Request, error: Exception) -> None:
    """Log who tried what their role or their page does not allow."""
    person = begin_visit(request).signed_in
    who, where = person.name if person else "nobody signed in", request.client.host if request.client else "itself"
    LOG.warning("refused: %s %s, %s from %s: %s", request.method, request.url.path, who, where, type(error).__name__)


def _sign_in_first(request: Request, error: Exception) -> Response:
    """Send to the sign-in page, and after it back to the page asked for."""
    visit = begin_visit(request)
    wanted = request.url.path if request.method == "GET" else ""
    asked = f"{wanted}?{request.url.query}" if request.url.query else wanted
    return go(visit, f"/sign-in?then={quote(asked, safe='/')}" if wanted not in ("", "/") else "/sign-in")


def _http(request: Request, error: Exception) -> Response:
    """Answer what the framework refuses."""
    status = error.status_code if isinstance(error, HTTPException) else 500
    words = {404: "There is no such page.", 405: "This page is not asked for in this way."}
    return _say(request, status, words.get(status, "This cannot be read."), "Go back, or to the machines.")


def _no_such_page(request: Request, error: Exception) -> Response:
    """Answer an address whose numbers are none."""
    return _say(request, 404, "There is no such page.", "Go back, or to the machines.")


def _no_such_number(request: Request, error: Exception) -> Response:
    """Answer an address whose number is larger than any that the book can hold."""
    LOG.warning("too large a number at %s %s", request.method, request.url.path, exc_info=error)
    return _no_such_page(request, error)


def _too_large(request: Request, error: Exception) -> Response:
    """Answer a request that is larger than any page sends."""
    words = "More was sent than any page of this book sends. Nothing was stored. A large table comes in in parts."
    return _say(request, 413, "Too large", words)


def _gone(request: Request, error: Exception) -> Response:
    """Answer nobody: the network was cut while a request came in, so nothing of it was read or stored."""
    return Response(status_code=400)


def _unforeseen(request: Request, error: Exception) -> Response:
    """Answer what nobody foresaw: logged in full, shown without detail."""
    path = SECRET_IN_PATH.sub("...", request.url.path)
    LOG.error("unforeseen at %s %s", request.method, path, exc_info=error)
    words = "Nothing of this step was stored. The server's log says why."
    answer = _say(request, 500, "Something went wrong here", words)
    answer.raw_headers.extend([*OURS.items(), NEVER_KEPT])  # It is made outside the guards.
    return answer
