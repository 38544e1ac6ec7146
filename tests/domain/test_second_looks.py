"""Second looks: whether they agree, when a third is asked for, and which reading is judged."""

from dataclasses import replace

import pytest

from app.domain.canonical import canonical, digest
from app.domain.errors import InputRefused
from app.domain.limits import Characteristic
from app.domain.overhaul import Meaning, Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.readings import SEEN, Kind, Occasion, Reading
from app.domain.seal import content_for
from app.domain.second_looks import Looks, check_look, is_unseen, looks_at
from app.domain.working import working_of
from tests.builders import a_reading
from tests.domain.builders import a_gauged_overhaul, a_part, an_overhaul, the_sheet

GAP, PIN, BORE = ("2.ring-1", "closed-gap"), ("2.pin", "diameter"), ("2.cylinder", "bore")
CELL = {"level": "mid stroke", "axis": "along the pin"}


def first(place: tuple[str, str], short: str, **other: object) -> Reading:
    """M. Tarrow's reading."""
    where = {"level": "worst place"} if place == GAP else {}
    return a_reading(*place, short, **(where | other))


def look(place: tuple[str, str], short: str, by: str = "R. Osk", **other: object) -> Reading:
    """Another person's look."""
    return first(place, short, measured_by=by, entered_by=by, is_second_look=True, **other)


def looks(place: tuple[str, str], *shorts: str, **other: object) -> Looks:
    """The first reading and the looks of others."""
    people = ("R. Osk", "I. Brandreth")
    others = [look(place, short, by, **other) for short, by in zip(shorts[1:], people, strict=False)]
    found = looks_at(the_sheet(), a_part(place[0]), first(place, shorts[0], **other), others)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("place", "shorts", "judged"),
    [
        (GAP, ("0.60", "0.61"), "0.61"), (GAP, ("0.61", "0.60"), "0.61"), (PIN, ("21.960", "21.961"), "21.960"),
        (GAP, ("0.55/0.60", "0.60/0.65"), "0.65"), (GAP, ("0.60/0.70", "0.66/0.75"), "0.66"),
    ],
)  # fmt: skip
def test_looks_that_agree_are_judged_by_the_less_favourable(
    place: tuple[str, str], shorts: tuple[str, ...], judged: str
) -> None:
    found = looks(place, *shorts)

    assert found.agree
    assert not found.asks_third
    assert judged in found.judged.written
    assert "They agree within" in found.words


def test_looks_that_differ_ask_for_a_third_and_are_judged_by_the_less_favourable_until_then() -> None:
    found = looks(GAP, "0.50", "0.70")

    assert found.asks_third
    assert found.judged.written == "0.70 mm"
    assert "a third look is asked for. Until then 0.70 mm is judged" in found.words


def test_middle_of_three_looks_is_judged_where_two_differ() -> None:
    found = looks(GAP, "0.50", "0.70", "0.55")

    assert not found.asks_third
    assert found.judged.written == "0.55 mm"
    assert "the middle one of three" in found.words


def test_third_look_beside_two_that_agree_after_a_correction_leaves_the_least_favourable() -> None:
    assert looks(GAP, "0.60", "0.60", "0.64").judged.written == "0.64 mm"


def test_in_a_bore_the_more_worn_look_is_judged() -> None:
    assert looks(BORE, "78.02", "78.03", **CELL).judged.written == "78.03 mm"


def test_in_a_grid_that_wear_makes_smaller_the_smaller_look_is_judged() -> None:
    found = looks(BORE, "78.02", "78.03", **CELL)
    shrinking = replace(found.gauging.characteristic, limits=_pin().limits)

    assert replace(found, gauging=replace(found.gauging, characteristic=shrinking)).judged.written == "78.02 mm"


def _pin() -> Characteristic:
    characteristic = a_part(PIN[0]).characteristic(PIN[1])
    assert characteristic is not None
    return characteristic


def test_size_without_a_limit_has_no_less_favourable_look_so_the_first_stands() -> None:
    found = looks(GAP, "0.60", "0.61")
    bare = replace(found.gauging.characteristic, limits=())

    assert replace(found, gauging=replace(found.gauging, characteristic=bare)).judged.written == "0.60 mm"


def test_look_at_another_place_or_of_the_same_person_or_at_no_size_does_not_count() -> None:
    part, mine = a_part(GAP[0]), first(GAP, "0.60")
    cannot = replace(mine, kind=Kind.CANNOT, value=None, reason="seized")
    seen = a_reading(GAP[0], SEEN, "sound")
    elsewhere = look(GAP, "0.70", level="unworn end")

    assert looks_at(the_sheet(), part, mine, [elsewhere, look(GAP, "0.70", "M. Tarrow")]) is None
    assert looks_at(the_sheet(), part, cannot, [look(GAP, "0.70")]) is None
    assert looks_at(the_sheet(), part, seen, [look(GAP, "0.70")]) is None


