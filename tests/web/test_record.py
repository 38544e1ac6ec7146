"""Tests of the record of an overhaul as it prints, and of the blank gauging sheet."""

from datetime import timedelta

from app.domain.readings import SEEN
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import a_reading, decide, fit, run_it
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop, a_decision

WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")


def record_of(shop: Workshop) -> str:
    """The words of the record."""
    return words_of(shop.fitter.get(shop.url("/record")).text).replace("\u00a0", " ")


def record_rows(shop: Workshop) -> list[str]:
    """The words of every row of the record's tables."""
    return [words_of(row) for row in shop.fitter.get(shop.url("/record")).text.split("<tr")[1:]]


def test_record_of_an_open_overhaul_says_that_it_is_a_draft(book: Book) -> None:
    shop = Workshop(book)

    record = record_of(shop)

    assert "DRAFT: not all signed yet" in record
    assert "not confirmed" in record
    assert "no entry" in record


def test_record_of_a_returned_overhaul_shows_every_signature_and_its_digest(book: Book) -> None:
    shop = Workshop(book).returned()

    page = shop.fitter.get(shop.url("/record")).text

    signatures = shop.overhaul.signatures
    assert "DRAFT" not in page
    assert "Signed and closed: nothing on it can change" in page
    assert [signature.digest in page for signature in signatures] == [True] * 4
    # Whole among the digests, and its beginning under the signature on the cover, a stage's sheet and proving's.
    assert [words_of(page).count(signature.digest[:8]) for signature in signatures] == [4] * 4


