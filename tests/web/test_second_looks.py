"""Tests of second looks: another person's reading beside the first, compared, judged by the rule, told everywhere."""

from app.domain.overhaul import Meaning
from app.domain.phases import is_signed_gauged
from app.store.book import Book
from app.store.evidence import verify_evidence
from tests.builders import a_reading, enter, sign_all
from tests.web.forms import form_of, has_form
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import OPENED_AT, Workshop

GAP = "2.ring-1/closed-gap"
SECOND = f"{GAP}?look=second"


def gauged(book: Book, short: str = "0.30") -> Workshop:
    """Gauged everywhere, ring 1 at this gap."""
    return Workshop(book).all_gauged(a_reading("2.ring-1", "closed-gap", short, OPENED_AT, level="worst place"))


def look_again(shop: Workshop, visitor: Visitor, value: str, status: int = 303, **typed: object) -> str:
    """Follow the link, type what is read and keep it."""
    return shop.key_in(visitor, SECOND, status, how="size", value=value, **typed).text


def test_second_look_stands_beside_the_first_and_the_less_favourable_is_judged(book: Book) -> None:
    shop = gauged(book)

    look_again(shop, shop.chief, "0.31")

    overhaul = shop.overhaul
    assert len(overhaul.looks) == 1
    assert overhaul.looks[0].supersedes == ""
    page = words_of(shop.fitter.get(shop.url(f"/gauge/{GAP}")).text)
    assert "M. Tarrow 0.30 mm; I. Brandreth 0.31 mm. They agree" in page
    assert "0.31 mm is judged, the less favourable." in page


def test_looks_that_differ_ask_for_a_third_whose_middle_is_judged(book: Book) -> None:
    shop = gauged(book)

    look_again(shop, shop.chief, "0.60")
    asked = words_of(shop.visitor("R. Osk").get(shop.url(f"/gauge/{GAP}")).text)
    look_again(shop, shop.visitor("R. Osk"), "0.32")

    assert "a third look is asked for" in asked
    assert "Third look" in asked
    told = "0.32 mm is judged, the middle one of three"
    for path in (f"/gauge/{GAP}", "/decide", "/working/2.ring-1", "/record"):
        assert told in words_of(shop.chief.get(shop.url(path)).text), path


def test_link_to_a_second_look_is_for_another_person_where_something_is_kept(book: Book) -> None:
    shop = gauged(book)

    def offers(visitor: Visitor, place: str) -> bool:
        return ">Second look<" in visitor.get(shop.url(f"/gauge/{place}")).text

    assert offers(shop.chief, GAP)
    assert not offers(shop.fitter, GAP)
    assert not offers(shop.auditor, GAP)
    assert offers(shop.chief, "2.ring-1/seen")
    assert not offers(shop.fitter, "2.ring-1/seen")


def test_same_person_cannot_give_a_second_look_under_any_name(book: Book) -> None:
    shop = gauged(book)
    shop.chief.get(shop.url(f"/gauge/{SECOND}"))
    form = form_of(shop.chief.page, shop.url("/readings")) | {"value": "0.31"}

    own = shop.fitter.post(shop.url("/readings"), form | {"csrf": _csrf(shop)}, 422)
    lent = shop.chief.post(shop.url("/readings"), form | {"measured_by": "M. Tarrow"}, 422)

    assert all("A second look is another person" in words_of(answer.text) for answer in (own, lent))
    assert shop.overhaul.looks == ()


def _csrf(shop: Workshop) -> object:
    shop.fitter.get(shop.url(f"/gauge/{GAP}"))
    return form_of(shop.fitter.page, shop.url("/readings"))["csrf"]


def test_second_look_sent_twice_is_stored_once_and_put_right_by_its_own_person(book: Book) -> None:
    shop = gauged(book)
    shop.chief.get(shop.url(f"/gauge/{SECOND}"))
    form = form_of(shop.chief.page, shop.url("/readings")) | {"value": "0.60"}

    for _ in range(2):
        shop.chief.post(shop.url("/readings"), form, 303)
    look_again(shop, shop.chief, "0.31")

    looks = shop.overhaul.looks
    assert [(look.written, look.supersedes) for look in looks] == [("0.60 mm", ""), ("0.31 mm", looks[0].id)]
    with book.reading() as session:
        assert verify_evidence(session) == []


def test_correction_of_the_first_reading_is_compared_again(book: Book) -> None:
    shop = gauged(book)
    look_again(shop, shop.chief, "0.60")

    shop.key_in(shop.fitter, GAP, how="size", value="0.60", reason="Read the wrong leaf.")

    assert shop.readings[-1].supersedes
    assert "They agree" in words_of(shop.fitter.get(shop.url(f"/gauge/{GAP}")).text)


def test_second_look_after_gauged_was_signed_asks_for_that_signature_again(book: Book) -> None:
    shop = gauged(book)
    sign_all(book, shop.id, OPENED_AT, (Meaning.GAUGED,))
    before = is_signed_gauged(shop.overhaul)

    look_again(shop, shop.chief, "0.31")

    assert (before, is_signed_gauged(shop.overhaul)) == (True, False)


def test_last_reading_of_the_next_overhaul_is_none_of_the_second_looks(book: Book) -> None:
    shop = gauged(book)
    look = a_reading("2.ring-1", "closed-gap", "0.60", OPENED_AT, level="worst place", is_second_look=True,
                     measured_by="R. Osk", entered_by="R. Osk")  # fmt: skip
    enter(book, shop.id, look)
    again = shop.opened_again("5300")

    page = words_of(again.fitter.get(again.url(f"/gauge/{GAP}")).text)

    assert "0.30 as found at" in page


def test_gauged_is_not_signed_while_two_looks_differ_and_the_pages_name_the_place(book: Book) -> None:
    shop = gauged(book)
    look_again(shop, shop.chief, "0.60")

    page = shop.fitter.get(shop.url("/gauged")).text
    chips = shop.fitter.get(shop.url(f"/gauge/{GAP}")).text
    review = shop.chief.get(shop.url("/decide")).text
    look_again(shop, shop.visitor("R. Osk"), "0.32")
    after = shop.fitter.get(shop.url("/gauged")).text

    assert "Not yet: two looks differ" in words_of(page)
    assert f'<b>Two looks differ:</b> <a href="{shop.url(f"/gauge/{GAP}")}' in page
    assert f'<b>≠ Two looks differ:</b> <a href="{shop.url(f"/gauge/{GAP}")}' in review
    assert not has_form(page, shop.url("/signatures"))
    assert 'class="place kept differs"' in chips or 'class="level kept differs"' in chips
    assert "differ" not in words_of(after)
    assert has_form(after, shop.url("/signatures"))


def test_condition_is_seen_by_another_and_a_fault_that_one_saw_is_judged(book: Book) -> None:
    shop = gauged(book)

    shop.key_in(shop.chief, "2.ring-1/seen?look=second", findings="stuck")

    said = words_of(shop.fitter.get(shop.url("/gauge/2.ring-1/seen")).text)
    assert "M. Tarrow sound; I. Brandreth stuck in its groove. They differ: a third look is asked for." in said
    assert "RENEW" in said
    for path in ("/working/2.ring-1", "/record"):
        assert "Judged until then: stuck in its groove." in words_of(shop.chief.get(shop.url(path)).text), path
    with book.reading() as session:
        assert verify_evidence(session) == []
