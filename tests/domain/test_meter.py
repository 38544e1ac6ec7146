"""Tests of the operating-hours meter: what is kept, what is asked about, and the rate of use."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.meter import (
    Answer,
    Doubt,
    before_and_after,
    is_sent_again,
    question_about,
    rate_of_use,
    reading_of,
    reading_of_new_meter,
)
from app.domain.overhaul import MeterReading

MARCH_1 = datetime(2025, 3, 1, 8, 0, tzinfo=UTC)
NOW = MARCH_1 + timedelta(days=60)


def a_reading(hours: str, days: float = 0.0, shown: str | None = None) -> MeterReading:
    """A reading so many days after 1 March."""
    return MeterReading(
        Decimal(hours), MARCH_1 + timedelta(days=days), "M. Tarrow", None if shown is None else Decimal(shown)
    )


METER = [a_reading("12300"), a_reading("12660", 30)]


def doubt(reading: MeterReading, meter: list[MeterReading] | None = None, **more: bool) -> Doubt | None:
    """What is doubted about a reading beside a meter's others."""
    question = question_about(METER if meter is None else meter, reading, NOW, **more)
    return question.doubt if question else None


def test_a_reading_that_goes_on_from_the_last_one_is_kept_without_a_question() -> None:
    assert doubt(a_reading("12700", 40)) is None
    assert doubt(a_reading("12660", 31)) is None
    assert doubt(a_reading("1"), []) is None


@pytest.mark.parametrize(
    ("hours", "expected"), [("12659.9", Doubt.DOWN), ("12660", None), ("12684.9", None), ("12685", Doubt.TOO_FAST)]
)
def test_a_day_has_no_less_than_nought_and_no_more_than_twenty_four_hours(hours: str, expected: Doubt | None) -> None:
    # A meter of whole hours may show one hour more than was run only where it was not exactly a day: 25 h is proof.
    assert doubt(a_reading(hours, 31)) is expected


def test_a_day_in_the_future_is_asked_about_and_has_no_answer_but_another_day() -> None:
    question = question_about(METER, a_reading("12700", 62), NOW)

    assert question is not None
    assert (question.doubt, question.answers) == (Doubt.FUTURE, ())
    assert "has not come yet" in question.words


def test_two_readings_of_one_day_are_asked_about_until_both_are_said_to_be_right() -> None:
    second = a_reading("12664", 30.2)

    assert doubt(second) is Doubt.SAME_DAY
    assert doubt(second, is_same_day_asked=False) is None
    assert doubt(a_reading("12690", 30.2), is_same_day_asked=False) is Doubt.TOO_FAST


@pytest.mark.parametrize(
    ("hours", "days", "expected"),
    [
        ("12299", 15, Doubt.DOWN),
        ("12480", 15, None),
        ("12661", 25, Doubt.ABOVE_LATER),
        ("12400", 25, Doubt.TOO_FAST),  # 260 h would be left for five days
    ],
)
def test_a_reading_entered_late_must_go_between_its_neighbours(hours: str, days: int, expected: Doubt | None) -> None:
    assert doubt(a_reading(hours, days)) is expected


def test_each_doubt_names_the_reading_in_the_book_that_it_is_against() -> None:
    down = question_about(METER, a_reading("12000", 40), NOW)
    above = question_about(METER, a_reading("12700", 25), NOW)

    assert down is not None
    assert above is not None
    assert down.against == above.against == METER[1]
    assert down.answers == (Answer.STRUCK, Answer.CHANGED)
    assert above.answers == (Answer.STRUCK,)


def test_after_a_change_of_meter_the_hours_of_the_machine_go_on() -> None:
    shown = reading_of(METER, Decimal(100), MARCH_1 + timedelta(days=40), "M. Tarrow")

    changed = reading_of_new_meter(METER[1], Decimal(12680), Decimal(5), shown)
    later = reading_of([*METER, changed], Decimal(148), MARCH_1 + timedelta(days=44), "M. Tarrow")

    assert (changed.hours, changed.on_meter, changed.is_new_meter) == (Decimal(12775), Decimal(100), True)
    assert (later.hours, later.on_meter) == (Decimal(12823), Decimal(148))
    assert doubt(changed) is None


def test_a_reading_before_the_first_goes_by_the_first_ones_meter() -> None:
    meter = [a_reading("20100", 10, "100")]

    assert reading_of(meter, Decimal(50), MARCH_1, "M. Tarrow").hours == Decimal(20050)
    assert reading_of([], Decimal(50), MARCH_1, "M. Tarrow").hours == Decimal(50)
    assert before_and_after(meter, MARCH_1) == (None, meter[0])


def test_the_same_hours_of_the_same_day_are_one_reading() -> None:
    assert is_sent_again(METER, a_reading("12660", 30.1), UTC)
    assert not is_sent_again(METER, a_reading("12661", 30.1), UTC)
    assert not is_sent_again(METER, a_reading("12660", 31), UTC)


def test_the_same_day_is_the_sites_day() -> None:
    # 08:00 UTC on 31 March is 21:00 in Auckland, and 13:00 UTC is 02:00 on 1 April there.
    auckland = ZoneInfo("Pacific/Auckland")

    assert is_sent_again(METER, a_reading("12660", 30.2), UTC)
    assert not is_sent_again(METER, a_reading("12660", 30.2), auckland)
    assert question_about(METER, a_reading("12661", 30.2), NOW) is not None
    assert question_about(METER, a_reading("12661", 30.2), NOW.astimezone(auckland)) is None


def test_rate_is_told_from_the_readings_of_a_recent_window() -> None:
    # 12,300 h on 1 March and 12,660 h on 31 March: 360 h in 30 days.
    rate = rate_of_use(METER)

    assert rate is not None
    assert rate.hours_a_day == 12
    assert rate.words == "12.0 h a day"
    assert (rate.since, rate.until) == tuple(METER)


def test_rate_looks_back_no_further_than_its_window_while_there_is_a_reading_in_it() -> None:
    old, recent, last = a_reading("1000", -400), a_reading("12300"), a_reading("12660", 30)

    windowed, sparse = rate_of_use([old, recent, last]), rate_of_use([old, last])

    assert windowed is not None
    assert windowed.since == recent
    assert sparse is not None
    assert sparse.hours_a_day == Fraction(11660, 430)


def test_no_rate_is_told_from_one_reading_or_from_a_few_days() -> None:
    assert rate_of_use([]) is None
    assert rate_of_use(METER[:1]) is None
    assert rate_of_use([a_reading("100"), a_reading("150", 6.9)]) is None


def test_a_machine_that_stood_still_has_the_rate_nought() -> None:
    rate = rate_of_use([a_reading("100"), a_reading("100", 30)])

    assert rate is not None
    assert rate.hours_a_day == 0


@given(st.lists(st.tuples(st.integers(0, 20_000), st.integers(0, 400)), max_size=12))
def test_whatever_is_kept_never_runs_back_and_never_runs_faster_than_the_clock(typed: list[tuple[int, int]]) -> None:
    kept: list[MeterReading] = []

    for hours, days in typed:
        reading = a_reading(str(hours), days)
        if question_about(kept, reading, MARCH_1 + timedelta(days=401)) is None:
            kept = sorted([*kept, reading], key=lambda each: each.read_at)

    for first, last in pairwise(kept):
        elapsed = Decimal((last.read_at - first.read_at) / timedelta(hours=1))
        assert 0 <= last.hours - first.hours < elapsed + 1