def test_record_shows_every_reading_as_it_was_typed(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    typed = {"2.pin/diameter": "21,995", "2.bush/diameter": "0.867 in", "2.head/bumping-clearance": "0.50"}

    for place, value in typed.items():
        shop.key_in(shop.fitter, place, value=value, instrument="M-11", temperature="24")

    record = record_of(shop)
    assert [value in record for value in typed.values()] == [True] * 3
    assert "goes 0.20, not 0.35" in record
    assert "M-11, 24 °C" in record


def test_corrected_reading_is_struck_through_beside_the_one_that_counts(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    shop.key_in(shop.fitter, "2.pin/diameter", value="21.980")

    page = shop.fitter.get(shop.url("/record")).text
    assert "<del>21.991</del> <b>21.980</b>" in page
    assert "<del>21.991 mm</del>" in page  # among the corrections
    assert "2-08 Piston pin, Pin diameter" in words_of(page)


def test_reason_why_a_place_could_not_be_gauged_stands_word_for_word(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    shop.key_in(shop.fitter, "2.pin/diameter", how="cannot", reason="It does not go in: off by 3 mm, bent.")

    assert record_of(shop).count("cannot gauge: It does not go in: off by 3 mm, bent.") == 2  # and as a correction


def test_faults_seen_stand_in_words_with_their_note(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", SEEN, "scored+blued", OPENED_AT, reason="Dry bush."))

    assert "scored, blued by heat (Dry bush.)" in record_of(shop)


def test_decision_stands_beside_the_first_verdict_with_its_concession(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)
    decide(book, shop.id, a_decision("2.ring-set", Verdict.REUSE, until_hours="3000"))

    record = record_of(shop)

    assert "Decisions of the chief engineer" in record
    assert "Looked at it myself. Concession until 3000 h; second signature R. Osk." in record
    assert "Ring set RENEW" in record


def test_decision_by_another_person_at_a_later_hour_is_dated(book: Book) -> None:
    shop = Workshop(book, site_zone="Asia/Tokyo").gauged(a_reading("2.pin", SEEN, "doubtful", OPENED_AT))
    decide(book, shop.id, a_decision("2.pin", Verdict.RENEW))

    local = (OPENED_AT + timedelta(hours=9)).strftime("%H:%M")

    assert f"I. Brandreth, {(OPENED_AT + timedelta(hours=9)).day}" in record_of(shop)
    assert local in record_of(shop)
    assert "Times are Asia/Tokyo" in record_of(shop)


def test_new_parts_and_sizes_made_stand_with_number_and_batch(book: Book) -> None:
    worn_bore = a_reading("2.cylinder", "bore", "78.12", OPENED_AT, level="mid stroke", axis="along the pin")
    shop = Workshop(book).decided(WORN_RING, worn_bore)
    fit(book, shop.id, "2.ring-set", OPENED_AT)
    fit(book, shop.id, "2.cylinder", OPENED_AT, made_to="78.25")

    record = record_of(shop)

    assert "Ring set QM-31-230 B-7" in record
    assert "2-06 Cylinder B-7 78.25" in record


def test_record_names_who_gauged_as_found_and_who_as_fitted(book: Book) -> None:
    shop = Workshop(book).with_new_rings()
    shop.key_in(shop.chief, "2.ring-3/closed-gap", base="fit", goes="0.20", does_not_go="0.35", instrument="F-9")

    row = next(row for row in record_rows(shop) if "F-9" in row and "fitted:" in row)

    assert "MT" in row.split("fitted:")[0]
    assert "IB" in row.split("fitted:")[1]


def test_record_orders_what_the_verdicts_ask_for(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)

    record = record_of(shop)

    assert "Ring set 78 QM-31-230" in record
    assert "Valve cover gasket 78" in record


def test_record_without_a_part_to_order_says_so(book: Book) -> None:
    shop = Workshop(book).gauged()

    assert "No part by verdict." in record_of(shop)


def test_record_covers_one_sheet_for_each_stage_in_the_scope(book: Book) -> None:
    shop = Workshop(book, stages=(1, 3))

    page = shop.auditor.get(shop.url("/record")).text

    assert [f'id="sheet-{number}"' in page for number in (1, 2, 3)] == [True, False, True]


def test_blank_sheet_lists_every_place_with_its_new_range_and_limit(book: Book) -> None:
    shop = Workshop(book)

    page = shop.fitter.get(shop.url("/blank")).text

    places = [place for part in shop.overhaul.parts for place in part.required]
    assert page.count('class="to-fill"') == len(places)
    assert "0.20–0.35" in page
    assert "at most 0.65" in page
    assert "mid stroke, across the pin" in page


def test_blank_sheet_leads_to_typing_it_in(book: Book) -> None:
    shop = Workshop(book).safe()

    page = shop.fitter.get(shop.url("/blank")).text

    assert f'href="{shop.url("/gauge?paper=M.%20Tarrow")}"' in page


def test_proving_run_stands_on_the_record_with_every_figure_as_typed(book: Book) -> None:
    shop = Workshop(book).returned()

    page = words_of(shop.auditor.get(shop.url("/record")).text)

    assert "Run by M. Tarrow" in page
    assert "Stage 2 gauge 11.3 bar 10.2 to 12.8 bar" in page
    assert "Air at the intake 1.013 bar absolute, 20 °C; 900 revolutions a minute; 0.5 m³ shut off." in page
    assert "Pump-up 3: 20 to 40 bar in 500 s, air 22 to 31 °C." in page


def test_run_outside_the_sheet_is_told_on_the_record_and_why_there_was_no_pump_up_test(book: Book) -> None:
    shop = Workshop(book).boxed_up()
    none = {f"{name}-{run}": "" for name in ("start", "end", "seconds") for run in "123"}
    none |= {f"{name}_temperature-{run}": "" for name in ("start", "end") for run in "123"}
    run_it(book, shop.id, OPENED_AT, **{"gauge-1": "2.9", "no_pump_up": "The receiver is out of service."}, **none)

    page = words_of(shop.auditor.get(shop.url("/record")).text)

    assert "Not proved." in page
    assert "2.9 bar 2.0 to 2.7 bar OUTSIDE" in page
    assert "No pump-up test: The receiver is out of service." in page


def test_who_confirmed_again_that_it_is_safe_stands_on_the_record(book: Book) -> None:
    shop = Workshop(book, safe_again_hours=72).safe()
    shop.chief.get(shop.url("/safe-again"))
    shop.chief.post(shop.url("/safe-again"), {})

    assert "Confirmed again that it is safe: IB" in words_of(shop.auditor.get(shop.url("/record")).text)
