"""Lines of OWASP ASVS 5.0, levels 1 and 2, that apply to a book on a site's own network.

The numbers are quoted from memory of version 5.0.0; where they should differ, the words beside them are what is tested.
Lines that other tests hold: 3.5.1 and 8.2.1, tokens and roles on every route (test_roles.py); 5.2.1, sizes of what is
sent (test_guards.py); 1.2.1, escaping (test_bad_input.py, and the strict templates); 6.2.9 and 6.2.8, long passwords
taken whole (test_sign_ins.py); 7.3.1 and 7.3.2, idle and longest time (tests/domain/test_sign_ins.py, test_unlock.py).
"""

import re

import pytest

from app.actions.people import token_digest
from app.store.book import Book
from tests.builders import PASSWORD, a_person, an_app
from tests.house.routes import routes
from tests.web.forms import form_of
from tests.web.visitor import Visitor, a_chief, a_visitor
from tests.web.workshop import Workshop


def cookies_of(answer_headers: list[str]) -> dict[str, str]:
    """Each cookie that an answer sets, by name, with its attributes in small letters."""
    return {line.split("=")[0]: line.lower() for line in answer_headers}


def sign_in_answer(book: Book) -> list[str]:
    """The cookies of a fresh browser that signs in."""
    a_person(book)
    visitor = Visitor(an_app(book))
    first = visitor.get("/sign-in")
    answer = visitor.post("/sign-in", {"name": "M. Tarrow", "password": PASSWORD})
    return first.headers.get_list("set-cookie") + answer.headers.get_list("set-cookie")


def test_3_3_2_and_3_3_4_cookies_are_kept_from_scripts_and_from_other_sites(book: Book) -> None:
    cookies = cookies_of(sign_in_answer(book))

    assert len(cookies) == 2
    assert all("httponly" in line and "samesite=" in line for line in cookies.values())
    assert not any("samesite=none" in line for line in cookies.values())


def test_3_4_2_no_other_origin_is_ever_let_in(book: Book) -> None:
    answer = a_visitor(book).client.get("/", headers={"origin": "https://elsewhere.example"})

    assert not [name for name in answer.headers if name.startswith("access-control-")]


@pytest.mark.parametrize(
    "part",
    [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ],
)
def test_3_4_3_and_3_4_6_content_policy_names_every_way_in(book: Book, part: str) -> None:
    policy = a_visitor(book).client.get("/sign-in").headers["content-security-policy"]

    assert part in [each.strip() for each in policy.split(";")]


def test_3_4_4_3_4_5_and_3_4_8_kinds_are_not_guessed_and_addresses_not_told(book: Book) -> None:
    headers = a_visitor(book).client.get("/").headers

    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] in ("same-origin", "no-referrer")
    assert headers["cross-origin-opener-policy"] == "same-origin"
    assert all(f"{power}=()" in headers["permissions-policy"] for power in ("microphone", "geolocation"))


def test_6_2_2_6_2_3_and_7_5_1_password_is_changed_by_its_owner_who_proves_the_old_one(book: Book) -> None:
    visitor = a_visitor(book)
    page = visitor.get("/people/1").text

    answer = visitor.post("/people/1/password", {"password": "slow-kettle-under-snow"}, 422)

    assert 'name="proof"' in page
    assert answer.status_code == 422


def test_6_2_6_and_6_2_7_passwords_are_masked_and_may_be_pasted(book: Book) -> None:
    visitor = a_visitor(book)
    pages = visitor.get("/sign-in").text + visitor.get("/people/1").text
    fields = re.findall(r'<input[^>]*name="(?:password|again|proof|unlock_password)"[^>]*>', pages)

    assert len(fields) == 6  # the covering page's own field stands on each page of a person
    assert all('type="password"' in field for field in fields)
    assert all(re.search(r'autocomplete="(current|new)-password"', field) for field in fields)
    assert "onpaste" not in pages


def test_6_2_10_no_password_runs_out_by_its_age(book: Book) -> None:
    with book.reading() as session:
        columns = [row[1] for row in session.connection().exec_driver_sql("PRAGMA table_info(person)")]

    assert not [name for name in columns if "expire" in name or "changed_at" in name]


