"""What can be seen on a part and what follows: common practice, no source, except where a test names one."""

from dataclasses import replace

import pytest

from app.domain.findings import SOUND, find_finding, finding_words, findings_for
from app.domain.limits import Construction, PartKind
from app.domain.verdicts import Verdict
from tests.domain.builders import a_part

PLATE = a_part("2.suction-valve")
REED = a_part("3.suction-valve")
PARTS = [PLATE, REED, *(a_part(f"2.{key}") for key in ("ring-1", "cylinder", "piston", "pin", "bush"))]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: f"{part.kind}-{part.construction}")
def test_every_list_begins_with_sound_and_ends_with_doubtful(part):
    listed = findings_for(part)

    assert listed[0] is SOUND
    assert (listed[-1].code, listed[-1].verdict) == ("doubtful", Verdict.UNDECIDED)
    assert len({finding.code for finding in listed}) == len(listed)


@pytest.mark.parametrize("part", PARTS, ids=lambda part: f"{part.kind}-{part.construction}")
def test_what_renews_names_its_object_and_nothing_else_does(part):
    for finding in findings_for(part):
        assert bool(finding.renews) == (finding.verdict is Verdict.RENEW), finding.code
        assert not finding.is_absolute or finding.verdict is Verdict.RENEW, finding.code


@pytest.mark.parametrize("part", PARTS, ids=lambda part: f"{part.kind}-{part.construction}")
def test_what_is_cracked_or_broken_may_never_be_conceded(part):
    for finding in findings_for(part):
        is_broken = any(word in finding.words for word in ("crack", "broken", "missing"))
        assert finding.is_absolute == is_broken, finding.code


@pytest.mark.parametrize(
    ("code", "verdict", "renews"),
    [
        ("seat-marked", Verdict.REWORK, ""),  # light marks on the seat are lapped out
        ("plate-marked", Verdict.RENEW, "plate and springs"),
        ("plate-cracked", Verdict.RENEW, "plate and springs"),
        ("spring-tired", Verdict.RENEW, "plate and springs"),
        ("spring-broken", Verdict.RENEW, "plate and springs"),
        ("seat-not-clearing", Verdict.RENEW, "whole valve"),
        ("body-cracked", Verdict.RENEW, "whole valve"),
    ],
)
def test_a_plate_valve_is_taken_apart(code, verdict, renews):
    finding = find_finding(PLATE, code)

    assert (finding.verdict, finding.renews) == (verdict, renews)


@pytest.mark.parametrize("code", ["reed-bent", "reed-cracked", "reed-missing", "seat-marked"])
def test_a_reed_valve_is_neither_ground_nor_given_new_reeds(code):
    finding = find_finding(REED, code)

    assert (finding.verdict, finding.renews) == (Verdict.RENEW, "whole valve")


def test_a_worn_plate_is_never_turned_over_and_a_lapped_seat_is_measured_again():
    assert "never turned over" in find_finding(PLATE, "plate-marked").advice
    assert "measure the lift again" in find_finding(PLATE, "seat-marked").advice


@pytest.mark.parametrize(
    ("ref", "code"), [("2.suction-valve", "plate-cracked"), ("2.suction-valve", "spring-broken"),
                      ("3.suction-valve", "reed-cracked"), ("2.ring-1", "broken")]
)  # fmt: skip
def test_every_piece_of_what_broke_is_accounted_for(ref, code):
    assert "Account for every piece" in find_finding(a_part(ref), code).advice


@pytest.mark.parametrize("code", ["scuffed", "stuck", "broken"])
def test_one_ring_scuffed_stuck_or_broken_renews_the_set(code):
    finding = find_finding(a_part("2.ring-1"), code)

    assert (finding.verdict, finding.renews) == (Verdict.RENEW, "ring set")


def test_a_step_in_the_bore_is_broken_before_new_rings_go_in():
    finding = find_finding(a_part("2.cylinder"), "step")

    assert finding.verdict is Verdict.REWORK
    assert "Break the step" in finding.advice


def test_a_code_of_another_kind_of_part_is_not_found():
    assert find_finding(PLATE, "reed-bent") is None
    assert find_finding(REED, "plate-marked") is None


def test_a_valve_of_plates_is_judged_as_one_and_its_construction_is_all_that_counts():
    as_reed = replace(PLATE, construction=Construction.REED)

    assert findings_for(as_reed) == findings_for(REED)
    assert PLATE.kind is PartKind.VALVE


def test_a_finding_is_put_into_words_without_its_part_and_an_unknown_code_by_itself():
    assert finding_words("seat-marked") == "light marks on the seat, seat marked"
    assert finding_words("rust") == "rust"
