"""Chapter 3: what browsers are told to keep apart; numbers from memory of ASVS 5.0.0."""

import pytest

from app.store.book import Book
from tests.builders import PASSWORD, a_person, an_app
from tests.web.visitor import Visitor, a_visitor


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
