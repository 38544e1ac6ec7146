"""What is picked and held for the plan of what is due tells the same days as everything that the book holds."""

from dataclasses import replace
from datetime import UTC
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import Session

from app.actions.due import Upkeep, everything_due, machine_openings, tasks_due, upkeep_of, upkeeps_of
from app.actions.due_plan import HELD, due_plan
from app.domain.due import DueTask
from app.domain.meter import at_site
from app.domain.overhaul import Machine
from app.store.all_machines import Overhauls, Returned, ServiceDone, answers_of_amendments
from app.store.book import Book
from app.store.machines import list_machines, list_meter_readings
from app.store.overhauls import list_overhauls
from app.store.services import list_services
from app.store.sheets import current_sheet
from tests.actions.generated_lives import Lives
from tests.builders import a_machine, a_sheet

ZONE = ZoneInfo("Pacific/Auckland")


def whole_upkeep(session: Session, machine: Machine) -> Upkeep:
    """Everything that the book holds of a machine, nothing left out."""
    overhauls = list_overhauls(session, machine.id)
    closed = [Returned(each.number, each.hours, each.scope, each.returned_at) for each in overhauls if not each.is_open]
    done = list_services(session, machine.id)
    return Upkeep(
        machine,
        current_sheet(session, machine.sheet_name),
        tuple(at_site(each, ZONE) for each in list_meter_readings(session, machine.id)),
        Overhauls(tuple(closed), len(closed) < len(overhauls)),
        tuple(ServiceDone(each.task, each.hours, each.at, each.is_in_order) for each in done),
        ZONE,
        answers_of_amendments(session).get(machine.id, ()),
    )


def ends_of(overhauls: Overhauls) -> dict[object, object]:
    """Whether one is open, and of each scope, in the order in which they come: the newest, the last and the first."""
    found: dict[object, object] = {"is open": overhauls.is_open}
    for scope in dict.fromkeys(each.scope for each in overhauls.newest_first):
        its = [each for each in overhauls.newest_first if each.scope == scope]
        at = [each.returned_at for each in its]
        found[scope] = its[0], its[at.index(max(at))], min(at)
    return found


def of_all(book: Book) -> list[list[DueTask]]:
    """What is due on each machine, by all that the book holds, and by what is picked of it, of all and of one."""
    with book.reading() as session:
        machines = list_machines(session)
        picked = upkeeps_of(session, machines, ZONE)
        alone = [upkeep_of(session, machine, ZONE) for machine in machines]
        whole = [whole_upkeep(session, machine) for machine in machines]
    for one, same, other in zip(picked, alone, whole, strict=True):
        assert one == same
        assert (one.rate, ends_of(one.overhauls)) == (other.rate, ends_of(other.overhauls))
        assert tasks_due(one) == tasks_due(other)
        assert machine_openings(book, one) == machine_openings(book, other)
    return [everything_due(book, upkeep) for upkeep in whole]


def planned(book: Book) -> list[DueTask]:
    """What the plan tells, whether it has a day or not."""
    plan = due_plan(book, ZONE, 0)
    assert plan.unlooked == 0
    return [*(each for visit in plan.visits for each in visit.tasks), *plan.undated]


def same(first: list[DueTask], second: list[DueTask]) -> bool:
    """Whether two lists tell the same, in whatever order."""
    return sorted(map(repr, first)) == sorted(map(repr, second))


@pytest.mark.parametrize("seed", range(3))
def test_what_is_picked_of_a_life_tells_the_same_days_as_all_of_it(book: Book, seed: int) -> None:
    lives = Lives(book, seed, machines=8)
    lives.happen(320)

    due = of_all(book)

    assert same(planned(book), [each for of_one in due for each in of_one])
    assert {each.last.what.split()[0] for of_one in due for each in of_one} == {"start-up", "overhaul", "done"}
    assert any("concession" in each.task.key for of_one in due for each in of_one)


def test_what_is_held_is_never_older_than_the_book(book: Book) -> None:
    lives = Lives(book, 7, machines=3)
    lives.happen(60)
    changes = 0
    for number in range(60):
        before = due_plan(book, ZONE, 30)
        if number % 20 == 19:
            lives.revise(1000 + number)
        elif number % 20 == 9:
            lives.add()
        else:
            lives.happen(1)
        held = due_plan(book, ZONE, 30)
        del book.memory[HELD]
        assert held == due_plan(book, ZONE, 30)
        changes += held != before
    assert changes > 20


def test_only_machines_that_anything_was_entered_of_are_reckoned_anew(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    lives = Lives(book, 1, machines=4)
    for machine in lives.machines:
        lives.read_hours(machine)
    reckoned: list[str] = []

    def noted(upkeep: Upkeep) -> list[DueTask]:
        reckoned.append(upkeep.machine.tag)
        return tasks_due(upkeep)

    monkeypatch.setattr("app.actions.due_plan.tasks_due", noted)
    first, again = due_plan(book, ZONE), due_plan(book, ZONE)
    lives.read_hours(lives.machines[2])
    due_plan(book, ZONE)

    assert first == again
    assert reckoned == ["GA-0", "GA-1", "GA-2", "GA-3", "GA-2"]


def test_another_chain_or_another_zone_is_reckoned_anew(book: Book) -> None:
    lives = Lives(book, 2, machines=2)
    for machine in lives.machines:
        lives.read_hours(machine)
    plan = due_plan(book, ZONE)
    held = book.memory[HELD]
    emptied = {number: replace(machine, tasks=()) for number, machine in held.machines.items()}
    book.memory[HELD] = replace(held, machines=emptied)
    assert due_plan(book, ZONE).visits == ()
    book.memory[HELD] = replace(held, machines=emptied, head=(held.head[0], "another digest"))

    assert due_plan(book, ZONE) == plan
    assert due_plan(book, UTC) != plan
    assert due_plan(book, ZONE) == plan


def test_of_a_book_without_machines_nothing_is_due(book: Book) -> None:
    assert due_plan(book, ZONE).visits == ()
    a_sheet(book)
    a_machine(book)
    assert due_plan(book, ZONE).visits != ()
