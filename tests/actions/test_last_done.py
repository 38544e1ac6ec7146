"""What a task's interval counts from: the last service, the last overhaul that does it, else start-up."""

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

from app.actions.due import last_done
from app.domain.overhaul import Meaning, MeterReading, Scope, Signature
from app.domain.tasks import Opens, Task
from app.store.overhauls import OverhaulSummary
from tests.old_paper import a_sheet

FIRST = MeterReading(Decimal(2000), datetime(2020, 1, 1, tzinfo=UTC), "M. Tarrow")
BACK = Signature(Meaning.RETURNED_CHIEF, "I. Brandreth", datetime(2022, 3, 9, tzinfo=UTC), "")
ALL_STAGES = Scope((1, 2, 3), has_rings=True)
LIVE = OverhaulSummary(
    1, 4, Decimal(9000), datetime(2022, 3, 2, tzinfo=UTC), "M. Tarrow", "QM-GA rev C", ALL_STAGES, (BACK,)
)
PAPER = replace(LIVE, number=5, hours=Decimal(1500), opened_at=datetime(2019, 3, 2, 12, tzinfo=UTC), paper="old.csv")
OIL = Task("oil", "Oil change", Decimal(1000))
RINGS = Task("rings", "Rings", Decimal(5000), opens=Opens.RINGS)


def counted_from(task: Task, *overhauls: OverhaulSummary) -> str:
    """What a task counts from."""
    done = last_done(task, a_sheet(), FIRST, list(overhauls), [])
    return f"{done.what}, {done.hours} h, {done.on}"


def test_an_overhaul_starts_a_task_that_opens_nothing_anew_only_where_the_sheet_has_a_first_check_after_it() -> None:
    assert counted_from(OIL, LIVE) == "start-up, 2000 h, 2020-01-01"
    assert counted_from(replace(OIL, first_hours=Decimal(100)), LIVE) == "overhaul 4, 9000 h, 2022-03-09"
    assert counted_from(RINGS, LIVE) == "overhaul 4, 9000 h, 2022-03-09"


def test_an_overhaul_on_paper_from_before_the_first_meter_reading_stands_instead_of_start_up() -> None:
    assert counted_from(RINGS, PAPER) == "overhaul 5, 1500 h, 2019-03-02"
    assert counted_from(RINGS, PAPER, LIVE) == "overhaul 4, 9000 h, 2022-03-09"
    assert counted_from(OIL, PAPER) == "start-up, 2000 h, 2020-01-01"
