"""Tests of deciding: what the chief engineer may choose, with which reason, and what only by a concession."""

from datetime import UTC, datetime, timedelta

import pytest

from app.domain.days import date_words
from app.domain.overhaul import Concession
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import PASSWORD, a_reading
from tests.web.forms import form_of, has_form, said_beside, ticked, typed_in, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop, a_decision

REASON = "Looked at it myself, good for now."
CONCESSION = {"until_hours": "3000", "second_person": "R. Osk", "second_password": PASSWORD}
WORN_PIN = a_reading("2.pin", "diameter", "21.960", OPENED_AT)
WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")


def decide_on(shop: Workshop, ref: str, verdict: str, status: int = 303, **typed: str) -> str:
    """Open the decision on a part or set, fill its form and send it; the page that comes back."""
    shop.chief.get(shop.url(f"/decide?item={ref}"))
    form = form_of(shop.chief.page, shop.url("/decisions"))
    answer = shop.chief.post(shop.url("/decisions"), form | {"verdict": verdict, "reason": REASON} | typed, status)
    return answer.text or shop.chief.follow(answer).text


def verdict_of(shop: Workshop, ref: str) -> Verdict:
    """The verdict on a part as it stands."""
    return next(each.verdict for each in judge_overhaul(shop.overhaul) if each.part.ref == ref)


def test_what_is_not_reuse_comes_first_and_the_sound_parts_are_counted(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN, a_reading("2.head", "seen", "doubtful", OPENED_AT))

    stage = words_in(shop.chief.get(shop.url("/decide")).text, "stage-2")

    places = [stage.index(name) for name in ("2-10 Head", "2-08 Piston pin", "7 more parts, all REUSE")]
    assert places == sorted(places)


def test_fitter_sees_the_verdicts_and_decides_nothing(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    page = shop.fitter.get(shop.url("/decide?item=2.pin")).text
    shop.fitter.post(shop.url("/decisions"), {"ref": "2.pin", "verdict": "renew", "reason": REASON}, 403)

    assert not has_form(page, shop.url("/decisions"))
    assert "21.960 mm is under the limit 21.970 mm." in words_of(page)
    assert shop.overhaul.decisions == ()


def test_nothing_is_decided_before_the_fitter_has_signed(book: Book) -> None:
    shop = Workshop(book).all_gauged(WORN_PIN)

    page = shop.chief.get(shop.url("/decide?item=2.pin")).text
    shop.chief.post(shop.url("/decisions"), {"ref": "2.pin", "verdict": "renew", "reason": REASON}, 409)

    assert not has_form(page, shop.url("/decisions"))
    assert shop.overhaul.decisions == ()


def test_undecided_part_is_decided_to_renew_beside_its_first_verdict(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "doubtful", OPENED_AT))

    page = words_of(decide_on(shop, "2.pin", "renew"))

    assert verdict_of(shop, "2.pin") is Verdict.RENEW
    assert "Decided by I. Brandreth: " + REASON in page
    assert "First verdict: UNDECIDED" in page
    assert "Your decision is on the sheet." in page
    assert "QM-31-260" in page


def test_undecided_part_is_decided_to_reuse_with_a_reason_alone(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "doubtful", OPENED_AT))

    decide_on(shop, "2.pin", "reuse")

    assert verdict_of(shop, "2.pin") is Verdict.REUSE
    assert shop.overhaul.decisions[0].concession is None


@pytest.mark.parametrize(("reason", "said"), [("fine", "in your own words"), ("x" * 501, "At most 500 characters.")])
def test_decision_needs_a_reason_in_words(book: Book, reason: str, said: str) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    page = decide_on(shop, "2.pin", "renew", 422, reason=reason)

    assert said in said_beside(page, "reason")
    assert typed_in(page, "reason") == reason
    assert ticked(page, "verdict") == ["renew"]
    assert shop.overhaul.decisions == ()


@pytest.mark.parametrize("verdict", ["", "undecided", "scrap"])
def test_only_reuse_rework_and_renew_can_be_chosen(book: Book, verdict: str) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    page = decide_on(shop, "2.pin", verdict, 422)

    assert said_beside(page, "verdict") == "Choose REUSE, REWORK or RENEW."
    assert typed_in(page, "reason") == REASON


def test_reuse_of_a_worn_part_needs_a_concession(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    page = decide_on(shop, "2.pin", "reuse", 422)

    assert "it needs an end and a second signature" in said_beside(page, "until_hours")
    assert shop.overhaul.decisions == ()


def test_concession_stands_with_its_end_and_its_second_signature(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)
    end = datetime.now(UTC).date() + timedelta(days=90)

    page = words_of(decide_on(shop, "2.pin", "reuse", **CONCESSION, until_date=end.isoformat()))

    assert verdict_of(shop, "2.pin") is Verdict.REUSE
    assert shop.overhaul.decisions[0].concession == Concession("R. Osk", 3000, end)
    assert f"Concession until 3000 h or {date_words(end)}, second signature R. Osk." in page


def test_concession_may_end_by_date_alone(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)
    end = datetime.now(UTC).date() + timedelta(days=90)

    decide_on(shop, "2.pin", "reuse", **CONCESSION | {"until_hours": ""}, until_date=end.isoformat())

    assert shop.overhaul.decisions[0].concession == Concession("R. Osk", None, end)


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"second_password": "wrong-password"}, "second_password", "This is not R. Osk's password."),
        ({"second_person": "I. Brandreth"}, "second_person", "The second signature is another person's."),
        ({"second_person": "M. Tarrow"}, "second_person", "another chief engineer's"),
        ({"second_person": "N. Obody"}, "second_person", "another chief engineer's"),
        ({"second_person": ""}, "second_person", "The second signature is another person's."),
        ({"until_hours": "2300"}, "until_hours", "The end lies ahead of the 2300 h of this opening."),
        ({"until_hours": "1000001"}, "until_hours", "More than 1000000 h cannot be."),
        ({"until_date": "2020-01-31"}, "until_date", "The end lies ahead of today."),
        ({"until_date": "next year"}, "until_date", "Give the date as 2027-03-31."),
    ],
)
def test_concession_that_is_not_whole_is_refused_beside_its_field(
    book: Book, typed: dict[str, str], field: str, said: str
) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    page = decide_on(shop, "2.pin", "reuse", 422, **CONCESSION | typed)

    kept = CONCESSION | typed
    assert said in said_beside(page, field)
    assert typed_in(page, "reason") == REASON
    assert typed_in(page, "until_hours") == kept["until_hours"]
    assert PASSWORD not in page
    assert shop.overhaul.decisions == ()


