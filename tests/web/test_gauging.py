"""Tests of gauging: every way of entering a reading, the verdict with its reason, and where Keep leads."""

from decimal import Decimal

import pytest

from app.domain.readings import Kind, superseded
from app.store.book import Book
from tests.builders import a_reading, enter
from tests.web.forms import form_of, said_beside, typed_in, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

GAP = "2.ring-1/closed-gap"


def test_single_size_is_kept_as_typed_with_its_conditions(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, how="size", value="0.50", instrument="F-03", temperature="24")

    reading = shop.readings[0]
    assert (reading.written, reading.kind) == ("0.50 mm", Kind.SIZE)
    assert (reading.instrument, str(reading.temperature_c)) == ("F-03", "24")
    assert reading.measured_by == reading.entered_by == "M. Tarrow"


def test_decimal_comma_is_read_as_a_point_and_kept_as_typed(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, how="size", value="1,30")

    assert shop.readings[0].written == "1,30 mm"
    assert str(shop.readings[0].size_mm) == "1.30"


def test_inch_typed_into_a_sheet_in_millimetres_is_judged_in_millimetres(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, how="size", value="0.030 in")

    page = shop.fitter.get(shop.url(f"/gauge/{GAP}")).text
    assert shop.readings[0].size_mm == Decimal("0.762")
    assert "0.030 in (0.762 mm) is over the limit 0.65 mm." in words_in(page, "verdict")


def test_leaf_that_goes_and_leaf_that_does_not_are_kept_as_a_pair(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, how="pair", goes="0.60", does_not_go="0.65")

    assert (shop.readings[0].kind, shop.readings[0].written) == (Kind.PAIR, "goes 0.60 mm, does not go 0.65 mm")


def test_leaf_that_goes_alone_is_undecided_on_the_limit_and_names_the_leaf_to_try(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, how="pair", goes="0.65")

    page = shop.fitter.get(shop.url(f"/gauge/{GAP}")).text
    assert shop.readings[0].kind is Kind.GOES
    assert "UNDECIDED" in words_in(page, "verdict")
    assert "Try 0.67." in words_in(page, "verdict")


def test_leaf_that_does_not_go_must_be_the_thicker_one(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, GAP, 422, how="pair", goes="0.65", does_not_go="0.60")

    assert "must be thicker" in said_beside(answer.text, "does_not_go")
    assert (typed_in(answer.text, "goes"), typed_in(answer.text, "does_not_go")) == ("0.65", "0.60")
    assert shop.readings == ()


