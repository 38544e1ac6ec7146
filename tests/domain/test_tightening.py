"""Closing a machine: crosswise orders, staggers and torques, against the published conversion and worked figures."""

from decimal import Decimal
from itertools import pairwise

import pytest

from app.domain.tightening import (
    Joint,
    Thread,
    TighteningImpossible,
    TorqueUnit,
    crosswise,
    in_newton_metres,
    preload_n,
    share_of_proof,
    stagger_degrees,
    torque_nm,
)


@pytest.mark.parametrize("nuts", range(1, 49))
def test_every_nut_is_tightened_once(nuts):
    assert sorted(crosswise(nuts)) == list(range(1, nuts + 1))


@pytest.mark.parametrize("nuts", range(2, 49, 2))
def test_every_second_nut_is_the_one_opposite(nuts):
    order = crosswise(nuts)

    assert all(abs(first - opposite) == nuts // 2 for first, opposite in zip(order[::2], order[1::2], strict=True))


@pytest.mark.parametrize("nuts", range(4, 49, 4))
def test_the_second_pair_stands_square_to_the_first(nuts):
    assert crosswise(nuts)[2] == 1 + nuts // 4


@pytest.mark.parametrize("nuts", range(5, 49, 2))
def test_of_an_odd_number_no_nut_is_followed_by_its_neighbour(nuts):
    order = crosswise(nuts)

    assert all(abs(one - other) not in (1, nuts - 1) for one, other in pairwise(order))


def test_three_gaps_stand_120_degrees_apart_and_of_four_neighbours_opposite():
    # Common practice, no source.
    assert stagger_degrees(3) == (0, 120, 240)
    assert stagger_degrees(4) == (0, 180, 90, 270)
    assert stagger_degrees(1) == (0,)


def test_torque_of_an_m12_bolt_of_class_8_8():
    # Arithmetic from the stated inputs: 84.3 mm2, 580 MPa proof, 70 %, K 0.2 dry and 0.12 oiled.
    force = preload_n(84.3, 580, 0.70)

    assert force == pytest.approx(34_226, abs=0.5)
    assert torque_nm(0.2, 12, force) == pytest.approx(82.14, abs=0.005)
    assert share_of_proof(82.14, 0.12, 12, 84.3 * 580) == pytest.approx(1.17, abs=0.005)


def test_pound_feet_are_turned_into_newton_metres_exactly():
    # NIST Special Publication 811 (2008), appendix B.8.
    assert in_newton_metres(Decimal(1), TorqueUnit.POUND_FOOT) == Decimal("1.3558179483314")
    assert in_newton_metres(Decimal(75), TorqueUnit.NEWTON_METRE) == 75


def test_steps_of_a_joint_rise_to_exactly_its_torque():
    joint = Joint("head", "Head", 6, Decimal("72.5"), TorqueUnit.NEWTON_METRE, Thread.OILED)

    assert joint.step_torques == (Decimal(22), Decimal(44), Decimal("72.5"))
    assert joint.words == "6 nuts crosswise to 22, 44, 72.5 N.m, oiled"


@pytest.mark.parametrize("impossible", [lambda: crosswise(0), lambda: crosswise(49), lambda: stagger_degrees(0)])
def test_what_no_machine_has_is_refused(impossible):
    with pytest.raises(TighteningImpossible):
        impossible()
