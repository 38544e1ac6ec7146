"""Pages: the templates, the words they may use, and the answer they become."""

from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from fastapi import Response
from fastapi.responses import HTMLResponse, RedirectResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape

from app.actions.clock import clock_trouble
from app.actions.tablets import has_pin
from app.domain.days import date_words
from app.domain.preferences import Light
from app.store.wholeness import damage_of
from app.web.cookies import TABLET_COOKIE, VISIT_COOKIE, is_encrypted, put_cookie
from app.web.moments import in_zone
from app.web.static_files import asset
from app.web.visit import Visit

ROOT = Path(__file__).resolve().parents[2]
SPACE = "\u00a0"
TEN_YEARS_S = 315_360_000
ITSELF = ("127.0.0.1", "::1", "localhost")  # what is sent to these never leaves the machine
ROOM_COOKIE = "room"  # the light; the script of the lamp sets it too
# What a page says at its foot after a change; an address names only the key, so that no one can write words there.
NOTICES = {
    "signed-gauged": "Signed: gauged. The chief engineer decides next.",
    "signed-decided": "Signed: decided. Readings, verdicts and decisions are read-only now.",
    "signed-returned": "Signed: returned to service.",
    "site-marked": "The mark of the key is kept. What it says of bundles follows from it at once.",
    "amended": "Proposed. It counts once another chief engineer has signed it.",
    "amendment-answered": "Answered. The record as signed stays beside it.",
    "stands": "Nothing was changed: this page says what stands already, and by whom.",
    "open-already": "The machine is open already; nothing more was opened.",
    "not-signed": "Not signed: what comes before the signature is on this page.",
    "witnessed": "The witness stands on the record.",
    "hours": "Operating hours recorded.",
    "struck": "Struck. The reading stays legible and counts no longer.",
    "service": "Recorded. Its next due is worked out anew.",
    "token-ended": "Ended. Calls with this token are refused from now on.",
    "stock": "Count kept.",
    "sheet": "Limit sheet imported.",
    "sheet-signed": "Approved: your signature stands under this revision.",
    "sheet-approved": "Approved and signed. Now the machine that it is for.",
    "draft": "Kept in the draft.",
    "draft-faulty": "Kept. What is marked below is not as expected yet.",
    "draft-begun": "Laid out as a draft. Nothing is in force yet.",
    "draft-dropped": "Draft thrown away.",
    "person": "Person added.",
    "backup": "Backed up, and the copy verified.",
    "calibrated": "Calibration entered.",
    "ended": "Sign-in ended.",
    "password": "Password changed. Every other sign-in with the old one has ended, and every PIN.",
    "tablet": "Your PIN opens this tablet after a pause.",
    "tablet-ended": "Ended. The PIN opens nothing there any more.",
    "decision": "Your decision is on the sheet.",
    "settings": "Your settings are kept.",
}
ROLE_WORDS = {"fitter": "fitter", "chief engineer": "chief engineer", "auditor": "auditor, reads only"}


@cache
def environment() -> Environment:
    """The template environment: strict, escaping, with the filters that write the trade's figures."""
    templates = Environment(
        loader=FileSystemLoader(ROOT / "templates"),
        undefined=StrictUndefined,
        auto_reload=False,  # A newer version that is put in the same place takes no page of the running one along.
        autoescape=select_autoescape(),
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["hours"] = hours
    templates.filters["date_words"] = date_words
    templates.globals["asset"] = asset
    return templates


def hours(value: Decimal | int | None) -> str:
    r"""Write operating hours: 10 300 h.

    >>> hours(Decimal("10300")), hours(4537)
    ('10\xa0300\xa0h', '4\xa0537\xa0h')
    """
    if value is None:
        return "—"
    return f"{Decimal(value):,f}".replace(",", SPACE) + f"{SPACE}h"


class Fields(dict[str, Any]):
    """Words by field; a field without any has the empty text, so that a form shows them without asking first."""

    def __missing__(self, name: str) -> str:
        """Give the empty text."""
        return ""


def page(visit: Visit, template: str, status: int = 200, **context: object) -> Response:
    """Render a page for this visit."""
    day, time = in_zone(visit.settings.site_zone)
    person = visit.signed_in
    context |= {name: Fields(words) for name in ("errors", "typed") if isinstance(words := context.get(name), dict)}
    shown = None
    if person is not None:
        shown = {
            "name": person.name,
            "role": person.role.value,
            "role_word": ROLE_WORDS[person.role.value],
            "id": person.id,
        }
    html = (
        environment()
        .get_template(template)
        .render(
            room="engine" if visit.request.cookies.get(ROOM_COOKIE) == Light.ENGINE else "day",
            text_size=visit.preferences.text.value,
            key_size=visit.preferences.keys.value,
            hand=visit.preferences.hand.value,
            person=shown,
            by_pin=has_pin(visit.book, who, visit.tablet) if (who := visit.signed_in or visit.locked) else False,
            csrf=visit.csrf,
            notice=NOTICES.get(visit.request.query_params.get("done", ""), ""),
            book_kind="Demonstration, invented data" if visit.settings.is_demonstration else "",
            insecure=not is_encrypted(visit.request) and visit.request.url.hostname not in ITSELF,
            idle_minutes=visit.settings.idle_minutes,
            damage=damage_of(visit.book),
            backup_trouble=visit.backups.trouble(),
            clock_trouble=clock_trouble(visit.book, visit.now, visit.settings.site_zone),
            day=day,
            time=time,
            zone=visit.settings.site_zone,
            **context,
        )
    )
    return with_visitor(visit, HTMLResponse(html, status_code=status))


def go(visit: Visit, url: str) -> Response:
    """Send the browser on after a change, so that going back or loading again changes nothing twice."""
    return with_visitor(visit, RedirectResponse(url, status_code=303))


def with_light(response: Response, light: Light) -> Response:
    """Let the browser show the light that a person chose; as the device has it, where they leave it to that."""
    if light is Light.DEVICE:
        response.delete_cookie(ROOM_COOKIE, samesite="lax")
    else:
        response.set_cookie(ROOM_COOKIE, light.value, max_age=TEN_YEARS_S, samesite="lax")
    return response


def with_tablet(visit: Visit, response: Response, secret: str = "") -> Response:
    """Mark the browser as an enrolled tablet, or for longer where it is one."""
    if secret := secret or visit.tablet:
        put_cookie(visit.request, response, TABLET_COOKIE, secret, TEN_YEARS_S)
    return response


def with_visitor(visit: Visit, response: Response) -> Response:
    """Mark the browser, so that its forms can be told from foreign ones."""
    if visit.fresh:
        put_cookie(visit.request, response, VISIT_COOKIE, visit.visitor, TEN_YEARS_S)
    return response
