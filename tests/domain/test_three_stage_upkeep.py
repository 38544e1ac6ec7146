"""The upkeep of the same three-stage air-cooled machine: when its tasks fall due, and how it is closed.

Intervals, the torque of the head nuts and the stagger are common practice, no source; the days are invented.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from app.domain.due import Done, DueDate, due_date
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.meter import Rate
from app.domain.overhaul import MeterReading
from app.domain.service import read_service
from app.domain.sheet_file import read_sheet
from app.domain.steps import box_up_steps
from app.domain.tasks import Opens, Task
from tests.domain.builders import a_gauged_overhaul
from tests.domain.test_three_stage_machine import GAPS, HEAD, STAGE

TASKS = """
[[task]]
key = "rings"
name = "Gauge the piston rings"
interval = 6000
opens = "rings"
[[task]]
key = "valves"
name = "Gauge the plate valves"
interval = 2000
opens = "valves"
[[task]]
key = "intake"
name = "Intake filter element"
interval = 1000
months = 12
item = [{ key = "element", name = "Element", good = ["renewed"], faults = ["left in", "cleaned"] }]
[[task]]
key = "check"
name = "First check"
interval = 1000
first = 50
item = [{ key = "bolts", name = "Fastenings and joints" }]
"""
HEADS = (
    '[[stage.joint]]\nkey = "head"\nname = "Cylinder head"\nnuts = 6\ntorque = 75\nthread = "oiled"\nwhen = "rings"\n'
)
FITTED_ON = date(2025, 1, 1)


@cache
def the_machine() -> LimitSheet:
    """The sheet of the machine with its tasks and its head nuts, read from its file."""
    stages = [
        STAGE.format(number=number, bore=bore, lower=lower, upper=upper, limit=limit)
        for number, (bore, lower, upper, limit) in GAPS.items()
    ]
    return read_sheet(HEAD + HEADS.join([*stages, TASKS]))


def task(key: str) -> Task:
    return next(each for each in the_machine().tasks if each.key == key)


def due(key: str, *, ran: int, is_fresh: bool = False) -> DueDate:
    """When a task of a machine at 10 hours a day is due, so many hours after it was done last."""
    read = MeterReading(Decimal(10000 + ran), datetime(2025, 2, 1, 8, tzinfo=UTC), "M. Tarrow")
    last = Done(Decimal(10000), FITTED_ON, "overhaul", is_fresh=is_fresh)
    return due_date(task(key), last, read, Rate(Fraction(10), read, read))


@pytest.mark.parametrize(("key", "interval"), [("rings", 6000), ("valves", 2000), ("intake", 1000)])
def test_rings_valves_and_intake_filter_are_due_at_their_hours_and_over_one_later(key: str, interval: int) -> None:
    assert due(key, ran=interval - 1).hours_left == 1
    assert due(key, ran=interval).hours_left == 0
    assert due(key, ran=interval + 1).why == "by hours: 1 h over"


def test_rings_and_valves_are_due_to_an_opening_and_the_filter_is_not() -> None:
    assert [task(key).opens for key in ("rings", "valves", "intake")] == [Opens.RINGS, Opens.VALVES, Opens.NOTHING]


def test_the_intake_filter_is_due_after_a_year_where_the_machine_runs_little() -> None:
    read = MeterReading(Decimal(10010), datetime(2025, 2, 1, 8, tzinfo=UTC), "M. Tarrow")
    last = Done(Decimal(10000), FITTED_ON, "renewed")

    due_day = due_date(task("intake"), last, read, Rate(Fraction(1, 10), read, read))

    assert due_day.on == date(2026, 1, 1)
    assert due_day.why == "by calendar: 12 months after 1 Jan 2025"


def test_an_intake_filter_that_was_cleaned_is_a_fault_and_no_other_word_is_taken() -> None:
    cleaned = read_service(task("intake"), {"item-element": "cleaned", "note": "no new one", "state": "not yet"})

    assert not cleaned.is_in_order
    assert read_service(task("intake"), {"item-element": "renewed"}).is_in_order
    with pytest.raises(InputRefused, match="Element"):
        read_service(task("intake"), {"item-element": "blown out"})


def test_the_first_check_comes_50_hours_after_an_overhaul_and_then_at_its_own_interval() -> None:
    assert due("check", ran=10, is_fresh=True).hours_left == 40
    assert due("check", ran=51, is_fresh=True).why == "first check 50 h after overhaul, by hours: 1 h over"
    assert due("check", ran=51).hours_left == 949


def test_head_nuts_are_tightened_to_75_newton_metres_and_gaps_stand_a_third_of_a_turn_apart() -> None:
    opened = a_gauged_overhaul(sheet=the_machine(), stages=(1, 2, 3))

    steps = {step.key: step for step in box_up_steps(opened)}

    assert steps["joint-1-head"].words.endswith("6 nuts crosswise to 22, 45, 75 N.m, oiled")
    assert [steps[f"rings-{stage}"].stagger_degrees for stage in GAPS] == [(0, 120, 240)] * 3
