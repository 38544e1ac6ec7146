"""How the demonstration leaves its machines: one half gauged, one waiting for the chief, one in service."""

from app.domain.overhaul import Meaning, Phase
from app.domain.overhaul_verdicts import missing_places, renewed_object, ungauged_parts
from app.domain.phases import phase_of
from app.domain.readings import Kind, Occasion, Place, superseded
from app.domain.verdicts import Verdict
from tests.demonstration.told import Told, verdicts

SLIP = Place("1.cylinder", "bore", "mid stroke", "across the pin")


def test_one_machine_gauges_one_waits_for_the_chief_and_one_is_in_service(told: Told) -> None:
    phases = {tag: phase_of(overhauls[-1]) for tag, overhauls in told.machines.items()}

    assert phases == {"GA-1": Phase.GAUGE, "GA-2": Phase.DECIDE, "BA-1": Phase.RETURNED}


def test_the_half_gauged_machine_has_stage_1_whole_one_place_missing_in_stage_2_and_stage_3_to_come(told: Told) -> None:
    newest = told.newest("GA-1")

    missing = {
        stage: [p for part in newest.parts if part.stage == stage for p in missing_places(newest, part)]
        for stage in (1, 2)
    }

    assert missing == {1: [], 2: [Place("2.pin", "diameter")]}
    assert {part.ref for part in newest.parts if part.stage == 3} < {part.ref for part in ungauged_parts(newest)}
    assert not [reading for reading in newest.readings if reading.place.part.startswith("3.")]


def test_the_slip_copied_wrongly_is_superseded_and_its_two_people_are_told_apart(told: Told) -> None:
    newest = told.newest("GA-1")
    first, second = (reading for reading in newest.readings if reading.place == SLIP)

    assert superseded(newest.readings) == {first.id}
    assert second.supersedes == first.id
    assert (first.measured_by, first.entered_by, second.entered_by) == ("M. Tarrow", "I. Brandreth", "M. Tarrow")
    assert first.size_mm is not None
    assert second.size_mm is not None
    assert sorted(first.written) == sorted(second.written)
    assert first.size_mm != second.size_mm


def test_the_half_gauged_machine_shows_every_verdict(told: Told) -> None:
    found = verdicts(told.newest("GA-1"))

    assert found["2.ring-1"].own is Verdict.RENEW
    assert {found[f"2.ring-{number}"].verdict for number in (1, 2, 3)} == {Verdict.RENEW}
    assert found["2.ring-3"].own is Verdict.UNDECIDED
    assert found["2.cylinder"].verdict is Verdict.REWORK
    assert found["2.cylinder"].deciding.measure == "taper"
    assert found["2.bush"].verdict is Verdict.NOT_GAUGED
    assert found["1.ring-1"].verdict is Verdict.UNDECIDED
    assert [verdict for verdict in found.values() if verdict.part.stage == 2 and verdict.verdict is Verdict.REUSE]


def test_the_doubtful_gap_lies_between_two_leaves_and_a_leaf_would_settle_it(told: Told) -> None:
    ring = verdicts(told.newest("GA-1"))["2.ring-3"]

    assert "lies between the two leaves" in ring.deciding.reason
    assert ring.deciding.advice.startswith("Try 0.65.")


def test_the_waiting_machine_is_wholly_gauged_and_signed_by_the_fitter(told: Told) -> None:
    newest = told.newest("GA-2")

    assert not ungauged_parts(newest)
    assert [(s.meaning, s.person) for s in newest.signatures] == [(Meaning.GAUGED, "M. Tarrow")]


def test_the_waiting_machine_has_every_verdict_for_the_chief(told: Told) -> None:
    found = verdicts(told.newest("GA-2"))

    assert {verdict.verdict for verdict in found.values()} == set(Verdict)
    assert found["1.suction-valve"].verdict is Verdict.REWORK
    assert renewed_object(found["2.delivery-valve"]) == "plate and springs"
    assert found["2.delivery-valve"].is_absolute
    assert renewed_object(found["2.ring-1"]) == "ring set"
    assert found["3.ring-1"].verdict is Verdict.UNDECIDED
    assert found["1.bush"].verdict is Verdict.NOT_GAUGED


def test_what_could_not_be_gauged_says_why(told: Told) -> None:
    cannot = [
        reading
        for tag in ("GA-1", "GA-2")
        for reading in told.newest(tag).standing(Occasion.AS_FOUND).values()
        if reading.kind is Kind.CANNOT
    ]

    assert len(cannot) == 2
    assert all(len(reading.reason) > 20 for reading in cannot)
