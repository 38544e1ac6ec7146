"""Which phase an overhaul is in, what stands before each signature, and what a signature seals."""

from dataclasses import replace

import pytest

from app.domain.errors import NotAllowed, NotYet, Sealed
from app.domain.overhaul import Meaning, Overhaul, Phase
from app.domain.phases import (
    ORDER,
    check_signature,
    holds_before,
    is_returned,
    is_signed_gauged,
    phase_of,
    require_phase,
    require_unsealed_findings,
)
from app.domain.readings import SEEN, Occasion
from app.domain.verdicts import Verdict
from tests.builders import a_reading, good_readings
from tests.domain.builders import (
    MUCH_LATER,
    a_cannot,
    a_decision,
    a_gauged_overhaul,
    a_part,
    an_overhaul,
    confirmed,
    decided,
    entered,
    fitted,
    ring_gap,
    signed,
    the_sheet,
)

CHIEF, FITTER, SECOND = "I. Brandreth", "M. Tarrow", "R. Osk"
GAUGED, DECIDED = Meaning.GAUGED, Meaning.DECIDED
BACK_FITTER, BACK_CHIEF = Meaning.RETURNED_FITTER, Meaning.RETURNED_CHIEF


def safe(*later) -> Overhaul:
    """Made safe and gauged, sound but for these entries."""
    return confirmed(a_gauged_overhaul(*later), Phase.MAKE_SAFE)


def at_phase(phase: Phase) -> Overhaul:
    """An overhaul that has come as far as this phase, with every part sound."""
    overhaul = a_gauged_overhaul()
    stages = [
        lambda o: confirmed(o, Phase.MAKE_SAFE),
        lambda o: signed(o, GAUGED),
        lambda o: signed(o, DECIDED, CHIEF),
        lambda o: confirmed(o, Phase.BOX_UP),
        lambda o: signed(signed(confirmed(o, Phase.PROVE), BACK_FITTER), BACK_CHIEF, CHIEF),
    ]
    for step in stages[: ORDER.index(phase)]:
        overhaul = step(overhaul)
    return overhaul


@pytest.mark.parametrize("phase", ORDER)
def test_an_overhaul_is_in_exactly_one_phase_and_passes_them_in_order(phase):
    overhaul = at_phase(phase)

    assert phase_of(overhaul) is phase
    assert is_returned(overhaul) is (phase is Phase.RETURNED)


@pytest.mark.parametrize("now", ORDER)
@pytest.mark.parametrize("asked", ORDER)
def test_what_belongs_to_another_phase_is_refused_as_sealed_or_not_yet(now, asked):
    overhaul, order = at_phase(now), ORDER

    if asked is now and now is not Phase.RETURNED:
        require_phase(overhaul, asked)
        return
    refusal = NotYet if order.index(asked) > order.index(now) else Sealed
    with pytest.raises(refusal):
        require_phase(overhaul, asked)


def test_readings_as_found_are_taken_from_made_safe_until_the_decisions_are_signed():
    for phase in (Phase.GAUGE, Phase.DECIDE):
        require_unsealed_findings(at_phase(phase))
    with pytest.raises(NotYet, match="made safe"):
        require_unsealed_findings(at_phase(Phase.MAKE_SAFE))
    for phase in (Phase.BOX_UP, Phase.PROVE, Phase.RETURNED):
        with pytest.raises(Sealed, match="read-only"):
            require_unsealed_findings(at_phase(phase))


def test_one_step_of_making_safe_left_open_keeps_gauging_from_beginning():
    overhaul = safe()

    for index in range(len(overhaul.confirmations)):
        without = overhaul.confirmations[:index] + overhaul.confirmations[index + 1 :]
        assert phase_of(replace(overhaul, confirmations=without)) is Phase.MAKE_SAFE


def test_gauged_waits_for_making_safe_and_names_three_parts_not_gauged():
    assert holds_before(an_overhaul(), GAUGED) == (
        "the machine is not made safe",
        "not gauged yet: 2-01 Suction valve, 2-02 Delivery valve and 2-03 Ring 1 and 7 more",
    )
    assert holds_before(safe(), GAUGED) == ()


def test_gauged_waits_for_a_single_place_and_cannot_gauge_is_an_entry():
    overhaul = safe()
    without = tuple(r for r in overhaul.readings if (r.place.part, r.place.characteristic) != ("2.bush", "diameter"))
    missing = replace(overhaul, readings=without)

    assert holds_before(missing, GAUGED) == ("not gauged yet: 2-09 Small-end bush",)
    assert holds_before(entered(missing, a_cannot("2.bush", "diameter")), GAUGED) == ()


def test_decided_waits_for_the_fitters_signature_and_for_everything_undecided_or_not_gauged():
    overhaul = safe(a_reading("2.piston", SEEN, "doubtful"), a_cannot("2.bush", "diameter"))
    settled = decided(overhaul, a_decision("2.piston", Verdict.REUSE), a_decision("2.bush", Verdict.RENEW))

    assert holds_before(overhaul, DECIDED) == (
        "the fitter has not signed the readings as they stand",
        "2-07 Piston is UNDECIDED",
        "2-09 Small-end bush is NOT GAUGED",
    )
    assert holds_before(signed(settled, GAUGED), DECIDED) == ()


def test_a_later_entry_asks_for_the_fitters_signature_again():
    overhaul = signed(safe(), GAUGED)
    corrected = entered(overhaul, a_reading("2.pin", "diameter", "21.99", at=MUCH_LATER))

    assert (is_signed_gauged(overhaul), phase_of(overhaul)) == (True, Phase.DECIDE)
    assert (is_signed_gauged(corrected), phase_of(corrected)) == (False, Phase.GAUGE)
    check_signature(corrected, GAUGED, FITTER)
    assert phase_of(signed(corrected, GAUGED)) is Phase.DECIDE


