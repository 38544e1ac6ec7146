"""An overhaul as it was entered: its scope, what is still missing, and which of several entries counts."""

from datetime import date
from decimal import Decimal

import pytest

from app.domain.overhaul import (
    Concession,
    Meaning,
    Phase,
    Scope,
)
from app.domain.overhaul_verdicts import is_gauged, missing_places
from app.domain.readings import SEEN, Occasion, could_not_be_gauged
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import (
    LATER,
    a_cannot,
    a_decision,
    a_part,
    a_place,
    an_overhaul,
    confirmed,
    decided,
    fitted,
    mm,
    ring_gap,
    signed,
)

RING = a_part("2.ring-1")


def test_valves_only_covers_the_valves_of_the_stages_named():
    overhaul = an_overhaul(stages=(2,), has_rings=False)

    assert [part.ref for part in overhaul.parts] == ["2.suction-valve", "2.delivery-valve"]
    assert overhaul.sets == ()
    assert [stage.number for stage in overhaul.stages] == [2]


@pytest.mark.parametrize(
    ("scope", "words"),
    [(Scope((2,), True), "stage 2; valves and rings"), (Scope((1, 2), False), "stages 1, 2; valves only")],
)
def test_a_scope_is_said_in_words(scope, words):
    assert scope.words == words


@pytest.mark.parametrize(
    ("concession", "words"),
    [
        (Concession("R. Osk", Decimal(12400)), "12400 h"),
        (Concession("R. Osk", None, date(2027, 3, 31)), "31 Mar 2027"),
        (Concession("R. Osk", Decimal(12400), date(2027, 3, 31)), "12400 h or 31 Mar 2027"),
    ],
)
def test_the_end_of_a_concession_is_said_in_words(concession, words):
    assert concession.words == words


def test_the_condition_by_eye_is_the_first_place_required_and_every_level_follows():
    assert RING.required == (
        a_place("2.ring-1", SEEN),
        a_place("2.ring-1", "closed-gap", "worst place"),
        a_place("2.ring-1", "side-clearance"),
    )


def test_a_part_is_gauged_when_every_place_has_an_entry_and_cannot_gauge_is_one():
    entries = a_reading("2.ring-1", SEEN, "sound"), ring_gap(1, "0.45/0.50")
    cannot = a_cannot("2.ring-1", "side-clearance")

    assert missing_places(an_overhaul(*entries), RING) == (a_place("2.ring-1", "side-clearance"),)
    assert is_gauged(an_overhaul(*entries, cannot), RING)
    assert could_not_be_gauged(cannot)
    assert not could_not_be_gauged(entries[0])
    assert not could_not_be_gauged(None)


def test_an_entry_as_fitted_does_not_count_as_found():
    overhaul = an_overhaul(ring_gap(1, "0.20/0.25", occasion=Occasion.AS_FITTED))

    assert len(missing_places(overhaul, RING)) == 3


def test_the_base_size_is_the_last_one_made_else_the_sheets():
    cylinder = a_part("2.cylinder")
    bore = cylinder.characteristics[0]

    assert an_overhaul().base_size(cylinder, bore).typed == "78.00"
    assert an_overhaul(base_sizes={"2.cylinder": mm("78.25")}).base_size(cylinder, bore).typed == "78.25"


def test_of_several_decisions_fittings_signatures_and_confirmations_the_last_counts():
    overhaul = decided(an_overhaul(), a_decision("2.pin", Verdict.REUSE), a_decision("2.pin", Verdict.RENEW))
    overhaul = fitted(fitted(overhaul, "2.pin", "QM-1"), "2.pin", "QM-2")
    overhaul = signed(signed(overhaul, Meaning.GAUGED), Meaning.GAUGED, "I. Brandreth")
    overhaul = confirmed(confirmed(overhaul, Phase.MAKE_SAFE), Phase.MAKE_SAFE)

    assert overhaul.decision("2.pin").verdict is Verdict.RENEW
    assert overhaul.fitting("2.pin").number == "QM-2"
    assert overhaul.signature(Meaning.GAUGED).person == "I. Brandreth"
    assert overhaul.confirmation(Phase.MAKE_SAFE, "locks") is [
        c for c in overhaul.confirmations if c.step == "locks"][-1]  # fmt: skip
    assert overhaul.decisions[0].at == LATER


def test_what_was_never_entered_is_none():
    overhaul = an_overhaul()

    assert overhaul.decision("2.pin") is overhaul.fitting("2.pin") is overhaul.signature(Meaning.GAUGED) is None
    assert overhaul.confirmation(Phase.MAKE_SAFE, "locks") is None
