"""Tests of what is due: the day, its reason, and tasks put together for one opening."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.due import Done, DueDate, DueTask, due_at_end, due_date, visits_of
from app.domain.meter import Rate, rate_of_use
from app.domain.overhaul import MeterReading
from app.domain.tasks import Opens, Task


def read(hours: str, day: date) -> MeterReading:
    """A meter reading."""
    return MeterReading(Decimal(hours), datetime(day.year, day.month, day.day, 8, tzinfo=UTC), "M. Tarrow")


MARCH = (read("12300", date(2025, 3, 1)), read("12660", date(2025, 3, 31)))
LAST = Done(Decimal(10000), date(2024, 9, 1), "done")
VALVES = Task("valves", "Valves", Decimal(3000), 24, opens=Opens.VALVES)


def test_the_worked_case_falls_due_by_hours_before_its_calendar_cap() -> None:
    # 360 h in the 30 days of March: 12.0 h a day. Done at 10,000 h on 1 September 2024; 3,000 h or 24 months.
    due = due_date(VALVES, LAST, MARCH[1], rate_of_use(MARCH))

    assert due == DueDate(date(2025, 4, 28), "by hours: 340 h left at 12.0 h a day", Decimal(340))


def test_the_calendar_cap_comes_first_where_the_machine_runs_little() -> None:
    little = Rate(Fraction(1, 10), *MARCH)

    due = due_date(VALVES, LAST, MARCH[1], little)

    assert due == DueDate(date(2026, 9, 1), "by calendar: 24 months after 1 Sep 2024")


def test_a_machine_that_does_not_run_is_due_by_the_calendar_alone() -> None:
    still = Rate(Fraction(0), *MARCH)

    assert due_date(VALVES, LAST, MARCH[1], still).on == date(2026, 9, 1)
    assert due_date(VALVES, LAST, MARCH[1], None).on == date(2026, 9, 1)
    assert due_date(Task("oil", "Oil", Decimal(3000)), LAST, MARCH[1], None) == DueDate(
        None, "by hours: 340 h left at a use that two readings a week apart would tell", Decimal(340)
    )


def test_hours_that_are_over_say_by_how_many_and_since_when() -> None:
    over = Task("oil", "Oil", Decimal(2600))

    running = due_date(over, LAST, MARCH[1], rate_of_use(MARCH))
    still = due_date(over, LAST, MARCH[1], None)

    assert running == DueDate(date(2025, 3, 26), "by hours: 60 h over", Decimal(-60))
    assert still.on == date(2025, 3, 31)


def test_the_first_check_after_an_overhaul_comes_early_and_only_once() -> None:
    task = Task("oil", "Oil", Decimal(1000), first_hours=Decimal(50))
    fresh = Done(Decimal(12640), date(2025, 3, 29), "overhaul 3", is_fresh=True)
    done = Done(Decimal(12640), date(2025, 3, 29), "done")

    first, later = (due_date(task, last, MARCH[1], rate_of_use(MARCH)) for last in (fresh, done))

    assert first.why == "first check 50 h after overhaul 3, by hours: 30 h left at 12.0 h a day"
    assert first.on == date(2025, 4, 2)
    assert later.why == "by hours: 980 h left at 12.0 h a day"


def test_a_task_without_a_first_check_counts_its_interval_from_an_overhaul() -> None:
    fresh = Done(Decimal(12640), date(2025, 3, 29), "overhaul 3", is_fresh=True)

    assert due_date(VALVES, fresh, MARCH[1], rate_of_use(MARCH)).hours_left == Decimal(2980)


def test_what_was_found_out_of_order_and_not_put_right_stays_due() -> None:
    found = Done(Decimal(12650), date(2025, 3, 30), "done", is_in_order=False)

    due = due_date(VALVES, found, MARCH[1], rate_of_use(MARCH))

    assert due == DueDate(date(2025, 3, 30), "found not in order 30 Mar 2025, and not put right")


def test_a_first_check_alone_tells_nothing_once_it_is_done() -> None:
    task = Task("look", "Look", None, None, first_hours=Decimal(50))

    assert due_date(task, LAST, MARCH[1], rate_of_use(MARCH)) == DueDate(None, "no interval counts yet")


def test_hours_beyond_a_century_tell_no_day() -> None:
    assert due_date(Task("oil", "Oil", Decimal(200000)), LAST, MARCH[1], Rate(Fraction(1, 1000), *MARCH)).on is None


@given(
    quarters=st.integers(1, 96),
    interval=st.integers(1, 20_000),
    days=st.lists(st.integers(0, 500), min_size=2, max_size=8, unique=True),
    months=st.none() | st.integers(1, 60),
)
def test_a_due_date_never_moves_later_when_hours_are_added_at_the_same_rate(
    quarters: int, interval: int, days: list[int], months: int | None
) -> None:
    began = date(2025, 1, 1)
    task, last = Task("oil", "Oil", Decimal(interval), months), Done(Decimal(0), began, "done")
    meter = [read(str(Decimal(quarters * day) / 4), began + timedelta(days=day)) for day in sorted(days)]

    told = [(meter[count - 1], rate_of_use(meter[:count])) for count in range(2, len(meter) + 1)]
    dues = [due_date(task, last, reading, rate).on for reading, rate in told if rate]

    assert dues == dues[:1] * len(dues)


def a_due(tag: str, key: str, days: int | None, opens: Opens = Opens.RINGS) -> DueTask:
    """A task that is due so many days after 1 April 2025."""
    on = None if days is None else date(2025, 4, 1) + timedelta(days=days)
    return DueTask(tag, Task(key, key, Decimal(1), opens=opens), LAST, DueDate(on, "by hours"))


def shown(due: list[DueTask], window: int) -> list[tuple[str, int, list[str], bool]]:
    """The visits as machine, day after 1 April, tasks, and whether the machine is opened."""
    return [
        (v.tag, (v.on - date(2025, 4, 1)).days, [t.task.key for t in v.tasks], v.opens_machine)
        for v in visits_of(due, window)
    ]


def test_tasks_within_the_window_share_one_opening_on_the_day_the_first_is_due() -> None:
    due = [a_due("GA-1", "rings", 40), a_due("GA-1", "valves", 20), a_due("GA-1", "pistons", 51)]

    assert shown(due, 30) == [
        ("GA-1", 20, ["valves", "rings"], True),
        ("GA-1", 51, ["pistons"], True),
    ]
    assert shown(due, 0) == [(tag, day, [key], True) for tag, day, key in (
        ("GA-1", 20, "valves"), ("GA-1", 40, "rings"), ("GA-1", 51, "pistons"),
    )]  # fmt: skip


def test_what_opens_nothing_goes_along_with_an_opening_but_never_waits_for_one() -> None:
    due = [
        a_due("GA-1", "oil", 5, Opens.NOTHING), a_due("GA-1", "valves", 10), a_due("GA-1", "joints", 12, Opens.NOTHING),
        a_due("GA-2", "oil", 7, Opens.NOTHING), a_due("GA-2", "never", None),
    ]  # fmt: skip

    assert shown(due, 14) == [
        ("GA-1", 5, ["oil"], False),
        ("GA-2", 7, ["oil"], False),
        ("GA-1", 10, ["valves", "joints"], True),
    ]


TASKS = st.lists(
    st.tuples(st.sampled_from(["GA-1", "GA-2"]), st.integers(-400, 400), st.sampled_from(list(Opens))), max_size=14
)


@given(TASKS, st.integers(0, 400))
def test_grouping_never_puts_a_task_after_its_due_date_and_loses_none(
    tasks: list[tuple[str, int, Opens]], window: int
) -> None:
    due = [a_due(tag, f"task-{number}", days, opens) for number, (tag, days, opens) in enumerate(tasks)]

    visits = visits_of(due, window)

    grouped = [(visit, each) for visit in visits for each in visit.tasks]
    assert sorted(each.task.key for _, each in grouped) == sorted(each.task.key for each in due)
    assert all(each.due.on and timedelta(0) <= each.due.on - visit.on <= timedelta(window) for visit, each in grouped)
    assert all(each.tag == visit.tag for visit, each in grouped)


@pytest.mark.parametrize("window", [0, 10, 100])
def test_a_wider_window_never_opens_a_machine_more_often(window: int) -> None:
    due = [a_due("GA-1", str(day), day) for day in (0, 5, 9, 14, 31, 60, 99)]

    openings = [len(visits_of(due, days)) for days in (window, window + 1)]

    assert openings[1] <= openings[0]


def test_a_permission_comes_due_at_the_earlier_of_its_ends_and_says_which() -> None:
    rate = rate_of_use(MARCH)  # 12.0 h a day, read at 12,660 h on 31 March

    by_hours = due_at_end(Decimal(12780), date(2025, 6, 1), MARCH[1], rate)
    by_day = due_at_end(Decimal(15000), date(2025, 6, 1), MARCH[1], rate)

    assert by_hours == DueDate(
        date(2025, 4, 10), "it ends at 12780 h, by hours: 120 h left at 12.0 h a day", Decimal(120)
    )
    assert by_day == DueDate(date(2025, 6, 1), "by calendar: it ends on 1 Jun 2025")


def test_a_permission_by_hours_alone_has_no_day_where_no_use_is_known() -> None:
    due = due_at_end(Decimal(12780), None, MARCH[1], None)

    assert (due.on, due.hours_left) == (None, 120)


@given(
    until_h=st.none() | st.integers(0, 30000).map(Decimal),
    days=st.integers(-400, 400),
    a_day=st.fractions(Fraction(1, 10), 24),
)
def test_a_permission_never_outlives_its_end(until_h: Decimal | None, days: int, a_day: Fraction) -> None:
    until_on = MARCH[1].read_at.date() + timedelta(days=days)

    due = due_at_end(until_h, until_on, MARCH[1], Rate(a_day, *MARCH))

    assert due.on is not None
    assert due.on <= until_on
    if until_h is not None and until_h > MARCH[1].hours:
        assert (
            MARCH[1].hours + Decimal(a_day.numerator) / a_day.denominator * (due.on - date(2025, 3, 31)).days <= until_h
        )
