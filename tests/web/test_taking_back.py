"""Taking the last entry back on the gauging pages: offered to its maker, told everywhere, stored once."""

from app.domain.readings import Kind, Occasion
from app.store.book import Book
from app.store.evidence import verify_evidence
from tests.builders import a_reading
from tests.web.forms import form_of, has_form
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import OPENED_AT, Workshop

GAP = "2.ring-1/closed-gap"
BACK = "taken back"


def keep_gap(shop: Workshop, value: str = "0.70") -> Visitor:
    """The fitter keeps a gap and sees the next page."""
    shop.fitter.follow(shop.key_in(shop.fitter, GAP, how="size", value=value))
    return shop.fitter


def back_form(shop: Workshop, visitor: Visitor) -> dict[str, object]:
    """The form that takes an entry back, as the page has it."""
    return form_of(visitor.page, shop.url("/readings"), BACK)


def offers(shop: Workshop, visitor: Visitor, path: str) -> bool:
    """Whether a page has the way to take an entry back."""
    return 'class="take-back"' in visitor.get(shop.url(path)).text


def test_entry_just_kept_is_taken_back_and_its_place_comes_up_again(book: Book) -> None:
    shop = Workshop(book).safe()
    visitor = keep_gap(shop)

    answer = visitor.post(shop.url("/readings"), back_form(shop, visitor), 303)
    visitor.follow(answer)

    said = words_of(visitor.page)
    assert "Ring 1, closed gap, worst place: taken back 0.70." in said
    assert f'data-here="{shop.url(f"/gauge/{GAP}")}"' in visitor.page
    assert dict(shop.overhaul.standing(Occasion.AS_FOUND)) == {}
    assert [reading.kind for reading in shop.readings] == [Kind.SIZE, Kind.TAKEN_BACK]


def test_figure_stays_legible_in_history_and_record_and_the_book_verifies(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.ring-1", "closed-gap", "0.30", OPENED_AT, level="worst place"))
    visitor = keep_gap(shop)
    visitor.post(shop.url("/readings"), back_form(shop, visitor), 303)

    history = visitor.get("/machines/GA-1/history?part=2.ring-1&characteristic=closed-gap").text
    record = visitor.get(shop.url("/record")).text

    assert "<del>0.70 mm</del><small>taken back, MT</small>" in history
    assert "<del>0.70</del> <b>0.30</b>" in record
    assert "0.70 mm taken back by its maker MT" in words_of(record)
    with book.reading() as session:
        assert verify_evidence(session) == []


def test_entry_taken_back_twice_is_struck_once(book: Book) -> None:
    shop = Workshop(book).safe()
    visitor = keep_gap(shop)
    form = back_form(shop, visitor)

    visitor.post(shop.url("/readings"), form, 303)
    visitor.post(shop.url("/readings"), form, 303)
    refused = visitor.post(shop.url("/readings"), form | {"id": "another-identifier"}, 422)
    reused = visitor.post(shop.url("/readings"), form | {"takes_back": "something-else"}, 422)

    assert len(shop.readings) == 2
    assert "There is no such entry left to take back." in words_of(refused.text)
    assert "This identifier stands for another entry already." in words_of(reused.text)


def test_only_the_maker_is_offered_the_way(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.ring-1", "closed-gap", "0.30", OPENED_AT, level="worst place"))
    form_at = f"/gauge/{GAP}"

    assert offers(shop, shop.fitter, form_at)
    assert not offers(shop, shop.chief, form_at)
    assert not offers(shop, shop.auditor, form_at)
    form = back_form(shop, keep_gap(shop))
    forged = shop.chief.post(shop.url("/readings"), form | {"csrf": shop.chief.csrf}, 422)
    assert "Only M. Tarrow takes this back." in words_of(forged.text)
    assert len(shop.readings) == len({reading.id for reading in shop.readings})


def test_nothing_is_taken_back_once_the_decisions_are_signed(book: Book) -> None:
    shop = Workshop(book).safe()
    visitor = keep_gap(shop, "0.30")
    form = back_form(shop, visitor)
    shop.decided()
    before = shop.readings

    assert not offers(shop, visitor, f"/gauge/{GAP}")
    visitor.post(shop.url("/readings"), form, 409)
    assert shop.readings == before


def test_second_look_is_taken_back_by_whoever_looked(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.ring-1", "closed-gap", "0.30", OPENED_AT, level="worst place"))
    chief = shop.chief
    chief.follow(shop.key_in(chief, f"{GAP}?look=second", how="size", value="0.60"))

    chief.follow(chief.post(shop.url("/readings"), back_form(shop, chief), 303))

    assert "2 differ" not in words_of(chief.page)
    assert shop.overhaul.looked_at(Occasion.AS_FOUND) == ()


def test_tablet_sends_it_as_any_entry(book: Book) -> None:
    shop = Workshop(book).safe()
    visitor = keep_gap(shop)
    maker = visitor.page.split('data-person="')[1].split('"')[0]
    form = back_form(shop, visitor) | {"maker": maker}

    answers = [visitor.client.post("/tablet" + shop.url("/readings"), data=form).json() for _ in range(2)]

    assert [answer["state"] for answer in answers] == ["kept", "kept"]
    assert answers[0]["next"].startswith(shop.url(f"/gauge/{GAP}"))


def test_last_entry_of_all_is_taken_back_on_the_page_to_sign(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.ring-1", "closed-gap", "0.30", OPENED_AT, level="worst place"))
    keep_gap(shop)

    assert has_form(shop.fitter.page, shop.url("/readings"))
    assert "Take back" in words_of(shop.fitter.page)


def test_list_of_a_machines_readings_shows_both_entries(book: Book) -> None:
    shop = Workshop(book).safe()
    visitor = keep_gap(shop)
    visitor.post(shop.url("/readings"), back_form(shop, visitor), 303)

    said = words_of(visitor.get("/machines/GA-1/readings").text)

    assert "0.70 mm as found, worst place, superseded" in said or "0.70 mm as found, superseded" in said
    assert "taken back as found" in said
