"""What a tablet holds by itself: entries it sends from its own queue, and the page that lists them."""

from collections.abc import Callable, Coroutine
from datetime import UTC, datetime
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse
from fastapi.routing import APIRoute
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from app.actions.gauging import entries_so_far
from app.domain.errors import InputRefused, NotAllowed, NotThere, NotYet, Sealed
from app.domain.people import Right
from app.web.gauging import keep
from app.web.page import page
from app.web.photos import keep_photo
from app.web.sent_entries import Sent
from app.web.static_files import answer_with
from app.web.visit import Form, Locked, SignInNeeded, Visit, VisitNow, begin_visit, one, posted

router = APIRouter()


class PlainRoute(APIRoute):
    """A route that every tap of every tablet comes by: there is nothing in it that has to be worked out."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """Give what answers a request."""

        async def answer(request: Request) -> Response:
            answered: Response = await self.endpoint(request, **request.path_params)
            return answered

        return answer


plain = APIRouter(route_class=PlainRoute)
KEPT_STATUS = 303
Keep = Callable[[Visit, int, FormData], Response]


@router.get("/on-this-tablet")
def show_tablet(visit: VisitNow) -> Response:
    """Show what is kept on this tablet; only the tablet itself knows, so nobody has to be signed in."""
    return page(visit, "tablet/on_this_tablet.html")


@router.get("/tablet/overhauls/{overhaul_id}/newest")
def show_newest(visit: VisitNow, overhaul_id: int) -> Response:
    """Say how many entries an overhaul holds, so that an open page knows when another tablet has added one."""
    visit.person.must(Right.READ)
    return JSONResponse({"count": entries_so_far(visit.book, overhaul_id)})


@router.get("/worker.js")
def give_worker(request: Request) -> Response:
    """Give the service worker; it stands at the root, since a worker answers only for what lies below it."""
    return answer_with("js/worker.js", request.headers)


@plain.post("/tablet/overhauls/{overhaul_id:int}/readings")
async def keep_from_tablet(request: Request, overhaul_id: int) -> Response:
    """Keep one entry of a tablet's queue, and say in a form its script reads whether the book holds it now.

    Entries that arrive while others are being kept are kept in one transaction; what is not kept there is asked for
    by itself, so that its answer says why.
    """
    async with posted(request) as form:
        kept_at = await request.app.state.entries.ask(Sent(request, overhaul_id, form, datetime.now(UTC)))
        if kept_at is not None:
            return JSONResponse({"state": "kept", "next": kept_at})
        return await run_in_threadpool(_keep_alone, request, overhaul_id, form)


@router.post("/tablet/overhauls/{overhaul_id}/photos")
def keep_photo_from_tablet(visit: VisitNow, overhaul_id: int, form: Form) -> Response:
    """Keep one photo of a tablet's queue, and say as of an entry whether the book holds it now."""
    return _take(visit, overhaul_id, form, keep_photo)


def _keep_alone(request: Request, overhaul_id: int, form: FormData) -> Response:
    """Keep an entry by itself."""
    return _take(begin_visit(request), overhaul_id, form, keep)


def _take(visit: Visit, overhaul_id: int, form: FormData, keep_it: Keep) -> Response:
    """Keep what a tablet sends as its page would be kept, and put the answer into what a script reads."""
    if not _is_maker(visit, form):
        return JSONResponse({"state": "another"}, 409)
    try:
        answer = keep_it(visit, overhaul_id, form)
    except (SignInNeeded, Locked) as needed:
        return JSONResponse({"state": "sign-in", "at": "/unlock" if isinstance(needed, Locked) else "/sign-in"}, 401)
    except (InputRefused, NotAllowed, NotThere, NotYet, Sealed) as refusal:
        return JSONResponse({"state": "refused", "reason": str(refusal), "page": ""}, 409)
    if answer.status_code == KEPT_STATUS:
        return JSONResponse({"state": "kept", "next": answer.headers["location"]})
    return JSONResponse({"state": "refused", "reason": "", "page": bytes(answer.body).decode()}, 422)


def _is_maker(visit: Visit, form: FormData) -> bool:
    """Whether the entry was made by whoever is signed in; nobody takes over what another measured."""
    return visit.signed_in is None or one(form, "maker") == str(visit.signed_in.id)


router.routes.extend(plain.routes)
