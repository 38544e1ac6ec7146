"""Tests that no form, whoever sends it with whatever in its fields, ends in an error or writes for whom it may not."""

import os
import random
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from urllib.parse import urlencode

import pytest
from httpx2 import Response

from tests.fuzz.crawler import Form
from tests.fuzz.ground import AUDITOR, CHIEF, FITTER, NOBODY, Ground
from tests.fuzz.nonsense import NONSENSE
from tests.web.test_roles import FORMS, SIGN_IN

EVERYBODY = (NOBODY, FITTER, CHIEF, AUDITOR)
NOT_ALLOWED = (SIGN_IN, 403)
LONGEST_QUERY = 60_000  # the client sends no longer one
MOST_SHOTS = int(os.environ.get("WEARBOOK_TEST_SHOTS", "10000"))
OWN = {"/due/calendar"}  # what an auditor has of their own: the address of a calendar
JUNK = ("\u202e..\\x.csv", b"\x89PNG\r\n\x1a\n;;\xff\xfe\x00" * 50, "image/png")
URL_ENCODED = {"Content-Type": "application/x-www-form-urlencoded"}


@dataclass
class Seen:
    """What became of the shots: what must never be, and how many were entered."""

    faults: list[str] = field(default_factory=list)
    entered: int = 0


def may_enter(name: str, route: str) -> bool:
    """Whether somebody may enter anything by a form, as the table of roles says."""
    if route not in FORMS:
        return False
    return FORMS[route][2][EVERYBODY.index(name)] not in NOT_ALLOWED and (name in (FITTER, CHIEF) or route in OWN)


def shoot(ground: Ground, shots: Iterable[tuple[str, str, Form]]) -> Seen:
    """Send forms, each as somebody; note what must never be."""
    seen = Seen()
    for name, route, form in shots:
        answer, told = _sent(ground, name, form)
        if answer.status_code >= 500 or "Traceback" in answer.text:
            seen.faults.append(f"{answer.status_code}: {told}")
        if ground.has_entered():
            seen.entered += 1
            seen.faults += [] if may_enter(name, route) else [f"entered: {told}"]
    return seen


def _sent(ground: Ground, name: str, form: Form) -> tuple[Response, str]:
    """Send a form as somebody, with their own token; give the answer, and what was sent in words."""
    fields = {**form.fields, **({"csrf": ground.visitors[name].csrf} if "csrf" in form.fields else {})}
    encoded = urlencode(fields, errors="surrogatepass")
    what = {"params": encoded[:LONGEST_QUERY]} if form.method == "get" else {"content": encoded, "headers": URL_ENCODED}
    if form.files and form.method == "post":
        plain = {key: value.encode(errors="replace").decode() for key, value in fields.items()}
        what = {"data": plain, "files": dict.fromkeys(form.files, JUNK)}
    shown = {key: value[:40] for key, value in fields.items() if key != "csrf"}
    answer = ground.send(name, form.method.upper(), form.action, **what)
    return answer, f"{name}, {form.method} {form.action}, {shown!r:.600}"


def with_nonsense(form: Form, chance: random.Random, *names: str) -> Form:
    """The same form with nonsense in some of its fields."""
    return replace(form, fields={**form.fields, **{name: chance.choice(NONSENSE) for name in names}})


def test_walk_meets_the_forms_of_the_program(forms: list[tuple[str, Form]]) -> None:
    met = {route for route, form in forms if form.method == "post"}
    # Met by nobody who is signed in, only on the way of paper coming in, or sent by the tablet's script alone.
    elsewhere = {"/first-use", "/sign-in", "/overhauls/{overhaul_id}/safe-again",
                 "/machines/{tag}/paper/{job_id}/take", "/machines/{tag}/paper/{job_id}/stop"}  # fmt: skip
    by_script = {route for route in FORMS if route.startswith(("/tablet/", "/_fragments/"))}

    assert set(FORMS) - met - elsewhere - by_script == set()


def test_form_as_it_stands_is_written_for_nobody_who_may_not(ground: Ground, forms: list[tuple[str, Form]]) -> None:
    shots = [(name, route, form) for route, form in forms
             for name in EVERYBODY if name == CHIEF or not may_enter(name, route)]  # fmt: skip

    seen = shoot(ground, shots)

    assert seen.faults == []
    assert seen.entered >= 8


def test_form_with_nonsense_ends_in_no_error_and_is_written_for_nobody_who_may_not(
    ground: Ground, forms: list[tuple[str, Form]]
) -> None:
    chance = random.Random(31)
    shots = [(name, route, with_nonsense(form, chance, *names)) for route, form in forms for fields in [[*form.fields]]
             for name, names in ((CHIEF, fields), (chance.choice(EVERYBODY), [chance.choice(fields)]))
             ]  # fmt: skip

    seen = shoot(ground, shots)

    assert len(shots) > 100
    assert seen.faults == []
    assert seen.entered >= 3


@pytest.mark.long
def test_each_field_of_each_form_with_each_nonsense_ends_in_no_error(
    ground: Ground, forms: list[tuple[str, Form]]
) -> None:
    every = [(name, route, replace(form, fields={**form.fields, each: value})) for route, form in forms
             for each in form.fields for value in NONSENSE for name in (CHIEF, FITTER)]  # fmt: skip
    shots = random.Random(32).sample(every, min(MOST_SHOTS, len(every)))

    seen = shoot(ground, shots)

    print(f"{len(shots)} forms were sent; {seen.entered} were entered.")
    assert seen.faults == []
