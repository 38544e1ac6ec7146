"""Making safe is confirmed again by whoever goes on: after a hand-over, and after a long stop."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.overhaul import Confirmation, Meaning, Overhaul, Phase
from app.domain.safe_again import why_safe_again
from app.domain.seal import content_for
from app.domain.steps import AGAIN, made_safe
from tests.builders import NOW
from tests.domain.builders import an_overhaul, confirmed, ring_gap

FITTER, OTHER = "M. Tarrow", "R. Osk"
HOURS = 12


def at(hours: float):
    """A moment so many hours after making safe."""
    return NOW + timedelta(hours=hours)


def safe(*later: Confirmation) -> Overhaul:
    """An overhaul that M. Tarrow made safe, with these confirmations after it."""
    overhaul = confirmed(an_overhaul(), Phase.MAKE_SAFE)
    return replace(overhaul, confirmations=(*overhaul.confirmations, *later))


def again(person: str, hours: float) -> Confirmation:
    """A confirmation that it is still safe."""
    return Confirmation(Phase.MAKE_SAFE, AGAIN, "", person, at(hours))


def why(overhaul: Overhaul, person: str, hours: float, phase: Phase = Phase.GAUGE, longest: int = HOURS) -> str:
    """Why a person confirms again."""
    return why_safe_again(overhaul, phase, person, at(hours), longest)


def test_whoever_made_it_safe_goes_on_without_being_asked():
    assert why(safe(), FITTER, 1) == ""


def test_another_person_confirms_once():
    assert "R. Osk has not confirmed" in why(safe(), OTHER, 1)
    assert why(safe(again(OTHER, 1)), OTHER, 2) == ""
    assert why(safe(again(OTHER, 1)), FITTER, 2) == ""


@pytest.mark.parametrize(("hours", "is_asked"), [(11.9, False), (12, False), (12.1, True)])
def test_a_stop_longer_than_the_longest_asks_even_whoever_made_it_safe(hours, is_asked):
    assert ("stood still for more than 12 h" in why(safe(), FITTER, hours)) is is_asked


def test_after_a_stop_each_person_confirms_anew():
    overhaul = safe(again(OTHER, 20))

    assert why(overhaul, OTHER, 21) == ""
    assert "M. Tarrow has not confirmed" in why(overhaul, FITTER, 21)
    assert why(safe(again(OTHER, 20), again(FITTER, 21)), FITTER, 22) == ""


def test_readings_show_that_the_work_goes_on():
    readings = tuple(ring_gap(1, "0.50", stored_at=at(hours)) for hours in (8, 16))

    assert why(replace(safe(), readings=readings), FITTER, 24) == ""


@pytest.mark.parametrize("phase", [Phase.MAKE_SAFE, Phase.PROVE, Phase.RETURNED])
def test_nobody_is_asked_while_the_machine_is_not_open(phase):
    assert why(safe(), OTHER, 50, phase) == ""


def test_nobody_is_asked_before_it_is_made_safe_nor_where_the_setting_says_never():
    assert why(an_overhaul(), OTHER, 50) == ""
    assert why(safe(), OTHER, 50, longest=0) == ""


def test_confirming_again_changes_neither_when_it_was_made_safe_nor_what_gauged_was_signed_over():
    overhaul = safe(again(OTHER, 5))

    assert made_safe(overhaul) == made_safe(safe())
    assert content_for(overhaul, Meaning.GAUGED) == content_for(safe(), Meaning.GAUGED)
    assert content_for(overhaul, Meaning.RETURNED_CHIEF) != content_for(safe(), Meaning.RETURNED_CHIEF)
