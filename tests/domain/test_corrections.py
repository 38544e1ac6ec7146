"""Tests of corrections: who is asked why an entry is put right, and who is not."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.corrections import LONGEST, SOON, explained, put_right_by, require_reason, why_corrected
from app.domain.errors import InputRefused, SlipAsked
from app.domain.readings import Kind, Reading
from tests.builders import NOW, a_reading

OLD = a_reading("2.ring-1", "closed-gap", "0.55/0.60")
SECOND = timedelta(seconds=1)


def put_right(after: timedelta = SECOND, by: str = "M. Tarrow", why: str = "") -> Reading:
    new = a_reading("2.ring-1", "closed-gap", "0.50/0.55", NOW + after)
    return replace(new, supersedes=OLD.id, entered_by=by, correction=why)


@pytest.mark.parametrize("after", [SECOND, SOON])
def test_own_entry_put_right_soon_after_needs_no_reason(after: timedelta) -> None:
    require_reason(OLD, put_right(after), NOW + after)


@pytest.mark.parametrize(("after", "by"), [(SOON + SECOND, "M. Tarrow"), (SECOND, "R. Osk")])
def test_later_or_by_another_person_the_reason_is_asked_for_and_then_taken(after: timedelta, by: str) -> None:
    whose = "You" if by == OLD.entered_by else "M. Tarrow"

    with pytest.raises(SlipAsked, match=f"{whose} entered goes 0.55 mm, does not go 0.60 mm here. Say why"):
        require_reason(OLD, put_right(after, by), NOW + after)

    require_reason(OLD, put_right(after, by, "misread"), NOW + after)


def test_what_waited_on_a_tablet_counts_by_the_moment_it_was_made_and_a_typed_date_by_the_moment_it_came() -> None:
    require_reason(OLD, put_right(timedelta(hours=5)), NOW + SOON)

    with pytest.raises(SlipAsked):
        require_reason(OLD, put_right(-timedelta(hours=5)), NOW + SOON + SECOND)


def test_reason_has_an_end() -> None:
    require_reason(OLD, put_right(by="R. Osk", why="x" * LONGEST), NOW)

    with pytest.raises(InputRefused, match="At most 200"):
        require_reason(OLD, put_right(by="R. Osk", why="x" * (LONGEST + 1)), NOW)


def test_why_is_the_reason_given_else_the_note_else_that_none_was_asked_for() -> None:
    given, noted = put_right(why="misread"), replace(put_right(), reason="burr")
    back = replace(put_right(), kind=Kind.TAKEN_BACK, goes=None, does_not_go=None)

    told = [why_corrected(each) for each in (given, noted, put_right(), back)]

    assert told == ["misread", "burr", "no reason asked for", "by its maker"]


def test_reading_that_strikes_nothing_through_says_nothing_of_a_correction() -> None:
    told = explained(None, replace(OLD, id="other", correction="misread"), NOW)

    assert told.correction == ""
    assert explained(None, OLD, NOW) is OLD


def test_reading_that_strikes_another_through_is_asked_why() -> None:
    with pytest.raises(SlipAsked):
        explained(OLD, put_right(by="R. Osk"), NOW)

    own = put_right()
    assert explained(OLD, own, NOW) == own


def test_what_put_an_entry_right_is_the_one_that_was_not_taken_back() -> None:
    first, second = put_right(), replace(put_right(), id="second")
    back = replace(put_right(), id="back", kind=Kind.TAKEN_BACK, goes=None, does_not_go=None, supersedes=first.id)

    assert put_right_by((OLD, first, back, second), OLD) == second
    assert put_right_by((OLD,), OLD) is None
