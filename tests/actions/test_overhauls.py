"""Tests of the changes of an overhaul: each refused where its role, its phase or its figures do not allow it."""

from datetime import UTC, datetime, timedelta

import pytest

from app.actions.fittings import enter_fitting
from app.actions.keeping import keep_reading
from app.actions.overhauls import (
    TypedDecision,
    confirm_step,
    decide,
    open_overhaul,
    overhaul,
    sign,
)
from app.domain.entries import Typed
from app.domain.errors import InputRefused, NotAllowed, NotThere, NotYet, Sealed
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.people import Person, Role
from app.domain.readings import Occasion, Place
from app.domain.verdicts import Verdict
from app.store.book import Book
from tests.actions.openings import LATER, an_opening
from tests.builders import (
    NOW,
    PASSWORD,
    a_machine,
    a_person,
    a_reading,
    a_sheet,
    an_overhaul,
    confirm_all,
    enter,
    good_readings,
    run_it,
    sign_all,
)

PIN = Place("2.pin", "diameter")
AUDITOR = Person(9, "S. Venn", Role.AUDITOR)


def typed(value: str, place: Place = PIN, identifier: str = "a-tablet-made-it", **other: object) -> Typed:
    """A size as the form sends it."""
    return Typed(identifier, place, Occasion(other.pop("occasion", "as found")), "size", value=value, **other)  # type: ignore[arg-type]


def test_opening_freezes_the_newest_revision_of_the_sheet_into_the_overhaul(book: Book) -> None:
    a_machine(book)
    fields = {"hours": "2001", "what": "valves", "request_id": "a-tablet-made-it"}

    number = open_overhaul(book, a_person(book), "GA-1", fields, ["1"], UTC, LATER)

    found = overhaul(book, number)
    assert (found.sheet.title, found.scope.stages, found.scope.has_rings) == ("QM-GA rev C", (1,), False)


def test_opening_names_every_field_that_is_wrong_at_once(book: Book) -> None:
    a_machine(book)

    with pytest.raises(InputRefused) as refused:
        open_overhaul(book, a_person(book), "GA-1", {"request_id": "a-tablet-made-it"}, [], UTC, LATER)

    assert set(refused.value.fields) == {"hours", "stages", "what"}


def test_auditor_changes_nothing_of_an_overhaul(book: Book) -> None:
    number = an_opening(book)
    before = overhaul(book, number)
    attempts = (
        lambda: open_overhaul(book, AUDITOR, "GA-1", {}, [], UTC, LATER),
        lambda: confirm_step(book, AUDITOR, number, Phase.MAKE_SAFE, "permit", "1", LATER),
        lambda: keep_reading(book, AUDITOR, number, typed("21.9"), LATER),
        lambda: decide(book, AUDITOR, number, TypedDecision("2.pin", "renew", "Worn."), UTC, LATER),
        lambda: enter_fitting(book, AUDITOR, number, "2.pin", {}, LATER),
        lambda: sign(book, AUDITOR, number, Meaning.GAUGED, PASSWORD, LATER),
    )

    for attempt in attempts:
        with pytest.raises(NotAllowed):
            attempt()

    assert overhaul(book, number) == before


def test_same_identifier_and_content_are_stored_once_whatever_the_clock_says(book: Book) -> None:
    number, fitter = an_opening(book, gauged=False), a_person(book)

    first = keep_reading(book, fitter, number, typed("21.99"), LATER)
    second = keep_reading(book, fitter, number, typed("21.99"), LATER + timedelta(minutes=1))

    assert second == first
    assert len(overhaul(book, number).readings) == 1


def test_reading_sent_again_after_the_decisions_are_signed_is_taken_as_stored(book: Book) -> None:
    number, fitter = an_opening(book), a_person(book)
    stored = keep_reading(book, fitter, number, typed("21.99", correction="gauged again"), LATER)
    sign_all(book, number, LATER, (Meaning.GAUGED, Meaning.DECIDED))

    again = keep_reading(book, fitter, number, typed("21.99", correction="gauged again"), LATER)

    assert again == stored
    with pytest.raises(Sealed):
        keep_reading(book, fitter, number, typed("21.98", identifier="another-tablet"), LATER)


def test_identifier_of_another_overhaul_is_refused(book: Book) -> None:
    first, fitter = an_opening(book, gauged=False), a_person(book)
    keep_reading(book, fitter, first, typed("21.99"), LATER)
    second = an_overhaul(book, a_machine(book, "GA-2"), "2300", NOW, a_sheet(book), stages=(2,))
    confirm_all(book, second, Phase.MAKE_SAFE)

    with pytest.raises(InputRefused) as refused:
        keep_reading(book, fitter, second, typed("21.99"), LATER)

    assert "already stands for" in refused.value.fields["kind"]


