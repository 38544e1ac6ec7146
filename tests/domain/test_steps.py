"""The steps of make safe, box up and prove, in the order of the work."""

from dataclasses import replace

import pytest

from app.domain.overhaul import Phase
from app.domain.steps import made_safe, open_steps, permit, steps_of
from tests.domain.builders import LATER, an_overhaul, confirmed


def keys(overhaul, phase: Phase) -> list[str]:
    """The keys of a phase's steps."""
    return [step.key for step in steps_of(overhaul, phase)]


def test_making_safe_asks_for_permit_locks_every_gauge_venting_easing_cooling_and_the_flywheel():
    assert keys(an_overhaul(stages=(1,)), Phase.MAKE_SAFE) == [
        "permit", "locks", "sources", "gauge-1", "gauge-2", "gauge-3", "vented", "eased", "cooled", "flywheel",
    ]  # fmt: skip


def test_boxing_up_goes_from_running_gear_by_valves_and_heads_to_handing_back():
    # Bumping clearance and the second turn come after the final torque; common practice, no source.
    assert keys(an_overhaul(), Phase.BOX_UP) == [
        "pieces", "clean", "rods", "rings", "first-turn", "gaskets", "ports", "covers", "heads", "bumping",
        "second-turn", "oil", "guards", "unlocked", "delivery",
    ]  # fmt: skip


def test_with_valves_only_the_running_gear_stays_shut():
    assert keys(an_overhaul(has_rings=False), Phase.BOX_UP) == [
        "pieces", "clean", "gaskets", "ports", "covers", "guards", "unlocked", "delivery",
    ]  # fmt: skip


def test_proving_reads_every_stage_and_trips_every_protection():
    assert keys(an_overhaul(stages=(1,)), Phase.PROVE) == [
        "rotation", "oil-pressure", "unloading", "run-1", "run-2", "run-3", "leaks", "protections", "load",
    ]  # fmt: skip


@pytest.mark.parametrize("phase", [Phase.GAUGE, Phase.DECIDE, Phase.RETURNED])
def test_the_other_phases_have_no_steps(phase):
    assert steps_of(an_overhaul(), phase) == ()


@pytest.mark.parametrize("phase", [Phase.MAKE_SAFE, Phase.BOX_UP, Phase.PROVE])
def test_every_step_has_its_own_key_and_an_example_where_it_asks_for_a_value(phase):
    steps = steps_of(an_overhaul(), phase)

    assert len({step.key for step in steps}) == len(steps)
    assert all(bool(step.asks) == bool(step.hint) for step in steps)


def test_steps_stay_open_in_their_order_until_each_is_confirmed():
    overhaul = confirmed(an_overhaul(), Phase.BOX_UP)
    without_second = replace(overhaul, confirmations=overhaul.confirmations[:1] + overhaul.confirmations[2:])

    assert open_steps(overhaul, Phase.BOX_UP) == ()
    assert [step.key for step in open_steps(without_second, Phase.BOX_UP)] == ["clean"]
    assert open_steps(overhaul, Phase.MAKE_SAFE) == steps_of(overhaul, Phase.MAKE_SAFE)


def test_the_machine_is_safe_by_the_last_confirmation_and_under_the_permit_named():
    overhaul = confirmed(an_overhaul(), Phase.MAKE_SAFE)
    last = replace(overhaul.confirmations[3], at=LATER)
    overhaul = replace(overhaul, confirmations=(*overhaul.confirmations, last))

    assert made_safe(overhaul) is last
    assert permit(overhaul) == "118"
    assert made_safe(an_overhaul()) is None
    assert permit(an_overhaul()) == ""
