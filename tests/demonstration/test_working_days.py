"""Work at the invented station is done on working days, in working hours."""

from datetime import date, timedelta

from app.demonstration.working_days import BEGINS, ENDS, Clock, next_working_day, working_day, working_day_before

FRIDAY, SATURDAY, SUNDAY, MONDAY = (date(2026, 11, 20) + timedelta(days=n) for n in range(4))


def test_a_weekend_goes_back_to_its_friday() -> None:
    found = [working_day(day) for day in (FRIDAY, SATURDAY, SUNDAY, MONDAY)]

    assert found == [FRIDAY, FRIDAY, FRIDAY, MONDAY]


def test_working_days_are_counted_without_the_weekend() -> None:
    assert working_day_before(MONDAY, 1) == FRIDAY
    assert working_day_before(SUNDAY, 2) == FRIDAY - timedelta(days=1)
    assert working_day_before(MONDAY, 5) == MONDAY - timedelta(days=7)


def test_after_a_friday_comes_a_monday() -> None:
    found = [next_working_day(day) for day in (FRIDAY, SATURDAY, SUNDAY)]

    assert found == [MONDAY, MONDAY, MONDAY]


def test_work_that_runs_past_the_afternoon_goes_on_the_next_working_morning() -> None:
    clock = Clock(FRIDAY)

    clock.after(60)
    same_day = clock.now
    clock.after(8 * 60)

    assert (same_day.date(), same_day.hour) == (FRIDAY, BEGINS.hour + 1)
    assert (clock.now.date(), clock.now.time()) == (MONDAY, BEGINS)
    assert BEGINS < ENDS


def test_the_next_day_may_be_several_working_days_on() -> None:
    clock = Clock(FRIDAY)

    clock.next_day(2)

    assert clock.now.date() == MONDAY + timedelta(days=1)
