"""What falls due by wear: which size comes first, when, and whether anything opens its part sooner."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

import pytest

from app.domain.due import DueDate
from app.domain.limits import Part, PartKind
from app.domain.meter import Rate
from app.domain.outlook import look_ahead
from app.domain.overhaul import MeterReading
from app.domain.parts_ahead import Foreseen, opens_part
from app.domain.tasks import Opens, Task
from app.domain.wear import Life, SizeReading
from app.domain.wear_due import due_by_wear, first_at_limit, is_sooner
from tests.domain.builders import a_part, an_upper, the_sheet

READ = MeterReading(Decimal(12660), datetime(2025, 3, 31, 8, tzinfo=UTC), "M. Tarrow")
TWELVE_A_DAY = Rate(Fraction(12), READ, READ)


def a_gap(ref: str, *readings: tuple[int, str], **other: object) -> Foreseen:
    """A closed gap with the limit 0.65 mm, read at these hours."""
    part = a_part(ref)
    life = Life(tuple(SizeReading(Decimal(hours), Decimal(size)) for hours, size in readings))
    ahead = look_ahead(part.characteristics[0], "", an_upper("0.65"), life, Decimal(20000), Decimal("0.003"))
    return replace(Foreseen(part, ahead), **other)


def test_a_worn_part_is_due_on_the_day_that_its_hours_by_wear_are_run() -> None:
    # From 0.25 mm at 10,000 h to 0.45 mm at 11,503 h the limit of 0.65 mm comes at 13,006 h: by tens, 13,000 h.
    worn = a_gap("2.ring-1", (10000, "0.25"), (11503, "0.45"))

    due = due_by_wear(worn, READ, TWELVE_A_DAY)

    why = "by wear: closed gap at its limit of 0.65 mm at 13000 h, by hours: 340 h left at 12.0 h a day"
    assert due == DueDate(date(2025, 4, 28), why, Decimal(340))


def test_a_part_fitted_anew_says_that_it_is_taken_to_wear_as_the_one_before_it() -> None:
    worn = a_gap("2.ring-1", (10000, "0.25"), (11503, "0.45"), is_as_before=True)

    assert "at 13000 h, as the one before it wore, by hours" in due_by_wear(worn, READ, TWELVE_A_DAY).why


def test_of_a_set_the_size_that_comes_first_is_taken_and_what_tells_nothing_ahead_is_left_out() -> None:
    sheet = the_sheet()
    slow, fast = a_gap("2.ring-1", (0, "0.25"), (5000, "0.35")), a_gap("2.ring-2", (0, "0.25"), (5000, "0.45"))
    at_it, not_worn = a_gap("2.pin", (0, "0.25"), (5000, "0.65")), a_gap("2.bush", (0, "0.3"), (5000, "0.3"))
    alone = a_gap("2.piston", (0, "0.25"), (5000, "0.45"))

    found = first_at_limit(sheet, [slow, fast, at_it, not_worn, alone])

    assert [each.part.ref for each in found] == ["2.ring-2", "2.piston"]


@pytest.mark.parametrize(
    ("task", "opened"),
    [
        (Task("a", "A", opens=Opens.RINGS), (True, True)),
        (Task("a", "A", opens=Opens.VALVES), (False, True)),
        (Task("a", "A", opens=Opens.NOTHING), (False, False)),
        (Task("a", "A", opens=Opens.RINGS, stage=2), (True, True)),
        (Task("a", "A", opens=Opens.RINGS, stage=1), (False, False)),
    ],
)
def test_a_task_opens_the_parts_of_its_stage_and_valves_alone_where_it_opens_no_more(
    task: Task, opened: tuple[bool, bool]
) -> None:
    ring = a_part("2.ring-1")
    valve: Part = replace(ring, kind=PartKind.VALVE)

    assert (opens_part(task, ring), opens_part(task, valve)) == opened


def test_wear_comes_before_an_opening_by_day_and_else_by_hours() -> None:
    may, june = DueDate(date(2025, 5, 1), "", Decimal(400)), DueDate(date(2025, 6, 1), "", Decimal(800))
    soon, late, never = (DueDate(None, "", hours) for hours in (Decimal(400), Decimal(800), None))

    assert (is_sooner(may, june), is_sooner(june, may), is_sooner(may, may)) == (True, False, False)
    assert (is_sooner(soon, may), is_sooner(soon, late), is_sooner(late, soon)) == (False, True, False)
    assert is_sooner(may, never)
