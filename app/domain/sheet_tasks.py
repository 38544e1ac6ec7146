"""Reads the tasks of a limit sheet's file."""

from decimal import Decimal

from app.domain.sheet_faults import listed
from app.domain.sheet_table import LONGEST_NOTE, Table, repeated
from app.domain.tasks import Caution, ItemKind, Opens, Task, TaskItem

INTERVALS_HOURS = (Decimal(1), Decimal(200_000))
FIGURES = (Decimal(0), Decimal(1_000_000))
MOST_MONTHS, MOST_TASKS, MOST_ITEMS, MOST_WORDS = 240, 60, 30, 12
IN_ORDER = ("in order",)


def read_tasks(file: Table, stages: int) -> tuple[Task, ...]:
    """Read every task, each key once."""
    tasks = tuple(_task(table, stages) for table in file.tables("task", MOST_TASKS))
    twice = repeated([task.key for task in tasks if task.key])
    if twice:
        file.refuse("task", f"each key once; found {listed(twice)} more than once")
    return tasks


def _task(table: Table, stages: int) -> Task:
    """Read one task."""
    key, name = table.key(), table.text("name")
    interval = table.number("interval", INTERVALS_HOURS, "operating hours")
    months = table.whole("months", 1, MOST_MONTHS) if table.has("months") else None
    if interval is None and months is None and table.is_sound:
        table.refuse("", "an interval in operating hours, a number of months, or both")
    first = table.number("first", INTERVALS_HOURS, "operating hours")
    opens = table.choice("opens", tuple(Opens), Opens.NOTHING)
    stage = table.whole("stage", 1, max(stages, 1)) if table.has("stage") else None
    how, source = table.text("how", "", LONGEST_NOTE), table.text("source", "")
    cautions = _cautions(table)
    items = _items(table, opens)
    table.close()
    return Task(key, name, interval, months, first, opens, stage, how, source, cautions, items)


def _cautions(table: Table) -> tuple[Caution, ...]:
    """Read which cautions stand on a task's page."""
    written = table.texts("cautions", (), len(Caution))
    if any(word not in list(Caution) for word in written):
        table.refuse("cautions", f"words of this list: {listed(tuple(Caution))}")
    return tuple(Caution(word) for word in written if word in list(Caution))


def _items(table: Table, opens: Opens) -> tuple[TaskItem, ...]:
    """Read what is recorded with a task; one that opens the machine is recorded by its overhaul."""
    tables = table.tables("item", MOST_ITEMS)
    items = tuple(_item(each) for each in tables)
    if opens is not Opens.NOTHING and tables:
        table.refuse("item", "no items: what opens the machine is recorded by its overhaul")
    if opens is Opens.NOTHING and not tables:
        table.refuse("item", "at least one thing to record, [[task.item]], since an overhaul does not record it")
    twice = repeated([item.key for item in items if item.key])
    if twice:
        table.refuse("item", f"each key once; found {listed(twice)} more than once")
    return items


def _item(table: Table) -> TaskItem:
    """Read one item."""
    key, name = table.key(), table.text("name")
    kind = table.choice("kind", tuple(ItemKind), ItemKind.CHECK)
    is_check, is_figure = kind is ItemKind.CHECK, kind in (ItemKind.READING, ItemKind.AMOUNT)
    if not is_check:
        table.only_for("only a check", "good", "faults")
    good = table.texts("good", IN_ORDER, MOST_WORDS) if is_check else ()
    faults = table.texts("faults", (), MOST_WORDS) if is_check else ()
    if is_check and (not good or set(good) & set(faults)):
        table.refuse("good", "at least one word for in order, that is no word for a fault")
    if not is_figure:
        table.only_for("only a reading or an amount", "unit")
    unit = table.text("unit", "") if is_figure else ""
    lower, upper = _limits(table, kind)
    if kind is not ItemKind.GRADE:
        table.only_for("only a grade", "grades")
    grades = table.texts("grades", (), MOST_WORDS) if kind is ItemKind.GRADE else ()
    if kind is ItemKind.GRADE and not grades:
        table.refuse("grades", "the grades that are allowed")
    hint = table.text("hint", "")
    table.close()
    return TaskItem(key, name, kind, good, faults, unit, lower, upper, grades, hint)


def _limits(table: Table, kind: ItemKind) -> tuple[Decimal | None, Decimal | None]:
    """Read the limits of a reading, lower below upper."""
    if kind is not ItemKind.READING:
        table.only_for("only a reading", "lower", "upper")
        return None, None
    lower, upper = (table.number(key, FIGURES, "a limit") for key in ("lower", "upper"))
    if lower is not None and upper is not None and lower >= upper:
        table.refuse("upper", f"a figure above the lower limit {lower}; found {upper}")
    return lower, upper
