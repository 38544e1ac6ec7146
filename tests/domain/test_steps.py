"""The steps of make safe, box up and prove, in the order of the work."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.overhaul import Phase
from app.domain.steps import made_safe, open_steps, permit, step_words, steps_of
from tests.domain.builders import LATER, an_overhaul, confirmed, the_sheet


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


def test_a_sheet_that_gives_its_joints_has_them_tightened_stage_by_stage_each_once():
    steps = steps_of(an_overhaul(stages=(1, 2), sheet=the_sheet("qm-ga.toml")), Phase.BOX_UP)

    assert [step.key for step in steps] == [
        "pieces", "clean", "rods", "rings-1", "rings-2", "first-turn", "gaskets", "ports", "set-screws",
        "joint-1-covers", "joint-2-covers", "joint-1-head", "joint-2-head", "bumping-1", "bumping-2",
        "second-turn", "oil", "guards", "unlocked", "delivery",
    ]  # fmt: skip
    words = {step.key: step.words for step in steps}
    assert words["joint-1-head"] == "Stage 1 cylinder head: 8 nuts crosswise to 33, 66, 110 N.m, oiled"


def test_gaps_are_staggered_as_the_sheet_says_else_by_the_number_of_rings():
    [by_number] = [s for s in steps_of(an_overhaul(sheet=the_sheet("qm-ga.toml")), Phase.BOX_UP) if s.stagger_degrees]
    stage = the_sheet("qm-guarded.toml").stages[0]
    closing = replace(stage.closing, stagger_degrees=(Decimal(90), Decimal(0)))
    own = replace(the_sheet("qm-guarded.toml"), stages=(replace(stage, closing=closing),))
    [by_sheet] = [s for s in steps_of(an_overhaul(stages=(1,), sheet=own), Phase.BOX_UP) if s.stagger_degrees]

    assert by_number.stagger_degrees == (0, 120, 240)
    assert by_sheet.stagger_degrees == (90, 0)


def test_with_valves_only_covers_alone_are_tightened():
    keyed = keys(an_overhaul(has_rings=False, sheet=the_sheet("qm-ga.toml")), Phase.BOX_UP)

    assert keyed == [
        "pieces", "clean", "gaskets", "ports", "set-screws", "joint-2-covers", "guards", "unlocked", "delivery",
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


def test_a_step_is_put_into_words_without_its_overhaul_and_one_made_for_a_machine_by_its_key():
    assert step_words("cooled") == "Machine cooled: hot oil mist and fresh air can ignite"
    assert step_words("joint-2-head") == "joint 2 head"
