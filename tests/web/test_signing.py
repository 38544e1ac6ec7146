"""Tests of signing: what still holds, the password again, and who may sign what."""

from app.domain.overhaul import Meaning, Phase
from app.domain.phases import phase_of
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.builders import PASSWORD, a_reading, decide
from tests.web.forms import form_of, has_form, said_beside, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop, a_decision

SIGNATURES = "/signatures"
FITTER, CHIEF = "returned to service, fitter", "returned to service, chief engineer"


def test_what_is_not_gauged_yet_holds_the_signature_and_is_named(book: Book) -> None:
    shop = Workshop(book).safe()

    page = shop.fitter.get(shop.url("/gauged")).text
    answer = shop.fitter.post(shop.url(SIGNATURES), {"meaning": "gauged", "password": PASSWORD})

    assert not has_form(page, shop.url(SIGNATURES))
    assert "10 parts want an entry" in words_of(page)
    assert "Not signed: what comes before the signature is on this page." in shop.fitter.follow(answer).text
    assert shop.overhaul.signatures == ()


def test_wrong_password_signs_nothing_and_is_said_beside_its_field(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    answer = shop.sign(shop.fitter, "/gauged", 422, "not-my-password")

    assert said_beside(answer.text, "password") == "This is not M. Tarrow's password."
    assert "not-my-password" not in answer.text
    assert shop.overhaul.signatures == ()


def test_right_password_signs_gauged_over_a_digest(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    answer = shop.sign(shop.fitter, "/gauged")

    signature = shop.overhaul.signatures[0]
    page = words_of(shop.fitter.follow(answer).text)
    assert (signature.meaning, signature.person) == (Meaning.GAUGED, "M. Tarrow")
    assert f"Digest begins {signature.digest[:8]}" in page
    assert "Signed: gauged. The chief engineer decides next." in page
    assert phase_of(shop.overhaul) is Phase.DECIDE


def test_entry_after_the_signature_asks_to_sign_again(book: Book) -> None:
    shop = Workshop(book).gauged()

    shop.key_in(shop.fitter, "2.pin/diameter", value="21.985")

    page = shop.fitter.get(shop.url("/gauged")).text
    assert phase_of(shop.overhaul) is Phase.GAUGE
    assert "Signed before by M. Tarrow, but an entry came after it. Sign again." in words_of(page)
    shop.sign(shop.fitter, "/gauged")
    assert phase_of(shop.overhaul) is Phase.DECIDE


def test_gauged_is_not_signed_a_second_time_over_the_same_readings(book: Book) -> None:
    shop = Workshop(book).gauged()
    shop.fitter.get(shop.url("/gauged"))

    answer = shop.fitter.post(shop.url(SIGNATURES), {"meaning": "gauged", "password": PASSWORD})

    page = words_of(shop.fitter.follow(answer).text)
    assert "Signed gauged by M. Tarrow" in page
    assert "Nothing was changed: this page says what stands already" in page
    assert len(shop.overhaul.signatures) == 1


def test_places_that_could_not_be_gauged_are_counted_before_signing(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    shop.key_in(shop.fitter, "2.pin/diameter", how="cannot", reason="Micrometer is out for checking.")

    page = words_of(shop.fitter.get(shop.url("/gauged")).text)

    assert "1 place could not be gauged." in page


def test_chief_engineer_signs_decided_with_the_password_again(book: Book) -> None:
    shop = Workshop(book).gauged()
    refused = shop.sign(shop.chief, "/decide", 422, "wrong-password")
    form = form_of(refused.text, shop.url(SIGNATURES))

    answer = shop.chief.post(shop.url(SIGNATURES), form | {"password": PASSWORD})

    assert said_beside(refused.text, "password") == "This is not I. Brandreth's password."
    assert answer.headers["location"] == shop.url("/box-up?done=signed-decided")
    assert shop.overhaul.signature(Meaning.DECIDED).person == "I. Brandreth"  # type: ignore[union-attr]


def test_fitter_does_not_sign_the_decisions(book: Book) -> None:
    shop = Workshop(book).gauged()

    page = shop.fitter.get(shop.url("/decide")).text
    shop.fitter.post(shop.url(SIGNATURES), {"meaning": "decided", "password": PASSWORD}, 403)

    assert not has_form(page, shop.url(SIGNATURES))
    assert phase_of(shop.overhaul) is Phase.DECIDE


def test_chief_engineer_who_signed_the_gauging_does_not_sign_the_decisions_too(book: Book) -> None:
    shop = Workshop(book).all_gauged()
    shop.sign(shop.chief, "/gauged")
    shop.chief.get(shop.url("/decide"))

    answer = shop.chief.post(shop.url(SIGNATURES), {"meaning": "decided", "password": PASSWORD}, 403)
    shop.sign(shop.visitor("R. Osk"), "/decide")

    assert "by another person than the fitter's" in words_of(answer.text).replace("&#39;", "'")
    assert shop.overhaul.signature(Meaning.DECIDED).person == "R. Osk"  # type: ignore[union-attr]


def test_undecided_part_holds_the_signature_of_the_decisions(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "doubtful", OPENED_AT))

    page = shop.chief.get(shop.url("/decide")).text
    answer = shop.chief.post(shop.url(SIGNATURES), {"meaning": "decided", "password": PASSWORD})

    assert "Waits for: 2-08 Piston pin is UNDECIDED." in words_of(page)
    assert "Waits for: 2-08 Piston pin is UNDECIDED." in words_of(shop.chief.follow(answer).text)
    assert shop.overhaul.signature(Meaning.DECIDED) is None


def test_readings_and_decisions_are_read_only_once_decided_is_signed(book: Book) -> None:
    shop = Workshop(book).decided()
    before = shop.overhaul

    reading = shop.key_in(shop.fitter, "2.pin/diameter", 409, value="21.985")
    typed = {"ref": "2.pin", "verdict": "renew", "reason": "Changed my mind."}
    decision = shop.chief.follow(shop.chief.post(shop.url("/decisions"), typed))

    assert "readings as found, verdicts and decisions are read-only" in reading.text
    assert "Nothing was changed: this page says what stands already" in decision.text
    assert shop.overhaul == before


def test_both_sign_the_machine_back_into_service_each_with_their_own_password(book: Book) -> None:
    shop = Workshop(book).proved()

    wrong = shop.sign(shop.fitter, "/prove", 422, "wrong-password")
    shop.sign(shop.fitter, "/prove")
    half = shop.fitter.get(shop.url("/prove")).text
    answer = shop.sign(shop.chief, "/prove")

    assert said_beside(wrong.text, "password") == "This is not M. Tarrow's password."
    assert not has_form(half, shop.url(SIGNATURES))
    assert "Chief engineer: not signed yet" in words_of(half)
    assert "Signed: returned to service." in words_of(shop.chief.follow(answer).text)
    assert phase_of(shop.overhaul) is Phase.RETURNED


def test_one_chief_engineer_does_not_sign_for_both_in_either_order(book: Book) -> None:
    shop = Workshop(book).proved()
    shop.chief.get(shop.url("/prove"))

    shop.chief.post(shop.url(SIGNATURES), {"meaning": CHIEF, "password": PASSWORD})
    shop.chief.post(shop.url(SIGNATURES), {"meaning": FITTER, "password": PASSWORD}, 403)
    second = shop.visitor("R. Osk")
    second.get(shop.url("/prove"))
    second.post(shop.url(SIGNATURES), {"meaning": FITTER, "password": PASSWORD})

    assert phase_of(shop.overhaul) is Phase.RETURNED


def test_chief_engineer_who_signed_as_the_fitter_does_not_sign_as_the_chief_too(book: Book) -> None:
    shop = Workshop(book).proved()
    shop.chief.get(shop.url("/prove"))

    shop.chief.post(shop.url(SIGNATURES), {"meaning": FITTER, "password": PASSWORD})
    shop.chief.post(shop.url(SIGNATURES), {"meaning": CHIEF, "password": PASSWORD}, 403)

    assert phase_of(shop.overhaul) is Phase.PROVE


def test_fitter_does_not_sign_as_the_chief_engineer(book: Book) -> None:
    shop = Workshop(book).proved()
    shop.fitter.get(shop.url("/prove"))

    shop.fitter.post(shop.url(SIGNATURES), {"meaning": CHIEF, "password": PASSWORD}, 403)

    assert shop.overhaul.signature(Meaning.RETURNED_CHIEF) is None


def test_unknown_signature_is_not_there(book: Book) -> None:
    shop = Workshop(book).gauged()
    shop.fitter.get(shop.url("/gauged"))

    shop.fitter.post(shop.url(SIGNATURES), {"meaning": "blessed", "password": PASSWORD}, 404)

    assert len(shop.overhaul.signatures) == 1


def test_auditor_reads_who_signed_and_signs_nothing(book: Book) -> None:
    shop = Workshop(book).all_gauged()

    page = words_in(shop.auditor.get(shop.url("/gauged")).text, "main")
    shop.auditor.post(shop.url(SIGNATURES), {"meaning": "gauged", "password": PASSWORD}, 403)

    assert "The fitter signs here." in page
    assert shop.overhaul.signatures == ()


def test_decision_after_the_signature_of_the_gauging_leaves_that_signature_standing(book: Book) -> None:
    shop = Workshop(book).gauged(a_reading("2.pin", "seen", "doubtful", OPENED_AT))

    decide(book, shop.id, a_decision("2.pin", Verdict.RENEW))

    assert phase_of(shop.overhaul) is Phase.DECIDE
    shop.sign(shop.chief, "/decide")
    assert phase_of(shop.overhaul) is Phase.BOX_UP