def test_entry_supersedes_the_one_of_its_own_occasion_only(book: Book) -> None:
    number = an_opening(book, a_reading("2.pin", "diameter", "21.960"), decided=True)
    fitter = a_person(book)

    fitted = keep_reading(book, fitter, number, typed("21.999", occasion="as fitted"), LATER)
    again = keep_reading(
        book, fitter, number, typed("21.998", identifier="another-tablet", occasion="as fitted"), LATER
    )

    assert fitted.supersedes == ""
    assert again.supersedes == fitted.id


def test_part_that_nobody_worked_on_is_not_gauged_as_fitted(book: Book) -> None:
    number, fitter = an_opening(book, decided=True), a_person(book)

    with pytest.raises(NotThere):
        keep_reading(book, fitter, number, typed("21.99", occasion="as fitted"), LATER)


def test_as_fitted_entry_before_boxing_up_comes_too_early(book: Book) -> None:
    number, fitter = an_opening(book), a_person(book)

    with pytest.raises(NotYet):
        keep_reading(book, fitter, number, typed("21.99", occasion="as fitted"), LATER)


def test_chief_engineer_decides_and_the_first_verdict_stays(book: Book) -> None:
    number = an_opening(book, a_reading("2.pin", "diameter", "21.960"))
    chief = a_person(book, "I. Brandreth", Role.CHIEF)

    decide(book, chief, number, TypedDecision("2.pin", "renew", "Worn right through."), UTC, LATER)

    decision = overhaul(book, number).decisions[0]
    assert (decision.verdict, decision.person, decision.at) == (Verdict.RENEW, "I. Brandreth", LATER)


def test_concession_keeps_the_second_person_and_both_ends(book: Book) -> None:
    number = an_opening(book, a_reading("2.pin", "diameter", "21.960"))
    chief = a_person(book, "I. Brandreth", Role.CHIEF)
    a_person(book, "R. Osk", Role.CHIEF)
    ends = {"until_hours": "3000", "until_date": "2027-03-31"}

    wanted = TypedDecision(
        "2.pin", "reuse", "No pin in store.", **ends, second_person="R. Osk ", second_password=PASSWORD
    )
    decide(book, chief, number, wanted, UTC, LATER)

    concession = overhaul(book, number).decisions[0].concession
    assert concession is not None
    assert (concession.second_person, concession.words) == ("R. Osk", "3000 h or 31 Mar 2027")


def test_signature_covers_a_digest_of_what_stands(book: Book) -> None:
    number = an_opening(book, gauged=False)
    enter(book, number, *good_readings(overhaul(book, number).parts, Occasion.AS_FOUND, NOW))
    fitter = a_person(book)

    with pytest.raises(InputRefused):
        sign(book, fitter, number, Meaning.GAUGED, "wrong-password", LATER)
    signature = sign(book, fitter, number, Meaning.GAUGED, PASSWORD, LATER)

    assert overhaul(book, number).signatures == (signature,)
    assert len(signature.digest) == 64


@pytest.mark.parametrize("first", [Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF])
def test_one_person_never_gives_both_signatures_of_returning_to_service(book: Book, first: Meaning) -> None:
    number = an_opening(book, decided=True)
    for phase in (Phase.BOX_UP, Phase.PROVE):
        confirm_all(book, number, phase)
    run_it(book, number)
    chief = a_person(book, "I. Brandreth", Role.CHIEF)
    second = {Meaning.RETURNED_FITTER: Meaning.RETURNED_CHIEF}.get(first, Meaning.RETURNED_FITTER)

    sign(book, chief, number, first, PASSWORD, LATER)

    with pytest.raises(NotAllowed):
        sign(book, chief, number, second, PASSWORD, LATER)


def test_overhaul_that_is_not_in_the_book_is_not_there(book: Book) -> None:
    with pytest.raises(NotThere):
        overhaul(book, 99)


def test_moment_of_a_change_is_kept_in_utc(book: Book) -> None:
    number, fitter = an_opening(book, gauged=False), a_person(book)

    keep_reading(book, fitter, number, typed("21.99"), LATER)

    found: Overhaul = overhaul(book, number)
    assert found.readings[0].stored_at == datetime(2026, 11, 24, 10, 0, tzinfo=UTC)
