"""What two persons saw by eye: compared, the heaviest judged, and no signature over two that differ."""

from dataclasses import replace

import pytest

from app.domain.overhaul import Meaning, Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.phases import holds_before
from app.domain.readings import SEEN, Kind, Occasion, Reading
from app.domain.second_looks import check_look, looks_at
from app.domain.sights import Sights
from app.domain.verdicts import Verdict
from app.domain.working import working_of
from tests.builders import a_reading
from tests.domain.builders import a_gauged_overhaul, a_part, the_sheet

RING = "2.ring-1"
PEOPLE = ("M. Tarrow", "R. Osk", "I. Brandreth")


def sight(short: str, by: str, **other: object) -> Reading:
    """What one person saw on ring 1."""
    return a_reading(RING, SEEN, short, measured_by=by, entered_by=by, is_second_look=by != PEOPLE[0], **other)


def sights(*shorts: str) -> Sights:
    """What these saw, in this order."""
    first, *others = (sight(short, by) for short, by in zip(shorts, PEOPLE, strict=False))
    found = looks_at(the_sheet(), a_part(RING), first, tuple(others))
    assert isinstance(found, Sights)
    return found


def seen_by(*shorts: str) -> Overhaul:
    """An overhaul gauged everywhere, whose ring 1 several have seen."""
    first, *others = (sight(short, by) for short, by in zip(shorts, PEOPLE, strict=False))
    return replace(a_gauged_overhaul(first), looks=tuple(others))


@pytest.mark.parametrize(
    ("shorts", "agree", "asks_third", "judged"),
    [
        (("sound", "sound"), True, False, "sound"),
        (("scuffed+stuck", "stuck+scuffed"), True, False, "scuffed, stuck in its groove"),
        (("sound", "scuffed"), False, True, "scuffed"),
        (("broken", "sound"), False, True, "broken"),
        (("sound", "broken", "sound"), False, False, "broken"),
        (("scuffed", "broken"), False, True, "broken"),
        (("scuffed", "scuffed+stuck"), False, True, "scuffed, stuck in its groove"),
        (("sound", "doubtful"), False, True, "doubtful, for the chief engineer"),
        (("sound", "of an older program"), False, True, "of an older program"),
    ],
)
def test_fault_that_one_saw_is_judged_whatever_the_others_saw(
    shorts: tuple[str, ...], agree: bool, asks_third: bool, judged: str
) -> None:
    found = sights(*shorts)

    assert (found.agree, found.asks_third, found.say(found.judged)) == (agree, asks_third, judged)


@pytest.mark.parametrize(
    ("shorts", "words"),
    [
        (("sound", "sound"), "M. Tarrow sound; R. Osk sound. They saw the same."),
        (("sound", "stuck"), "They differ: a third look is asked for. Judged until then: stuck in its groove."),
        (("sound", "stuck", "sound"), "They differ. Judged: stuck in its groove, a fault that one saw stands."),
    ],
)
def test_words_say_who_saw_what_and_what_is_judged(shorts: tuple[str, ...], words: str) -> None:
    assert words in sights(*shorts).words


def test_what_cannot_be_seen_is_not_compared() -> None:
    first, second = sight("sound", PEOPLE[0]), sight("sound", PEOPLE[1])
    cannot = replace(second, kind=Kind.CANNOT, findings=(), reason="no lamp")

    assert looks_at(the_sheet(), a_part(RING), first, (cannot,)) is None


def test_verdict_and_working_follow_the_fault_that_one_saw() -> None:
    overhaul = seen_by("sound", "broken")
    verdict = next(v for v in judge_overhaul(overhaul) if v.part.ref == RING)

    steps = [s for s in working_of(overhaul, verdict, Occasion.AS_FOUND, "", {}) if "Second look" in s.title]

    assert verdict.own is Verdict.RENEW
    assert [step.title for step in steps] == ["Second look: condition"]
    assert steps[0].lines[:2] == ("M. Tarrow: sound.", "R. Osk: broken.")


def test_second_sight_is_taken_and_a_third_where_two_differ() -> None:
    first, second, third = (sight(short, by) for short, by in zip(("sound", "stuck", "sound"), PEOPLE, strict=True))

    assert check_look(the_sheet(), a_part(RING), first, second, ()) == ""
    assert check_look(the_sheet(), a_part(RING), first, third, (second,)) == ""


@pytest.mark.parametrize(
    ("shorts", "holds"),
    [
        (("sound", "stuck"), True), (("sound", "sound"), False), (("sound", "stuck", "sound"), False),
        (("sound",), False),
    ],
)  # fmt: skip
def test_gauged_is_not_signed_while_two_differ(shorts: tuple[str, ...], holds: bool) -> None:
    said = [hold for hold in holds_before(seen_by(*shorts), Meaning.GAUGED) if "differ" in hold]

    assert bool(said) is holds
    assert all(hold == f"two looks differ: {a_part(RING).item} {a_part(RING).name}, as found" for hold in said)


def test_machine_is_not_returned_while_two_differ_as_fitted() -> None:
    found = a_gauged_overhaul(sight("sound", PEOPLE[0], occasion=Occasion.AS_FITTED))
    overhaul = replace(found, looks=(sight("stuck", PEOPLE[1], occasion=Occasion.AS_FITTED),))

    holds = holds_before(overhaul, Meaning.RETURNED_FITTER)

    assert f"two looks differ: {a_part(RING).item} {a_part(RING).name}, as fitted" in holds
