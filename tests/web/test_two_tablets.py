"""Two tablets at one place: both entries are kept, whoever had not seen the other's is asked about, once."""

from app.store.book import Book
from tests.web.forms import form_of
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

GAP = "/gauge/2.ring-1/closed-gap?how=size"


def opened(shop: Workshop, visitor: Visitor, value: str) -> dict[str, object]:
    """The form as a tablet shows it before anything is kept there, filled in."""
    return form_of(visitor.get(shop.url(GAP)).text, shop.url("/readings")) | {"value": value}


def both_keep(shop: Workshop, first: str, second: str) -> Visitor:
    """Two fitters open the same place, and both keep what they measured."""
    other = shop.visitor("R. Osk")
    mine, theirs = opened(shop, shop.fitter, first), opened(shop, other, second)
    shop.fitter.post(shop.url("/readings"), mine)
    shop_answer = other.post(shop.url("/readings"), theirs)
    other.follow(shop_answer)
    return other


def test_both_entries_are_kept_and_a_third_look_is_asked_for_where_they_differ(book: Book) -> None:
    shop = Workshop(book).safe()

    other = both_keep(shop, "0.30", "0.60")

    said = words_of(other.page)
    assert "2 differ" in said
    assert "M. Tarrow 0.30 mm; R. Osk 0.60 mm." in said
    assert "a third look is asked for" in said
    assert [reading.written for reading in (*shop.readings, *shop.overhaul.looks)] == ["0.30 mm", "0.60 mm"]
    assert shop.overhaul.looks[0].supersedes == ""


def test_entries_that_agree_ask_nothing(book: Book) -> None:
    shop = Workshop(book).safe()

    other = both_keep(shop, "0.30", "0.31")

    assert "2 agree" in words_of(other.page)


def test_whoever_saw_the_entry_puts_it_right_instead(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.fitter.post(shop.url("/readings"), opened(shop, shop.fitter, "0.30"))
    other = shop.visitor("R. Osk")

    other.post(shop.url("/readings"), opened(shop, other, "0.60") | {"correction": "misread"})

    first, second = shop.readings
    assert second.supersedes == first.id
    assert shop.overhaul.looks == ()


def test_entry_sent_again_by_a_tablet_is_the_same_look(book: Book) -> None:
    shop = Workshop(book).safe()
    other = shop.visitor("R. Osk")
    mine, theirs = opened(shop, shop.fitter, "0.30"), opened(shop, other, "0.60")
    maker = other.page.split('data-person="')[1].split('"')[0]
    shop.fitter.post(shop.url("/readings"), mine)

    answers = [
        other.client.post("/tablet" + shop.url("/readings"), data=theirs | {"maker": maker}).json() for _ in range(2)
    ]

    assert [answer["state"] for answer in answers] == ["kept", "kept"]
    assert len(shop.overhaul.looks) == 1


def test_fourth_person_at_a_place_that_is_settled_puts_it_right(book: Book) -> None:
    shop = Workshop(book).safe()
    third = shop.chief
    late = opened(shop, third, "0.33")
    both_keep(shop, "0.30", "0.31")

    third.post(shop.url("/readings"), late | {"correction": "gauged again"})

    assert [reading.written for reading in shop.readings] == ["0.30 mm", "0.33 mm"]


def test_page_learns_cheaply_that_something_came(book: Book) -> None:
    shop = Workshop(book).safe()
    page = shop.fitter.get(shop.url(GAP)).text
    before = shop.fitter.client.get("/tablet" + shop.url("/newest")).json()

    shop.fitter.post(shop.url("/readings"), form_of(page, shop.url("/readings")) | {"value": "0.30"})

    after = shop.fitter.client.get("/tablet" + shop.url("/newest")).json()
    assert f'data-count="{before["count"]}"' in page
    assert (before["count"], after["count"]) == (0, 1)
