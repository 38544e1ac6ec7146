"""Tests of what amended values make of signed verdicts: shown beside them, loud where they differ, worse or not."""

from dataclasses import replace

import pytest

from app.domain.amended_verdicts import AmendedVerdict, amended_verdicts, own_words, verdicts_by
from app.domain.amendments import Amendment, Answer, Outcome
from app.domain.numbers import millimetres
from app.domain.overhaul import Decision, Meaning, Overhaul, Signature
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.readings import Occasion, Place, Reading
from app.domain.verdicts import Verdict
from tests.builders import good_readings
from tests.domain.builders import LATER, NOW, a_gauged_overhaul, a_part

PIN = Place("2.pin", "diameter")
RING = Place("2.ring-1", "closed-gap", "worst place")
SIGNED = Answer(Outcome.SIGNED, "R. Osk", NOW, "", "digest")
DECLINED = replace(SIGNED, outcome=Outcome.DECLINED)
RETURNED = (Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF)


def sealed(*meanings: Meaning, **other: object) -> Overhaul:
    seals = tuple(Signature(meaning, "I. Brandreth", NOW, "d") for meaning in (Meaning.DECIDED, *meanings))
    return replace(a_gauged_overhaul(), signatures=seals, **other)  # type: ignore[arg-type]


def entry(overhaul: Overhaul, place: Place, occasion: Occasion = Occasion.AS_FOUND) -> Reading:
    return next(each for each in overhaul.readings if (each.place, each.occasion) == (place, occasion))


def amended(overhaul: Overhaul, reading: Reading, answer: Answer | None = SIGNED, **to: object) -> Overhaul:
    again = replace(reading, **to)  # type: ignore[arg-type]
    words = "what", reading.written, again.written, "misread", "M. Tarrow", NOW
    one = Amendment(1, reading.place.part, reading.id, *words, again, answer)
    return replace(overhaul, amendments=(*overhaul.amendments, one))


def test_amended_value_is_judged_by_the_same_sheet_and_what_was_signed_stays() -> None:
    before = sealed()
    after = amended(before, entry(before, PIN), value=millimetres("20.00"))

    (found,) = amended_verdicts(after)

    assert (found.part.ref, found.signed, found.amended) == ("2.pin", Verdict.REUSE, Verdict.RENEW)
    assert (found.differs, found.is_worse) == (True, True)
    assert found.words == "signed: REUSE – by the amended value: RENEW"
    assert found.named.startswith(f"{a_part('2.pin').item} ")
    assert "20.00" in found.reason
    assert judge_overhaul(after) == judge_overhaul(before)


def test_amended_value_within_its_limit_is_told_and_is_not_loud() -> None:
    before = sealed()
    pin = entry(before, PIN)

    (found,) = amended_verdicts(amended(before, pin, value=pin.value, instrument="M-09"))

    assert (found.differs, found.is_worse) == (False, False)
    assert found.words == "signed: REUSE – by the amended value: REUSE"


def test_amended_finding_is_judged_and_a_set_goes_with_its_ring() -> None:
    before = sealed()
    seen = entry(before, Place("2.ring-1", "seen"))

    found = amended_verdicts(amended(before, seen, findings=("broken",)))

    assert {each.part.ref for each in found} == {"2.ring-1", "2.ring-2", "2.ring-3"}
    assert all(each.is_worse for each in found)


def test_unsigned_and_declined_amendments_change_no_verdict_but_one_that_waits_can_be_looked_at() -> None:
    before = sealed()
    waiting, declined = (
        amended(before, entry(before, PIN), answer, value=millimetres("20.00")) for answer in (None, DECLINED)
    )

    assert amended_verdicts(waiting) == amended_verdicts(declined) == ()
    assert verdicts_by(declined, declined.amendments[0]) == ()
    assert [each.amended for each in verdicts_by(waiting, waiting.amendments[0])] == [Verdict.RENEW]


