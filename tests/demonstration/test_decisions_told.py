"""The demonstration holds what a chief engineer decides: concessions, doubts settled, oversizes with their mates."""

from app.domain.decisions import needs_concession
from app.domain.overhaul import Decision, Overhaul, Phase
from app.domain.phases import phase_of
from app.domain.verdicts import Verdict
from tests.demonstration.told import Told, verdicts, works


def test_one_opening_covered_valves_only_and_renewed_what_was_conceded(told: Told) -> None:
    valves_only = [overhaul for overhaul in told.returned if not overhaul.scope.has_rings]

    [opening] = valves_only

    assert opening.machine.tag == "BA-1"
    assert all(part.kind == "valve" for part in opening.parts)
    assert verdicts(opening)["2.delivery-valve"].renews == "whole valve"


def test_a_concession_was_granted_over_a_limit_with_an_end_and_a_second_signature(told: Told) -> None:
    [(overhaul, decision)] = conceded(told)
    verdict = verdicts(overhaul)[decision.ref]

    assert overhaul.machine.tag == "BA-1"
    assert needs_concession(verdict, Verdict.REUSE)
    assert decision.person == "I. Brandreth"
    assert decision.concession is not None
    assert decision.concession.second_person == "R. Osk"
    assert decision.concession.until_hours
    assert decision.concession.until_date


def test_the_conceded_part_was_opened_again_before_the_concession_ended(told: Told) -> None:
    [(overhaul, decision)] = conceded(told)
    after = told.machines["BA-1"][overhaul.number]

    assert decision.concession is not None
    assert decision.concession.until_hours is not None
    assert decision.concession.until_date is not None
    assert after.hours < decision.concession.until_hours
    assert after.opened_at.date() < decision.concession.until_date


def test_doubts_were_settled_both_ways_and_a_part_not_gauged_was_renewed(told: Told) -> None:
    settled = {(verdicts(o)[d.ref].machine, d.verdict) for o, d in decided(told) if d.ref in verdicts(o)}

    assert (Verdict.UNDECIDED, Verdict.RENEW) in settled
    assert (Verdict.UNDECIDED, Verdict.REUSE) in settled
    assert (Verdict.NOT_GAUGED, Verdict.RENEW) in settled


def test_a_honed_cylinder_has_its_new_base_size_rings_and_piston(told: Told) -> None:
    honed = [(o, fitting) for o in told.returned for fitting in o.fittings if fitting.made_to]

    assert {(overhaul.machine.tag, fitting.ref) for overhaul, fitting in honed} == {
        ("GA-2", "3.cylinder"),
        ("BA-1", "1.cylinder"),
    }
    for overhaul, fitting in honed:
        stage = fitting.ref[0]
        renewed = {ref for ref, work in works(overhaul).items() if work.is_renewed}
        assert {f"{stage}.ring-1", f"{stage}.ring-2", f"{stage}.piston"} <= renewed
        assert works(overhaul)[fitting.ref].verdict is Verdict.REUSE


def test_the_overhaul_after_a_honing_counts_wear_from_the_oversize(told: Told) -> None:
    after = told.machines["GA-2"][3]
    cylinder = after.sheet.part("3.cylinder")

    assert cylinder is not None
    base = after.base_size(cylinder, cylinder.characteristics[0])
    assert base is not None
    assert base.typed == "40.15"
    assert verdicts(after)["3.cylinder"].verdict is Verdict.REUSE


def test_nobody_decides_in_an_overhaul_that_still_gauges(told: Told) -> None:
    gauging = [overhaul for overhaul in told.all if phase_of(overhaul) is Phase.GAUGE]

    assert [overhaul.machine.tag for overhaul in gauging] == ["GA-1"]
    assert gauging[0].decisions == ()


def decided(told: Told) -> list[tuple[Overhaul, Decision]]:
    """Every decision with its overhaul."""
    return [(overhaul, decision) for overhaul in told.all for decision in overhaul.decisions]


def conceded(told: Told) -> list[tuple[Overhaul, Decision]]:
    """Every concession with its overhaul."""
    return [(overhaul, decision) for overhaul, decision in decided(told) if decision.concession]
