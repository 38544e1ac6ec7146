"""Tests of the site's own rules, and of confirming again that a machine is safe."""

from app.domain.overhaul import Phase
from app.domain.steps import AGAIN, steps_of
from app.store.book import Book
from tests.builders import a_machine, confirm_all
from tests.web.forms import form_of, said_beside
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

OPENING = {"hours": "2010", "stages": ["2"], "what": "rings"}


def give(shop: Workshop, kind: str, words: str, status: int = 303) -> str:
    """Have the chief engineer give a rule."""
    shop.chief.get("/site-rules")
    return shop.chief.post(f"/site-rules/{kind}", {kind: words}, status).text


def open_other(shop: Workshop, who: str, status: int, **typed: str) -> str:
    """Try to open GA-2."""
    visitor = getattr(shop, who)
    visitor.get("/machines/GA-2/open")
    form = form_of(visitor.page, "/machines/GA-2/open") | OPENING
    return visitor.post("/machines/GA-2/open", form | typed, status).text


def two_machines(book: Book) -> Workshop:
    """GA-1 is open, GA-2 is in the book, and the site never opens them together."""
    shop = Workshop(book)
    a_machine(book, "GA-2", at=OPENED_AT)
    give(shop, "standby", "GA-1, GA-2")
    return shop


def test_line_of_the_site_stands_on_openings_made_after_it_and_on_no_other(book: Book) -> None:
    shop = Workshop(book)
    before = len(steps_of(shop.overhaul, Phase.MAKE_SAFE))

    give(shop, "line", "Cooling water shut and drained")
    a_machine(book, "GA-2", at=OPENED_AT)
    open_other(shop, "fitter", 303)
    page = shop.fitter.get("/overhauls/2/safe").text

    assert len(steps_of(shop.overhaul, Phase.MAKE_SAFE)) == before
    assert "Cooling water shut and drained" in words_of(page)


def test_line_taken_back_stands_no_more(book: Book) -> None:
    shop = Workshop(book)
    give(shop, "line", "Cooling water shut")

    shop.chief.post("/site-rules/line", {"line": "Cooling water shut", "end": "yes"})

    assert "Cooling water shut" not in words_of(shop.chief.get("/site-rules").text)


def test_list_of_making_safe_stays_short(book: Book) -> None:
    shop = Workshop(book)
    for line in ("one", "two", "three"):
        give(shop, "line", line)

    page = give(shop, "line", "four", 422)

    assert "at most 3 lines" in said_beside(page, "line")


def test_rule_on_machines_that_are_not_in_the_book_is_refused(book: Book) -> None:
    shop = Workshop(book)

    for words in ("GA-1", "GA-1, GA-9", "GA-1, GA-1", ""):
        assert said_beside(give(shop, "standby", words, 422), "standby")


def test_second_machine_of_a_standby_pair_is_not_opened_by_a_fitter(book: Book) -> None:
    page = open_other(two_machines(book), "fitter", 422, standby_reason="I am in a hurry.")

    assert "GA-1 is open, and the site never opens GA-1 and GA-2 together." in words_of(page)
    assert "A chief engineer may open it" in words_of(page)


def test_chief_engineer_opens_it_with_a_reason_which_stays_on_the_list(book: Book) -> None:
    shop = two_machines(book)

    asked = open_other(shop, "chief", 422)
    open_other(shop, "chief", 303, standby_reason="A hired machine stands in.")
    page = shop.chief.get("/overhauls/2/safe").text

    assert "Give the reason why" in words_of(asked)
    assert "A hired machine stands in." in words_of(page)


def test_other_person_confirms_that_it_is_safe_before_gauging(book: Book) -> None:
    shop = Workshop(book, safe_again_hours=72).safe()

    sent = shop.chief.get(shop.url("/gauge"), 303).headers["location"]
    page = shop.chief.get(shop.url("/safe-again")).text
    shop.chief.post(shop.url("/safe-again"), form_of(page, shop.url("/safe-again")))
    after = shop.chief.get(shop.url("/gauge"), 303).headers["location"]

    assert sent == shop.url("/safe-again")
    assert "I. Brandreth has not confirmed it since the work began" in words_of(page)
    assert after.startswith(shop.url("/gauge/"))
    assert shop.overhaul.confirmation(Phase.MAKE_SAFE, AGAIN).person == "I. Brandreth"
    assert "; again" in words_of(shop.chief.get(shop.url("/safe")).text)


def test_after_a_long_stop_the_same_person_confirms_again(book: Book) -> None:
    shop = Workshop(book, safe_again_hours=12).safe()

    assert shop.fitter.get(shop.url("/gauge"), 303).headers["location"] == shop.url("/safe-again")


def test_reader_is_never_asked_to_confirm(book: Book) -> None:
    shop = Workshop(book, safe_again_hours=12).safe()

    assert shop.auditor.get(shop.url("/gauge"), 303).headers["location"].startswith(shop.url("/gauge/"))


def test_nothing_is_confirmed_again_before_it_was_made_safe(book: Book) -> None:
    shop = Workshop(book)
    confirm_all(book, shop.id, Phase.MAKE_SAFE, OPENED_AT, ("flywheel",))
    shop.fitter.get("/")

    shop.fitter.post(shop.url("/safe-again"), {}, 409)

    assert shop.overhaul.confirmation(Phase.MAKE_SAFE, AGAIN) is None
