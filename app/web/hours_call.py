"""The call by which a plant system sends the hours of a machine: JSON in, JSON out, a token in the header."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import JSONResponse

from app.actions.meter import HoursAsked
from app.actions.meter_call import call_hours
from app.actions.tokens import find_meter_token, secret_digest
from app.domain.errors import InputRefused, NotAllowed, NotThere
from app.web.call_rate import CallRate
from app.web.visit import VisitNow

router = APIRouter()
BEARER = "bearer "
MOST_BYTES = 4096


async def read_body(request: Request) -> bytes:
    """Read the body of a call."""
    return await request.body()


@router.post("/api/machines/{tag}/hours")
def take(visit: VisitNow, tag: str, body: Annotated[bytes, Depends(read_body)]) -> Response:
    """Take a meter reading from a program."""
    rate: CallRate = visit.request.app.state.call_rate
    secret = _secret(visit.request)
    token = find_meter_token(visit.book, secret) if secret else None
    wait_s = rate.wait_s(secret_digest(secret) if token else _address(visit.request))
    if wait_s:
        words = {"error": f"Too many calls. Wait {wait_s} s."}
        return JSONResponse(words, 429, headers={"retry-after": str(wait_s)})
    if token is None:
        return JSONResponse({"error": "No token in use came with this call."}, 401, {"www-authenticate": "Bearer"})
    try:
        called = call_hours(visit.book, token, tag, body[:MOST_BYTES], visit.zone, visit.now)
    except (InputRefused, NotAllowed, NotThere) as refusal:
        return _refused(refusal)
    return JSONResponse({"operating_hours": str(called.hours), "is_new": called.is_new}, 201 if called.is_new else 200)


def _refused(refusal: InputRefused | NotAllowed | NotThere) -> Response:
    """Answer what is not kept: asked about, wrong, of another machine, or of none."""
    if isinstance(refusal, HoursAsked):
        return JSONResponse({"question": refusal.question.words, "doubt": refusal.question.doubt.value}, 409)
    if isinstance(refusal, InputRefused):
        return JSONResponse({"errors": refusal.fields}, 422)
    return JSONResponse({"error": str(refusal)}, 403 if isinstance(refusal, NotAllowed) else 404)


def _secret(request: Request) -> str:
    """Give the secret of the header, or nothing."""
    header = request.headers.get("authorization", "")
    return header[len(BEARER) :].strip() if header.lower().startswith(BEARER) else ""


def _address(request: Request) -> str:
    """Give the address a call without a token comes from."""
    return request.client.host if request.client else ""
