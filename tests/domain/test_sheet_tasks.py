"""Tests of the tasks of a limit sheet's file: read, written back, and refused by their line."""

from decimal import Decimal
from pathlib import Path

import pytest

from app.domain.canonical import digest
from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_text import write_sheet
from app.domain.tasks import Caution, ItemKind, Opens, Task, TaskItem

SAMPLES = Path(__file__).parents[2] / "sample_data"
BEFORE = (SAMPLES / "qm-ga-b.toml").read_text(encoding="utf-8")
OIL = '[[task]]\nkey = "oil"\nname = "Oil"\ninterval = 1000\nitem = [{ key = "level", name = "Level" }]\n'

RICH = """
[[task]]
key = "oil-change"
name = "Oil change with filter"
interval = 1000
months = 12
first = 100.5
stage = 2
how = "Drain it warm.\\nThen fill."
source = "section 8"
cautions = ["hot", "light oil"]
[[task.item]]
key = "grade"
name = "Oil filled"
kind = "grade"
grades = ["QM-D 100", "QM-D 150"]
[[task.item]]
key = "filter"
name = "Oil filter"
good = ["renewed"]
faults = ["left in"]
hint = "never washed"
[[task.item]]
key = "pressure"
name = "Oil pressure"
kind = "reading"
unit = "bar"
lower = 1.8
upper = 3.50
"""


def faults(tasks: str) -> list[str]:
    """What is wrong with a sheet that has these tasks."""
    with pytest.raises(SheetRefused) as refused:
        read_sheet(f"{BEFORE}\n{tasks}")
    return [f"{fault.place}: {fault.expected}" for fault in refused.value.faults]


def test_a_task_is_read_with_all_it_says_and_written_so_that_it_reads_the_same() -> None:
    sheet = read_sheet(BEFORE + RICH)

    assert sheet.tasks == (
        Task(
            "oil-change", "Oil change with filter", Decimal(1000), 12, Decimal("100.5"), Opens.NOTHING, 2,
            "Drain it warm.\nThen fill.", "section 8", (Caution.HOT, Caution.LIGHT_OIL),
            (
                TaskItem("grade", "Oil filled", ItemKind.GRADE, grades=("QM-D 100", "QM-D 150")),
                TaskItem("filter", "Oil filter", ItemKind.CHECK, ("renewed",), ("left in",), hint="never washed"),
                TaskItem(
                    "pressure", "Oil pressure", ItemKind.READING, unit="bar",
                    lower=Decimal("1.8"), upper=Decimal("3.50"),
                ),
            ),
        ),
    )  # fmt: skip
    assert read_sheet(write_sheet(sheet)) == sheet


def test_a_sheet_without_tasks_is_the_sheet_it_was() -> None:
    sheet = read_sheet(BEFORE)

    assert sheet.tasks == ()
    assert "task" not in write_sheet(sheet)
    assert digest(BEFORE) == "cf4ff74584f91bdb4895a0386dbe5e164bf71d26161a065e0fd2c352edd80018"


def test_tasks_of_the_invented_sheets_open_the_machine_and_are_recorded_by_themselves() -> None:
    sheet = read_sheet((SAMPLES / "qm-ga.toml").read_text(encoding="utf-8"))

    assert [task.key for task in sheet.tasks if task.opens_machine] == ["valves", "rings"]
    assert {item.kind for task in sheet.tasks for item in task.items} == set(ItemKind)
    assert {caution for task in sheet.tasks for caution in task.cautions} == set(Caution)


@pytest.mark.parametrize(
    ("tasks", "fault"),
    [
        (OIL.replace("interval = 1000\n", ""), "task oil: an interval in operating hours, a number of months, or both"),
        (OIL.replace("1000", "0"), "interval: operating hours, a number from 1 to 200000"),
        (OIL + "opens = 'valves'\n", "item: no items: what opens the machine is recorded by its overhaul"),
        (OIL.partition("item")[0], "item: at least one thing to record, [[task.item]]"),
        (OIL + OIL, "task: each key once; found “oil” more than once"),
        (OIL + "stage = 4\n", "stage: a whole number from 1 to 3"),
        (OIL + "months = 241\n", "months: a whole number from 1 to 240"),
        (OIL + "cautions = ['mind']\n", "cautions: words of this list"),
        (OIL + "intervall = 3\n", "no key “intervall”"),
        (OIL.replace("[{", "[{ key = 'level', name = 'Again' }, {"), "item: each key once; found “level”"),
        (OIL.replace('"Level"', '"Level", kind = "grade"'), "grades: the grades that are allowed"),
        (OIL.replace('"Level"', '"Level", unit = "l"'), "unit: only a reading or an amount has this key"),
        (OIL.replace('"Level"', '"Level", lower = 1'), "lower: only a reading has this key"),
        (OIL.replace('"Level"', '"Level", grades = ["A"]'), "grades: only a grade has this key"),
        (OIL.replace('"Level"', '"Level", kind = "amount", good = ["full"]'), "good: only a check has this key"),
        (OIL.replace('"Level"', '"Level", good = []'), "good: at least one word for in order"),
        (OIL.replace('"Level"', '"Level", faults = ["in order"]'), "good: at least one word for in order"),
        (OIL.replace('"Level"', '"Level", kind = "reading", lower = 2, upper = 2'), "upper: a figure above the lower"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_task_is_named(tasks: str, fault: str) -> None:
    found = faults(tasks)

    assert any(fault in each for each in found), found


@pytest.mark.parametrize(
    ("lower", "upper", "words"),
    [(None, None, ""), ("1", None, "at least 1 bar"), (None, "3", "at most 3 bar"), ("1", "3", "1 to 3 bar")],
)
def test_limits_of_a_reading_are_said_in_words(lower: str | None, upper: str | None, words: str) -> None:
    ends = (None if end is None else Decimal(end) for end in (lower, upper))

    item = TaskItem("p", "Pressure", ItemKind.READING, (), (), "bar", *ends)

    assert item.limits_words == words
    assert TaskItem("n", "Number", ItemKind.READING, lower=Decimal(1)).limits_words == "at least 1"
