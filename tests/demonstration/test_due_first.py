"""What a machine's own page says is due first is what the plan over all machines says, for every machine."""

from datetime import UTC

from app.actions.due_plan import due_plan
from app.actions.machine_record import due_first, machine_record
from app.domain.due import DueTask
from tests.demonstration.told import Told
from tests.demonstration_book import demonstration_now


def test_machines_page_and_the_plan_over_all_machines_tell_the_same_first_day_and_opening(told: Told) -> None:
    plan = due_plan(told.book, UTC)
    planned: dict[str, list[DueTask]] = {}
    for each in [*plan.undated, *(task for visit in plan.visits for task in visit.tasks)]:
        planned.setdefault(each.tag, []).append(each)

    records = {tag: machine_record(told.book, tag, demonstration_now().date(), UTC) for tag in planned}

    assert plan.unlooked == 0
    assert len(planned) > 2
    for tag, record in records.items():
        openings = [each for each in planned[tag] if each.task.opens_machine]
        assert record.due is not None
        assert record.due == due_first(planned[tag])
        assert (record.opening.due if record.opening else None) == (
            min((each.due for each in openings), key=lambda due: due.on, default=None)
        )
    assert any(record.opening for record in records.values())
