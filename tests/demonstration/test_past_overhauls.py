"""The closed overhauls of the demonstration are whole: signed, decided, worked on and gauged again as the rules ask."""

from collections import Counter
from datetime import UTC, datetime, timedelta

from app.domain.overhaul import LIVE_MEANINGS, Meaning, Phase
from app.domain.overhaul_verdicts import to_settle, ungauged_parts
from app.domain.phases import is_boxed_up
from app.domain.steps import open_steps
from app.domain.verdicts import Verdict
from tests.demonstration.told import Told, verdicts, works
from tests.demonstration_book import demonstration_now

CHIEFS = {"I. Brandreth", "R. Osk"}


def test_every_machine_has_at_least_four_overhauls_behind_it(told: Told) -> None:
    behind = Counter(overhaul.machine.tag for overhaul in told.returned)

    assert set(behind) == {"GA-1", "GA-2", "BA-1"}
    assert min(behind.values()) >= 4


def test_every_closed_overhaul_carries_all_four_signatures_of_the_right_people(told: Told) -> None:
    signed = [{s.meaning: s.person for s in overhaul.signatures} for overhaul in told.returned]

    assert all(set(by) == set(LIVE_MEANINGS) for by in signed)
    assert all(by[Meaning.GAUGED] == by[Meaning.RETURNED_FITTER] == "M. Tarrow" for by in signed)
    assert {by[Meaning.DECIDED] for by in signed} == CHIEFS
    assert all(by[Meaning.DECIDED] == by[Meaning.RETURNED_CHIEF] for by in signed)


def test_no_closed_overhaul_left_anything_open(told: Told) -> None:
    for overhaul in told.returned:
        assert not ungauged_parts(overhaul)
        assert not to_settle(tuple(verdicts(overhaul).values()))
        assert not [step for phase in Phase for step in open_steps(overhaul, phase)]
        assert is_boxed_up(overhaul)


def test_every_renewed_part_has_its_number_and_batch(told: Told) -> None:
    renewed = [(overhaul, work) for overhaul in told.returned for work in works(overhaul).values() if work.is_renewed]

    fittings = [o.fitting(w.found.with_set.ref if w.found.with_set else w.part.ref) for o, w in renewed]

    assert len(renewed) > 30
    assert all(fitting is not None and fitting.number.startswith("QM-") and fitting.batch for fitting in fittings)


def test_older_governor_air_overhauls_were_judged_by_revision_b_and_newer_ones_by_c(told: Told) -> None:
    for tag in ("GA-1", "GA-2"):
        revisions = [overhaul.sheet.revision for overhaul in told.machines[tag]]

        assert revisions == sorted(revisions)
        assert set(revisions) == {"B", "C"}
    assert {overhaul.sheet.title for overhaul in told.machines["BA-1"]} == {"QM-BA rev A"}


def test_most_parts_went_back_and_ring_sets_were_renewed_now_and_then(told: Told) -> None:
    words = Counter(verdict.verdict for overhaul in told.returned for verdict in verdicts(overhaul).values())
    opened = [(o.machine.tag, s.stage) for o in told.returned if o.scope.has_rings for s in o.sets]
    renewed = Counter(
        (o.machine.tag, part_set.stage)
        for o in told.returned
        for part_set in o.sets
        if verdicts(o)[part_set.members[0]].verdict is Verdict.RENEW
    )

    assert 0.7 < words[Verdict.REUSE] / words.total() < 0.95
    assert words[Verdict.REWORK] >= 8
    for stage, times in Counter(opened).items():
        assert 1 <= renewed[stage] <= times / 2, stage


def test_the_past_reaches_from_2014_to_last_week(told: Told) -> None:
    now = demonstration_now()

    age = now - min(overhaul.opened_at for overhaul in told.all)
    newest = max(overhaul.opened_at for overhaul in told.all)

    assert age > timedelta(days=365 * 10)
    assert now - newest < timedelta(days=7)


def test_nothing_happened_on_a_weekend_at_night_or_after_now(told: Told) -> None:
    entered = [reading.stored_at for overhaul in told.all for reading in overhaul.readings]
    signed = [signature.at for overhaul in told.all for signature in overhaul.signatures]

    assert max(entered + signed) <= demonstration_now()
    assert {moment.weekday() for moment in entered + signed} <= set(range(5))
    assert all(7 <= moment.astimezone(UTC).hour < 16 for moment in entered + signed)


def test_every_reading_was_measured_a_little_before_it_was_entered(told: Told) -> None:
    waits = [r.stored_at - r.measured_at for overhaul in told.all for r in overhaul.readings]

    assert min(waits) > timedelta(0)
    assert sorted(waits)[len(waits) // 2] < timedelta(minutes=2)
    assert max(waits) < timedelta(hours=1)


def test_hours_of_the_openings_rise_as_a_meter_does(told: Told) -> None:
    for of_machine in told.machines.values():
        moments: list[tuple[datetime, object]] = [(overhaul.opened_at, overhaul.hours) for overhaul in of_machine]

        assert moments == sorted(moments)
