"""Tests of slips on the gauging page: asked beside the field before anything is stored, kept with a reason."""

import pytest

from app.domain.overhaul import Meaning, Phase
from app.store.book import Book
from tests.builders import a_reading, confirm_all, enter, fit, sign_all
from tests.web.forms import form_of, said_beside, typed_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, RETURNED, Workshop

GAP = "2.ring-1/closed-gap"
WHY = "Measured twice; the ring is broken at its end."


def test_value_ten_times_off_asks_before_anything_is_stored_and_keeps_what_was_typed(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, GAP, 422, how="size", value="5,0", instrument="F-03")

    assert "Is the point in its place?" in said_beside(answer.text, "value")
    assert (typed_in(answer.text, "value"), typed_in(answer.text, "instrument")) == ("5,0", "F-03")
    assert "Measure again, or keep it and say why" in words_of(answer.text)
    assert shop.readings == ()


def test_value_kept_with_a_reason_is_stored_with_it_and_shown_with_it(book: Book) -> None:
    shop = Workshop(book).safe()
    answer = shop.key_in(shop.fitter, GAP, 422, how="size", value="5.0")

    shop.fitter.post(shop.url("/readings"), form_of(answer.text, shop.url("/readings")) | {"reason": WHY}, 303)

    assert [(reading.written, reading.reason) for reading in shop.readings] == [("5.0 mm", WHY)]
    assert WHY in words_of(shop.fitter.get(shop.url("/working/2.ring-1")).text)
    assert WHY in words_of(shop.fitter.get(shop.url("/record")).text)


def test_value_measured_again_is_stored_without_a_question(book: Book) -> None:
    shop = Workshop(book).safe()
    answer = shop.key_in(shop.fitter, GAP, 422, how="size", value="5.0")

    shop.fitter.post(shop.url("/readings"), form_of(answer.text, shop.url("/readings")) | {"value": "0.50"}, 303)

    assert [(reading.written, reading.reason) for reading in shop.readings] == [("0.50 mm", "")]


def test_too_short_a_reason_asks_again_and_is_kept_in_its_field(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, GAP, 422, how="pair", goes="0.50", does_not_go="5.5", reason="ok")

    assert typed_in(answer.text, "reason") == "ok"
    assert said_beside(answer.text, "does_not_go")
    assert shop.readings == ()


def test_reading_sent_again_is_not_asked_about_again(book: Book) -> None:
    shop = Workshop(book).safe()
    answer = shop.key_in(shop.fitter, GAP, 422, how="size", value="5.0")
    form = form_of(answer.text, shop.url("/readings")) | {"reason": WHY}

    for _ in range(2):
        shop.fitter.post(shop.url("/readings"), form, 303)

    assert len(shop.readings) == 1


@pytest.mark.parametrize(("is_renewed", "status"), [(False, 422), (True, 303)])
def test_gap_smaller_than_at_the_last_overhaul_asks_unless_the_rings_were_renewed(
    book: Book, is_renewed: bool, status: int
) -> None:
    shop = Workshop(book).all_gauged()
    enter(book, shop.id, a_reading("2.ring-1", "closed-gap", "0.60", OPENED_AT, level="worst place"))
    sign_all(book, shop.id, OPENED_AT, (Meaning.GAUGED, Meaning.DECIDED))
    if is_renewed:
        fit(book, shop.id, "2.ring-set", OPENED_AT)
    for phase in (Phase.BOX_UP, Phase.PROVE):
        confirm_all(book, shop.id, phase, OPENED_AT)
    sign_all(book, shop.id, OPENED_AT, RETURNED)
    again = shop.opened_again("5300")

    answer = again.key_in(again.fitter, GAP, status, how="size", value="0.40")

    asked = said_beside(answer.text, "value") if status == 422 else ""
    assert ("Less than 0.60 mm at the last overhaul" in asked) is not is_renewed
    assert len(again.readings) == is_renewed
