"""Tests of what may be amended, what an amendment changes, and whose signature it takes."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from app.domain.amending import (
    amendable,
    amendment_content,
    as_read,
    own_way,
    require_amendable,
    standing_amended,
    waiting,
    ways,
)
from app.domain.amendments import Amendment, Answer, Outcome, require_answer_by_another
from app.domain.canonical import canonical, digest
from app.domain.errors import NotAllowed, NotYet, Sealed
from app.domain.numbers import millimetres
from app.domain.overhaul import Meaning, Overhaul, Signature
from app.domain.readings import Kind, Occasion, Place, Reading
from app.domain.seal import content_for
from tests.domain.builders import an_overhaul

NOW = datetime(2031, 4, 5, tzinfo=UTC)
PIN = Place("2.pin", "diameter")
SIGNED = Answer(Outcome.SIGNED, "I. Brandreth", NOW, "", "digest")


def a_pin(identifier: str = "r-1", value: str = "21.95", **other: object) -> Reading:
    given = {"occasion": Occasion.AS_FOUND, "kind": Kind.SIZE, "value": millimetres(value)} | other
    return Reading(identifier, PIN, measured_by="M. Tarrow", entered_by="M. Tarrow", measured_at=NOW,
                   stored_at=NOW, **given)  # type: ignore[arg-type]  # fmt: skip


def signed(*meanings: Meaning, **other: object) -> Overhaul:
    seals = tuple(Signature(meaning, "I. Brandreth", NOW, "d") for meaning in meanings)
    return replace(an_overhaul(), signatures=seals, **({"readings": (a_pin(),)} | other))  # type: ignore[arg-type]


def an_amendment(answer: Answer | None = None, value: str = "21.97", number: int = 1) -> Amendment:
    words = "2.6 Pin", "21.95 mm", f"{value} mm", "digits turned round", "M. Tarrow", NOW
    return Amendment(number, "2.pin", "r-1", *words, a_pin(value=value), answer)


def test_as_found_is_amended_once_decided_and_as_fitted_once_returned() -> None:
    fitted, look = a_pin("r-2", occasion=Occasion.AS_FITTED), a_pin("r-3", is_second_look=True)
    entries = {"readings": (a_pin(), fitted), "looks": (look,)}
    both = (Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF)

    found = [signed(*meanings, **entries) for meanings in ((Meaning.GAUGED,), (Meaning.DECIDED,), both)]
    found.append(signed(paper="a log", **entries))

    assert [[r.id for r in amendable(each)] for each in found] == [
        [],
        ["r-1", "r-3"],
        ["r-1", "r-2", "r-3"],
        ["r-1", "r-2", "r-3"],
    ]


@pytest.mark.parametrize("reading", ["r-1", "", "no such"])
def test_what_is_not_sealed_is_put_right_where_it_was_entered(reading: str) -> None:
    with pytest.raises(NotYet, match="put right where it was entered"):
        require_amendable(signed(Meaning.GAUGED), reading)


def test_entry_waits_for_the_answer_to_its_amendment_and_what_is_no_entry_needs_none() -> None:
    asked, answered = (signed(Meaning.DECIDED, amendments=(an_amendment(answer),)) for answer in (None, SIGNED))

    assert require_amendable(asked, "") is None
    assert require_amendable(answered, "r-1") == a_pin(value="21.97")
    assert waiting(asked, "r-1") == an_amendment()
    assert (waiting(asked, "r-2"), waiting(answered, "r-1")) == (None, None)


def test_amended_value_counts_once_signed_and_the_last_one_signed_does() -> None:
    declined = Answer(Outcome.DECLINED, "I. Brandreth", NOW, "it is 21.95", "digest")
    rows = [an_amendment(), an_amendment(declined), an_amendment(SIGNED), an_amendment(SIGNED, "21.98", 2)]

    def read(*amendments: Amendment) -> str:
        overhaul = signed(Meaning.DECIDED, amendments=amendments)
        assert as_read(overhaul, a_pin()) == standing_amended(overhaul, Occasion.AS_FOUND)[PIN]
        return standing_amended(overhaul, Occasion.AS_FOUND)[PIN].written

    assert [read(rows[0]), read(rows[1]), read(rows[2]), read(*rows)] == [
        "21.95 mm",
        "21.95 mm",
        "21.97 mm",
        "21.98 mm",
    ]
    assert [each.standing for each in rows[:3]] == [
        "amendment NOT SIGNED, does not count",
        "declined by I. Brandreth: it is 21.95",
        "signed by I. Brandreth",
    ]
    assert rows[0].note == "to 21.97 mm: amendment NOT SIGNED, does not count"
    assert rows[2].note == "amended to 21.97 mm, signed by I. Brandreth"


def test_overhaul_names_the_amendments_of_an_entry_but_those_declined() -> None:
    declined = Answer(Outcome.DECLINED, "I. Brandreth", NOW, "no", "digest")
    overhaul = signed(Meaning.DECIDED, amendments=(an_amendment(declined), an_amendment(SIGNED, number=2)))

    assert [each.id for each in overhaul.amendments_of("r-1")] == [2]
    assert overhaul.amendments_of("r-2") == ()


@pytest.mark.parametrize(
    ("place", "kinds"),
    [
        (PIN, [Kind.SIZE, Kind.CANNOT]),
        (Place("2.ring-1", "closed-gap", "worst place"), [Kind.SIZE, Kind.PAIR, Kind.CANNOT]),
        (Place("2.cylinder", "bore", "mid stroke", "across the pin"), [Kind.SIZE, Kind.DIAL, Kind.CANNOT]),
        (Place("2.pin", "seen"), [Kind.SEEN, Kind.CANNOT]),
        (Place("no such", "diameter"), [Kind.SEEN, Kind.CANNOT]),
    ],
)
def test_entry_is_amended_in_the_ways_of_its_place(place: Place, kinds: list[Kind]) -> None:
    entry = replace(a_pin(), place=place)

    assert list(ways(signed(Meaning.DECIDED), entry)) == kinds


def test_leaf_that_goes_is_amended_as_a_pair_half_filled_and_all_else_as_it_was_entered() -> None:
    entry = replace(a_pin(), kind=Kind.GOES, goes=millimetres("0.30"), value=None)

    assert (own_way(entry), own_way(a_pin())) == (Kind.PAIR, Kind.SIZE)


@pytest.mark.parametrize("meaning", list(Meaning))
def test_what_was_signed_keeps_its_digest_beside_any_amendment(meaning: Meaning) -> None:
    before, after = (signed(Meaning.DECIDED, amendments=each) for each in ((), (an_amendment(SIGNED),)))

    seals = [digest(canonical(content_for(each, meaning))) for each in (before, after)]

    assert seals[0] == seals[1]


def test_whoever_proposed_it_does_not_answer_it_and_it_is_answered_once() -> None:
    require_answer_by_another(an_amendment(), "I. Brandreth")

    with pytest.raises(NotAllowed, match="another chief engineer"):
        require_answer_by_another(an_amendment(), "M. Tarrow")
    with pytest.raises(Sealed, match=r"signed by I\. Brandreth already"):
        require_answer_by_another(an_amendment(SIGNED), "R. Osk")


def test_signature_covers_the_amendment_the_answer_and_the_seals_it_stands_beside() -> None:
    overhaul = signed(Meaning.DECIDED)

    contents = [
        canonical(amendment_content(overhaul, each, outcome, words))
        for each in (an_amendment(), an_amendment(value="21.98"), replace(an_amendment(), reason="other"))
        for outcome, words in ((Outcome.SIGNED, ""), (Outcome.DECLINED, "no"))
    ]

    assert len(set(contents)) == 6
    assert '"beside":["d"]' in contents[0]
