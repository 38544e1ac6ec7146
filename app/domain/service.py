"""A service: one task recorded, with an answer to each of its items, and whether all is in order after it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from app.domain.errors import InputRefused, NumberRefused, UnitMismatch
from app.domain.numbers import parse_number
from app.domain.tasks import ItemKind, Task, TaskItem

LONGEST_NOTE, LONGEST_GRADE = 500, 80
OTHER_GRADE = "another"
PUT_RIGHT, NOT_YET = "put right", "not yet"


@dataclass(frozen=True)
class ServiceAnswer:
    """What one item came to: as typed, and what is out of the ordinary about it, or nothing."""

    item: str
    typed: str
    remark: str = ""


@dataclass(frozen=True)
class Service:
    """One task done on one machine."""

    task: str
    sheet: str
    hours: Decimal
    at: datetime
    person: str
    answers: tuple[ServiceAnswer, ...]
    note: str
    is_in_order: bool
    id: int = 0


@dataclass(frozen=True)
class TypedService:
    """What a form says of the items: the answers, the note and whether a fault was put right."""

    answers: tuple[ServiceAnswer, ...]
    note: str
    is_in_order: bool


def read_service(task: Task, typed: Mapping[str, str]) -> TypedService:
    """Read the answers of a form; InputRefused names every field that is missing or cannot be."""
    refused: dict[str, str] = {}
    answers = tuple(_answer(item, typed, refused) for item in task.items)
    note = typed.get("note", "").strip()
    if len(note) > LONGEST_NOTE:
        refused["note"] = f"At most {LONGEST_NOTE} characters."
    remarks = [answer for answer in answers if answer.remark]
    if remarks and not note:
        refused["note"] = "Say what was found, and what was done about it."
    state = typed.get("state", "")
    is_faulty = any(_is_fault(item, answer) for item, answer in zip(task.items, answers, strict=True))
    if is_faulty and state not in (PUT_RIGHT, NOT_YET):
        refused["state"] = "Something is not in order: was it put right? What was not stays due."
    if refused:
        raise InputRefused(refused)
    return TypedService(answers, note, not is_faulty or state == PUT_RIGHT)


def _answer(item: TaskItem, typed: Mapping[str, str], refused: dict[str, str]) -> ServiceAnswer:
    """Read the answer to one item."""
    name = f"item-{item.key}"
    text = typed.get(name, "").strip()
    match item.kind:
        case ItemKind.CHECK:
            return _check(item, name, text, refused)
        case ItemKind.GRADE:
            return _grade(item, name, text, typed, refused)
    return _figure(item, name, text, refused)


def _check(item: TaskItem, name: str, text: str, refused: dict[str, str]) -> ServiceAnswer:
    """Read what was seen or done."""
    if text not in item.good + item.faults:
        refused[name] = f"{item.name}: choose what is so."
    return ServiceAnswer(item.key, text, f"{item.name}: {text}" if text in item.faults else "")


def _grade(item: TaskItem, name: str, text: str, typed: Mapping[str, str], refused: dict[str, str]) -> ServiceAnswer:
    """Read which grade went in; another than the sheet allows must be named, and needs a reason."""
    if text in item.grades:
        return ServiceAnswer(item.key, text)
    other = typed.get(f"{name}-other", "").strip()
    if text != OTHER_GRADE:
        refused[name] = f"{item.name}: choose the grade."
    elif not 0 < len(other) <= LONGEST_GRADE or not other.isprintable():
        refused[f"{name}-other"] = f"Name the grade that went in, with at most {LONGEST_GRADE} characters."
    return ServiceAnswer(item.key, other, f"{item.name}: {other} is not on the sheet")


def _figure(item: TaskItem, name: str, text: str, refused: dict[str, str]) -> ServiceAnswer:
    """Read a figure, and hold a reading to its limits."""
    try:
        value = parse_number(text, example="2.5")
    except (NumberRefused, UnitMismatch) as refusal:
        refused[name] = f"{item.name}: {refusal}"
        return ServiceAnswer(item.key, text)
    is_low = item.lower is not None and value < item.lower
    is_high = item.upper is not None and value > item.upper
    remark = f"{item.name}: {text} is out of limits, {item.limits_words}" if is_low or is_high else ""
    return ServiceAnswer(item.key, text, remark)


def _is_fault(item: TaskItem, answer: ServiceAnswer) -> bool:
    """Whether an answer is a fault; another grade is remarkable, and none."""
    return bool(answer.remark) and item.kind is not ItemKind.GRADE
