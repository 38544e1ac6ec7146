"""Tests of a recorded service: what is missing, what is a fault, what needs words, and what stays due."""

from decimal import Decimal

import pytest

from app.domain.errors import InputRefused
from app.domain.service import TypedService, read_service
from app.domain.tasks import ItemKind, Task, TaskItem

TASK = Task(
    "oil",
    "Oil change",
    Decimal(1000),
    items=(
        TaskItem("filter", "Oil filter", ItemKind.CHECK, ("renewed",), ("left in",)),
        TaskItem("grade", "Oil", ItemKind.GRADE, grades=("QM-D 100",)),
        TaskItem("filled", "Oil filled", ItemKind.AMOUNT, unit="l"),
        TaskItem("pressure", "Pressure", ItemKind.READING, unit="bar", lower=Decimal("1.8"), upper=Decimal("3.5")),
    ),
)
GOOD = {"item-filter": "renewed", "item-grade": "QM-D 100", "item-filled": "6,5", "item-pressure": "2.5"}


def served(**typed: str) -> TypedService:
    """Read a form that is good but for these fields."""
    return read_service(TASK, GOOD | {name.replace("_", "-"): text for name, text in typed.items()})


def refused(**typed: str) -> dict[str, str]:
    """What is refused of such a form."""
    with pytest.raises(InputRefused) as refusal:
        served(**typed)
    return refusal.value.fields


def test_a_form_with_everything_in_order_is_kept_as_typed() -> None:
    service = served()

    assert service.is_in_order
    assert [(answer.typed, answer.remark) for answer in service.answers] == [
        ("renewed", ""),
        ("QM-D 100", ""),
        ("6,5", ""),
        ("2.5", ""),
    ]


@pytest.mark.parametrize(
    ("pressure", "is_good"), [("1.79", False), ("1.8", True), ("1.80", True), ("3.5", True), ("3.51", False)]
)
def test_a_reading_is_held_to_its_limits_and_may_stand_on_them(pressure: str, is_good: bool) -> None:
    service = served(item_pressure=pressure, note="bled", state="not yet")

    assert service.is_in_order is is_good
    assert bool(service.answers[3].remark) is not is_good


def test_a_fault_needs_words_and_stays_due_unless_it_was_put_right() -> None:
    fault = {"item_filter": "left in"}

    assert set(refused(**fault)) == {"note", "state"}
    assert not served(**fault, note="none in store", state="not yet").is_in_order
    assert served(**fault, note="fetched one", state="put right").is_in_order
    assert served(**fault, note="none", state="not yet").answers[0].remark == "Oil filter: left in"


def test_another_grade_needs_a_name_and_a_reason_and_is_no_fault() -> None:
    other = {"item_grade": "another", "item_grade_other": "QM-X 68"}

    assert set(refused(item_grade="another")) == {"note", "item-grade-other"}
    assert set(refused(**other)) == {"note"}
    service = served(**other, note="QM-D is out of stock until May")
    assert service.is_in_order
    assert service.answers[1].typed == "QM-X 68"
    assert service.answers[1].remark == "Oil: QM-X 68 is not on the sheet"


def test_every_item_that_is_missing_is_named_at_once() -> None:
    with pytest.raises(InputRefused) as refusal:
        read_service(TASK, {"note": "x" * 501})

    assert set(refusal.value.fields) == {"item-filter", "item-grade", "item-filled", "item-pressure", "note"}


def test_a_word_or_figure_that_the_task_does_not_know_is_refused() -> None:
    assert set(refused(item_filter="washed")) == {"item-filter"}
    assert set(refused(item_filled="six")) == {"item-filled"}
    assert set(refused(item_grade="QM-X 68", note="why not")) == {"item-grade"}