def test_a_decision_that_an_entry_came_after_is_decided_again_before_signing():
    overhaul = decided(safe(a_reading("2.piston", SEEN, "doubtful")), a_decision("2.piston", Verdict.REUSE))
    cracked = signed(entered(overhaul, a_reading("2.piston", SEEN, "cracked", at=MUCH_LATER)), GAUGED)

    assert holds_before(cracked, DECIDED) == ("2-07 Piston: an entry came after the decision, decide again",)
    again = decided(cracked, a_decision("2.piston", Verdict.RENEW, at=MUCH_LATER))
    assert holds_before(again, DECIDED) == ()


def test_a_lapsed_decision_on_a_set_is_named_once_and_one_left_undecided_only_as_undecided():
    over = safe(ring_gap(1, "0.70"), a_reading("2.piston", SEEN, "doubtful"))
    both = decided(over, a_decision("2.ring-set", Verdict.REUSE), a_decision("2.piston", Verdict.REUSE))
    later = entered(both, a_reading("2.piston", SEEN, "doubtful", at=MUCH_LATER))

    assert holds_before(signed(later, GAUGED), DECIDED) == (
        "2-07 Piston is UNDECIDED",
        "Ring set: an entry came after the decision, decide again",
    )


def test_returning_waits_for_decisions_hold_points_and_every_step():
    overhaul = at_phase(Phase.BOX_UP)

    assert holds_before(overhaul, BACK_FITTER) == holds_before(overhaul, BACK_CHIEF)
    assert len(holds_before(overhaul, BACK_FITTER)) == 15 + 9
    assert holds_before(confirmed(overhaul, Phase.BOX_UP, Phase.PROVE), BACK_FITTER) == ()
    assert holds_before(safe(), BACK_CHIEF)[0] == "the decisions are not signed"


def test_a_hold_point_keeps_the_machine_in_boxing_up_with_every_step_confirmed():
    worn = signed(signed(safe(a_reading("2.pin", "diameter", "21.96")), GAUGED), DECIDED, CHIEF)
    boxed = confirmed(worn, Phase.BOX_UP, Phase.PROVE)
    parts = (a_part("2.pin"), a_part("2.bush"))
    closed = entered(fitted(boxed, "2.pin"), *good_readings(parts, Occasion.AS_FITTED, MUCH_LATER))

    assert phase_of(boxed) is Phase.BOX_UP
    assert holds_before(boxed, BACK_FITTER)[0] == "2-08 Piston pin: the new part is not entered"
    assert phase_of(closed) is Phase.PROVE


@pytest.mark.parametrize(
    ("before", "meaning", "person"),
    [
        (Phase.DECIDE, DECIDED, FITTER),
        (Phase.PROVE, BACK_CHIEF, FITTER),
    ],
)
def test_the_chief_engineers_signature_is_by_another_person_than_the_fitters(before, meaning, person):
    overhaul = at_phase(before)
    if meaning is BACK_CHIEF:
        overhaul = signed(confirmed(overhaul, Phase.PROVE), BACK_FITTER, person)

    with pytest.raises(NotAllowed, match="another person"):
        check_signature(overhaul, meaning, person)
    check_signature(overhaul, meaning, SECOND)


def test_the_two_who_return_a_machine_are_two_people_whoever_signs_first():
    overhaul = signed(confirmed(at_phase(Phase.PROVE), Phase.PROVE), BACK_CHIEF, CHIEF)

    with pytest.raises(NotAllowed, match="another person"):
        check_signature(overhaul, BACK_FITTER, CHIEF)
    check_signature(overhaul, BACK_FITTER, FITTER)


@pytest.mark.parametrize(
    ("phase", "meaning"),
    [(Phase.DECIDE, GAUGED), (Phase.BOX_UP, DECIDED), (Phase.BOX_UP, GAUGED), (Phase.RETURNED, BACK_FITTER)],
)
def test_what_is_signed_is_not_signed_again(phase, meaning):
    with pytest.raises(Sealed, match="signed already"):
        check_signature(at_phase(phase), meaning, SECOND)


def test_gauged_is_not_signed_again_once_the_decisions_are_signed_even_if_its_words_change():
    overhaul = at_phase(Phase.BOX_UP)
    renamed = replace(overhaul, machine=replace(overhaul.machine, name="Governor air 1"))

    assert not is_signed_gauged(renamed)
    with pytest.raises(Sealed, match="“Gauged” is signed already"):
        check_signature(renamed, GAUGED, FITTER)


def test_a_signature_over_a_hold_is_refused_and_the_hold_named():
    with pytest.raises(NotYet, match="Not yet: the machine is not made safe; not gauged yet"):
        check_signature(an_overhaul(), GAUGED, FITTER)


def test_after_the_first_signature_of_return_nothing_of_proving_changes():
    overhaul = signed(confirmed(at_phase(Phase.PROVE), Phase.PROVE), BACK_FITTER, FITTER)

    assert phase_of(overhaul) is Phase.PROVE
    with pytest.raises(Sealed, match=f"{FITTER} has signed"):
        require_phase(overhaul, Phase.PROVE)


def test_a_run_within_the_sheet_is_wanted_where_the_sheet_says_what_a_run_is_held_to():
    proving = the_sheet("qm-ga.toml").proving
    overhaul = confirmed(at_phase(Phase.PROVE), Phase.PROVE)
    bare = replace(overhaul, sheet=replace(overhaul.sheet, proving=proving))

    assert "no run is entered" in holds_before(bare, BACK_FITTER)
