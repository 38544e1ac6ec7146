"""What a chief engineer may decide: with a reason, only by a concession, or never."""

from dataclasses import replace
from datetime import date

import pytest

from app.domain.decisions import check_decision, choices, is_lighter, needs_concession, still_stands
from app.domain.errors import InputRefused
from app.domain.overhaul import Concession
from app.domain.readings import SEEN, Occasion
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import (
    MUCH_LATER,
    a_cannot,
    a_concession,
    a_decision,
    a_gauged_overhaul,
    a_part,
    a_sheet_with,
    decided,
    entered,
    ring_gap,
    verdict_of,
)

REUSE, REWORK, RENEW = Verdict.REUSE, Verdict.REWORK, Verdict.RENEW
VALVE = "2.suction-valve"
LIFT_OVER = a_reading(VALVE, "lift", "1.91")
DOUBTFUL, LAP = a_reading(VALVE, SEEN, "doubtful"), a_reading(VALVE, SEEN, "seat-marked")
LAP_AND_DOUBT = a_reading(VALVE, SEEN, "seat-marked+doubtful")
NO_LIFT, NO_SPRING = a_cannot(VALVE, "lift"), a_cannot(VALVE, "spring-length")
GOOD, WORN, WAITING = (), (LIFT_OVER,), (NO_LIFT,)


def valve(*readings):
    """The verdict on a valve, sound but for these readings."""
    return verdict_of(a_gauged_overhaul(*readings), VALVE)


def faults(verdict, decision) -> dict[str, str]:
    """The fields that are refused, with their words."""
    try:
        check_decision(verdict, decision)
    except InputRefused as refusal:
        return refusal.fields
    return {}


@pytest.mark.parametrize(
    ("readings", "chosen", "needs"),
    [
        (GOOD, REUSE, False),
        (GOOD, REWORK, False),
        (GOOD, RENEW, False),
        (WORN, REUSE, True),
        (WORN, REWORK, True),
        (WORN, RENEW, False),
        ((LAP,), REUSE, True),
        ((LAP,), REWORK, False),
        ((LAP,), RENEW, False),
        (WAITING, REUSE, True),
        (WAITING, REWORK, False),
        (WAITING, RENEW, False),
        ((DOUBTFUL,), REUSE, False),
        ((DOUBTFUL,), REWORK, False),
        ((DOUBTFUL,), RENEW, False),
        ((DOUBTFUL, NO_LIFT), REUSE, True),  # undecided outweighs not gauged, and does not hide it
        ((LAP_AND_DOUBT, NO_SPRING), REWORK, False),
    ],
)
def test_a_part_outside_a_limit_or_never_gauged_is_used_only_by_a_concession(readings, chosen, needs):
    verdict = valve(*readings)
    fields = faults(verdict, a_decision(VALVE, chosen))

    assert needs_concession(verdict, chosen) is needs
    assert (list(fields) == ["until_hours"]) is needs
    assert needs or fields == {}


def test_a_doubt_does_not_hide_a_bore_that_is_to_be_reworked():
    overhaul = a_gauged_overhaul(
        a_reading("2.cylinder", SEEN, "doubtful"),
        a_reading("2.cylinder", "bore", "78.12", level="mid stroke", axis="along the pin"),
    )

    assert verdict_of(overhaul, "2.cylinder").machine is Verdict.UNDECIDED
    assert needs_concession(verdict_of(overhaul, "2.cylinder"), REUSE)


@pytest.mark.parametrize("reason", ["", "   ", "too worn"[:7], "a      "])
@pytest.mark.parametrize("chosen", [REUSE, REWORK, RENEW])
def test_no_verdict_is_decided_without_a_reason(reason, chosen):
    assert set(faults(valve(), a_decision(VALVE, chosen, reason=reason))) == {"reason"}


def test_a_concession_with_an_end_and_another_persons_name_is_granted():
    by_hours, by_date = a_concession(), Concession("R. Osk", None, date(2027, 3, 31))

    assert faults(valve(LIFT_OVER), a_decision(VALVE, REUSE, by_hours)) == {}
    assert faults(valve(LIFT_OVER), a_decision(VALVE, REWORK, by_date)) == {}


@pytest.mark.parametrize(
    ("concession", "fields"),
    [
        (a_concession(hours=None), {"until_hours"}),
        (a_concession("I. Brandreth"), {"second_person"}),
        (a_concession(" I. Brandreth "), {"second_person"}),
        (a_concession("  "), {"second_person"}),
        (a_concession("I. Brandreth", hours=None), {"until_hours", "second_person"}),
    ],
)
def test_a_concession_without_an_end_or_a_second_person_is_refused(concession, fields):
    assert set(faults(valve(LIFT_OVER), a_decision(VALVE, REUSE, concession))) == fields


def test_a_concession_given_where_none_is_needed_must_still_be_whole():
    assert faults(valve(DOUBTFUL), a_decision(VALVE, REUSE, a_concession())) == {}
    assert set(faults(valve(DOUBTFUL), a_decision(VALVE, REUSE, a_concession(hours=None)))) == {"until_hours"}


def test_a_renewed_part_takes_no_concession():
    words = faults(valve(LIFT_OVER), a_decision(VALVE, RENEW, a_concession()))

    assert words == {"until_hours": "A renewed part needs no concession: leave its end empty."}