def test_amendment_in_words_is_judged_by_nobody() -> None:
    before = sealed()
    words = amended(before, entry(before, PIN))
    words = replace(words, amendments=(replace(words.amendments[0], amended=None, answer=None),))

    assert verdicts_by(words, words.amendments[0]) == ()
    assert amended_verdicts(words, words.amendments[0]) == ()


def test_amendment_shows_its_own_part_and_others_only_where_they_differ() -> None:
    overhaul = sealed()
    overhaul = amended(overhaul, entry(overhaul, PIN), value=millimetres("20.00"))
    overhaul = amended(overhaul, entry(overhaul, RING), instrument="F-09")
    pin, ring = overhaul.amendments

    assert [each.part.ref for each in verdicts_by(overhaul, pin)] == ["2.pin"]
    assert [each.part.ref for each in verdicts_by(overhaul, ring)] == ["2.ring-1", "2.pin"]


def test_words_of_one_amendment_are_of_its_own_part_and_loud_where_the_verdict_differs() -> None:
    overhaul = sealed()
    overhaul = amended(overhaul, entry(overhaul, PIN), value=millimetres("20.00"))
    overhaul = amended(overhaul, entry(overhaul, RING), instrument="F-09")

    assert [own_words(overhaul, each) for each in overhaul.amendments] == [
        "VERDICT DIFFERS, signed: REUSE – by the amended value: RENEW",
        "signed: REUSE – by the amended value: REUSE",
    ]


def test_decided_part_says_what_the_sheet_said_then_and_is_loud_only_where_neither_said_so() -> None:
    said = AmendedVerdict(
        a_part("2.pin"), Occasion.AS_FOUND, Verdict.REUSE, Verdict.RENEW, Verdict.RENEW, "Over the limit."
    )

    assert said.words == "signed: REUSE, decided; the sheet then: RENEW – by the amended value: RENEW"
    assert not said.differs
    assert not replace(said, signed=Verdict.RENEW, amended=Verdict.REUSE).is_worse
    assert replace(said, signed=Verdict.RENEW, amended=Verdict.REUSE).differs


def test_decision_stays_beside_the_amended_verdict() -> None:
    before = sealed(decisions=(Decision("2.pin", Verdict.RENEW, "new pin at hand", "I. Brandreth", LATER),))

    (found,) = amended_verdicts(amended(before, entry(before, PIN), value=millimetres("20.00")))

    assert (found.signed, found.by_sheet, found.amended) == (Verdict.RENEW, Verdict.REUSE, Verdict.RENEW)
    assert not found.differs


@pytest.mark.parametrize(("meanings", "count"), [((), 0), (RETURNED, 1)])
def test_as_fitted_value_is_judged_again_once_the_machine_was_returned(
    meanings: tuple[Meaning, ...], count: int
) -> None:
    overhaul = sealed(*meanings, decisions=(Decision("2.pin", Verdict.RENEW, "at hand", "I. Brandreth", LATER),))
    fitted = good_readings((a_part("2.pin"),), Occasion.AS_FITTED, LATER)
    overhaul = replace(overhaul, readings=(*overhaul.readings, *fitted))

    found = amended_verdicts(amended(overhaul, entry(overhaul, PIN, Occasion.AS_FITTED), value=millimetres("20.00")))

    assert len(found) == count
    for each in found:
        assert each.words == "signed, as fitted: REUSE – by the amended value: RENEW"


def test_as_fitted_verdict_that_no_amended_value_changes_is_not_told_again() -> None:
    overhaul = sealed(*RETURNED, decisions=(Decision("2.pin", Verdict.RENEW, "at hand", "I. Brandreth", LATER),))
    fitted = good_readings((a_part("2.pin"),), Occasion.AS_FITTED, LATER)
    overhaul = replace(overhaul, readings=(*overhaul.readings, *fitted))

    found = amended_verdicts(amended(overhaul, entry(overhaul, RING), instrument="F-09"))

    assert [(each.part.ref, each.occasion) for each in found] == [("2.ring-1", Occasion.AS_FOUND)]