def test_later_look_of_the_same_person_replaces_their_earlier_one() -> None:
    found = looks_at(the_sheet(), a_part(GAP[0]), first(GAP, "0.60"), [look(GAP, "0.70"), look(GAP, "0.61")])

    assert found is not None
    assert [reading.written for reading in found.readings] == ["0.60 mm", "0.61 mm"]


def looked_at(*others: Reading) -> Overhaul:
    """An overhaul gauged everywhere, at ring 1 by several."""
    return replace(a_gauged_overhaul(first(GAP, "0.60")), looks=others)


def test_verdict_and_working_follow_the_look_that_is_judged() -> None:
    overhaul = looked_at(look(GAP, "0.70"))
    verdict = next(v for v in judge_overhaul(overhaul) if v.part.ref == GAP[0])

    steps = [
        step for step in working_of(overhaul, verdict, Occasion.AS_FOUND, False, {}) if "Second look" in step.title
    ]

    assert verdict.own == "renew"
    assert overhaul.first_looks(Occasion.AS_FOUND)[first(GAP, "0.60").place].written == "0.60 mm"
    assert [step.lines[:2] for step in steps] == [("M. Tarrow: 0.60 mm.", "R. Osk: 0.70 mm.")]


def test_looks_at_a_place_that_nobody_gauged_or_that_the_sheet_lacks_say_nothing() -> None:
    stray = replace(look(GAP, "0.70"), place=replace(first(GAP, "0.60").place, part="9.ring"))

    assert replace(an_overhaul(), looks=(look(GAP, "0.70"), stray)).looked_at(Occasion.AS_FOUND) == ()
    assert looked_at(look(GAP, "0.70")).looked_at(Occasion.AS_FITTED) == ()


@pytest.mark.parametrize("meaning", list(Meaning))
def test_second_look_is_sealed_and_an_overhaul_without_one_is_sealed_as_ever(meaning: Meaning) -> None:
    plain, again = a_gauged_overhaul(first(GAP, "0.60")), looked_at(look(GAP, "0.61"))

    before, after = (canonical(content_for(each, meaning)) for each in (plain, again))

    assert "is_second_look" not in before
    assert "looked_again" not in before
    assert digest(before) != digest(after)
    assert '"looked_again_as_found":[{' in after


def refusal(first_reading: Reading | None, new: Reading, *before: Reading) -> str:
    """Why a look is not taken."""
    with pytest.raises(InputRefused) as refused:
        check_look(the_sheet(), a_part(GAP[0]), first_reading, new, before)
    return refused.value.fields["kind"]


def test_look_is_refused_where_it_is_not_another_persons_or_not_asked_for() -> None:
    mine, second, third = first(GAP, "0.50"), look(GAP, "0.70"), look(GAP, "0.55", "I. Brandreth")
    condition = a_reading(GAP[0], SEEN, "sound", measured_by="R. Osk", entered_by="R. Osk", is_second_look=True)
    cannot = replace(mine, kind=Kind.CANNOT, value=None, reason="seized")
    lent = replace(third, measured_by="R. Osk")

    assert "nothing here yet" in refusal(None, second)
    assert "nothing here yet" in refusal(mine, condition)
    assert "nothing here yet" in refusal(cannot, second)
    assert "another person's than M. Tarrow's" in refusal(mine, look(GAP, "0.50", "M. Tarrow"))
    assert "No further look is asked for. They agree" in refusal(mine, third, look(GAP, "0.50"))
    assert "another person's than the second" in refusal(mine, lent, second)
    assert "No further look" in refusal(mine, look(GAP, "0.6", "S. Venn"), second, third)


def test_third_look_is_taken_where_two_differ_and_ones_own_may_be_put_right() -> None:
    mine, second = first(GAP, "0.50"), look(GAP, "0.70")
    sheet, part = the_sheet(), a_part(GAP[0])

    assert check_look(sheet, part, mine, second, ()) == ""
    assert check_look(sheet, part, mine, look(GAP, "0.55", "I. Brandreth"), (second,)) == ""
    assert check_look(sheet, part, mine, look(GAP, "0.51"), (second,)) == second.id


@pytest.mark.parametrize(
    ("seen", "person", "is_beside"),
    [
        ("", "R. Osk", True), ("an-older-one", "R. Osk", True), ("the-first", "R. Osk", False),
        (None, "R. Osk", False), ("", "M. Tarrow", False),
    ],
)  # fmt: skip
def test_entry_kept_without_having_seen_anothers_stands_beside_it(
    seen: str | None, person: str, is_beside: bool
) -> None:
    stands = replace(first(GAP, "0.60"), id="the-first")

    assert is_unseen(stands, seen, person) is is_beside


def test_nothing_is_unseen_where_nothing_stands_or_only_why_there_is_no_reading() -> None:
    cannot = replace(first(GAP, "0.60"), kind=Kind.CANNOT, value=None, reason="seized")

    assert not is_unseen(None, "", "R. Osk")
    assert not is_unseen(cannot, "", "R. Osk")
    assert is_unseen(a_reading("2.ring-1", SEEN, "sound"), "", "R. Osk")