def test_6_3_2_no_account_is_there_before_somebody_makes_it(book: Book) -> None:
    assert Visitor(an_app(book)).get("/sign-in", 303).headers["location"] == "/first-use"


def test_11_4_2_passwords_are_kept_as_argon2id_alone(book: Book) -> None:
    a_person(book)

    with book.reading() as session:
        kept = [row[0] for row in session.connection().exec_driver_sql("SELECT password_digest FROM person")]

    assert len(kept) == 1
    assert all(digest.startswith("$argon2id$") for digest in kept)


def test_7_2_2_and_7_2_3_tokens_are_long_random_and_kept_only_as_digests(book: Book) -> None:
    tokens = {a_token(book, number) for number in range(3)}

    assert len(tokens) == 3
    assert all(len(token) >= 43 for token in tokens)  # 32 random bytes
    assert kept_digests(book) == {token_digest(token) for token in tokens}


def a_token(book: Book, number: int) -> str:
    """The token of somebody who signs in."""
    return str(a_visitor(book, f"fitter {number}").client.cookies["wearbook"])


def test_7_2_4_a_new_token_is_given_at_each_sign_in_and_none_is_taken_from_outside(book: Book) -> None:
    a_person(book)
    visitor = Visitor(an_app(book))
    page = visitor.get("/sign-in")
    form = form_of(page.text, "/sign-in") | {"name": "M. Tarrow", "password": PASSWORD}

    answer = visitor.client.post("/sign-in", data=form, headers={"cookie": cookie(visitor, "chosen-elsewhere" * 3)})

    assert answer.status_code == 303
    assert "chosen" not in answer.cookies["wearbook"]
    assert token_digest("chosen-elsewhere" * 3) not in kept_digests(book)


def cookie(visitor: Visitor, token: str) -> str:
    """The cookies of a browser in which somebody else has set the sign-in."""
    return f"wearbook_visit={visitor.client.cookies['wearbook_visit']}; wearbook={token}"


def kept_digests(book: Book) -> set[str]:
    """The digests of every token in the book."""
    with book.reading() as session:
        return {row[0] for row in session.connection().exec_driver_sql("SELECT token_digest FROM sign_in")}


def test_7_4_4_every_page_of_a_person_offers_to_sign_out(book: Book) -> None:
    shop = Workshop(book).safe()
    pages = ["/", "/people", "/sheets", "/machines/GA-1", shop.url("/gauge/2.pin/diameter"), shop.url("/record")]

    assert [url for url in pages if 'action="/sign-out"' not in shop.fitter.get(url).text] == []


def test_8_2_2_person_reaches_no_other_persons_sign_ins_by_their_number(book: Book) -> None:
    fitter = a_visitor(book)
    a_chief(book)

    fitter.get("/people/2", 403)
    fitter.get("/people/99", 403)


def test_13_4_2_and_13_4_5_nothing_tells_how_the_program_is_made(book: Book) -> None:
    client = a_visitor(book).client

    assert [path for path in ("/docs", "/redoc", "/openapi.json") if client.get(path).status_code != 404] == []
    assert "server" not in client.get("/").headers
    assert not [route for route in routes() if "debug" in route]


def test_14_2_1_no_secret_stands_in_an_address(book: Book) -> None:
    visitor = a_visitor(book)

    answer = visitor.client.get(f"/sign-in?name=M.+Tarrow&password={PASSWORD}")

    assert PASSWORD not in answer.text
    secrets = [route for route in routes() if re.search(r"\{\w*(?:secret|password|token)\}", route)]
    assert secrets == ["GET /due/calendar/{secret}.ics"]  # A calendar program can carry a secret nowhere else.


def test_14_3_2_pages_are_kept_by_no_browser(book: Book) -> None:
    visitor = a_visitor(book)

    assert {visitor.client.get(path).headers["cache-control"] for path in ("/", "/people/1", "/nowhere")} == {
        "no-store"
    }
