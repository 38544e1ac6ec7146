"""Tests of who may ask for what: every route, asked by nobody, a fitter, a chief engineer and an auditor."""

import pytest

from tests.builders import PASSWORD
from tests.house.routes import routes
from tests.web.visitor import Visitor

SIGN_IN = 401  # stands here for being sent to the sign-in page
READERS = (SIGN_IN, 200, 200, 200)
SENT_ON = (SIGN_IN, 303, 303, 303)
FITTERS = (SIGN_IN, 200, 200, 403)
CHIEFS = (SIGN_IN, 403, 200, 403)
ANYBODY = (200, 200, 200, 200)
# Each route: the address asked for, and what nobody, a fitter, a chief engineer and an auditor get. The machine is
# at boxing up, with a new set of rings to enter.
PAGES: dict[str, tuple[str, tuple[int, ...]]] = {
    "/": ("/", READERS),
    "/_fragments/overhauls/{overhaul_id}/verdict": (
        "/_fragments/overhauls/1/verdict?part=2.pin&characteristic=diameter&kind=size&value=21.9&id=a-tablet-made-it",
        FITTERS,
    ),
    "/elsewhere": ("/elsewhere", READERS),
    "/elsewhere/{number}/bundle.zip": ("/elsewhere/1/bundle.zip", (SIGN_IN, 404, 404, 404)),
    "/elsewhere/{number}/export.json": ("/elsewhere/1/export.json", (SIGN_IN, 404, 404, 404)),
    "/elsewhere/{number}/{path:path}": ("/elsewhere/1/", (SIGN_IN, 404, 404, 404)),
    "/entries": ("/entries", READERS),
    "/entries/{seq}": ("/entries/1", READERS),
    "/exports": ("/exports", READERS),
    "/exports/book.{form:export_form}": ("/exports/book.json", READERS),
    "/exports/schema.json": ("/exports/schema.json", READERS),
    "/exports/verify.py": ("/exports/verify.py", READERS),
    "/backups": ("/backups", READERS),
    "/first-use": ("/first-use", (SIGN_IN,) * 4),
    "/instruments": ("/instruments", READERS),
    "/instruments/{number}": ("/instruments/1", (SIGN_IN, 404, 404, 404)),
    "/healthz": ("/healthz", ANYBODY),
    "/drafts/new": ("/drafts/new", CHIEFS),
    "/drafts/template.csv": ("/drafts/template.csv", CHIEFS),
    "/drafts/template.xlsx": ("/drafts/template.xlsx", CHIEFS),
    "/drafts/{draft_id}": ("/drafts/1", CHIEFS),
    "/drafts/{draft_id}/file": ("/drafts/1/file", CHIEFS),
    "/drafts/{draft_id}/head": ("/drafts/1/head", CHIEFS),
    "/drafts/{draft_id}/instruments": ("/drafts/1/instruments", CHIEFS),
    "/drafts/{draft_id}/proving": ("/drafts/1/proving", CHIEFS),
    "/drafts/{draft_id}/renewed": ("/drafts/1/renewed", CHIEFS),
    "/drafts/{draft_id}/stages/{number}": ("/drafts/1/stages/2", CHIEFS),
    "/drafts/{draft_id}/stages/{number}/closing": ("/drafts/1/stages/2/closing", CHIEFS),
    "/drafts/{draft_id}/stages/{number}/parts/{key}": ("/drafts/1/stages/2/parts/ring", CHIEFS),
    "/drafts/{draft_id}/tasks": ("/drafts/1/tasks", CHIEFS),
    "/drafts/{draft_id}/tasks/{key}": ("/drafts/1/tasks/oil-level", CHIEFS),
    "/drafts/{draft_id}/text": ("/drafts/1/text", CHIEFS),
    "/drafts/{draft_id}/try": ("/drafts/1/try", CHIEFS),
    "/due": ("/due", READERS),
    "/due/calendar/{secret}.ics": ("/due/calendar/guessed.ics", (404,) * 4),
    "/hours": ("/hours", READERS),
    "/machines/new": ("/machines/new", CHIEFS),
    "/machines/{tag}": ("/machines/GA-1", READERS),
    "/machines/{tag}/export.{form:export_form}": ("/machines/GA-1/export.csv", READERS),
    "/machines/{tag}/history": ("/machines/GA-1/history?part=2.pin&characteristic=diameter", READERS),
    "/machines/{tag}/timeline": ("/machines/GA-1/timeline", READERS),
    "/machines/{tag}/readings": ("/machines/GA-1/readings?part=2.pin", READERS),
    "/machines/{tag}/readings.csv": ("/machines/GA-1/readings.csv", READERS),
    "/machines/{tag}/fault": ("/machines/GA-1/fault", FITTERS),
    "/machines/{tag}/runs": ("/machines/GA-1/runs", READERS),
    "/overhauls/{overhaul_id}/run": ("/overhauls/1/run", (SIGN_IN, 409, 409, 403)),
    "/runs/{run_id}": ("/runs/1", READERS),
    "/machines/{tag}/hours": ("/machines/GA-1/hours", READERS),
    "/site-rules": ("/site-rules", READERS),
    "/overhauls/{overhaul_id}/safe-again": ("/overhauls/1/safe-again", FITTERS),
    "/machines/{tag}/open": ("/machines/GA-1/open", (SIGN_IN, 303, 303, 403)),
    "/machines/{tag}/paper": ("/machines/GA-1/paper", CHIEFS),
    "/machines/{tag}/paper/template.{form:template_form}": ("/machines/GA-1/paper/template.csv", CHIEFS),
    "/machines/{tag}/paper/{job_id}": ("/machines/GA-1/paper/none", (SIGN_IN, 403, 404, 403)),
    "/machines/{tag}/service": ("/machines/GA-1/service", READERS),
    "/machines/{tag}/service/{key}": ("/machines/GA-1/service/oil-level", FITTERS),
    "/on-this-tablet": ("/on-this-tablet", ANYBODY),
    "/overhauls/{overhaul_id}": ("/overhauls/1", SENT_ON),
    "/overhauls/{overhaul_id}/amendments": ("/overhauls/1/amendments?reading=else", READERS),
    "/overhauls/{overhaul_id}/blank": ("/overhauls/1/blank", READERS),
    "/overhauls/{overhaul_id}/decide": ("/overhauls/1/decide", READERS),
    "/overhauls/{overhaul_id}/export.{form:export_form}": ("/overhauls/1/export.xlsx", READERS),
    "/overhauls/{overhaul_id}/fittings/{ref}": ("/overhauls/1/fittings/2.ring-set", FITTERS),
    "/overhauls/{overhaul_id}/gauged": ("/overhauls/1/gauged", READERS),
    "/overhauls/{overhaul_id}/photos/{ref}": ("/overhauls/1/photos/2.pin", READERS),
    "/photos/{digest}": ("/photos/of-nothing", (SIGN_IN, 404, 404, 404)),
    "/overhauls/{overhaul_id}/record": ("/overhauls/1/record", READERS),
    "/overhauls/{overhaul_id}/record.pdf": ("/overhauls/1/record.pdf", READERS),
    "/overhauls/{overhaul_id}/witness": ("/overhauls/1/witness", READERS),
    "/overhauls/{overhaul_id}/working": ("/overhauls/1/working", READERS),
    "/overhauls/{overhaul_id}/working/{ref}": ("/overhauls/1/working/2.pin", READERS),
    "/overhauls/{overhaul_id}/{base:gauging_round}": ("/overhauls/1/fit", SENT_ON),
    "/overhauls/{overhaul_id}/{base:gauging_round}/{ref}": ("/overhauls/1/gauge/2.pin", SENT_ON),
    "/overhauls/{overhaul_id}/{base:gauging_round}/{ref}/{characteristic}": ("/overhauls/1/fit/2.ring-1/seen", READERS),
    "/overhauls/{overhaul_id}/{name:step_list}": ("/overhauls/1/prove", READERS),
    "/parts-ahead": ("/parts-ahead", READERS),
    "/parts-ahead.csv": ("/parts-ahead.csv", READERS),
    "/people": ("/people", READERS),
    "/people/{person_id}": ("/people/3", (SIGN_IN, 403, 200, 403)),
    "/reads": ("/reads", (SIGN_IN, 403, 200, 200)),
    "/search": ("/search?q=ring", READERS),
    "/settings": ("/settings", READERS),
    "/sheets": ("/sheets", READERS),
    "/sheets/import": ("/sheets/import", CHIEFS),
    "/sheets/{name}/{revision}": ("/sheets/QM-GA/C", READERS),
    "/sheets/{name}/{revision}/file": ("/sheets/QM-GA/C/file", READERS),
    "/sign-in": ("/sign-in", ANYBODY),
    "/trust": ("/trust", ANYBODY),
    "/trust/way-in.svg": ("/trust/way-in.svg", (404,) * 4),
    "/trust/wearbook-authority.crt": ("/trust/wearbook-authority.crt", (404,) * 4),
    "/tablet/overhauls/{overhaul_id}/newest": ("/tablet/overhauls/1/newest", READERS),
    "/unlock": ("/unlock", (303,) * 4),
    "/verify": ("/verify", READERS),
    "/worker.js": ("/worker.js", ANYBODY),
}
GAUGED = {"meaning": "gauged", "password": PASSWORD}
READING = {"part": "2.pin", "characteristic": "diameter", "kind": "size", "value": "21.9", "id": "a-tablet-made-it"}
FORMS: dict[str, tuple[str, dict[str, str], tuple[int, ...]]] = {
    "/backups": ("/backups", {}, (SIGN_IN, 403, 303, 403)),
    "/elsewhere": ("/elsewhere", {}, (SIGN_IN, 403, 422, 403)),
    "/elsewhere/known": ("/elsewhere/known", {}, (SIGN_IN, 403, 422, 403)),
    "/first-use": ("/first-use", {"name": "X. Other", "password": PASSWORD, "again": PASSWORD}, (422,) * 4),
    "/instruments": ("/instruments", {}, (SIGN_IN, 403, 422, 403)),
    "/instruments/{number}": ("/instruments/1", {}, (SIGN_IN, 403, 404, 403)),
    "/_fragments/drafts/{draft_id}/stages/{number}": ("/_fragments/drafts/1/stages/2", {}, (SIGN_IN, 403, 200, 403)),
    "/_fragments/drafts/{draft_id}/stages/{number}/closing": (
        "/_fragments/drafts/1/stages/2/closing", {}, (SIGN_IN, 403, 200, 403),
    ),
    "/drafts/new": ("/drafts/new", {}, (SIGN_IN, 403, 422, 403)),
    "/drafts/{draft_id}/approve": ("/drafts/1/approve", {"version": "1"}, (SIGN_IN, 403, 422, 403)),
    "/drafts/{draft_id}/drop": ("/drafts/1/drop", {}, (SIGN_IN, 403, 422, 403)),
    "/drafts/{draft_id}/head": ("/drafts/1/head", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/instruments": ("/drafts/1/instruments", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/proving": ("/drafts/1/proving", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/renewed": ("/drafts/1/renewed", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/stages": ("/drafts/1/stages", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/stages/{number}": ("/drafts/1/stages/2", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/stages/{number}/closing": (
        "/drafts/1/stages/2/closing", {"version": "1"}, (SIGN_IN, 403, 303, 403),
    ),
    "/drafts/{draft_id}/tasks": ("/drafts/1/tasks", {"version": "1"}, (SIGN_IN, 403, 422, 403)),
    "/drafts/{draft_id}/tasks/{key}": ("/drafts/1/tasks/oil-level", {"version": "1"}, (SIGN_IN, 403, 303, 403)),
    "/drafts/{draft_id}/stages/{number}/parts/{key}": (
        "/drafts/1/stages/2/parts/ring", {"version": "1"}, (SIGN_IN, 403, 303, 403),
    ),
    "/drafts/{draft_id}/text": ("/drafts/1/text", {"version": "0"}, (SIGN_IN, 403, 409, 403)),
    "/machines/new": ("/machines/new", {}, (SIGN_IN, 403, 422, 403)),
    "/due/calendar": ("/due/calendar", {}, (SIGN_IN, 200, 200, 200)),
    "/hours/table": ("/hours/table", {}, (SIGN_IN, 422, 422, 403)),
    "/hours/tokens": ("/hours/tokens", {}, (SIGN_IN, 403, 422, 403)),
    "/hours/tokens/{token_id}/end": ("/hours/tokens/7/end", {}, (SIGN_IN, 403, 404, 403)),
    "/machines/{tag}/hours": ("/machines/GA-1/hours", {"hours": "2310"}, (SIGN_IN, 303, 303, 403)),
    "/machines/{tag}/hours/{reading_id}/strike": ("/machines/GA-1/hours/2/strike", {}, (SIGN_IN, 303, 303, 403)),
    "/machines/{tag}/open": ("/machines/GA-1/open", {"request_id": "another-one"}, (SIGN_IN, 303, 303, 403)),
    "/machines/{tag}/fault": ("/machines/GA-1/fault", {}, (SIGN_IN, 422, 422, 403)),
    "/machines/{tag}/paper": ("/machines/GA-1/paper", {"revision": "C"}, (SIGN_IN, 403, 422, 403)),
    "/machines/{tag}/paper/{job_id}/take": ("/machines/GA-1/paper/none/take", {}, (SIGN_IN, 403, 404, 403)),
    "/machines/{tag}/paper/{job_id}/stop": ("/machines/GA-1/paper/none/stop", {}, (SIGN_IN, 403, 404, 403)),
    "/overhauls/{overhaul_id}/run": ("/overhauls/1/run", {}, (SIGN_IN, 409, 409, 403)),
    "/overhauls/{overhaul_id}/amendments": ("/overhauls/1/amendments", {}, (SIGN_IN, 422, 422, 403)),
    "/overhauls/{overhaul_id}/amendments/{amendment_id}": ("/overhauls/1/amendments/7", {}, (SIGN_IN, 403, 422, 403)),
    "/overhauls/{overhaul_id}/witness": ("/overhauls/1/witness", {}, (SIGN_IN, 403, 422, 403)),
    "/sheets/{name}/{revision}/approval": ("/sheets/QM-GA/C/approval", {}, (SIGN_IN, 403, 422, 403)),
    "/site-rules/{kind}": ("/site-rules/line", {"line": ""}, (SIGN_IN, 403, 422, 403)),
    "/overhauls/{overhaul_id}/safe-again": ("/overhauls/1/safe-again", {}, (SIGN_IN, 303, 303, 403)),
    "/runs/{run_id}/baseline": ("/runs/1/baseline", {"reason": ""}, (SIGN_IN, 403, 422, 403)),
    "/machines/{tag}/service/{key}": (
        "/machines/GA-1/service/oil-level", {"request_id": "another-one"}, (SIGN_IN, 422, 422, 403),
    ),
    "/overhauls/{overhaul_id}/decisions": ("/overhauls/1/decisions", {"ref": "2.pin"}, (SIGN_IN, 403, 303, 403)),
    "/overhauls/{overhaul_id}/fittings/{ref}": (
        "/overhauls/1/fittings/2.ring-set", {"number": "QM-31-230"}, (SIGN_IN, 303, 303, 403),
    ),
    "/overhauls/{overhaul_id}/photos": (
        "/overhauls/1/photos", {"id": "a-tablet-made-it", "part": "2.pin"}, (SIGN_IN, 422, 422, 403),
    ),
    "/overhauls/{overhaul_id}/photos/{ref}": (
        "/overhauls/1/photos/2.pin", {"photo_id": "nothing"}, (SIGN_IN, 404, 404, 403),
    ),
    "/overhauls/{overhaul_id}/readings": ("/overhauls/1/readings", READING, (SIGN_IN, 409, 409, 403)),
    "/overhauls/{overhaul_id}/signatures": ("/overhauls/1/signatures", GAUGED, (SIGN_IN, 303, 303, 403)),
    "/overhauls/{overhaul_id}/{name:step_list}": ("/overhauls/1/box-up", {"step": "pieces"}, (SIGN_IN, 303, 303, 403)),
    "/parts-ahead/stock": ("/parts-ahead/stock", {}, (SIGN_IN, 422, 422, 403)),
    "/people": ("/people", {"password": "x"}, (SIGN_IN, 403, 422, 403)),
    "/people/{person_id}/keep-out": ("/people/3/keep-out", {}, (SIGN_IN, 403, 303, 403)),
    "/people/{person_id}/password": ("/people/3/password", {"proof": "x"}, (SIGN_IN, 403, 422, 403)),
    "/people/{person_id}/sign-ins": ("/people/3/sign-ins", {}, (SIGN_IN, 403, 303, 403)),
    "/people/{person_id}/tablets": ("/people/1/tablets", {"pin_secret": "x"}, (SIGN_IN, 422, 403, 403)),
    "/people/{person_id}/tablets/{tablet_id}/end": ("/people/1/tablets/7/end", {}, (SIGN_IN, 404, 404, 403)),
    "/people/{person_id}/let-in": ("/people/3/let-in", {}, (SIGN_IN, 403, 303, 403)),
    "/settings": ("/settings", {"text": "large"}, (SIGN_IN, 303, 303, 303)),
    "/sheets/import": ("/sheets/import", {}, (SIGN_IN, 403, 422, 403)),
    "/sign-in": ("/sign-in", {}, (422,) * 4),
    "/tablet/overhauls/{overhaul_id:int}/readings": ("/tablet/overhauls/1/readings", READING, (401, 409, 409, 409)),
    "/tablet/overhauls/{overhaul_id}/photos": (
        "/tablet/overhauls/1/photos", {"id": "a-tablet-made-it", "part": "2.pin"}, (401, 409, 409, 409),
    ),
    "/sign-out": ("/sign-out", {}, (SIGN_IN,) * 4),
    "/unlock": ("/unlock", {"unlock_password": PASSWORD}, (SIGN_IN, 303, 303, 303)),
}  # fmt: skip

# What programs call: a token lets them in, and no page's form or sign-in does.
CALLS = {"/api/machines/{tag}/hours": "/api/machines/GA-1/hours"}


def seen(answer_status: int, location: str) -> int:
    """The status of an answer, being sent to the sign-in page told apart from being sent on."""
    return SIGN_IN if answer_status == 303 and location.startswith("/sign-in") else answer_status


def test_every_route_of_the_program_stands_in_the_tables() -> None:
    listed = [f"GET {route}" for route in PAGES] + [f"POST {route}" for route in (*FORMS, *CALLS)]

    assert sorted(listed) == sorted(routes())


def test_every_page_is_shown_to_those_who_may_read_it_and_to_nobody_else(everybody: tuple[Visitor, ...]) -> None:
    got = {}

    for route, (path, _) in PAGES.items():
        answers = [visitor.client.get(path) for visitor in everybody]
        got[route] = tuple(seen(answer.status_code, answer.headers.get("location", "")) for answer in answers)
        assert not any("Traceback" in answer.text for answer in answers)

    assert got == {route: expected for route, (_, expected) in PAGES.items()}


@pytest.mark.parametrize("route", FORMS)
def test_form_is_taken_from_those_who_may_send_it_and_from_nobody_else(
    everybody: tuple[Visitor, ...], route: str
) -> None:
    path, form, expected = FORMS[route]

    answers = [visitor.client.post(path, data={"csrf": visitor.csrf, **form}) for visitor in everybody]

    assert tuple(seen(answer.status_code, answer.headers.get("location", "")) for answer in answers) == expected
    assert not any("Traceback" in answer.text for answer in answers)


@pytest.mark.parametrize("route", CALLS)
def test_call_of_a_program_is_taken_from_nobody_who_is_merely_signed_in(
    everybody: tuple[Visitor, ...], route: str
) -> None:
    answers = [visitor.client.post(CALLS[route], json={"hours": 2310}) for visitor in everybody]

    assert [answer.status_code for answer in answers] == [401] * 4


def test_no_form_is_taken_from_anybody_without_its_token(everybody: tuple[Visitor, ...]) -> None:
    _, _, chief, _ = everybody
    before = chief.get("/exports/book.json").json()

    taken = {
        route: statuses
        for route, (path, form, _) in FORMS.items()
        if (statuses := [visitor.client.post(path, data=form).status_code for visitor in everybody]) != [403] * 4
    }

    assert taken == {}
    assert chief.get("/exports/book.json").json()["entries"] == before["entries"]


@pytest.mark.parametrize(
    ("meaning", "expected"),
    [
        ("decided", (SIGN_IN, 403, 303, 403)),
        ("returned to service, fitter", (SIGN_IN, 303, 303, 403)),
        ("returned to service, chief engineer", (SIGN_IN, 403, 303, 403)),
        ("anything", (SIGN_IN, 404, 404, 404)),
    ],
)
def test_each_signature_is_asked_of_its_own_role(
    everybody: tuple[Visitor, ...], meaning: str, expected: tuple[int, ...]
) -> None:
    form = {"meaning": meaning, "password": PASSWORD}

    answers = [v.client.post("/overhauls/1/signatures", data={"csrf": v.csrf, **form}) for v in everybody]

    assert tuple(seen(answer.status_code, answer.headers.get("location", "")) for answer in answers) == expected
