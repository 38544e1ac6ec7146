"""The openings ahead: their hours, what they open, and how long what stays in has to last."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

from app.domain.due import Done, DueDate, DueTask, Visit
from app.domain.limits import PartKind
from app.domain.meter import Rate
from app.domain.openings_ahead import openings_ahead
from app.domain.order_lines import AlwaysRenewed, OrderLine
from app.domain.overhaul import MeterReading
from app.domain.parts_ahead import NextOpening, parts_ahead, renewed_at
from app.domain.tasks import Opens, Task
from tests.domain.builders import a_part, the_sheet
from tests.domain.test_parts_ahead import a_gap_that_reaches

READ = MeterReading(Decimal(9000), datetime(2025, 3, 31, 8, tzinfo=UTC), "M. Tarrow")
TWELVE_A_DAY = Rate(Fraction(12), READ, READ)
TODAY = date(2025, 4, 1)
LAST = Done(Decimal(5000), date(2024, 1, 1), "overhaul 1")
VALVES = Task("valves", "Valves", Decimal(3000), opens=Opens.VALVES)
RINGS = Task("rings", "Rings", Decimal(5000), opens=Opens.RINGS)
WEAR = Task("wear 2.ring-set", "Wear limit", opens=Opens.RINGS, stage=2)
OIL = Task("oil", "Oil", Decimal(400))
SHEET = replace(the_sheet(), opening_interval_hours=None)
SEAL = OrderLine("part", "Seal", "QM-1")


def a_visit(on: date, hours_left: int | None, *tasks: Task) -> Visit:
    """A visit on which these tasks are due."""
    due = DueDate(on, "", None if hours_left is None else Decimal(hours_left))
    return Visit("GA-1", on, tuple(DueTask("GA-1", task, LAST, due, READ.read_at.date()) for task in tasks))


def ahead(*visits: Visit, rate: Rate | None = TWELVE_A_DAY, interval: int | None = None) -> list[tuple[int, int, date]]:
    """Each opening's hours, those it has to last, and its day."""
    sheet = replace(SHEET, opening_interval_hours=Decimal(interval) if interval else None)
    found = openings_ahead(visits, sheet, READ, rate, TODAY)
    return [(int(each.hours), int(each.interval_hours), each.on) for each in found]


def test_an_opening_has_the_hours_of_its_task_and_lasts_until_all_of_it_is_opened_again() -> None:
    may, june, july = date(2025, 5, 1), date(2025, 6, 1), date(2025, 7, 1)

    found = ahead(a_visit(may, 372, OIL, VALVES), a_visit(june, 744, RINGS), a_visit(july, 1100, VALVES))

    # The valves are opened again with the rings; the rings are not with the valves: their interval counts.
    assert found == [(9372, 372, may), (9744, 5000, june), (10100, 3000, july)]


def test_what_is_due_by_the_calendar_has_the_hours_that_are_run_until_then() -> None:
    by_calendar = a_visit(date(2025, 4, 30), None, VALVES)

    assert ahead(by_calendar) == [(9360, 3000, date(2025, 4, 30))]
    assert ahead(by_calendar, rate=None) == [(9000, 3000, date(2025, 4, 30))]
    undated = replace(by_calendar, tasks=(replace(by_calendar.tasks[0], due=DueDate(None, "")),))
    assert ahead(undated) == [(9000, 3000, date(2025, 4, 30))]


def test_an_opening_whose_day_has_passed_is_today_and_one_for_wear_alone_lasts_by_the_sheets_interval() -> None:
    late = a_visit(date(2025, 1, 5), -1000, WEAR)

    assert ahead(late) == [(8000, 10, TODAY)]
    assert ahead(late, interval=2500) == [(8000, 2500, TODAY)]
    assert ahead(a_visit(TODAY, 0, OIL)) == []


def test_an_opening_needs_what_it_opens_and_renews_what_its_depth_asks_for() -> None:
    rings_only, any_opening, other_stage = (
        AlwaysRenewed(replace(SEAL, number=number), stage, deep)
        for number, stage, deep in (("QM-1", 2, True), ("QM-2", None, False), ("QM-3", 1, False))
    )
    sheet = replace(SHEET, always=(rings_only, any_opening, other_stage))
    gap = a_gap_that_reaches(10500)

    needs = {
        task.key: [need.order.number for need in parts_ahead(opening, sheet, (gap,), {})]
        for task in (VALVES, WEAR, RINGS)
        for opening in [NextOpening("GA-1", Decimal(10000), Decimal(5000), TODAY, (task,))]
    }

    ring_set = sheet.sets[0].order
    assert ring_set is not None
    assert needs == {
        "valves": ["QM-2", "QM-3"],
        "wear 2.ring-set": [ring_set.number, "QM-1", "QM-2"],
        "rings": [ring_set.number, "QM-1", "QM-2", "QM-3"],
    }


def test_what_is_new_after_an_opening_is_the_whole_set_and_each_part_alone() -> None:
    opening = NextOpening("GA-1", Decimal(10000), Decimal(5000), TODAY, (RINGS,))
    valves = replace(opening, tasks=(VALVES,))
    found = (a_gap_that_reaches(10500), a_gap_that_reaches(11000, "2.pin"), a_gap_that_reaches(90000, "2.bush"))

    assert a_part("2.ring-1").kind is PartKind.RING
    assert renewed_at(opening, SHEET, found) == {*SHEET.sets[0].members, "2.pin"}
    assert renewed_at(valves, SHEET, found) == set()
