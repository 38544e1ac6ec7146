"""Routine services are recorded in a minute each: what was found, read and used, at which hours, by whom."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from app.actions.due import due_of_machine
from app.actions.meter import hours_typed, kept_with, moment_typed
from app.domain.due import DueTask
from app.domain.errors import InputRefused, NotThere
from app.domain.limits import LimitSheet
from app.domain.overhaul import Machine
from app.domain.people import Person, Right
from app.domain.service import Service, TypedService, read_service
from app.domain.tasks import Task
from app.store.book import Book
from app.store.machines import get_machine
from app.store.services import list_services, save_service
from app.store.sheets import current_sheet

SHORTEST_ID, LONGEST_ID = 8, 64
NOTHING_ANSWERED = TypedService((), "", True)


@dataclass(frozen=True)
class MachineServices:
    """The tasks of one machine as they are due, and every service recorded, the newest first."""

    machine: Machine
    sheet: LimitSheet
    due: tuple[DueTask, ...]
    services: tuple[Service, ...]

    def task(self, key: str) -> Task | None:
        """Find a task of the sheet as it is now."""
        return next((task for task in self.sheet.tasks if task.key == key), None)

    def due_task(self, key: str) -> DueTask:
        """Give a task that opens nothing, as it is due."""
        found = [each for each in self.due if each.task.key == key and not each.task.opens_machine]
        if not found:
            raise NotThere(f"{self.machine.tag} has no such task, or it is done by an overhaul.")
        return found[0]

    def last(self, key: str) -> Service | None:
        """Find the last service of a task."""
        return next((service for service in self.services if service.task == key), None)


def machine_services(book: Book, tag: str, zone: tzinfo) -> MachineServices:
    """The tasks and services of a machine."""
    with book.reading() as session:
        machine = get_machine(session, tag)
        sheet = current_sheet(session, machine.sheet_name)
        done = tuple(reversed(list_services(session, machine.id)))
        return MachineServices(machine, sheet, tuple(due_of_machine(session, machine, zone)), done)


def record_service(
    book: Book, by: Person, tag: str, key: str, typed: dict[str, str], zone: tzinfo, now: datetime
) -> None:
    """Record a task as done, and the hours it was done at; sent twice, it is recorded once."""
    by.must(Right.SERVICE)
    request_id = typed.get("request_id", "")
    if not SHORTEST_ID <= len(request_id) <= LONGEST_ID:
        raise NotThere("This form has no identifier: load its page again.")
    state = machine_services(book, tag, zone)
    task = state.due_task(key).task
    refused: dict[str, str] = {}
    shown = hours_typed(typed.get("hours", ""), refused)
    at = moment_typed(typed.get("day", ""), "", zone, now, refused)
    answered = _answered(task, typed, refused)
    with book.writing(by.name, now) as writing:
        reading = kept_with(writing, state.machine, shown, at, zone, refused)
        done = Service(
            key, state.sheet.title, reading.hours, at, by.name, answered.answers, answered.note, answered.is_in_order
        )
        save_service(writing, state.machine, done, request_id)


def _answered(task: Task, typed: dict[str, str], refused: dict[str, str]) -> TypedService:
    """Read the answers, or note what is wrong with them beside what else is."""
    try:
        return read_service(task, typed)
    except InputRefused as refusal:
        refused |= refusal.fields
        return NOTHING_ANSWERED