@pytest.mark.parametrize(
    ("ref", "code"),
    [(VALVE, "plate-cracked"), (VALVE, "spring-broken"), (VALVE, "body-cracked"), ("2.piston", "cracked"),
     ("2.pin", "cracked"), ("2.cylinder", "cracked"), ("2.bush", "cracked"), ("2.ring-2", "broken")],
)  # fmt: skip
def test_no_concession_is_granted_over_a_crack_or_a_broken_part(ref, code):
    verdict = verdict_of(a_gauged_overhaul(a_reading(ref, SEEN, code)), ref)

    assert choices(verdict) == (RENEW,)
    assert all("verdict" in faults(verdict, a_decision(ref, chosen, a_concession())) for chosen in (REUSE, REWORK))
    assert faults(verdict, a_decision(ref, RENEW)) == {}


def test_a_broken_ring_holds_its_whole_set_whichever_ring_is_asked():
    overhaul = a_gauged_overhaul(a_reading("2.ring-3", SEEN, "broken"))

    assert [choices(verdict_of(overhaul, f"2.ring-{n}")) for n in (1, 2, 3)] == [(RENEW,)] * 3


def test_a_set_over_its_limit_is_reused_only_by_a_concession_whichever_ring_is_asked():
    overhaul = a_gauged_overhaul(ring_gap(2, "0.70"))

    for number in (1, 2, 3):
        verdict = verdict_of(overhaul, f"2.ring-{number}")
        assert choices(verdict) == (REUSE, REWORK, RENEW)
        assert needs_concession(verdict, REUSE)
        assert faults(verdict, a_decision("2.ring-set", REUSE, a_concession())) == {}


def test_a_set_renewed_only_by_decision_is_taken_back_by_another_with_a_reason():
    overhaul = decided(a_gauged_overhaul(), a_decision("2.ring-1", RENEW))

    assert faults(verdict_of(overhaul, "2.ring-2"), a_decision("2.ring-set", REUSE)) == {}


def test_what_the_sheet_renews_with_its_mate_is_kept_only_by_a_concession():
    sheet = a_sheet_with(replace(a_part("2.bush"), renew_with=("pin",)))
    verdict = verdict_of(a_gauged_overhaul(a_reading("2.pin", SEEN, "scored"), sheet=sheet), "2.bush")

    assert (verdict.own, verdict.machine) == (REUSE, RENEW)
    assert set(faults(verdict, a_decision("2.bush", REUSE))) == {"until_hours"}
    assert faults(verdict, a_decision("2.bush", REUSE, a_concession())) == {}


def test_a_decision_to_reuse_lapses_when_the_mate_it_is_renewed_with_is_renewed():
    sheet = a_sheet_with(replace(a_part("2.bush"), renew_with=("pin",)))
    overhaul = a_gauged_overhaul(a_reading("2.bush", SEEN, "doubtful"), sheet=sheet)
    overhaul = decided(overhaul, a_decision("2.bush", REUSE))

    scored = entered(overhaul, a_reading("2.pin", SEEN, "scored", at=MUCH_LATER))

    assert verdict_of(overhaul, "2.bush").verdict is REUSE
    assert verdict_of(scored, "2.bush").verdict is RENEW


def test_a_set_that_goes_with_its_piston_is_decided_on_by_all_its_members():
    sheet = a_sheet_with(replace(a_part("2.ring-1"), renew_with=("piston",)))
    worn = a_reading("2.piston", SEEN, "groove-worn"), a_cannot("2.ring-3", SEEN)
    overhaul = a_gauged_overhaul(*worn, sheet=sheet)

    assert all(needs_concession(verdict_of(overhaul, f"2.ring-{n}"), REUSE) for n in (1, 2, 3))


@pytest.mark.parametrize("chosen", [Verdict.UNDECIDED, Verdict.NOT_GAUGED])
def test_what_settles_nothing_cannot_be_decided(chosen):
    assert set(faults(valve(), a_decision(VALVE, chosen))) == {"verdict"}


@pytest.mark.parametrize(
    ("readings", "lighter"),
    [((), []), ((LAP,), [REUSE]), ((LIFT_OVER,), [REUSE, REWORK]), ((DOUBTFUL,), [REUSE, REWORK, RENEW]),
     ((NO_LIFT,), [REUSE, REWORK, RENEW])],
)  # fmt: skip
def test_a_choice_is_lighter_when_it_asks_for_less_or_settles_what_was_open(readings, lighter):
    assert [chosen for chosen in (REUSE, REWORK, RENEW) if is_lighter(valve(*readings), chosen)] == lighter


@pytest.mark.parametrize(
    ("later", "stands"),
    [
        ((), True),
        ((a_reading(VALVE, "lift", "1.91", at=MUCH_LATER),), False),
        ((a_reading(VALVE, "lift", "1.91", at=MUCH_LATER, occasion=Occasion.AS_FITTED),), True),
        ((a_reading("2.pin", "diameter", "21.99", at=MUCH_LATER),), True),
    ],
)
def test_a_concession_stands_until_the_part_is_entered_again_as_found(later, stands):
    overhaul = entered(a_gauged_overhaul(LIFT_OVER), *later)
    verdict = replace(verdict_of(overhaul, VALVE), decision=None)

    assert still_stands(overhaul, verdict, a_decision(VALVE, REUSE, a_concession())) is stands
    assert still_stands(overhaul, verdict, a_decision(VALVE, RENEW))