def test_dial_reading_with_its_sign_is_added_to_the_size_it_was_set_to(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.cylinder/bore?level=0&axis=0", how="dial", value="-0.02", set_size="78.05")

    assert shop.readings[0].written == "dial -0.02 mm on 78.05 mm"
    assert str(shop.readings[0].size_mm) == "78.03"


def test_dial_begins_at_the_base_size_and_stays_where_it_was_set(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, "2.cylinder/seen", findings="sound")
    first = form_of(shop.fitter.get(shop.url("/gauge/2.cylinder/bore?how=dial")).text, shop.url("/readings"))

    answer = shop.key_in(shop.fitter, "2.cylinder/bore", how="dial", value="+0.01", set_size="78.05")
    second = form_of(shop.fitter.follow(answer).text, shop.url("/readings"))

    assert (first["set_size"], second["set_size"]) == ("78.00", "78.05")
    assert second["kind"] == "dial"


def test_part_seen_sound_is_kept(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.pin/seen", findings="sound")

    assert shop.readings[0].findings == ("sound",)


def test_faults_seen_are_kept_with_their_note_and_judged_by_the_heaviest(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.pin/seen", findings=["scored", "blued"], reason="Dry bush.")

    page = shop.fitter.get(shop.url("/gauge/2.pin/seen")).text
    assert shop.readings[0].findings == ("scored", "blued")
    assert "RENEW pin Seen: scored, blued by heat. Note: Dry bush." in words_in(page, "verdict")


@pytest.mark.parametrize(
    ("findings", "said"),
    [
        (["sound", "scored"], "Sound and a fault contradict each other."),
        ([], "Choose what is seen"),
        (["made-up"], "Choose what is seen"),
    ],
)
def test_what_cannot_be_seen_together_is_refused_beside_the_list(book: Book, findings: list[str], said: str) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, "2.pin/seen", 422, findings=findings, reason="Look again.")

    assert said in words_in(answer.text, "f-findings-error")
    assert typed_in(answer.text, "reason") == "Look again."
    assert shop.readings == ()


def test_place_that_cannot_be_gauged_is_an_entry_with_its_reason(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, how="cannot", reason="Ring stuck fast in its groove.")

    page = shop.fitter.get(shop.url(f"/gauge/{GAP}")).text
    assert shop.readings[0].kind is Kind.CANNOT
    assert "NOT GAUGED" in words_in(page, "verdict")
    assert "could not be gauged: Ring stuck fast in its groove." in words_in(page, "verdict")


@pytest.mark.parametrize("reason", ["", "no", "x" * 501])
def test_cannot_gauge_without_a_reason_of_some_length_is_refused(book: Book, reason: str) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, GAP, 422, how="cannot", reason=reason)

    assert "Say why it cannot be gauged" in said_beside(answer.text, "reason")
    assert typed_in(answer.text, "reason") == reason
    assert shop.readings == ()


def test_verdict_stands_with_its_reason_its_source_and_what_is_renewed(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, "2.suction-valve/spring-length", value="13.1")

    verdict = words_in(shop.fitter.get(shop.url("/gauge/2.suction-valve/spring-length")).text, "verdict")
    assert "RENEW plate and springs" in verdict
    assert "13.1 mm is under the limit 13.2 mm." in verdict
    assert "Sheet QM-GA rev C, table 7" in verdict


def test_one_ring_over_its_limit_renews_the_whole_set_on_every_tag(book: Book) -> None:
    shop = Workshop(book).safe()
    enter(book, shop.id, a_reading("2.ring-2", "closed-gap", "0.30", OPENED_AT, level="worst place"))

    answer = shop.key_in(shop.fitter, GAP, value="0.66")

    page = shop.fitter.follow(answer).text
    assert "Ring 1: renewed, so is the whole set of 3." in page
    assert "Ring 2 RENEW with the set" in page
    assert "Ring 3 RENEW with the set" in page


def test_ring_that_goes_with_its_set_says_so_at_its_own_place(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, GAP, value="0.70")
    bare = words_in(shop.fitter.get(shop.url("/gauge/2.ring-2/closed-gap")).text, "verdict")

    for place, typed in (("closed-gap", {"value": "0.50"}), ("side-clearance", {"value": "0.06"})):
        shop.key_in(shop.fitter, f"2.ring-2/{place}", **typed)
    shop.key_in(shop.fitter, "2.ring-2/seen", findings="sound")

    sound = words_in(shop.fitter.get(shop.url("/gauge/2.ring-2/closed-gap")).text, "verdict")
    assert "RENEW" in bare
    assert "Gauge it for the record." in bare
    assert "Its own reading stays on the record." in sound
    assert "0.50 mm is within the limit 0.65 mm." in sound


def test_heavier_verdict_of_another_place_stands_beside_that_of_this_one(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.pin", "seen", "scored", OPENED_AT))

    verdict = words_in(shop.fitter.get(shop.url("/gauge/2.pin/diameter")).text, "verdict")

    assert "21.991 mm is within the limit 21.970 mm." in verdict
    assert "Seen: scored." in verdict


def test_mate_of_a_renewed_part_says_what_it_waits_for(book: Book) -> None:
    shop = Workshop(book).all_gauged(a_reading("2.pin", "seen", "scored", OPENED_AT))

    verdict = words_in(shop.fitter.get(shop.url("/gauge/2.bush/diameter")).text, "verdict")

    assert "Waits for piston pin: judged again after that is done." in verdict


def test_new_entry_strikes_the_old_one_and_both_stay(book: Book) -> None:
    shop = Workshop(book).safe()

    shop.key_in(shop.fitter, GAP, value="0.50")
    shop.key_in(shop.fitter, GAP, value="0.55")

    first, second = shop.readings
    assert second.supersedes == first.id
    assert superseded(shop.readings) == {first.id}


def test_keep_names_what_was_kept_and_leads_back_to_put_it_right(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, GAP, value="0.70")

    page = shop.fitter.follow(answer).text
    assert "Ring 1, closed gap, worst place: kept 0.70" in words_of(page)
    assert f'href="{shop.url(f"/gauge/{GAP}")}">Put right' in page


def test_instrument_and_temperature_are_carried_to_the_next_place_of_the_same_method(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, GAP, how="pair", goes="0.30", does_not_go="0.35", instrument="F-03", temperature="24")

    form = form_of(shop.fitter.get(shop.url("/gauge/2.ring-2/closed-gap")).text, shop.url("/readings"))

    assert (form["instrument"], form["temperature"], form["kind"]) == ("F-03", "24", "pair")


def test_identifier_sent_again_with_another_figure_is_refused_with_the_figure_still_there(book: Book) -> None:
    shop = Workshop(book).safe()
    shop.key_in(shop.fitter, GAP, value="0.50", id="the-same-form")

    answer = shop.key_in(shop.fitter, GAP, 422, value="0.70", id="the-same-form")
    shop.fitter.post(shop.url("/readings"), form_of(answer.text, shop.url("/readings")))

    assert "already stands for “0.50 mm”" in answer.text
    assert [reading.written for reading in shop.readings] == ["0.50 mm", "0.70 mm"]


def test_way_of_gauging_that_the_place_does_not_have_is_refused(book: Book) -> None:
    shop = Workshop(book).safe()

    answer = shop.key_in(shop.fitter, GAP, 422, kind="seen", findings="sound")

    assert "Choose how it is gauged; Closed gap is taken by feeler." in answer.text
    assert shop.readings == ()


def test_auditor_reads_a_place_without_keeping_anything(book: Book) -> None:
    shop = Workshop(book).safe()

    page = shop.auditor.get(shop.url(f"/gauge/{GAP}")).text
    shop.key_in(shop.auditor, GAP, 403, value="0.50")

    assert "Read only" in words_of(page)
    assert shop.readings == ()