def test_second_chief_engineer_who_is_kept_out_signs_no_concession(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)
    shop.keep_out("R. Osk")

    page = decide_on(shop, "2.pin", "reuse", 422, **CONCESSION)

    assert "another chief engineer's" in said_beside(page, "second_person")


def test_end_left_in_the_form_of_a_renewal_is_refused_beside_its_field(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    page = decide_on(shop, "2.pin", "renew", 422, **CONCESSION)

    assert "A renewed part needs no concession" in said_beside(page, "until_hours")
    assert shop.overhaul.decisions == ()


def test_end_that_is_given_without_need_is_kept_with_its_second_signature(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "doubtful", OPENED_AT))

    decide_on(shop, "2.pin", "reuse", **CONCESSION)

    assert shop.overhaul.decisions[0].concession == Concession("R. Osk", 3000)


def test_crack_is_renewed_and_no_concession_can_be_forged_over_it(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "cracked", OPENED_AT))

    page = shop.chief.get(shop.url("/decide?item=2.pin")).text
    forged = decide_on(shop, "2.pin", "reuse", 422, **CONCESSION)

    assert 'value="renew"' in page
    assert 'value="reuse"' not in page
    assert "A crack or a broken part is renewed" in said_beside(forged, "verdict")
    assert shop.overhaul.decisions == ()


def test_whole_set_is_decided_on_one_line(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)

    row = words_in(shop.chief.get(shop.url("/decide")).text, "row-2.ring-set")
    decide_on(shop, "2.ring-set", "reuse", **CONCESSION)

    assert "Item 2-03 to 2-05" in row
    assert [verdict_of(shop, f"2.ring-{number}") for number in (1, 2, 3)] == [Verdict.REUSE] * 3


def test_ring_that_goes_with_its_set_is_not_decided_by_itself(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)
    shop.chief.get(shop.url("/decide"))

    typed = {"ref": "2.ring-2", "verdict": "reuse", "reason": REASON}
    shop.chief.post(shop.url("/decisions"), typed | CONCESSION, 404)

    assert shop.overhaul.decisions == ()


def test_broken_ring_leaves_its_set_no_choice(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.ring-3", "seen", "broken", OPENED_AT), WORN_RING)

    page = shop.chief.get(shop.url("/decide?item=2.ring-set")).text
    forged = decide_on(shop, "2.ring-set", "reuse", 422, **CONCESSION)

    assert 'value="reuse"' not in page
    assert "A crack or a broken part is renewed" in said_beside(forged, "verdict")


def test_decision_is_changed_by_another_and_both_stay(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "doubtful", OPENED_AT))

    decide_on(shop, "2.pin", "reuse")
    decide_on(shop, "2.pin", "renew", reason="Looked again in better light.")

    assert [each.verdict for each in shop.overhaul.decisions] == [Verdict.REUSE, Verdict.RENEW]
    assert verdict_of(shop, "2.pin") is Verdict.RENEW


def test_decision_sent_twice_is_put_there_once(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    decide_on(shop, "2.pin", "reuse", **CONCESSION)
    decide_on(shop, "2.pin", "reuse", **CONCESSION)

    assert len(shop.overhaul.decisions) == 1


def test_sound_part_can_be_decided_to_renew_from_the_folded_list(book: Book) -> None:
    shop = Workshop(book).gauged()

    page = shop.chief.get(shop.url("/decide?item=2.pin")).text
    decide_on(shop, "2.pin", "renew", reason="Both pins go at this opening.")

    assert has_form(page, shop.url("/decisions"))
    assert verdict_of(shop, "2.pin") is Verdict.RENEW


def test_mate_of_a_renewed_part_waits_for_it(book: Book) -> None:
    shop = Workshop(book).decided(decisions=(a_decision("2.pin", Verdict.RENEW),))

    page = words_of(shop.chief.get(shop.url("/decide")).text)

    assert "Waits for piston pin: judged again after that is done." in page


def test_parts_to_order_follow_the_verdicts(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_RING)

    page = words_of(shop.chief.get(shop.url("/decide")).text)

    assert "QM-31-230" in page
    assert "QM-31-260" not in page


def test_auditor_decides_nothing(book: Book) -> None:
    shop = Workshop(book).gauged(WORN_PIN)

    shop.auditor.get(shop.url("/decide"))
    shop.auditor.post(shop.url("/decisions"), {"ref": "2.pin", "verdict": "renew", "reason": REASON}, 403)

    assert shop.overhaul.decisions == ()
