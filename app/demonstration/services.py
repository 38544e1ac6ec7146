"""Routine services of the invented machines: which task was done on which round, and what was out of the ordinary."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC

from app.actions.services import machine_services, record_service
from app.demonstration.chance import chance
from app.demonstration.working_days import Clock
from app.domain.people import Person
from app.domain.tasks import ItemKind, TaskItem
from app.store.book import Book

MINUTES_A_SERVICE = 14
AMOUNTS = {"filled": "6.5", "added": "0.3"}  # litres


@dataclass(frozen=True)
class InventedService:
    """A task done on a round of the meters, counted back from the last one; what is not named is in order."""

    tag: str
    rounds_ago: int
    task: str
    unlike: Mapping[str, str] = field(default_factory=dict)  # the form's fields that say something else


DRIFTED = {"item-every": "21", "note": "Timer had drifted; set back to 15 min.", "state": "put right"}
OTHER_GRADE = {
    "item-grade": "another",
    "item-grade-other": "QM-D 68",
    "note": "QM-D 100 was out of stock that month.",
}
SWEATS = {"item-oil": "sweats", "note": "Sump cover sweats; gasket is on order.", "state": "not yet"}
SERVICES = (
    InventedService("GA-1", 5, "relief"),
    InventedService("GA-1", 4, "coupling"),
    InventedService("GA-1", 3, "intake-filter"),
    InventedService("GA-1", 2, "oil-change"),
    InventedService("GA-1", 2, "drains", DRIFTED),
    InventedService("GA-1", 2, "alarms"),
    InventedService("GA-1", 1, "joints"),
    InventedService("GA-1", 1, "oil-level"),
    InventedService("GA-2", 4, "coupling"),
    InventedService("GA-2", 4, "relief"),
    InventedService("GA-2", 3, "oil-change", OTHER_GRADE),
    InventedService("GA-2", 3, "intake-filter"),
    InventedService("GA-2", 2, "alarms"),
    InventedService("GA-2", 1, "drains"),
    InventedService("GA-2", 1, "joints", SWEATS),
    InventedService("GA-2", 1, "oil-level"),
    InventedService("BA-1", 2, "intake-filter"),
    InventedService("BA-1", 1, "oil-change", {"item-filled": "3.2"}),
    InventedService("BA-1", 1, "relief"),
)


def serve(book: Book, by: Person, service: InventedService, hours: int, clock: Clock) -> None:
    """Record a service at the hours that were read on this round."""
    task = machine_services(book, service.tag, UTC).due_task(service.task).task
    typed = {f"item-{item.key}": _in_order(item, service) for item in task.items}
    typed |= {"hours": str(hours), "request_id": f"{service.tag} {service.task} at {hours} h"}
    typed |= service.unlike
    record_service(book, by, service.tag, service.task, typed, UTC, clock.now)


def _in_order(item: TaskItem, service: InventedService) -> str:
    """Give what is typed for an item that is in order."""
    match item.kind:
        case ItemKind.CHECK:
            return item.good[0]
        case ItemKind.GRADE:
            return item.grades[0]
        case ItemKind.AMOUNT:
            return AMOUNTS.get(item.key, "0")
    low, high = float(item.lower or 0), float(item.upper or 0)
    share = chance(service.tag, service.task, item.key).uniform(0.3, 0.7)
    return f"{low + share * (high - low):.1f}"
