"""Tests of the round of gauging: the order of places, a bore's grid, and the verdict shown before Keep."""

from urllib.parse import urlencode

import pytest

from app.domain.readings import SEEN
from app.store.book import Book
from tests.builders import a_reading, enter
from tests.web.forms import form_of, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

BORE = "2.cylinder/bore"


def test_gauging_begins_with_the_condition_of_the_first_part(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.fitter.get(shop.url("/gauge"), 303)

    assert answer.headers["location"] == shop.url("/gauge/2.suction-valve/seen")


def test_keep_leads_from_the_condition_to_each_characteristic_and_then_to_the_next_part(book: Book) -> None:
    shop = Workshop(book).safe()

    seen = shop.key_in(shop.fitter, "2.suction-valve/seen", findings="sound").headers["location"]
    lift = shop.key_in(shop.fitter, "2.suction-valve/lift", value="1.60").headers["location"]
    spring = shop.key_in(shop.fitter, "2.suction-valve/spring-length", value="14.2").headers["location"]

    assert [each.split("?")[0] for each in (seen, lift, spring)] == [
        shop.url("/gauge/2.suction-valve/lift"),
        shop.url("/gauge/2.suction-valve/spring-length"),
        shop.url("/gauge/2.delivery-valve/seen"),
    ]


def test_keep_goes_round_from_the_last_part_to_the_first_one_left(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.head/seen", findings="sound")

    answer = shop.key_in(shop.fitter, "2.head/bumping-clearance", value="0.50")

    assert answer.headers["location"].startswith(shop.url("/gauge/2.suction-valve/seen?kept="))


def test_button_names_where_keep_leads(book: Book) -> None:
    shop = Workshop(book).safe()

    condition = words_in(shop.fitter.get(shop.url("/gauge/2.ring-1/seen")).text, "main")
    gap = words_in(shop.fitter.get(shop.url("/gauge/2.ring-1/closed-gap")).text, "keep")
    shop.key_in(shop.fitter, "2.ring-1/seen", findings="sound")
    shop.key_in(shop.fitter, "2.ring-1/closed-gap", value="0.30")
    last = words_in(shop.fitter.get(shop.url("/gauge/2.ring-1/side-clearance")).text, "keep")
    grid = words_in(shop.fitter.get(shop.url("/gauge/2.cylinder/bore?level=0&axis=1")).text, "keep")

    assert "Sound. Keep, go to closed gap" in condition
    assert gap == "Keep, go to condition"
    assert last == "Keep, go to ring 2"
    assert grid == "Keep, go to condition"


def test_last_entry_of_all_leads_to_signing_the_gauging(book: Book) -> None:
    shop = Workshop(book).gauged()

    button = words_in(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text, "keep")
    answer = shop.key_in(shop.fitter, "2.pin/diameter", value="21.995")
    again = shop.fitter.get(shop.url("/gauge"), 303)

    assert button == "Keep"
    assert answer.headers["location"].startswith(shop.url("/gauged?kept="))
    assert "Piston pin, pin diameter: kept 21.995" in words_of(shop.fitter.follow(answer).text)
    assert again.headers["location"] == shop.url("/gauged")


def test_part_by_itself_leads_to_its_first_place_left_then_to_its_condition(book: Book) -> None:
    shop = Workshop(book).safe()
    enter(book, shop.id, a_reading("2.pin", SEEN, "sound", OPENED_AT))

    left = shop.fitter.get(shop.url("/gauge/2.pin"), 303).headers["location"]
    shop.key_in(shop.fitter, "2.pin/diameter", value="21.995")
    done = shop.fitter.get(shop.url("/gauge/2.pin"), 303).headers["location"]

    assert (left, done) == (shop.url("/gauge/2.pin/diameter"), shop.url("/gauge/2.pin/seen"))


def test_bore_is_gauged_level_by_level_and_its_measures_are_worked_out(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.cylinder/seen", findings="sound")
    place = f"{BORE}?level=0&axis=0"
    leads = []

    for value in ("78.05", "78.02", "78.03", "78.02", "78.01", "78.01"):
        location = shop.key_in(shop.fitter, place, value=value).headers["location"].split("&kept=")[0]
        leads.append(location.removeprefix(shop.url("/gauge/")))
        place = leads[-1]

    page = shop.fitter.get(shop.url(f"/gauge/{BORE}")).text
    assert leads[:-1] == [
        f"{BORE}?level={level}&axis={axis}" for level, axis in [(0, 1), (1, 0), (1, 1), (2, 0), (2, 1)]
    ]
    assert "Wear 0.05 / 0.09" in words_in(page, "judged")
    assert "Ovality 0.03 / 0.04" in words_in(page, "judged")
    assert "Taper 0.04 / 0.05" in words_in(page, "judged")
    assert "78.05 78.02" in words_in(page, "bore-grid")


def test_bore_beyond_one_limit_is_known_before_the_grid_is_complete(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.cylinder/seen", findings="sound")

    shop.key_in(shop.fitter, f"{BORE}?level=0&axis=0", value="78.10")

    judged = words_in(shop.fitter.get(shop.url(f"/gauge/{BORE}?level=0&axis=1")).text, "judged")
    assert "Wear 0.10 / 0.09" in judged
    assert "5 of 6 diameters not gauged yet" in judged


def test_levels_of_a_gap_are_chips_with_what_stands_there(book: Book) -> None:
    shop = Workshop(book, stages=(1,)).safe()

    shop.key_in(shop.fitter, "1.ring-1/closed-gap?level=1&axis=0", value="0.80")

    what = words_in(shop.fitter.get(shop.url("/gauge/1.ring-1/closed-gap?level=0&axis=0")).text, "what-block")
    assert "unworn end — worst place 0.80" in what
    assert "Closed gap 1 of 2" in what


@pytest.mark.parametrize(
    ("value", "shown"),
    [("0.70", "0.70"), ("0.60/0.65", "0.60–0.65"), ("0.60/", "0.60 goes")],
)
def test_chip_of_a_gap_shows_what_was_entered(book: Book, value: str, shown: str) -> None:
    shop = Workshop(book).safe()
    enter(book, shop.id, a_reading("2.ring-1", "closed-gap", value, OPENED_AT, level="worst place"))

    what = words_in(shop.fitter.get(shop.url("/gauge/2.ring-1/closed-gap")).text, "what-block")

    assert f"Closed gap {shown}" in what


def test_chip_of_the_condition_shows_what_was_seen_or_that_it_could_not_be(book: Book) -> None:
    shop = Workshop(book).safe()
    enter(book, shop.id, a_reading("2.pin", SEEN, "scored+blued", OPENED_AT))
    shop.key_in(shop.fitter, "2.pin/diameter", how="cannot", reason="Micrometer is out for checking.")

    what = words_in(shop.fitter.get(shop.url("/gauge/2.pin/seen")).text, "what-block")

    assert "Condition scored …" in what
    assert "Pin diameter cannot" in what


def preview_of(shop: Workshop, place: str, **typed: object) -> str:
    """Ask for the verdict that what is typed would give, as the page does while typing."""
    page = shop.fitter.get(shop.url(f"/gauge/{place}")).text
    form = form_of(page, shop.url("/readings")) | typed
    return shop.fitter.get(f"/_fragments{shop.url('/verdict')}?{urlencode(form, doseq=True)}").text


def test_verdict_of_a_typed_figure_is_shown_as_not_kept_and_nothing_is_stored(book: Book) -> None:
    shop = Workshop(book).safe()

    fragment = preview_of(shop, "2.ring-1/closed-gap", value="0.70")

    assert "RENEW" in words_in(fragment, "judged")
    assert "0.70 mm is over the limit 0.65 mm." in words_in(fragment, "judged")
    assert "Not kept yet" in words_in(fragment, "judged")
    assert shop.readings == ()


def test_figure_half_typed_shows_the_verdict_as_it_stands(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.ring-1/closed-gap", value="0.70")

    fragment = preview_of(shop, "2.ring-1/closed-gap", value="0.")

    assert "0.70 mm is over the limit 0.65 mm." in words_in(fragment, "judged")
    assert "Not kept yet" not in words_in(fragment, "judged")


def test_auditor_asks_for_no_verdict_of_a_typed_figure(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.auditor.get(f"/_fragments{shop.url('/verdict')}?part=2.pin", 403)


def test_every_place_can_be_shown_in_every_way(book: Book) -> None:
    shop = Workshop(book).safe()
    places = ["2.ring-1/closed-gap", "2.ring-1/seen", BORE, "2.pin/diameter"]
    ways = ["size", "pair", "goes", "dial", "seen", "cannot", "anyhow"]

    pages = {place: shop.fitter.get(shop.url(f"/gauge/{place}?how={how}")).text for place in places for how in ways}

    shown = [form_of(page, shop.url("/readings"))["part"] for page in pages.values()]
    assert shown == [place.split("/", maxsplit=1)[0] for place in pages]


def test_last_opening_stands_beside_the_entry(book: Book) -> None:
    shop = Workshop(book).returned()
    later = shop.opened_again("2310")

    page = words_of(later.fitter.get(later.url("/gauge/2.pin/diameter")).text).replace("\u00a0", " ")

    assert f"Last {OPENED_AT:%-d %b %Y}: 21.991 as found at 2 300 h" in page
