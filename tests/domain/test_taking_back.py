"""Taking an entry back: its maker strikes it, what stood before stands again, and nothing is erased."""

from dataclasses import replace

import pytest

from app.domain.canonical import canonical, digest
from app.domain.entries import Typed
from app.domain.errors import InputRefused
from app.domain.overhaul import Meaning, Overhaul
from app.domain.overhaul_verdicts import judge_overhaul, missing_places
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading, left, superseded
from app.domain.seal import content_for
from app.domain.second_looks import check_look
from app.domain.taking_back import may_take_back, take_back
from app.domain.verdicts import Verdict
from tests.builders import NOW, a_reading
from tests.domain.builders import a_gauged_overhaul, a_part

GAP = {"part": "2.ring-1", "characteristic": "closed-gap", "level": "worst place"}


def a_gap(short: str, name: str, **other: object) -> Reading:
    """A closed gap of ring 1 under this identifier."""
    return replace(a_reading(short=short, **GAP, **other), id=name)  # type: ignore[arg-type]


def a_strike(overhaul: Overhaul, entry: Reading, person: str = "M. Tarrow", **other: object) -> Reading:
    """What takes this entry back."""
    typed = Typed(f"back-{entry.id}", entry.place, entry.occasion, Kind.TAKEN_BACK.value, takes_back=entry.id)
    return take_back(overhaul, replace(typed, **other), person, NOW)


def with_entries(*entries: Reading) -> Overhaul:
    """Gauged everywhere, then these entries."""
    gauged = a_gauged_overhaul()
    mine = tuple(entry for entry in entries if not entry.is_second_look)
    return replace(gauged, readings=(*gauged.readings, *mine), looks=tuple(e for e in entries if e.is_second_look))


def alone(*entries: Reading) -> Overhaul:
    """Nothing gauged but these entries."""
    return replace(with_entries(), readings=entries)


def test_place_is_not_gauged_again_and_the_entry_is_struck_through() -> None:
    entry = a_gap("0.70", "wrong")
    before = alone(entry)

    after = alone(entry, a_strike(before, entry))

    assert entry.place not in after.standing(Occasion.AS_FOUND)
    assert entry.place in missing_places(after, a_part("2.ring-1"))
    assert superseded(after.readings) == {"wrong"}
    assert left(after.readings) == ()


def test_what_stood_before_stands_again_and_is_judged() -> None:
    first, wrong = a_gap("0.30", "first"), a_gap("0.70", "wrong", supersedes="first")
    before = with_entries(first, wrong)

    after = with_entries(first, wrong, a_strike(before, wrong))

    ring = a_part("2.ring-1").ref
    assert next(v for v in judge_overhaul(before) if v.part.ref == ring).own is Verdict.RENEW
    assert next(v for v in judge_overhaul(after) if v.part.ref == ring).own is Verdict.REUSE
    assert after.standing(Occasion.AS_FOUND)[first.place] == first


def test_finding_entered_by_mistake_is_taken_back() -> None:
    broken = replace(a_reading("2.ring-1", SEEN, "broken"), id="broken")
    before = with_entries(broken)

    after = with_entries(broken, a_strike(before, broken))

    assert all(verdict.own is Verdict.REUSE for verdict in judge_overhaul(after))


def test_entry_after_one_taken_back_counts() -> None:
    wrong, again = a_gap("0.70", "wrong"), a_gap("0.31", "again")
    strike = a_strike(alone(wrong), wrong)

    after = alone(wrong, strike, again)

    assert after.standing(Occasion.AS_FOUND) == {again.place: again}
    assert superseded(after.readings) == {"wrong"}


@pytest.mark.parametrize(
    ("change", "person", "words"),
    [
        ({}, "R. Osk", "Only M. Tarrow takes this back"),
        ({"takes_back": "nothing"}, "M. Tarrow", "no such entry left"),
        ({"place": Place("2.ring-2", "closed-gap", "worst place")}, "M. Tarrow", "no such entry left"),
        ({"occasion": Occasion.AS_FITTED}, "M. Tarrow", "no such entry left"),
    ],
)
def test_only_ones_own_entry_that_stands_there_is_taken_back(
    change: dict[str, object], person: str, words: str
) -> None:
    entry = a_gap("0.70", "wrong")

    with pytest.raises(InputRefused, match=words):
        a_strike(alone(entry), entry, person, **change)


def test_struck_entry_is_not_taken_back_again() -> None:
    entry, later = a_gap("0.70", "wrong"), a_gap("0.30", "right", supersedes="wrong")

    with pytest.raises(InputRefused, match="no such entry left"):
        a_strike(alone(entry, later), entry)

    assert not may_take_back(alone(entry, later), entry, "M. Tarrow")
    assert may_take_back(alone(entry, later), later, "M. Tarrow")
    assert not may_take_back(alone(entry, later), later, "R. Osk")


def test_second_look_is_taken_back_and_another_person_may_look() -> None:
    first = a_gap("0.30", "first")
    look = a_gap("0.60", "look", measured_by="R. Osk", entered_by="R. Osk", is_second_look=True)
    before = with_entries(first, look)

    strike = a_strike(before, look, "R. Osk")
    after = with_entries(first, look, strike)
    later = replace(look, id="later", measured_by="I. Brandreth", entered_by="I. Brandreth")

    assert strike.is_second_look
    assert before.looked_at(Occasion.AS_FOUND)
    assert after.looked_at(Occasion.AS_FOUND) == ()
    assert check_look(after.sheet, a_part("2.ring-1"), first, later, after.looks) == ""


def test_strike_is_sealed_with_the_entry_it_strikes() -> None:
    entry = a_gap("0.70", "wrong", supersedes="2.ring-1")
    before = with_entries(entry)
    after = with_entries(entry, a_strike(before, entry))

    sealed = {content["id"]: content for content in content_for(after, Meaning.GAUGED)["as_found"]}  # type: ignore[attr-defined]

    assert sealed["wrong"]["is_superseded"]
    assert sealed["back-wrong"]["supersedes"] == "wrong"
    assert not sealed["back-wrong"]["is_superseded"]
    digests = {digest(canonical(content_for(each, Meaning.GAUGED))) for each in (before, after)}
    assert len(digests) == 2


def test_strike_names_what_it_takes_back_and_says_so() -> None:
    entry = a_gap("0.70", "wrong")
    strike = a_strike(alone(entry), entry)

    with pytest.raises(InputRefused, match="Name the entry that is taken back"):
        replace(strike, supersedes="")

    assert strike.written == "taken back"
