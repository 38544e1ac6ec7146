"""What is read and judged of one stage alone is what it is with the whole overhaul around it."""

from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Reading
from tests.demonstration.told import Told


def in_stage(past: PastOverhaul, stage: int) -> tuple[dict[str, PartVerdict], tuple[Reading, ...], frozenset[str]]:
    """The verdicts of a stage, its readings, and which of them are struck."""
    readings = tuple(reading for reading in past.overhaul.readings if reading.place.part.startswith(f"{stage}."))
    verdicts = {ref: verdict for ref, verdict in past.verdicts.items() if verdict.part.stage == stage}
    return verdicts, readings, past.struck & {reading.id for reading in readings}


def test_verdicts_of_a_stage_follow_from_its_own_parts(told: Told) -> None:
    tried = 0
    for overhauls in told.machines.values():
        for stage in (1, 2, 3):
            told.book.memory.clear()
            alone = past_overhauls(told.book, overhauls[0].machine.id, stage)
            told.book.memory.clear()
            whole = past_overhauls(told.book, overhauls[0].machine.id)
            assert [in_stage(past, stage) for past in alone] == [in_stage(past, stage) for past in whole]
            tried += sum(len(in_stage(past, stage)[0]) for past in alone)

    assert tried > 200


def test_stage_is_taken_from_the_whole_where_that_is_held(told: Told) -> None:
    told.book.memory.clear()
    machine = told.returned[0].machine.id

    whole = past_overhauls(told.book, machine)
    of_stage = past_overhauls(told.book, machine, 1)

    assert all(one is other for one, other in zip(whole[:-1], of_stage[:-1], strict=True))
