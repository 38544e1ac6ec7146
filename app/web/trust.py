"""How a tablet comes to trust the server: the site's authority to take along, and what is missing without TLS."""

from fastapi import APIRouter, Response

from app.domain.errors import NotThere
from app.reports.drawings import qr_svg
from app.serving.certificate import Trust
from app.web.page import page
from app.web.visit import Visit, VisitNow

router = APIRouter()


@router.get("/trust")
def show(visit: VisitNow) -> Response:
    """Show the steps, to everybody: nothing here is secret."""
    return page(visit, "trust.html", trust=visit.request.app.state.trust)


@router.get("/trust/way-in.svg")
def show_code(visit: VisitNow) -> Response:
    """Draw the address of the plain page as a code that a tablet's camera reads."""
    return Response(qr_svg(_trust(visit).way_in), media_type="image/svg+xml")


@router.get("/trust/wearbook-authority.crt")
def take_authority(visit: VisitNow) -> Response:
    """Hand the authority's certificate out, in the form that tablets install."""
    return Response(_trust(visit).authority_pem, media_type="application/x-x509-ca-cert")


def _trust(visit: Visit) -> Trust:
    """Give what tablets are told; NotThere without TLS."""
    trust: Trust | None = visit.request.app.state.trust
    if trust is None:
        raise NotThere("This book is served without TLS, so there is no authority to trust.")
    return trust
